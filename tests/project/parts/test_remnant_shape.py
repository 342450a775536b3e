"""The largest rectangle in a remnant, against shapes whose largest is known."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import box
from shapely.geometry import Polygon

from clothwright.project.parts.remnant_shape import MOST_CORNERS, corners_kept, largest_upright, outline_area, shape_of


def test_of_a_rectangle_it_is_the_rectangle() -> None:
    found = largest_upright([(0, 0), (40, 0), (40, 30), (0, 30)])
    assert (found.width_cm, found.length_cm) == pytest.approx((40, 30))


@pytest.mark.parametrize(("base", "high"), [(40, 30), (12, 90), (33.3, 7.7)])
def test_of_a_right_triangle_it_is_half_its_area(base: float, high: float) -> None:
    """The largest rectangle in a triangle has half the base and half the height (Euclid, Elements, VI.27)."""
    found = largest_upright([(0, 0), (base, 0), (0, high)])
    assert found.width_cm * found.length_cm == pytest.approx(base * high / 4, rel=0.03)
    assert found.width_cm * found.length_cm <= base * high / 4 + 1e-6


def test_of_an_l_it_is_the_larger_leg() -> None:
    found = largest_upright([(0, 0), (40, 0), (40, 10), (20, 10), (20, 50), (0, 50)])
    assert (found.width_cm, found.length_cm) == pytest.approx((20, 50))


@given(
    st.lists(st.floats(4, 40), min_size=5, max_size=14),
    st.floats(-50, 50),
)
def test_it_never_leaves_the_cloth(reaches: list[float], moved: float) -> None:
    """A star-shaped outline about a middle: any reaches make a valid one."""
    turn = math.tau / len(reaches)
    corners = [(moved + r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(reaches)]
    found = largest_upright(corners)
    cut = box(found.across_cm, found.along_cm, found.across_cm + found.width_cm, found.along_cm + found.length_cm)
    assert Polygon(corners).buffer(1e-5).contains(cut)
    assert found.width_cm * found.length_cm <= outline_area(corners)


def test_a_traced_outline_is_kept_by_few_corners_the_right_way_up() -> None:
    """A circle of 300 points, 20 cm across, keeps its area within 1 % (π r² = 314.16 cm²); y downwards becomes upwards."""
    circle = [(10 + 10 * math.cos(i * math.tau / 300), 10 + 10 * math.sin(i * math.tau / 300)) for i in range(300)]
    kept = [tuple(float(one.removesuffix(" cm")) for one in corner) for corner in corners_kept(circle)]
    assert len(kept) <= MOST_CORNERS
    assert outline_area(kept) == pytest.approx(314.16, rel=0.01)  # type: ignore[arg-type]
    pointed_up = [(0.0, 30.0), (20.0, 30.0), (0.0, 0.0)]
    assert corners_kept(pointed_up) == [["0.0 cm", "0.0 cm"], ["20.0 cm", "0.0 cm"], ["0.0 cm", "30.0 cm"]]


@pytest.mark.parametrize("corners", [[(0, 0), (1, 1)], [(0, 0), (10, 10), (10, 0), (0, 10)], [(0, 0), (1, 0), (2, 0)]])
def test_what_is_no_outline_is_refused(corners: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError, match=r"three corners|cross over"):
        shape_of(corners)
