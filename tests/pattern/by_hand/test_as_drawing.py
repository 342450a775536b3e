"""A piece drawn by hand as a drawing: read like any other, true to a thousandth, and opened again as it was."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pattern.drawn import page
from pattern.garments import NAMES, WRITERS, garment
from pattern.hand_drawn import back
from shapely.geometry import Polygon

from clothwright.pattern import (
    DrawingRefused,
    HandPiece,
    Side,
    hand_svg,
    hand_table,
    open_drawing,
    read_drawing,
    read_hand_piece,
)


def test_what_is_drawn_is_read_with_its_area_edges_notches_and_fold() -> None:
    (piece,) = read_drawing(hand_svg([replace(back(), stitch=False)])).pieces
    half = Polygon(back().outline.points)
    assert piece.area_cm2 == pytest.approx(2 * half.area, rel=1e-3)
    assert [(edge.seam, edge.hem, round(edge.length_cm, 1)) for edge in piece.edges][::2] == [
        (None, True, 24.0),
        ("side", False, 20.0),
        ("armhole", False, round(back().length_cm(3), 1)),
    ]
    assert [mark.name for mark in piece.marks] == ["a", "a"]
    assert piece.grain_stated
    assert piece.fold is not None


def test_a_stitching_line_gets_its_allowance_and_its_hem() -> None:
    (piece,) = read_drawing(hand_svg([replace(back(), allowance_cm=1.0)])).pieces
    assert piece.width_cm == pytest.approx(48 + 2)
    assert piece.length_cm == pytest.approx(46 - 4 + 4 + 1, abs=0.4)


@pytest.mark.parametrize(
    "change",
    [
        {},
        {
            "cut": 2,
            "pair": True,
            "one_way": True,
            "material": "lining",
            "size": "M",
            "version": "short",
            "allowance_cm": 2.0,
            "grain_deg": 45.0,
        },
    ],
)
def test_a_drawing_by_hand_opens_as_it_was(change: dict) -> None:
    pieces = (replace(back(), **change), replace(back("front"), **change))
    opened = open_drawing(hand_svg(pieces))
    assert opened.left == ()
    assert [hand_table(one) for one in opened.pieces] == [hand_table(one) for one in pieces]


@pytest.mark.parametrize("name", NAMES)
def test_published_outlines_drawn_by_hand_keep_area_and_length_within_a_thousandth(name: str) -> None:
    """Source: tests/published/nesting (CC0), typed into tables to a hundredth of a millimetre."""
    drawn = [one for one in garment(name) if len(one.points) <= 150]
    assert drawn
    tables = []
    for one in drawn:
        left = one.polygon.bounds[0]
        corners = tuple((x - left, y) for x, y in one.points)
        tables.append(hand_table(HandPiece(one.name, corners, (Side(),) * len(corners))))
    pieces = read_drawing(hand_svg([read_hand_piece(table) for table in tables])).pieces
    for piece, one in zip(pieces, drawn, strict=True):
        assert piece.area_cm2 == pytest.approx(one.polygon.area, rel=1e-3)
        assert piece.around_cm == pytest.approx(one.polygon.length, rel=1e-3)


@pytest.mark.parametrize("writer", [name for name in WRITERS if name.startswith("SVG")])
def test_drawings_of_general_libraries_can_be_drawn_on(writer: str) -> None:
    """Source: svgwrite and drawsvg."""
    drawn = garment("shirts")
    opened = open_drawing(WRITERS[writer](drawn))
    assert [Polygon(one.corners).area for one in opened.pieces] == pytest.approx(
        [one.polygon.area for one in drawn], rel=1e-3
    )


def test_circles_and_arcs_become_curves_that_measure_the_same() -> None:
    (piece,) = open_drawing(page('<circle cx="20" cy="20" r="10" data-piece="patch"/>')).pieces
    assert len(piece.corners) == 8
    assert sum(piece.lengths_cm) == pytest.approx(62.8319, rel=1e-5)
    assert all(side.handles for side in piece.sides)


def test_what_cannot_be_drawn_on_is_said() -> None:
    content = (
        '<g data-piece="front"><rect x="5" y="5" width="30" height="40"/><circle cx="15" cy="20" r="2"/>'
        '<path data-line="join" d="M 5 30 H 35"/><path data-line="edge" data-seam="side" d="M 5 10 V 40"/></g>'
        '<rect x="45" y="5" width="5" height="5" data-test="5 cm"/><text x="1" y="70">tide</text>'
    )
    said = " ".join(open_drawing(page(content)).left)
    for words in ("marked “join”", "“seam side” does not run from corner to corner", "a dart", "test square", "“tide”"):
        assert words in said


def test_a_fold_named_by_a_side_is_the_side_on_the_fold() -> None:
    (piece,) = open_drawing(page('<rect x="5" y="5" width="30" height="40" data-piece="b" data-fold="left"/>')).pieces
    assert [side.words.fold for side in piece.sides] == [False, False, False, True]


def test_other_drawings_than_svg_and_too_many_corners_are_told() -> None:
    with pytest.raises(DrawingRefused, match="Only a drawing in SVG"):
        open_drawing(WRITERS["PDF by fpdf2"](garment("shirts")))
    points = " ".join(f"{10 + n * 0.1:.1f},{20 + n % 2}" for n in range(200))
    opened = open_drawing(page(f'<polygon data-piece="saw" points="{points} 30,40"/>'))
    assert opened.pieces == ()
    assert "201 corners" in opened.left[0]


def test_markup_in_a_name_is_a_name_and_nothing_else() -> None:
    name = '<script>alert("tide")</script> & ebb'
    content = hand_svg([back(name)])
    assert b"<script" not in content
    assert read_drawing(content).pieces[0].name == name
