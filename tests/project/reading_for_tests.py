"""Reading projects in tests."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from clothwright.project import Problem, ProblemsFound, Project, read_project, read_toml

DATA = Path(__file__).parent / "data"


def ebb_jacket() -> Project:
    """The example of the tests."""
    return read_project(read_toml((DATA / "ebb_jacket.toml").read_text("utf-8")))


def problems(tree: dict[str, Any]) -> dict[str, str]:
    """Every problem of a tree that cannot be read: where, and the sentence."""
    with pytest.raises(ProblemsFound) as caught:
        read_project(tree)
    found: tuple[Problem, ...] = caught.value.problems
    assert len({problem.path for problem in found}) == len(found)
    return {problem.where: problem.sentence for problem in found}
