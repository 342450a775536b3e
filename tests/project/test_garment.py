"""What was typed of a pattern becomes its pieces."""

from __future__ import annotations

import pytest
from reading_for_tests import ebb_jacket

from clothwright.project import ProblemsFound, read_project
from clothwright.project.garment import pieces


def test_pieces_given_as_numbers_are_cut_from_the_main_cloth() -> None:
    """The facing of other cloth is left out; two backs stay two."""
    found, notes = pieces(ebb_jacket(), {})
    assert [(piece.name, piece.cut) for piece in found] == [("back", 2)]
    assert notes == ()


def test_a_drawing_that_is_not_there_is_a_problem() -> None:
    """The file's name and its field are told."""
    project = read_project({"pattern": {"file": "jacket.svg"}})
    with pytest.raises(ProblemsFound) as caught:
        pieces(project, {})
    assert caught.value.problems[0].where == "pattern, file"
    assert "jacket.svg" in caught.value.problems[0].sentence


def test_a_pattern_wholly_of_other_cloth_is_a_problem() -> None:
    """There must be something to weave."""
    piece = {"name": "facing", "width": "8 cm", "length": "64 cm", "material": "other cloth"}
    with pytest.raises(ProblemsFound, match="main cloth"):
        pieces(read_project({"pattern": {"piece": [piece]}}), {})
