"""Balls become whole turns: pairs or ends without a knot."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.colours import WarpBall, chance_all_last, least_left, lengths_tried, warps_tried, whole_turns


@given(st.floats(0, 5000), st.floats(0.5, 20))
def test_turns_are_the_whole_ones_that_the_metres_hold(metres: float, turn_m: float) -> None:
    """So many fit, and one more does not, to a rounding of the metre. Common practice, no source: ends have no knot."""
    turns = whole_turns(metres, turn_m)
    assert turns * turn_m <= metres + 1e-6
    assert (turns + 1) * turn_m > metres - 1e-6


def test_an_exact_number_of_turns_is_not_lost_to_rounding() -> None:
    """Thirteen turns of 6.2 m are in 80.6 m, though the quotient is a little less than 13 in binary."""
    assert 80.6 / 6.2 < 13
    assert whole_turns(80.6, 6.2) == 13


def test_sure_turns_are_those_that_so_large_a_share_of_the_draws_give() -> None:
    """Against the normal distribution's own quantile: 72 m give or take 6 m, 95 % sure of 62.1 m, ten turns of 6.2 m."""
    quantiles = (np.arange(20000) + 0.5) / 20000
    metres = np.array([NormalDist(72, 6).inv_cdf(q) for q in quantiles])
    ball = WarpBall("marram", 1, metres)
    sure_m = NormalDist(72, 6).inv_cdf(0.05)
    assert ball.turns(6.2) == 11
    assert ball.sure_turns(6.2, 0.95) == math.floor(sure_m / 6.2)
    assert ball.chance_of(11, 6.2) == pytest.approx(1 - NormalDist(72, 6).cdf(11 * 6.2), abs=1e-3)


def test_balls_of_one_yarn_fail_together() -> None:
    """Two balls whose metres are off alike last together as often as one; two that are independent less often."""
    rng = np.random.default_rng(1)
    one, other = rng.normal(50, 5, 40000), rng.normal(50, 5, 40000)
    alike = [(WarpBall("kelp", 1, one), 9), (WarpBall("kelp", 2, one), 9)]
    apart = [(WarpBall("kelp", 1, one), 9), (WarpBall("dulse", 1, other), 9)]
    single = chance_all_last(alike[:1], 5.0)
    assert chance_all_last(alike, 5.0) == single
    assert chance_all_last(apart, 5.0) == pytest.approx(single**2, abs=0.01)
    assert chance_all_last([], 5.0) == 1.0


def test_a_warp_length_that_divides_the_balls_wastes_least() -> None:
    """Balls of 36 m and 60 m leave nothing at 300 cm in pairs of 6 m, and 7.2 m at 320 cm (two leavings by hand)."""
    balls = [WarpBall("kelp", 1, np.full(8, 36.0)), WarpBall("dulse", 1, np.full(8, 60.0))]
    at_300, at_320 = lengths_tried(balls, (300.0, 320.0), turn_ends=2)
    assert (at_300.turns, at_300.left_m) == (16, pytest.approx(0.0))
    assert at_320.turns == 5 + 9
    assert at_320.left_m == pytest.approx((36 - 5 * 6.4) + (60 - 9 * 6.4))


def test_two_warps_are_each_half_the_cloth_and_all_of_the_waste() -> None:
    """By hand: 310 cm with 60 of waste are 250 woven; two warps of 185 cm, in pairs of 3.7 m. 37 m and 18.5 m leave nothing."""
    balls = [WarpBall("kelp", 1, np.full(8, 37.0)), WarpBall("dulse", 1, np.full(8, 18.5))]
    one, two, three = warps_tried(balls, 310.0, 60.0, turn_ends=2, needed=7)
    assert (one.warp_cm, one.turns, one.needed, one.left_m) == (310.0, 5 + 2, 7, pytest.approx(55.5 - 7 * 6.2))
    assert (two.warp_cm, two.turns, two.needed, two.left_m) == (185.0, 10 + 5, 14, pytest.approx(0.0))
    assert three.warp_cm == pytest.approx(250 / 3 + 60)
    assert three.needed == 21
    assert least_left((one, two, three)) == two
    assert not three.enough


def test_no_length_leaves_least_where_the_balls_never_reach() -> None:
    balls = [WarpBall("kelp", 1, np.full(8, 5.0))]
    assert least_left(lengths_tried(balls, (300.0, 320.0), turn_ends=2, needed=3)) is None
