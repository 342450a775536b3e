"""A piece drawn by hand: lengths, curves, what typing a length moves, corners put on sides, the fold."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.hand_drawn import BACK, back
from shapely.geometry import Polygon
from svgelements import CubicBezier

from clothwright.pattern import HandPiece, Side, bent, notch_line, point_at, side_at, split, with_point
from clothwright.pattern.by_hand.sides import curve_length, runs, with_length

PLACE = st.tuples(st.floats(-90, 90), st.floats(-90, 90))


@given(st.tuples(PLACE, PLACE, PLACE, PLACE))
def test_the_length_of_a_curve_is_that_of_a_general_library(points: tuple) -> None:
    """Source: svgelements, which measures by subdivision."""
    expected = CubicBezier(*points).length(error=1e-6, min_depth=8)
    assert curve_length(points) == pytest.approx(expected, rel=2e-3, abs=0.02)


def test_the_length_of_a_quarter_of_a_circle_is_nearly_its_arc() -> None:
    """Source: the usual four-point curve of a quarter circle, handle 0.5523 of the radius; its arc is π/2 of it, to 0.03 %."""
    k = 4 / 3 * (math.sqrt(2) - 1)
    assert curve_length(((10, 0), (10, 10 * k), (10 * k, 10), (0, 10))) == pytest.approx(5 * math.pi, rel=3e-4)


@given(st.floats(0.5, 200), st.integers(0, 5))
def test_a_typed_length_is_the_sides_length_and_only_its_far_corner_moves(wanted: float, side: int) -> None:
    piece = with_length(back(), side, wanted)
    assert piece.length_cm(side) == pytest.approx(wanted)
    moved = [n for n in range(6) if piece.corners[n] != back().corners[n]]
    assert moved in ([], [back().after(side)])
    (x0, y0), (x1, y1) = back().ends(side)
    (_, _), (x2, y2) = piece.ends(side)
    assert (x1 - x0) * (y2 - y0) == pytest.approx((y1 - y0) * (x2 - x0), abs=1e-6 * wanted)


def test_a_side_without_a_direction_is_not_stretched() -> None:
    piece = HandPiece("dot", ((1, 1), (1, 1), (4, 4)), (Side(), Side(), Side()))
    with pytest.raises(ValueError, match="no direction"):
        with_length(piece, 0, 5)


@given(st.integers(0, 5), st.floats(0.05, 0.95))
def test_a_corner_put_on_a_side_leaves_the_line_as_it_is(side: int, share: float) -> None:
    before, after = back(), split(back(), side, share)
    assert len(after.corners) == 7
    assert sum(after.lengths_cm) == pytest.approx(sum(before.lengths_cm), abs=1e-6)
    assert Polygon(after.outline.points).area == pytest.approx(Polygon(before.outline.points).area, rel=1e-3)
    places = [notch.along_cm for one in after.sides[side : side + 2] for notch in one.notches]
    assert len(places) == len(before.sides[side].notches)


def test_a_place_on_a_side_is_told_and_one_off_every_side_is_not() -> None:
    assert side_at(back(), (2.3, 30)) == (0, pytest.approx(0.6, abs=0.05))
    assert side_at(back(), point_at(back().points(5), 0.5))[0] == 5  # type: ignore[index]
    assert side_at(back(), (12, 30)) is None


@pytest.mark.parametrize("corners", [((0, 0), (0, 30), (20, 30), (20, 0)), ((0, 0), (20, 0), (20, 30), (0, 30))])
def test_a_bent_side_bends_inwards_whichever_way_round_it_is_drawn(corners: tuple) -> None:
    piece = HandPiece("band", corners, (Side(),) * 4)
    for side in range(4):
        assert all(0 < x < 20 and 0 < y < 30 for x, y in bent(piece, side))


def test_a_half_on_the_fold_is_opened_out_across_it() -> None:
    whole = Polygon(back().whole)
    assert whole.area == pytest.approx(2 * Polygon(back().outline.points).area)
    assert whole.bounds[2] - whole.bounds[0] == pytest.approx(2 * 24)


def test_a_line_that_crosses_itself_says_where() -> None:
    piece = HandPiece("bow", ((0, 0), (10, 10), (10, 0), (0, 10)), (Side(),) * 4)
    assert piece.crosses_at == pytest.approx((5, 5))
    assert back().crosses_at is None


def test_neighbouring_sides_of_which_the_same_is_said_are_one_edge() -> None:
    named = {words.seam or "hem": run for words, run in runs(back())}
    assert named == {"hem": (1,), "side": (2,), "armhole": (3,)}
    halves = [run for _, run in runs(split(HandPiece("band", BACK, (back().sides[1],) * 6), 0))]
    assert sorted(n for run in halves for n in run) == list(range(7))


def test_notches_point_inwards() -> None:
    inside = Polygon(back().outline.points)
    start, end = notch_line(back(), 2, back().sides[2].notches[0])
    assert start == pytest.approx((26, 36))
    assert inside.covers(Polygon([(25.3, 35.9), (25.5, 35.9), (25.5, 36.1)]))
    assert end == pytest.approx((25.4, 36))


def test_a_point_put_into_an_outline_comes_on_the_side_nearest_to_it() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert with_point(square, (9.0, 5.0)) == (*square[:2], (9.0, 5.0), *square[2:])
