"""SVG's geometry, checked against the SVG 1.1 specification (W3C, 2011), exact circles and Béziers, and svgelements."""

import itertools
import math

import pytest
import svgelements
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from clothwright.pattern.geometry import (
    CHORD_ERROR_CM,
    Affine,
    Flat,
    NotUnderstood,
    TooManyPoints,
    flatten,
    read_transform,
)
from clothwright.pattern.reading.svg_path import ellipse_track, polygon_track, read_path, rectangle_track

coordinates = st.floats(-60, 60).map(lambda x: round(x, 3))
points = st.tuples(coordinates, coordinates)
HERE = Affine()


def only(path: str, to_cm: Affine = HERE) -> Flat:
    (track,) = read_path(path)
    return flatten(track, to_cm)


# --- curves ------------------------------------------------------------------------------------------------------


@given(st.floats(0.5, 500), st.floats(-300, 300), st.floats(-300, 300))
def test_no_chord_of_a_circle_is_further_than_two_tenths_of_a_millimetre_from_it(r: float, x: float, y: float) -> None:
    """The distance of a chord from its circle is r minus the distance of its middle from the centre."""
    flat = flatten(ellipse_track(x, y, r, r)[0], HERE)
    ring = [*flat.points, flat.points[0]]
    for (x0, y0), (x1, y1) in itertools.pairwise(ring):
        assert math.dist((x0, y0), (x, y)) == pytest.approx(r, rel=1e-9)
        assert r - math.dist(((x0 + x1) / 2, (y0 + y1) / 2), (x, y)) <= CHORD_ERROR_CM * 1.0001


@given(points, points, points, points, st.sampled_from(["", "scale(3)", "rotate(30) scale(2 0.5)", "skewX(20)"]))
def test_no_chord_of_a_bezier_is_further_than_two_tenths_of_a_millimetre_from_it(
    p0: tuple, p1: tuple, p2: tuple, p3: tuple, transform: str
) -> None:
    """The curve's own polynomial, in Bernstein form, sampled; the transform counts, as the error is at real size."""
    to_cm = read_transform(transform)
    flat = only(f"M {p0[0]} {p0[1]} C {p1[0]} {p1[1]} {p2[0]} {p2[1]} {p3[0]} {p3[1]} L 200 200 L 200 201", to_cm)
    line = LineString(flat.points)
    for i in range(101):
        t, s = i / 100, 1 - i / 100
        weights = (s**3, 3 * s * s * t, 3 * s * t * t, t**3)
        x, y = (sum(w * p[k] for w, p in zip(weights, (p0, p1, p2, p3), strict=True)) for k in (0, 1))
        assert line.distance(Point(to_cm.at(x, y))) <= CHORD_ERROR_CM * 1.0001 + 1e-9


@given(points, points, points)
def test_a_quadratic_curve_is_drawn_through_its_own_polynomial(p0: tuple, p1: tuple, p2: tuple) -> None:
    flat = only(f"M {p0[0]},{p0[1]} Q {p1[0]},{p1[1]} {p2[0]},{p2[1]} L 200 200 L 200 201")
    line = LineString(flat.points)
    for i in range(51):
        t, s = i / 50, 1 - i / 50
        x, y = (s * s * p0[k] + 2 * s * t * p1[k] + t * t * p2[k] for k in (0, 1))
        assert line.distance(Point(x, y)) <= CHORD_ERROR_CM * 1.0001 + 1e-9


def test_a_curve_that_runs_straight_is_one_straight_edge() -> None:
    flat = only("M 0 0 C 3 0 7 0 10 0 L 10 10 L 0 10 Z")
    assert flat.points == ((0, 0), (10, 0), (10, 10), (0, 10))
    assert all(flat.straight)


def test_edges_of_a_curve_are_known_from_straight_ones() -> None:
    flat = only("M 0 0 H 10 A 5 5 0 0 1 10 10 H 0 Z")
    assert flat.straight[0]
    assert not any(flat.straight[1:-2])
    assert flat.straight[-2:] == (True, True)


@given(st.floats(1, 40), st.floats(1, 40), st.floats(-180, 180), st.booleans(), st.booleans(), points, points)
def test_arcs_agree_with_an_independent_library(
    rx: float, ry: float, turn: float, large: bool, sweep: bool, start: tuple, end: tuple
) -> None:
    """Source: SVG 1.1, F.6; computed independently by svgelements."""
    assume(math.dist(start, end) > 0.1)
    path = f"M {start[0]} {start[1]} A {rx:.6f} {ry:.6f} {turn:.6f} {large:d} {sweep:d} {end[0]} {end[1]} L 300 300 L 300 301"
    line = LineString(only(path).points)
    arc = svgelements.Path(path)[1]
    sampled = [arc.point(i / 60) for i in range(61)]
    assert max(line.distance(Point(p.x, p.y)) for p in sampled) <= CHORD_ERROR_CM * 1.0001 + 1e-5
    assert line.length == pytest.approx(arc.length() + math.dist(end, (300, 300)) + 1, rel=0.02)


def test_an_arc_whose_radii_are_too_small_grows_to_reach() -> None:
    """Source: SVG 1.1, F.6.6: radii are scaled up until there is exactly one solution, a half ellipse."""
    assert Polygon(only("M 0 0 A 1 1 0 0 1 10 0 Z").points).area == pytest.approx(math.pi * 25 / 2, rel=0.01)


def test_an_arc_with_a_radius_of_nothing_is_a_straight_line() -> None:
    """Source: SVG 1.1, F.6.2."""
    assert only("M 0 0 A 0 5 0 0 1 10 0 L 10 10 Z").points == ((0, 0), (10, 0), (10, 10))


# --- path data ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "same"),
    [
        ("M1 1L5 1 5 4z", "M 1 1 L 5 1 L 5 4 Z"),
        ("m1 1 4 0 0 3z", "M 1 1 L 5 1 L 5 4 Z"),
        ("M1,1H5V4z", "M 1 1 L 5 1 L 5 4 Z"),
        ("M.5.5l1e1-0.5-2-1z", "M 0.5 0.5 L 10.5 0 L 8.5 -1 Z"),
        ("M0 0a5 5 0 0110 0L5 9z", "M 0 0 A 5 5 0 0 1 10 0 L 5 9 Z"),
        ("M0 0c0 5 5 5 5 0s5-5 5 0L5 9z", "M 0 0 C 0 5 5 5 5 0 C 5 -5 10 -5 10 0 L 5 9 Z"),
        ("M0 0q2 5 4 0t4 0L5 9z", "M 0 0 Q 2 5 4 0 Q 6 -5 8 0 L 5 9 Z"),
    ],
)
def test_short_and_relative_ways_of_writing_a_path_mean_the_same(path: str, same: str) -> None:
    """Source: SVG 1.1, 8.3: commands repeat, spaces may be left out, small letters are relative, S and T mirror."""
    assert only(path).points == tuple(pytest.approx(point) for point in only(same).points)


def test_after_a_close_the_path_goes_on_from_where_it_began() -> None:
    """Source: SVG 1.1, 8.3.3."""
    first, second = read_path("M 1 1 h 4 v 4 z h -3 v -3 z")
    assert first.start == second.start == (1, 1)


@given(
    st.lists(
        st.tuples(st.sampled_from("lhvcsqtLHVCSQT"), st.lists(coordinates, min_size=6, max_size=6)),
        min_size=2,
        max_size=8,
    )
)
def test_paths_agree_with_an_independent_library(steps: list) -> None:
    """The corners of every command are where svgelements has them."""
    counts = {"l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2}
    path = "M 3 4 " + " ".join(f"{c} {' '.join(map(str, n[: counts[c.lower()]]))}" for c, n in steps)
    (track,) = read_path(path)
    ends = [(s.end.x, s.end.y) for s in svgelements.Path(path)][1:]
    assert [step.end for step in track.steps] == [pytest.approx(end, abs=1e-6) for end in ends]


def test_a_line_whose_ends_meet_is_closed_whether_or_not_it_says_so() -> None:
    assert only("M 0 0 L 10 0 L 10 10 L 0.01 0").closed
    assert not only("M 0 0 L 10 0 L 10 10 L 0.5 0").closed


@pytest.mark.parametrize(
    "path", ["L 1 1", "M 1", "M 1 1 L 2", "M 0 0 X 3", "M 0 0 L 1 1 rubbish", "M 0 0 A 1 1 0 2 0 3 3", "M 0 0 L 1e99 0"]
)
def test_a_path_that_breaks_the_rules_is_refused_and_not_drawn_in_part(path: str) -> None:
    with pytest.raises(NotUnderstood):
        read_path(path)


def test_a_curve_beyond_all_measure_is_stopped_before_it_is_drawn() -> None:
    (track,) = read_path("M 0 0 C 9e6 0 -9e6 9e6 0 0 Z")
    with pytest.raises(TooManyPoints):
        flatten(track, Affine(a=1e6, d=1e6))


# --- transforms and basic shapes ---------------------------------------------------------------------------------


_TRANSFORMS = [
    "translate(3)",
    "translate(-4,2)",
    "scale(2)",
    "scale(1 -3)",
    "rotate(37)",
    "rotate(-50 4 7)",
    "skewX(25)",
]
_TRANSFORMS += ["skewY(-10)", "matrix(1 2 -0.5 3 4 5)"]


@given(st.lists(st.sampled_from(_TRANSFORMS), max_size=4), points)
def test_transforms_agree_with_an_independent_library(parts: list[str], point: tuple) -> None:
    """Source: SVG 1.1, 7.6; computed independently by svgelements."""
    expected = svgelements.Point(*point) * svgelements.Matrix(" ".join(parts))
    assert read_transform(" ".join(parts)).at(*point) == pytest.approx((expected.x, expected.y), abs=1e-6)


@pytest.mark.parametrize(
    "text", ["spin(3)", "scale()", "rotate(1 2)", "translate(1,2,3)", "scale(2", "scale(2cm)", "matrix(1)"]
)
def test_a_transform_that_breaks_the_rules_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_transform(text)


def test_quarter_turns_are_exact() -> None:
    assert read_transform("rotate(90)").at(3, 4) == (-4, 3)


@given(st.floats(5, 100), st.floats(5, 100), st.floats(0.5, 60), st.floats(0.5, 60))
def test_a_rounded_rectangle_has_the_area_of_its_corners_quarter_ellipses(
    w: float, h: float, rx: float, ry: float
) -> None:
    """Source: SVG 1.1, 9.2: a radius is at most half its side; area = w h − (4 − π) rx ry."""
    flat = flatten(rectangle_track(2, 3, w, h, (rx, ry))[0], HERE)
    a, b = min(rx, w / 2), min(ry, h / 2)
    polygon = Polygon(flat.points)
    assert polygon.is_valid
    assert polygon.bounds == pytest.approx((2, 3, 2 + w, 3 + h), abs=CHORD_ERROR_CM)
    assert polygon.area == pytest.approx(w * h - (4 - math.pi) * a * b, abs=CHORD_ERROR_CM * 2 * (a + b) * 2)


def test_shapes_without_area_draw_nothing() -> None:
    """Source: SVG 1.1, 9: a width, height or radius of 0 disables rendering."""
    assert (
        rectangle_track(0, 0, 0, 5, (0, 0)) == ellipse_track(0, 0, 5, 0) == polygon_track([(1, 1)], closed=True) == []
    )
