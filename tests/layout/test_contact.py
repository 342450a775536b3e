"""Pieces fall toward the start until they touch, exactly."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Polygon, box

from clothwright.layout.contact import fall

SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))


def test_a_piece_comes_to_rest_against_the_one_before_it():
    assert fall([SQUARE, SQUARE], [0, 5], [0, 1]) == [0, 10]


def test_pieces_that_touch_side_by_side_do_not_hinder_each_other():
    assert fall([SQUARE, SQUARE], [0, 10], [0, 1]) == [0, 0]


def test_a_later_piece_falls_into_a_gap_left_behind():
    """A wide piece rests on the second square; the slot beside the first is still free. Own drawing."""
    wide = ((0, 0), (4, 0), (4, 20), (0, 20))
    slot = ((0, 0), (9, 0), (9, 10), (0, 10))
    assert fall([SQUARE, wide, slot], [0, 0, 10], [0, 1, 2]) == [0, 10, 0]


def test_a_gap_that_is_too_short_is_passed_over():
    wide = ((0, 0), (4, 0), (4, 20), (0, 20))
    slot = ((0, 0), (10.5, 0), (10.5, 10), (0, 10))
    assert fall([SQUARE, wide, slot], [0, 0, 10], [0, 1, 2]) == [0, 10, 14]


def test_slanting_sides_nest():
    """A triangle and its half turn make their box: the second needs no further length. School geometry."""
    lower, upper = ((0, 0), (20, 0), (0, 10)), ((20, 10), (0, 10), (20, 0))
    assert fall([lower, upper], [0, 0], [0, 1]) == pytest.approx([0, 0])
    assert fall([lower, upper], [0, 5], [0, 1]) == pytest.approx([0, 0])
    assert fall([lower, lower], [0, 5], [0, 1]) == pytest.approx([0, 10])


def test_an_outline_drawn_clockwise_is_the_same_outline():
    assert fall([SQUARE[::-1], SQUARE], [0, 5], [0, 1]) == [0, 10]


sizes = st.tuples(st.floats(0.1, 40), st.floats(0.1, 20), st.floats(0, 20))


@settings(deadline=None)
@given(st.lists(sizes, min_size=1, max_size=8))
def test_rectangles_at_rest_neither_overlap_nor_could_move_on(found):
    """Outside check by shapely's boxes: no common area, and each touches the start or a far end."""
    rings = [((0, 0), (length, 0), (length, width), (0, width)) for length, width, _ in found]
    across = [y for _, _, y in found]
    rest = fall(rings, across, range(len(rings)))
    boxes = [box(x, y, x + length, y + width) for x, (length, width, y) in zip(rest, found, strict=True)]
    for index, one in enumerate(boxes):
        others = boxes[:index]
        assert all(one.intersection(other).area < 1e-4 for other in others)
        assert one.bounds[0] == 0 or any(abs(one.bounds[0] - other.bounds[2]) < 1e-9 for other in others)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(3, 9), st.floats(1, 20), st.floats(0, 20)), min_size=2, max_size=6))
def test_regular_polygons_at_rest_touch_without_overlap(found):
    """Outside check by shapely's areas and distances."""
    discs = [Polygon(regular(corners, radius)) for corners, radius, _ in found]
    rings = [tuple(disc.exterior.coords[:-1]) for disc in discs]
    rest = fall(rings, [y for _, _, y in found], range(len(rings)))
    placed = [translate(d, x, y) for d, x, (_, _, y) in zip(discs, rest, found, strict=True)]
    for index, one in enumerate(placed):
        assert all(one.intersection(other).area < 1e-4 for other in placed[:index])
        touching = (one.distance(other) < 1e-6 for other in placed[:index])
        assert rest[index] == 0 or any(touching)


def regular(corners: int, radius: float) -> list[tuple[float, float]]:
    """A regular polygon in the corner of the first quadrant."""
    angles = [2 * math.pi * k / corners for k in range(corners)]
    points = [(math.cos(angle), math.sin(angle)) for angle in angles]
    left, low = min(x for x, _ in points), min(y for _, y in points)
    return [(radius * (x - left), radius * (y - low)) for x, y in points]
