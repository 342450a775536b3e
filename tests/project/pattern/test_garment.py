"""What was typed of a pattern becomes its pieces."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from project.reading_for_tests import ebb_jacket

from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.pattern.garment import every_piece, pieces


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


WRAP = Path(__file__).parents[3] / "examples" / "samphire-wrap.toml"


def _wrap(*marks: dict[str, object]) -> Project:
    """The wrap jacket of the examples, with what is said of its pieces."""
    tree = tomllib.loads(WRAP.read_text())
    tree["pattern"]["mark"] = list(marks)
    return read_project(tree)


def test_what_is_said_of_a_piece_made_from_measures_counts() -> None:
    """Its band of other cloth, cut once more, another left out; the others as they were."""
    before, _ = every_piece(_wrap(), {})
    first, second = before[0], before[1]
    marks = {"piece": first.name, "material": "other cloth", "cut": 5}, {"piece": second.name, "leave_out": True}
    after, _ = every_piece(_wrap(*marks), {})
    assert (after[0].material, after[0].cut) == ("other cloth", 5)
    assert [piece.name for piece in after] == [piece.name for piece in before if piece.name != second.name]


def test_what_only_a_drawing_has_is_refused_of_a_piece_made_from_measures() -> None:
    """A fold is a matter of the drawing."""
    name = every_piece(_wrap(), {})[0][0].name
    with pytest.raises(ProblemsFound, match="fold is said of drawn pieces"):
        every_piece(_wrap({"piece": name, "fold": "left"}), {})


def test_what_is_said_of_no_piece_is_told() -> None:
    """Nothing typed is passed over in silence."""
    _, notes = every_piece(_wrap({"piece": "bonnet", "cut": 2}), {})
    assert any("“bonnet” is not used" in note for note in notes)


def test_a_piece_made_from_measures_is_marked_once() -> None:
    """The second mark is pointed at, not passed over."""
    name = every_piece(_wrap(), {})[0][0].name
    with pytest.raises(ProblemsFound, match="is marked twice") as caught:
        every_piece(_wrap({"piece": name, "cut": 2}, {"piece": name, "cut": 4}), {})
    assert caught.value.problems[0].path == ("pattern", "mark", 1)
