"""Forecasts of the log against what the rest then took."""

from __future__ import annotations

import numpy as np
import pytest
from weaving.at_looms import tabard, weighed

from clothwright.project import read_project
from clothwright.weaving import looked_back, standing


def test_an_even_hand_is_forecast_as_it_came() -> None:
    """0.8 g a cm throughout: at every mark the forecast holds, and its middle is what was used to a few per cent."""
    told = looked_back(standing(weighed(*((40.0 * n, 240 - 32.0 * n) for n in range(7)))))
    assert [one.at_cm for one in told] == [40, 80, 120, 160, 200]
    assert all(one.held for one in told)
    assert all(one.said_g.expected == pytest.approx(one.used_g, rel=0.05) for one in told)


def test_a_beat_that_doubles_was_not_foreseen() -> None:
    told = looked_back(standing(weighed((0, 300), (60, 260), (120, 220), (180, 130), (240, 40))))
    assert not told[0].held
    assert told[0].used_g == 220


def test_nothing_known_later_is_used() -> None:
    """Whatever comes after a mark, its forecast is the same up to the length it was made for."""
    one, other = (
        looked_back(standing(weighed((0, 212), (60, 165), (120, last[0]), (200, last[1]))))[0]
        for last in ((118, 55), (100, 20))
    )
    assert one.said_g == other.said_g
    assert one.used_g != other.used_g


def test_the_example_can_be_looked_back_on() -> None:
    told = looked_back(standing(read_project(tabard(8))))
    assert [one.at_cm for one in told] == [30, 60, 90, 120, 150]
    assert np.mean([one.held for one in told]) >= 0.6
