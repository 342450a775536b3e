"""The example off the loom, with what tests change of it."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from clothwright.finishing import Finish, finish
from clothwright.project import Project, read_project

EXAMPLE = Path(__file__).parents[2] / "examples/cordgrass-waistcoat.toml"
TREE: dict[str, Any] = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))


def project(change: Callable[[dict[str, Any]], object] = lambda tree: tree) -> Project:
    tree = copy.deepcopy(TREE)
    change(tree)
    return read_project(tree)


def found(change: Callable[[dict[str, Any]], object] = lambda tree: tree) -> Finish:
    return finish(project(change))


def sized(tree: dict[str, Any], width: str | dict[str, str], length: str) -> None:
    """The finished cloth of another size, without the stain."""
    tree["off_loom"] = [{"state": "finished", "width": width, "length": length}]
    tree["real_cloth"] = {}
