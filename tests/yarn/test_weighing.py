"""Weighing and measuring: errors told, weighings pooled, washing tests, turns of a tool, damp."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import m_per_g

from clothwright.measure import QuantityError
from clothwright.yarn import (
    GristReading,
    Pool,
    ShortLength,
    at_regain,
    beyond_standards,
    damp_note,
    read_turns,
    read_weighing,
    regain,
    stretch_note,
    true_winder,
    washed_length,
    washed_weight,
    weighed,
    wound,
)


def test_ten_metres_on_a_kitchen_scale_are_known_to_ten_per_cent() -> None:
    """10 m of 100 tex weigh 1 g: 0.1 g of scale is 10 % of it, 0.01 g is 1 %. By arithmetic."""
    coarse, fine = (ShortLength(10, 1.0, step) for step in (0.1, 0.01))
    assert 1000 / coarse.m_per_g == pytest.approx(100)
    assert coarse.share == pytest.approx(math.hypot(0.10, 0.0002), rel=1e-9)
    assert fine.share == pytest.approx(0.01, rel=1e-3)
    assert "to 10 %" in coarse.told
    assert "Weigh 100 m on this scale" in coarse.told
    assert "finer" not in fine.told


@given(st.floats(1, 100), m_per_g, st.floats(0.01, 2))
def test_the_length_advised_is_long_enough(metres: float, ratio: float, step: float) -> None:
    """Of the length it advises, the scale's step is a hundredth of the weight or less."""
    one = ShortLength(metres, metres / ratio, step)
    needed = math.ceil(metres * one.scale_share / 0.01)
    assert ShortLength(needed, needed / ratio, step).scale_share <= 0.01 + 1e-9


@pytest.mark.parametrize("text", ["10 m = 3.1 g", "3.1 g = 10 m", "10 m/3.1 g", "10 m weigh 3.1 g", "10 m, 3.1 g"])
def test_a_weighing_is_read_either_way_round(text: str) -> None:
    """Length or weight first; the scale's step is the last place typed, unless it is given."""
    one = read_weighing(text)
    assert (one.length_m, one.weight_g, one.typed) == (10.0, 3.1, text)
    assert one.step_g == pytest.approx(0.1)
    assert read_weighing(text, step_g=0.5).step_g == 0.5


@pytest.mark.parametrize("text", ["10 m", "10 m = 3.1", "= 3 g", "0 m = 3 g", "10 m = 3 g = 4 g", "", "3 g = 4 g"])
def test_half_a_weighing_is_refused(text: str) -> None:
    """One measure is missing, has no unit or is nothing."""
    with pytest.raises(QuantityError):
        read_weighing(text)


def test_weighings_of_unlike_lengths_pool_by_length_over_weight() -> None:
    """10 m of 4 g and 90 m of 27 g are 100 m of 31 g, whatever the two ratios' mean is. By arithmetic."""
    pool = Pool((weighed(10, 4.0, step_g=0.1), weighed(90, 27.0, step_g=0.1)))
    assert pool.m_per_g == pytest.approx(100 / 31, rel=1e-12)


def test_an_uneven_yarn_is_told_from_an_uneven_hand() -> None:
    """Weighings that differ by ten times what the tools would make are the yarn's own; two alike are not."""
    uneven = Pool(tuple(weighed(10, grams, step_g=0.01) for grams in (2.0, 3.0, 4.5)))
    even = Pool(tuple(weighed(10, grams, step_g=0.1) for grams in (3.0, 3.0, 3.1)))
    assert uneven.spread == pytest.approx(0.4055, abs=5e-4)
    assert "uneven" in uneven.told
    assert "uneven" not in even.told
    assert "weigh two more" in Pool((weighed(10, 3.0, step_g=0.1),)).told


@given(st.lists(m_per_g, min_size=2, max_size=6), st.floats(1, 50))
def test_a_pool_lies_among_its_readings(ratios: list[float], metres: float) -> None:
    """No mean lies outside what was measured, and readings that are alike have no spread."""
    pool = Pool(tuple(weighed(metres, metres / ratio, step_g=0.01) for ratio in ratios))
    assert min(ratios) * (1 - 1e-9) <= pool.m_per_g <= max(ratios) * (1 + 1e-9)
    assert Pool(pool.readings[:1] * 3).spread == pytest.approx(0, abs=1e-12)


def test_a_label_and_a_weighing_count_alike() -> None:
    """A label has no length of its own: the mean is of the two readings."""
    pool = Pool((GristReading(3.0, 0.05), weighed(10, 2.5, step_g=0.1)))
    assert pool.m_per_g == pytest.approx(2 / (1 / 3 + 1 / 4))


def test_washing_is_a_ratio_of_two_lengths_or_two_weights_of_one_length() -> None:
    """100 m that become 88 m keep 0.88; 10 m that weigh 2.2 g, and washed 2.5 g, have shrunk by as much."""
    by_length = washed_length(100, 88, typed="100 m became 88 m")
    by_weight = washed_weight(2.2, 2.5, step_g=0.01)
    assert by_length.ratio == pytest.approx(0.88, rel=1e-12)
    assert by_weight.ratio == pytest.approx(0.88, rel=1e-12)
    assert by_length.told == "100 m became 88 m: 12 % of its length lost, so × 0.88"
    assert washed_weight(2.2, 2.5, step_g=0.5).log_sd > by_weight.log_sd > 0.01


def test_a_turn_is_what_it_measures_not_what_it_is_called() -> None:
    """Ten turns of a 1.5 m niddy-noddy that measure 14.82 m: 48 turns are 71.136 m, not 72. By arithmetic."""
    winder = true_winder("niddy-noddy", nominal_m=1.5, turns=10, measured_m=14.82)
    metres, spread = wound(48, winder)
    assert metres == pytest.approx(71.136, rel=1e-12)
    assert spread == pytest.approx(math.sqrt(0.01**2 + (0.002 / 14.82) ** 2 + 1 / 12 / 48**2), rel=1e-9)
    assert "1.2 % shorter" in winder.told
    unmeasured = true_winder("board", nominal_m=2.0, turns=None, measured_m=None)
    assert unmeasured.log_sd > 2 * winder.log_sd
    assert unmeasured.told == "One turn of the board is 2 m."
    one_turn = true_winder("mill", nominal_m=None, turns=None, measured_m=3.02)
    assert one_turn.turn_m == 3.02


def test_a_winder_of_no_length_is_asked_for() -> None:
    """Neither called nor measured, a turn has no length."""
    with pytest.raises(ValueError, match="how long is a turn"):
        true_winder("reel", nominal_m=None, turns=4, measured_m=None)


@pytest.mark.parametrize(
    ("text", "turns", "winder"),
    [
        ("48 turns of the niddy-noddy", 48, "niddy-noddy"),
        ("1 turn on mill", 1, "mill"),
        ("80 1/2 turns round my wrap reel", 80.5, "wrap reel"),
    ],
)
def test_turns_are_read_as_people_write_them(text: str, turns: float, winder: str) -> None:
    """So many turns of, on or round a tool."""
    found = read_turns(text)
    assert found is not None
    assert (found.turns, found.winder, str(found)) == (turns, winder, text)
    assert read_turns("48 m") is None
    assert read_turns("48 turns") is None


def test_the_wrap_reels_of_the_trade_are_winders() -> None:
    """80 turns of a 1 1/2 yd reel are a lea of 120 yd: C. P. Brooks, Cotton Manufacturing, Wrapping."""
    reel = true_winder("cotton reel", nominal_m=1.5 * 0.9144, turns=None, measured_m=None)
    assert wound(80, reel)[0] / 0.9144 == pytest.approx(120, rel=1e-12)
    assert 7 * wound(80, reel)[0] / 0.9144 == pytest.approx(840, rel=1e-12)


@pytest.mark.parametrize(("turn_yd", "turns", "yards"), [(1.0, 80, 80), (2.5, 120, 300)])
def test_other_reels_as_remembered(turn_yd: float, turns: int, yards: float) -> None:
    """Worsted and linen reels, from memory; only that they come near."""
    reel = true_winder("reel", nominal_m=turn_yd * 0.9144, turns=None, measured_m=None)
    assert 0.99 * yards < wound(turns, reel)[0] / 0.9144 < 1.01 * yards


def test_yarns_beyond_the_standards_are_told() -> None:
    """ISO 2060:1994 and ASTM D1907-12 end at 2000 tex; up to it nothing is said."""
    assert beyond_standards(2000.0) == ()
    (said,) = beyond_standards(2001.0)
    assert "ISO 2060" in said
    assert "ASTM D1907" in said


def test_stretchy_yarns_are_told_up_to_where_the_standards_hold() -> None:
    """ISO 2060: 0.5 % from 0.5 to 1.0 cN/tex; ASTM D1907: 5 % from 0.25 to 0.75."""
    said = stretch_note()
    assert "0.5 % when the pull rises from 0.5 to 1 cN/tex" in said
    assert "5 % when the pull rises from 0.25 to 0.75 cN/tex" in said


@pytest.mark.parametrize(
    ("fibre", "low", "high"),
    [("wool", 0.15, 0.19), ("cotton", 0.07, 0.10), ("linen", 0.10, 0.13), ("silk", 0.09, 0.12)],
)
def test_standard_regain_is_about_what_is_remembered(fibre: str, low: float, high: float) -> None:
    """Commercial regains, from memory: only ranges. What is said beside the number says so."""
    share = regain(fibre)
    assert share is not None
    assert low < share < high
    assert "from memory" in (damp_note(fibre) or "")


def test_wool_at_eighteen_and_twelve_per_cent_differs_by_a_twentieth() -> None:
    """1.18 ÷ 1.12 is 5 % and a bit, by arithmetic; the two regains from memory."""
    assert at_regain(112.0, of=0.12, to=0.18) == pytest.approx(118.0)
    assert 0.05 < at_regain(1.0, of=0.12, to=0.18) - 1 < 0.06


@pytest.mark.parametrize("fibre", ["", "nettle", "wool and silk"])
def test_no_regain_is_guessed(fibre: str) -> None:
    """A fibre that is not in the table, or a blend, has none."""
    assert regain(fibre) is None
    assert damp_note(fibre) is None
