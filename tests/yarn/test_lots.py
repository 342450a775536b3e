"""Yarn in hand: what weighings of balls and short lengths come to by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import m_per_g

from clothwright.measure import GRAMS_PER_OUNCE, Weight
from clothwright.yarn import UNKNOWN_CORE_GRAMS, Ball, GristReading, Lot, diameter_rule, diameter_rules, weighed


def _cone(core_g: float | None) -> Lot:
    net = 486.0 - (core_g or 0.0)
    return Lot("cone", (Ball(net_g=net, core_unknown=core_g is None),), (GristReading(6.77, 0.0),), made="mill")


def test_a_cone_with_an_unknown_core_is_a_band() -> None:
    """486 g gross at 6.77 m/g: 2,906 m with a core of 2 oz, 3,209 m with one of 12 g. Invented data, by arithmetic."""
    metres = _cone(None).metres_by_hand()
    assert round(metres.low) == 2906
    assert round(metres.high) == 3209
    assert metres.low < metres.expected < metres.high
    assert UNKNOWN_CORE_GRAMS.high == Weight.read("2 oz").grams == 2 * GRAMS_PER_OUNCE


def test_a_weighed_core_makes_it_one_figure() -> None:
    """With a core of 25 g the same cone holds 3,121 m, 171 m more than 2,950."""
    metres = _cone(25.0).metres_by_hand()
    assert round(metres.low) == round(metres.expected) == round(metres.high) == 3121
    assert round(metres.expected - 2950) == 171


def test_three_skeins_each_take_their_own_ten_metres() -> None:
    """112, 104 and 96 g, 10 m of each 3.1, 3.4 and 3.0 g: 361 + 306 + 320 = 987 m. Invented data, by arithmetic."""
    skeins = [(112.0, 3.1), (104.0, 3.4), (96.0, 3.0)]
    balls = tuple(Ball(net_g=net, grist=weighed(10, weight, step_g=0.1)) for net, weight in skeins)
    lot = Lot("grey", balls)
    assert [round(Lot("one", (ball,)).metres_by_hand().expected) for ball in balls] == [361, 306, 320]
    assert round(lot.metres_by_hand().expected) == 987
    assert lot.grams == 312.0


def test_readings_of_a_lot_pool_as_length_over_weight() -> None:
    """Thirty metres that weigh 9.5 g in all have 30/9.5 metres per gram, not the mean of three ratios."""
    readings = tuple(weighed(10, weight, step_g=0.1) for weight in (3.1, 3.4, 3.0))
    assert Lot("grey", (Ball(net_g=100.0),), readings).m_per_g == pytest.approx(30 / 9.5, rel=1e-12)


def test_a_ball_without_a_reading_takes_its_lots() -> None:
    """The lot's label holds for a ball nobody measured; a metered ball needs none."""
    lot = Lot("moss", (Ball(net_g=50.0), Ball(metres=85.0)), (GristReading(4.0, 0.02),))
    assert lot.metres_by_hand().expected == pytest.approx(285.0)
    assert lot.grams == pytest.approx(50 + 85 / 4)


def test_a_lot_of_which_nothing_is_known_says_so() -> None:
    """There are no metres in grams alone."""
    lot = Lot("found", (Ball(net_g=50.0),))
    assert not lot.has_grist
    with pytest.raises(ValueError, match="how many metres"):
        lot.metres_by_hand()


@given(st.floats(2, 50), m_per_g, st.floats(0.01, 2))
def test_the_error_of_a_weighing_is_the_root_of_the_sum_of_squares(metres: float, ratio: float, step: float) -> None:
    """√((δm/m)² + (δL/L)²), a scale even within its step, a ruler to 2 mm, 1 % of tension. By arithmetic."""
    reading = weighed(metres, metres / ratio, step_g=step)
    assert reading.m_per_g == pytest.approx(ratio, rel=1e-12)
    scale, ruler = step / math.sqrt(12) * ratio / metres, 0.002 / metres
    assert reading.log_sd == pytest.approx(math.sqrt(scale**2 + ruler**2 + 0.01**2), rel=1e-9)


def test_a_finer_scale_matters_for_ten_metres() -> None:
    """10 m of 100 tex weigh 1 g: the step of a 0.1 g scale is 10 % of that, of a 0.01 g scale 1 %. By arithmetic."""
    coarse, fine = (weighed(10, 1.0, step_g=step) for step in (0.1, 0.01))
    others = math.hypot(0.002 / 10, 0.01)
    for reading, share in ((coarse, 0.10), (fine, 0.01)):
        assert math.sqrt(12 * (reading.log_sd**2 - others**2)) == pytest.approx(share, rel=1e-6)


@given(m_per_g, st.floats(1.05, 4))
def test_finer_yarn_is_thinner_by_the_square_root(ratio: float, times: float) -> None:
    """Every rule halves the diameter for four times the metres."""
    for rule in diameter_rules():
        assert rule.diameter_mm(ratio) / rule.diameter_mm(ratio * times) == pytest.approx(math.sqrt(times), rel=1e-12)
        assert rule.diameter_mm(ratio) * rule.diameters_per_cm(ratio) == pytest.approx(10, rel=1e-12)
        assert rule.source


def test_soft_yarn_is_taken_as_thicker_than_firm() -> None:
    """Handspun and woollen yarns by the soft rule, the rest by the firm one. Common practice, no source."""
    soft, firm = diameter_rule("wool", "handspun"), diameter_rule("cotton", "mill")
    assert soft.k < firm.k
    assert soft.diameter_mm(3.0) > firm.diameter_mm(3.0)
    assert diameter_rule("woollen", "mill") == soft
