"""What is said of a drawn piece beside the drawing counts before what the drawing says."""

import pytest
from pattern.drawn import page

from clothwright.pattern import DrawingRefused, Marks, SaidOfPiece, read_drawing
from clothwright.project import ProblemsFound, read_project
from clothwright.project.pattern.garment import pieces

TWO = page('<rect x="5" y="5" width="20" height="30"/><rect x="40" y="5" width="10" height="10"/>')


def test_a_nameless_outline_gets_its_name_count_and_material() -> None:
    said = [
        SaidOfPiece("piece 1", Marks(piece="front", cut=2, pair=True, material="lining")),
        SaidOfPiece("piece 2", Marks(), leave_out=True),
    ]
    (piece,) = read_drawing(TWO, said=said).pieces
    assert (piece.name, piece.cut, piece.pair, piece.material) == ("front", 2, True, "lining")


def test_what_is_said_counts_before_what_is_drawn_and_the_rest_stays() -> None:
    drawn = page('<rect x="5" y="5" width="20" height="30" data-piece="back" data-cut="2" data-grain="y"/>')
    (piece,) = read_drawing(drawn, said=[SaidOfPiece("back", Marks(grain=0.0, fold="left"))]).pieces
    assert (piece.cut, piece.length_cm, piece.width_cm) == (2, pytest.approx(40), pytest.approx(30))


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ([SaidOfPiece("cuff", Marks(cut=2))], "no piece of that name; it has piece 1, piece 2"),
        ([SaidOfPiece("piece 1", Marks(cut=2)), SaidOfPiece("piece 1", Marks(cut=3))], "is marked twice"),
    ],
)
def test_what_is_said_of_no_piece_or_twice_is_refused(said: list[SaidOfPiece], why: str) -> None:
    with pytest.raises(DrawingRefused, match=why):
        read_drawing(TWO, said=said)


def test_a_project_file_says_it_in_tables() -> None:
    marks = [
        {"piece": "piece 1", "name": "front", "cut": 2, "line": "stitch", "allowance": "2 cm"},
        {"piece": "piece 2", "leave_out": True},
    ]
    project = read_project({"pattern": {"file": "smock.svg", "seam_allowance": "1 cm", "mark": marks}})
    (piece,), _ = pieces(project, {"smock.svg": TWO})
    assert (piece.name, piece.cut, piece.width_cm) == ("front", 2, pytest.approx(24))


@pytest.mark.parametrize(
    ("field", "value", "accepted"),
    [("fold", "middle", "“left”"), ("grain", "up", "degrees"), ("line", "dotted", "cut"), ("name", "", "a name of 1")],
)
def test_a_value_that_is_none_is_a_problem_that_says_what_is_accepted(field: str, value: str, accepted: str) -> None:
    with pytest.raises(ProblemsFound, match=accepted):
        read_project({"pattern": {"file": "a.svg", "mark": [{"piece": "a", field: value}]}})
