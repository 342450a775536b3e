"""What to measure next is always answered, costed, explained and ordered."""

from __future__ import annotations

import pytest
from planning.asking import changed, planned, tree
from planning.jobs import SLATE, UNSAMPLED

from clothwright.planning import Verdict

CONE = tree("full-looking-cone")


def test_it_is_answered_whatever_the_verdict() -> None:
    """Too close, enough and not enough: each has something worth measuring."""
    for grams in ("80 g", "118 g", "250 g"):
        assert planned(changed(SLATE, yarn__0__balls__0__net=grams)).measure_next


def test_an_open_verdict_orders_by_chance_for_the_time_and_yarn_it_costs() -> None:
    """Chance per hour; a metre of handspun that cannot be had again counts as a minute. Common practice, no source."""
    answer = planned(SLATE)
    assert answer.verdict == Verdict.TOO_CLOSE
    ranks = [one.rank for one in answer.measure_next]
    assert ranks == sorted(ranks, reverse=True)
    for one in answer.measure_next:
        assert one.rank == pytest.approx(one.settles / ((one.minutes + one.metres) / 60))


def test_yarn_that_can_be_had_again_costs_a_sample_less() -> None:
    handspun, bought = (planned(changed(SLATE, yarn__0__replaceable=can)).measure_next for can in (False, True))
    dear, cheap = (next(one for one in found if "loom, wash" in one.what) for found in (handspun, bought))
    assert cheap.metres == pytest.approx(dear.metres, rel=0.5)
    assert cheap.rank > dear.rank


def test_every_entry_has_its_cost_in_numbers_and_says_why() -> None:
    for one in planned(UNSAMPLED).measure_next:
        assert one.minutes > 0
        assert (one.metres > 0) == (one.grams > 0)
        assert one.when in ("before warping", "on the loom")
        assert "of the doubt it takes away" in one.why
        assert 0 <= one.settles <= 1
        assert one.saves_m == 0 or one.when == "before warping"


def test_a_measurement_that_tells_little_is_left_out() -> None:
    """The first colour of a sharp scale is not worth a line; every line takes away something."""
    for one in planned(SLATE).measure_next:
        assert one.settles >= 0.005 or max(one.narrows_margin, one.narrows_width, one.narrows_length) >= 0.02


def test_a_core_nobody_weighed_comes_first() -> None:
    """One minute, no yarn, and it decides: the story of the full-looking cone."""
    assert "empty core" in planned(CONE).measure_next[0].what


def test_yarn_measured_before_washing_is_to_be_washed() -> None:
    unwashed = changed(SLATE, yarn__0__state="unwashed", yarn__0__balls__0__net="150 g")
    assert any("Wash a skein" in one.what for one in planned(unwashed).measure_next)
    assert not any("Wash a skein" in one.what for one in planned(SLATE).measure_next)


def test_metered_balls_are_told_by_a_tape() -> None:
    metered = changed(SLATE, yarn__0__balls=[{"length": "1010 m"}], yarn__0__grist="310 m/100 g")
    told = [one.what for one in planned(metered).measure_next]
    assert any("through the meter" in one for one in told)


def test_by_hand_it_is_answered_too() -> None:
    """Ranges typed and cores nobody weighed, with their minutes; sums say nothing of how far it narrows."""
    found = planned(changed(SLATE, yarn__0__balls__0__net="250 g"), by_hand=True).measure_next
    assert found[0].settles == 1.0
    assert found[0].minutes == 5
