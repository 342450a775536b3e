"""Estimates and intervals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from clothwright.measure import Z90, Estimate, Interval, Length, Rung


@given(st.floats(0.01, 1000), st.floats(1e-6, 1))
def test_an_estimate_holds_nine_times_in_ten(median: float, spread: float) -> None:
    """From the 5 % and 95 % points of a log-normal distribution, as scipy has them, its log spread comes back."""
    low, high = stats.lognorm(s=spread, scale=median).ppf([0.05, 0.95])
    estimate = Estimate(median, Rung.SAMPLED, "a square", low=low, high=high)
    assert estimate.log_sd == pytest.approx(spread, rel=1e-8)
    assert estimate.three == (low, median, high)


def test_an_estimate_without_ends_is_exact() -> None:
    one = Estimate(0.9, Rung.RULE_OF_THUMB, "usual for wool")
    assert one.three == (0.9, 0.9, 0.9)
    assert one.log_sd == 0


def test_nine_times_in_ten_is_the_normal_distributions() -> None:
    """Half a 90 % interval is 1.645 standard deviations, as scipy has it."""
    assert pytest.approx(stats.norm.ppf(0.95), rel=1e-14) == Z90


def test_a_typed_spread_is_a_90_per_cent_interval() -> None:
    """The log spread of 23 to 25 cm is that of an estimate between its ends."""
    quantity = Length.read("23 to 25 cm")
    estimate = Estimate(quantity.expected, Rung.SAMPLED, "", low=quantity.low, high=quantity.high)
    assert estimate.log_sd == pytest.approx(quantity.log_sd, rel=1e-12)


def test_an_interval_of_draws_is_their_middle_nine_tenths() -> None:
    """Of 0, 1, … 100 they are 5, 50 and 95."""
    assert Interval.of_draws(np.arange(101.0)) == Interval(5.0, 50.0, 95.0)
    assert Interval.exactly(2.0) == Interval(2.0, 2.0, 2.0)
    assert Interval(1.0, 2.0, 3.0).scaled(100) == Interval(100.0, 200.0, 300.0)


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60))
def test_an_interval_of_draws_is_numpys_quantiles(drawn: list[float]) -> None:
    """Between two draws by their distance, as numpy's own linear quantiles have it."""
    one = Interval.of_draws(np.array(drawn))
    points = np.quantile(drawn, (0.05, 0.5, 0.95))
    assert (one.low, one.expected, one.high) == pytest.approx(tuple(points), rel=1e-12, abs=1e-9)


def test_the_ladder_of_evidence_has_five_rungs_lowest_first() -> None:
    """From rule of thumb to past projects."""
    assert [rung.value for rung in Rung] == [
        "rule of thumb",
        "calculated",
        "sampled",
        "measured on the loom",
        "past projects",
    ]
