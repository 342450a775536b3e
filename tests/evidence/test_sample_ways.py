"""Ways to measure a sample beside the ruler: traced, one pick laid straight, cut in parts, woven on a card."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from evidence.cloths_for_tests import FORECASTS, PLANNED, after, spread, square

from clothwright.evidence import Past, SampleMeasured, Step, measured_rows, sample_error

TAPED = ("width_in_heddle", "width_finished", "length_on_loom", "length_finished", "warp_used")


def bare(**measured: object) -> SampleMeasured:
    return SampleMeasured(making=replace(PLANNED, key="square"), name="square", **measured)  # type: ignore[arg-type]


def test_an_outline_tells_the_width_as_a_tape_does_but_not_quite_as_well() -> None:
    taped = after(bare(width_in_heddle=20.0, width_finished=18.2))
    traced = after(bare(width_in_heddle=20.0, traced_width_finished=18.2))
    nothing = after()
    wide = FORECASTS["finished width"]
    assert spread(taped, wide) < spread(traced, wide) < spread(nothing, wide)
    assert traced.expected(wide)[0] == pytest.approx(taped.expected(wide)[0], abs=0.002)


def test_an_outline_beside_the_tape_tells_more_than_either() -> None:
    wide = FORECASTS["finished width"]
    both = after(square(traced_width_finished=18.2, traced_width_off_loom=19.0))
    assert spread(both, wide) < spread(after(square()), wide)


def test_a_sample_known_by_its_outlines_alone_is_not_questioned() -> None:
    """Its true width is taken from the outline, so 24 cm is no surprise."""
    belief = after(bare(traced_width_off_loom=24.0, traced_width_finished=23.0, traced_length_off_loom=30.0))
    assert belief.questioned == ()


def test_one_pick_laid_straight_is_the_allowance_of_the_weft() -> None:
    """Pick length over width in heddle, needs no count of picks: 25.2 cm of 24.0 is 5 % (the hand trick of weavers)."""
    belief = after(bare(width_in_heddle=24.0, pick_straight=25.2))
    mean, sd = belief.expected({"square: pick_length": 1.0})
    assert mean == pytest.approx(math.log(25.2 / 24.0), abs=0.01)
    assert sd < 0.016
    assert Step.PICK_LENGTH == "pick_length"


def test_a_pick_drawn_from_washed_cloth_counts_for_less() -> None:
    fresh, washed = (
        after(bare(width_in_heddle=24.0, pick_straight=25.2, pick_drawn_from=state))
        for state in ("off loom", "finished")
    )
    pick = {"square: pick_length": 1.0}
    assert washed.expected(pick)[1] > fresh.expected(pick)[1]


def test_a_card_loom_tells_less_of_the_loom_and_as_much_of_the_washing() -> None:
    """The card's doubts cancel between off the loom and finished."""
    sizes = {
        "width_in_heddle": 20.0,
        "width_off_loom": 19.0,
        "width_finished": 18.2,
        "picks_count": 30.0,
        "picks_over": 10.0,
    }
    loom, card = after(bare(**sizes)), after(bare(on_card=True, **sizes))
    made = replace(PLANNED, key="square")
    for steps in ((Step.DRAW_IN, Step.WIDTH_RELEASE), (Step.PICKS,)):
        what = {made.unknown(step): 1.0 for step in steps}
        assert card.expected(what)[1] > 1.3 * loom.expected(what)[1]
    washed = {made.unknown(Step.WIDTH_FINISHING): 1.0}
    assert card.expected(washed)[1] == pytest.approx(loom.expected(washed)[1], rel=0.05)


def test_a_card_loom_still_narrows_the_forecast() -> None:
    card = after(square(on_card=True))
    for what in FORECASTS.values():
        assert spread(after(square()), what) < spread(card, what) < spread(after(), what)


def whole_and_parts() -> tuple[SampleMeasured, ...]:
    """A sample 24 cm wide cut across in two bands: one washed by hand as planned, one fulled."""
    whole = bare(width_in_heddle=24.0, width_off_loom=22.6, length_off_loom=40.0)
    gentle = SampleMeasured(
        replace(PLANNED, key="square part 1"), name="gentle", cut_from=whole, width_off_loom=22.6, width_finished=21.7,
        length_off_loom=18.0, length_finished=17.2,
    )  # fmt: skip
    hot = SampleMeasured(
        replace(PLANNED, key="square part 2", finish="fulled hot"), name="hot", cut_from=whole, width_off_loom=22.6, width_finished=18.6,
        length_off_loom=18.0, length_finished=15.1,
    )  # fmt: skip
    return whole, gentle, hot


def test_each_part_has_a_finishing_of_its_own_from_the_width_they_share() -> None:
    belief = after(*whole_and_parts())
    for key, finished in (("square part 1", 21.7), ("square part 2", 18.6)):
        mean, sd = belief.expected({f"{key}: width_finishing": 1.0})
        assert mean == pytest.approx(math.log(finished / 22.6), abs=0.012)
        assert sd < 0.012
    lengths = [belief.expected({f"square part {n}: length_finishing": 1.0})[0] for n in (1, 2)]
    assert lengths == pytest.approx([math.log(17.2 / 18.0), math.log(15.1 / 18.0)], abs=0.012)


def test_a_plan_goes_by_the_part_that_was_finished_as_it_will_be() -> None:
    """Planned gently, the forecast lies near the gentle part's 0.904; planned fulled, near the hot part's 0.775."""
    whole, gentle, hot = whole_and_parts()
    for made, ratio in ((PLANNED, 21.7 / 24), (replace(PLANNED, finish="fulled hot"), 18.6 / 24)):
        mean, _ = after(whole, gentle, hot, planned=made).expected(FORECASTS["finished width"])
        assert math.exp(mean) == pytest.approx(ratio, abs=0.02)


def test_a_part_has_rows_only_for_what_was_measured_of_it() -> None:
    _, gentle, _ = whole_and_parts()
    assert [row.what for row in measured_rows(gentle)] == [
        "gentle: width off loom 22.6 cm",
        "gentle: finished width 21.7 cm",
        "gentle: length off loom 18 cm",
        "gentle: finished length 17.2 cm",
    ]
    assert list(measured_rows(SampleMeasured(gentle.making, cut_from=gentle.cut_from))) == []


def test_a_card_and_an_outline_woven_before_tell_the_same_as_beside_the_plan() -> None:
    """A past of cloths (never written out) and a dense belief of the same cloths give the same forecast."""
    card = square(on_card=True, pick_straight=21.0, traced_width_finished=18.1, traced_length_off_loom=19.0)
    past = Past((card,)).belief([PLANNED])
    for what in FORECASTS.values():
        assert past.expected(what) == pytest.approx(after(card).expected(what), abs=1e-9)


def test_every_doubt_of_the_table_can_be_asked_for() -> None:
    assert sample_error("tracing", "cm") > 0
    with pytest.raises(KeyError):
        sample_error("guessing", "cm")
