"""Outlines drawn round a sample, against shapely's areas and the arithmetic of rectangles."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from clothwright.evidence import Outline

SQUARE = ((0.0, 0.0), (24.0, 0.0), (24.0, 21.0), (0.0, 21.0))


def outline(polygon: Polygon) -> Outline:
    return Outline(tuple((float(x), float(y)) for x, y in polygon.exterior.coords[:-1]))


def test_a_rectangle_is_as_wide_and_long_everywhere_and_not_skewed() -> None:
    one = Outline(SQUARE)
    assert (one.mean_width_cm, one.least_width_cm, one.mean_length_cm, one.least_length_cm) == (24, 24, 21, 21)
    assert one.skew_deg == 0


@given(st.floats(-20, 20), st.permutations([0, 1, 2, 3]), st.booleans())
def test_how_the_paper_lay_and_where_the_list_begins_do_not_matter(turned: float, order: list[int], back: bool) -> None:
    """A turn, another first corner, and the other way round give the same sizes."""
    corners = outline(affinity.rotate(Polygon(SQUARE), turned)).corners
    start = order[0]
    listed = corners[start:] + corners[:start]
    one = Outline(listed[::-1] if back else listed)
    assert one.mean_width_cm == pytest.approx(24, rel=1e-9)
    assert one.mean_length_cm == pytest.approx(21, rel=1e-9)


@given(st.floats(-25, 25))
def test_a_skewed_sample_has_its_area_as_width_times_length(skew: float) -> None:
    """Width square to the selvedges × length along them is the area of a parallelogram (shapely's area)."""
    drawn = affinity.skew(Polygon(SQUARE), ys=skew, origin=(0, 0))
    one = outline(drawn)
    assert one.skew_deg == pytest.approx(skew, abs=1e-9)
    assert one.mean_width_cm * one.mean_length_cm == pytest.approx(drawn.area, rel=1e-9)


def test_a_sample_that_narrows_has_the_mean_of_its_ends_and_the_least_of_them() -> None:
    """A trapezium of 22 cm and 20 cm: 21 cm in the mean, and its area is mean width × length."""
    one = Outline(((0, 0), (22, 0), (21, 30), (1, 30)))
    assert one.mean_width_cm == pytest.approx(21)
    assert one.least_width_cm == pytest.approx(20)
    assert one.mean_width_cm * 30 == pytest.approx(one.area_cm2)


def test_a_selvedge_that_waves_is_found_at_its_corner() -> None:
    one = Outline(((0, 0), (20, 0), (19, 7), (20, 15), (20, 30), (0, 30)))
    assert one.least_width_cm == pytest.approx(19, abs=0.05)
    assert one.mean_width_cm == pytest.approx(one.area_cm2 / 30, rel=0.005)


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        (SQUARE[:3], "four corners or more; 3 came"),
        ((SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]), "once round"),
        (((0, 0), (10, 0), (20, 0), (5, 0)), "enclose nothing"),
        (((0, 0), (10, 0.1), (20, 0), (10, 20)), "told apart"),
    ],
)
def test_what_is_no_outline_of_a_sample_is_refused_with_the_reason(
    corners: tuple[tuple[float, float], ...], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        Outline(corners)


def test_skew_is_told_in_degrees_of_the_picks_from_square() -> None:
    rise = 24 * math.tan(math.radians(4))
    assert Outline(((0, 0), (24, rise), (24, 21 + rise), (0, 21))).skew_deg == pytest.approx(4)
