"""Pieces written as a drawing: what was brought in goes out and comes in again."""

from __future__ import annotations

import pytest
from pattern.drawn import page

from clothwright.pattern import Piece, pieces_svg, read_drawing, rectangle

DRAWN = page(
    '<g data-piece="tide &amp; sand" data-cut="2" data-pair="true" data-size="M" data-one-way="true">'
    '<polygon data-line="stitch" points="5,5 20,5 20,40 9,40"/>'
    '<polyline points="20,5 20,40"><title>seam side, ease 1 cm</title></polyline>'
    '<polyline points="20,40 9,40"><title>hem 4 cm</title></polyline>'
    '<polyline points="5,5 6,6"><title>notch, match a</title></polyline></g>'
)


def back(piece: Piece) -> Piece:
    (found,) = read_drawing(pieces_svg([piece])).pieces
    return found


def test_a_piece_with_its_edges_and_marks_comes_back() -> None:
    (piece,) = read_drawing(DRAWN, seam_allowance_cm=1.5).pieces
    found = back(piece)
    assert (found.name, found.cut, found.pair, found.size, found.one_way) == ("tide & sand", 2, True, "M", True)
    assert found.allowance_cm == 1.5
    assert found.area_cm2 == pytest.approx(piece.area_cm2, rel=1e-5)
    assert [(e.seam, e.ease_cm, e.hem, e.allowance_cm) for e in found.edges] == [
        ("side", 1.0, False, None),
        (None, 0.0, True, 4.0),
    ]
    assert [mark.name for mark in found.marks] == ["a"]


def test_a_piece_given_as_numbers_is_drawn_by_its_cut_line() -> None:
    found = back(rectangle("pocket", width_cm=14, length_cm=16.25, material="tide cotton"))
    assert (found.width_cm, found.length_cm) == (pytest.approx(14), pytest.approx(16.25))
    assert found.material == "tide cotton"
    assert found.stitching is None


def test_an_edge_line_lies_along_the_line_of_sewing_where_that_is_drawn_inside() -> None:
    drawing = page(
        '<g data-piece="length"><rect x="5" y="5" width="40" height="90"/>'
        '<polygon data-line="stitch" points="7,8 43,8 43,92 7,92"/>'
        '<polyline data-line="edge" points="43,8 43,92" data-seam="side"/>'
        '<polyline data-line="edge" points="5,5 5,95" data-selvedge="true"/></g>'
    )
    (piece,) = read_drawing(drawing).pieces
    assert {edge.seam: round(edge.length_cm, 3) for edge in piece.edges} == {"side": 84.0, None: 90.0}
    assert {edge.seam: round(edge.length_cm, 3) for edge in back(piece).edges} == {"side": 84.0, None: 90.0}
