"""Estimates carry their spread; intervals are read off draws."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest

from clothwright.measure import Estimate, Interval, Rung


def test_the_log_spread_is_that_of_a_normal_whose_middle_nine_tenths_span_the_interval() -> None:
    """*Source*: the normal distribution, by Python's statistics module."""
    one = Estimate(3.2, Rung.SAMPLED, "picks of a square", low=3.0, high=3.4)
    assert one.log_sd == pytest.approx(math.log(3.4 / 3.0) / (2 * NormalDist().inv_cdf(0.95)))
    assert one.three == (3.0, 3.2, 3.4)


def test_an_estimate_without_ends_is_exact() -> None:
    one = Estimate(0.9, Rung.RULE_OF_THUMB, "usual for wool")
    assert one.three == (0.9, 0.9, 0.9)
    assert one.log_sd == 0


def test_an_interval_of_draws_is_their_5_50_and_95_per_cent_points() -> None:
    draws = np.arange(1001) / 10
    one = Interval.of_draws(draws)
    assert (one.low, one.expected, one.high) == pytest.approx((5, 50, 95))
    assert one.scaled(2).high == pytest.approx(190)


def test_the_rungs_are_the_ladder_lowest_first() -> None:
    assert list(map(str, Rung)) == ["rule of thumb", "calculated", "sampled", "measured on the loom", "past projects"]
