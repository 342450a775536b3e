"""From sides to pieces: allowances, folds opened out, and the way parts lie on the cloth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.pattern.drafting.shaping import Part, made, notch, run, side, strip


def rectangle_part(width: float, height: float) -> Part:
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Part("pocket", tuple(side(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)))


@given(st.floats(2, 90), st.floats(2, 90))
def test_a_centimetre_all_round_a_rectangle_adds_what_arithmetic_says(width: float, height: float) -> None:
    """Exact: 2 (w + l) + 4 cm²."""
    piece = made(rectangle_part(width, height), 1.0)
    assert piece.area_cm2 - width * height == pytest.approx(2 * (width + height) + 4, abs=1e-2)


def test_up_the_part_lies_along_the_warp() -> None:
    piece = made(rectangle_part(6, 9), 0.5)
    assert (piece.length_cm, piece.width_cm) == (pytest.approx(10), pytest.approx(7))


def test_a_part_on_its_fold_is_opened_out_with_its_edges_and_match_points() -> None:
    sides = (
        side((0, 9), (6, 9), seam="top"),
        side((6, 9), (6, 0), seam="side"),
        side((6, 0), (0, 0), hem=3.0),
    )
    piece = made(Part("back", sides, fold=True, marks=(notch((6, 4), (-1, 0), "a"),)), 1.0)
    assert piece.width_cm == pytest.approx(14)
    assert piece.length_cm == pytest.approx(13)
    assert [edge.seam for edge in piece.edges] == ["top", "top", "side", "side", None, None]
    assert [mark.name for mark in piece.marks] == ["a", "a"]
    assert piece.fold is not None


def test_a_strip_on_the_bias_lies_at_half_a_right_angle() -> None:
    piece = made(strip("binding", (run(30, "neck"),), 4, bias=True), 0.0)
    assert piece.length_cm == pytest.approx(piece.width_cm)
    assert piece.length_cm == pytest.approx((30 + 4) / 2**0.5, abs=1e-4)
    assert piece.edges[0].length_cm == pytest.approx(30)


def test_a_stated_cut_line_keeps_the_whole_width() -> None:
    sides = rectangle_part(6, 9).sides
    cut = ((-2.0, -2.0), (8.0, -2.0), (8.0, 11.0), (-2.0, 11.0))
    piece = made(Part("length", sides, cut=cut), 2.0)
    assert (piece.width_cm, piece.length_cm, piece.allowance_cm) == (10.0, 13.0, 0.0)
    assert piece.stitching is not None
