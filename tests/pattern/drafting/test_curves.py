"""Curves as steps: near the true curve, smooth where they meet, and of the length asked for."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from clothwright.pattern.drafting.curves import cubic, from_to, level_at, point_at, solved
from clothwright.pattern.drafting.top import fitted_cap
from clothwright.pattern.piece import line_length


def test_a_quarter_round_is_as_long_as_a_quarter_circle() -> None:
    """Exact: π r / 2; the cubic with handles of 4/3 (√2 − 1) leaves a circle by under 0.03 %, and its steps by a little more."""
    line = from_to((10.0, 0.0), (0.0, 1.0), (0.0, 10.0), (-1.0, 0.0))
    assert line_length(line) == pytest.approx(math.pi * 5, rel=5e-4)
    assert all(math.hypot(*point) == pytest.approx(10, rel=5e-4) for point in line)


@given(st.tuples(*[st.floats(-20, 20)] * 8))
def test_the_steps_of_a_cubic_are_as_long_as_its_integral(c: tuple[float, ...]) -> None:
    """Length by numerical integration of the speed (scipy), which knows nothing of steps: never longer, and near."""
    a, b, d, e = (c[0], c[1]), (c[2], c[3]), (c[4], c[5]), (c[6], c[7])

    def speed(t: float) -> float:
        s = 1 - t
        return math.hypot(
            *(3 * (s * s * (b[i] - a[i]) + 2 * s * t * (d[i] - b[i]) + t * t * (e[i] - d[i])) for i in (0, 1))
        )

    true = quad(speed, 0, 1, limit=400)[0]
    assert true * 0.98 - 0.05 <= line_length(cubic(a, b, d, e)) <= true + 1e-6


@given(st.floats(15, 35), st.floats(-3, 3), st.floats(0.55, 0.85))
def test_a_cap_has_the_lengths_and_the_width_it_was_asked_for(front: float, apart: float, share: float) -> None:
    back, width = front + apart, (2 * front + apart) * share
    cap = fitted_cap(front, back, width)
    assert cap is not None
    assert line_length(cap.line(cap.front)) == pytest.approx(front, abs=1e-6)
    assert line_length(cap.line(cap.back)) == pytest.approx(back, abs=1e-6)
    assert cap.front + cap.back == pytest.approx(width, abs=1e-6)


def test_a_cap_that_cannot_be_is_none() -> None:
    assert fitted_cap(20, 20, 41) is None


def test_a_rising_measure_is_solved_or_said_not_to_reach() -> None:
    assert solved(lambda x: x * x, 2.0, 0.0, 2.0) == pytest.approx(math.sqrt(2))
    assert solved(lambda x: x * x, 5.0, 0.0, 2.0) is None


def test_places_along_a_line_and_at_a_level() -> None:
    line = ((0.0, 10.0), (0.0, 4.0), (8.0, 4.0))
    assert point_at(line, 8.0)[0] == (2.0, 4.0)
    assert level_at(line, 7.0) == (0.0, 7.0)
    assert level_at(line, -3.0) == (8.0, 4.0)
