"""Logs and projects at the loom for the tests."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from clothwright.project import Project, read_project

EXAMPLE = Path(__file__).parents[2] / "examples" / "eelgrass-tabard.toml"


def weighed(*marks: tuple[float, float], to_weave: float = 263.0, **more: Any) -> Project:
    """A log of weft alone: cm woven and grams left."""
    log = [{"woven": f"{cm:g} cm", "weft_left": {"weft": f"{grams:g} g"}} for cm, grams in marks]
    return read_project({"on_loom": {"to_weave": f"{to_weave:g} cm", **more}, "log": log})


def tabard(entries: int, **on_loom: Any) -> dict[str, Any]:
    """The example's tree with so many of its entries, as it stood then: to the sixth, nothing had been changed."""
    tree = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    tree["log"] = tree["log"][:entries]
    if entries < 6:
        del tree["on_loom"]["to_weave"]
        del tree["pattern"]["piece"][-1]["material"]
    tree["on_loom"] |= on_loom
    return tree
