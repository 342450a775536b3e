"""Every example is told what to do off its loom, whatever it holds, and what is told agrees with itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from clothwright.finishing import finish
from clothwright.library.files import read_project_file
from clothwright.project import ProblemsFound, read_project
from clothwright.sheets import finishing as words

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
@pytest.mark.parametrize("imperial", [False, True])
def test_an_example_is_told_and_its_checks_and_its_layout_hold(file: Path, imperial: bool) -> None:
    tree, drawings = read_project_file(file)
    try:
        project = read_project(tree)
    except ProblemsFound:
        pytest.skip("this example is no project: it is a list of another kind")
    told = finish(project, drawings=drawings)
    said = list(words.sections(told, imperial=imperial))
    assert all(line for _, lines in said for line in lines)
    assert told.recipe.steps
    assert len({one.key for one in told.checks}) == len(told.checks)
    if told.on_cloth and told.on_cloth.relaid.fits:
        assert told.on_cloth.relaid.left_cm >= 0
        assert told.on_cloth.ways == ()
