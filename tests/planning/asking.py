"""Projects to plan, for the tests of this room."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

from clothwright.planning import Plan, plan
from clothwright.project import read_project

EXAMPLES = Path(__file__).parents[2] / "examples"


def tree(name: str) -> dict[str, Any]:
    """The tree of an example project file."""
    return tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))


def changed(base: dict[str, Any], **paths: Any) -> dict[str, Any]:
    """A copy of a tree with values set by path, as want__width="42 cm"; None takes the field out."""
    copy = deepcopy(base)
    for path, value in paths.items():
        *steps, last = path.split("__")
        part: Any = copy
        for step in steps:
            part = part[int(step)] if step.isdigit() else part.setdefault(step, {})
        if value is None:
            del part[last]
        else:
            part[last] = value
    return copy


def planned(given: dict[str, Any], **options: Any) -> Plan:
    """The plan of a tree."""
    return plan(read_project(given), **options)
