"""Shares claimed are held against shares that came, with what luck explains."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from clothwright.evidence import Told, calibration
from clothwright.evidence.calibration import BAND, SHARES


def told(count: int, *, spread: float = 0.1) -> list[Told]:
    """Forecasts that claim a spread of 0.1, of truths with another."""
    truths = np.random.default_rng(5).normal(3.0, spread, count)
    return [
        Told(cloth=str(number), size="finished_width", first=3.1, mean=3.0, sd=0.1, actual=float(truth), rule=3.0)
        for number, truth in enumerate(truths)
    ]


@pytest.mark.parametrize("count", [1, 7, 12, 200, 3000])
def test_the_band_is_the_middle_of_the_binomial(count: int) -> None:
    """*Source*: scipy's binomial, its interval of the same share."""
    for one in calibration(told(count)):
        low, high = stats.binom(count, one.share).interval(BAND)
        assert (round(one.low * count), round(one.high * count)) == (low, high)


def test_true_claims_hold_within_luck_and_bold_ones_do_not() -> None:
    assert all(one.by_luck for one in calibration(told(400)))
    bold = calibration(told(400, spread=0.2))
    assert not any(one.by_luck for one in bold if one.share >= 0.5)
    assert all(one.held < one.share for one in bold)


def test_no_forecasts_claim_nothing() -> None:
    assert calibration([]) == ()
    assert len(calibration(told(1))) == len(SHARES)
