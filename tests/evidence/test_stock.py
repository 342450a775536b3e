"""How many metres the weighed grams hold."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.evidence import grist_unknown, metres_of_balls, reading_error, stock_belief
from clothwright.measure import Interval
from clothwright.yarn import Ball, GristReading, Lot, weighed

LABEL = GristReading(6.77, 0.0, typed="6.77 m/g")


def metres(lot: Lot) -> Interval:
    """Metres of the lot, as believed."""
    return Interval.of_draws(metres_of_balls(lot, stock_belief((lot,)).draws()).sum(axis=0))


def width(interval: Interval) -> float:
    """How wide an interval is."""
    return interval.high - interval.low


def grey() -> Lot:
    """Three skeins of handspun, each with its own ten metres."""
    skeins = [(112.0, 3.1), (104.0, 3.4), (96.0, 3.0)]
    return Lot("grey", tuple(Ball(net, 0.29, grist=weighed(10, weight, step_g=0.1)) for net, weight in skeins))


def test_three_skeins_hold_what_the_hand_sum_says_and_a_spread() -> None:
    """987 m by hand; belief agrees to 3 % and does not pretend to know it to 1 %."""
    believed = metres(grey())
    assert believed.expected == pytest.approx(987, rel=0.03)
    assert believed.low < 987 < believed.high
    assert 0.02 < width(believed) / believed.expected < 0.25


def test_an_unknown_core_widens_the_stock() -> None:
    """The cone of 486 g gross is a band of 2,906 to 3,209 m, and one figure but for its label once the core is weighed."""
    unknown = Lot("cone", (Ball(486.0, 0.29, core_unknown=True),), (LABEL,), made="mill")
    known = replace(unknown, balls=(Ball(461.0, 0.29),))
    band, figure = metres(unknown), metres(known)
    assert width(band) > 1.5 * width(figure)
    assert figure.expected == pytest.approx(3121, rel=0.005)
    assert band.low < 2950 < band.high
    assert band.expected == pytest.approx(unknown.metres_by_hand().expected, rel=0.01)


@given(st.floats(1, 100), st.floats(1.2, 10))
def test_a_shorter_piece_tells_less_of_handspun(metres_weighed: float, times: float) -> None:
    """The error of a reading grows as the length weighed shrinks, scale and unevenness both."""
    longer = weighed(metres_weighed * times, metres_weighed * times / 3, step_g=0.1)
    shorter = weighed(metres_weighed, metres_weighed / 3, step_g=0.1)
    lot = grey()
    assert reading_error(lot, shorter) > reading_error(lot, longer)
    assert reading_error(lot, shorter) > shorter.log_sd
    assert reading_error(lot, shorter) > reading_error(replace(lot, made="mill"), shorter)


def test_more_readings_of_a_lot_narrow_it() -> None:
    """Each further ten metres makes the lot's metres per gram surer."""
    one = weighed(10, 3.2, step_g=0.1)
    spreads = []
    for count in (1, 2, 4):
        lot = Lot("grey", (Ball(net_g=300.0),), (one,) * count)
        spreads.append(stock_belief((lot,)).expected({grist_unknown(lot): 1.0})[1])
    assert spreads == sorted(spreads, reverse=True)
    assert len(set(spreads)) == 3


def test_a_reading_of_one_ball_tells_a_little_of_the_next() -> None:
    """A ball nobody measured is believed like its lot, less surely than the one that was."""
    read = Ball(100.0, 0.1, grist=weighed(10, 3.0, step_g=0.01))
    lot = Lot("grey", (read, Ball(100.0, 0.1)))
    first, second = (Interval.of_draws(row) for row in metres_of_balls(lot, stock_belief((lot,)).draws()))
    assert second.expected == pytest.approx(first.expected, rel=0.02)
    assert width(second) > 1.2 * width(first)


def test_unwashed_metres_are_not_taken_as_final() -> None:
    """Handspun measured before washing may lose a tenth, and nobody is sure."""
    washed, unwashed = grey(), replace(grey(), washed=False)
    assert metres(unwashed).expected == pytest.approx(metres(washed).expected * math.exp(-0.09), rel=0.02)
    assert width(metres(unwashed)) / metres(unwashed).expected > width(metres(washed)) / metres(washed).expected


def test_a_metered_ball_is_as_sure_as_the_meter() -> None:
    """85 m by meter are 85 m to 2 %, whatever the scale and the label say."""
    lot = Lot("moss", (Ball(metres=85.0),), (LABEL,))
    believed = metres(lot)
    assert believed.expected == pytest.approx(85.0, rel=0.002)
    assert believed.high / believed.low == pytest.approx(math.exp(2 * 1.645 * 0.02), rel=0.01)


@given(st.floats(0, 3), st.integers(1, 12))
def test_metres_are_never_below_nothing(grams: float, count: int) -> None:
    """Tiny balls on a coarse scale, or mostly core, hold little but never less than none."""
    lot = Lot("ends", (Ball(grams, 1.0, core_unknown=True),) * count, (LABEL,))
    drawn = metres_of_balls(lot, stock_belief((lot,)).draws())
    assert drawn.shape == (count, 4096)
    assert np.all(drawn >= 0)


def test_a_misread_scale_is_questioned() -> None:
    """31 g for ten metres of a lot whose label says 3.1 m/g is not believed in silence."""
    lot = Lot("grey", (Ball(112.0, 0.3),), (GristReading(3.1, 0.03, typed="label"), weighed(10, 31.0, step_g=0.1)))
    questioned = stock_belief((lot,)).questioned
    assert len(questioned) == 1
    assert questioned[0].spreads > 3


COUNTED = replace(LABEL, typed="8/2 cotton", leaves_out_folding=True)


def test_a_bare_folded_count_has_fewer_metres_than_its_strands_and_a_wider_spread() -> None:
    """Folding takes up 2 to 8 % of the strands' tex (from memory of the trade): the metres lie lower and less surely."""
    measured = Lot("cone", (Ball(500.0, 0.29),), (LABEL,), made="mill")
    counted = replace(measured, grist=(COUNTED,))
    sure, unsure = metres(measured), metres(counted)
    assert 1.03 < sure.expected / unsure.expected < 1.07
    assert width(unsure) / unsure.expected > 1.1 * width(sure) / sure.expected
    assert counted.folding_left_out == ("8/2 cotton",)


def test_a_ball_weighed_for_itself_is_not_taken_up_by_its_count() -> None:
    """What ten metres weigh has the folding in it; the lot's bare count moves that reading by its noise only."""
    ball = Ball(500.0, 0.29, grist=weighed(100, 15.4, step_g=0.1))
    alone, beside = Lot("cone", (ball,), made="mill"), Lot("cone", (ball,), (COUNTED,), made="mill")
    assert metres(beside).expected == pytest.approx(metres(alone).expected, rel=0.015)
    assert beside.folding_left_out == ()


def test_by_hand_a_folded_count_stands_as_typed_and_its_low_end_is_folded() -> None:
    """500 g of 6.77 m/g are 3,385 m as a calculator says; 8 % more tex would leave 3,134 m."""
    by_hand = Lot("cone", (Ball(500.0, 0.29),), (COUNTED,), made="mill").metres_by_hand()
    assert by_hand.expected == by_hand.high == pytest.approx(3385)
    assert by_hand.low == pytest.approx(3385 / 1.08)
