"""The smallest sample that settles most: sizes, heddles, loom or card, and the yarn it takes."""

from __future__ import annotations

import math

import pytest
from planning.asking import changed
from planning.by_brute_force import planned_anew
from planning.jobs import OPEN, SLATE, UNSAMPLED, job

from clothwright.planning.job import Heddle
from clothwright.planning.measuring.sampling import LITTLE, On, SampleSearch, sampling_table
from clothwright.planning.weighing_up import weigh_up

BOTH = (Heddle("30/10 cm", 3.0), Heddle("40/10 cm", 4.0))
WITH_FORTY = changed(UNSAMPLED, loom__heddles=["30/10 cm", "40/10 cm"])


def search(given: dict = UNSAMPLED, heddles: tuple[Heddle, ...] = ()) -> SampleSearch:
    return SampleSearch(weigh_up(job(given)), heddles)


@pytest.mark.parametrize("on", On)
def test_no_smaller_sample_tells_as_much(on: On) -> None:
    """Of every size tried, none takes less yarn and comes within a tenth of the best in every gain."""
    found = search()
    taken, every = found.smallest(on), [found.choice(one.sample) for one in found.affordable(on)]
    counted = ("narrows_margin", "narrows_width", "narrows_length", "settles")
    best = {name: max(getattr(one, name) for one in every) for name in counted}
    assert min(best.values()) >= LITTLE

    def tells_most(one: object) -> bool:
        return all(getattr(one, name) >= 0.9 * most for name, most in best.items())

    assert tells_most(taken)
    assert not [one for one in every if tells_most(one) and one.sample.metres < taken.sample.metres - 1e-9]


def test_wider_tells_more_of_the_width_and_longer_more_of_the_length() -> None:
    """What the edges lose weighs less in a wide strip; a ruler's 2 mm less in a long one."""
    found = search()
    widths = [found.choice(found.small_warp(On.LOOM, width, 15)).narrows_width for width in (8, 12, 20, 30)]
    lengths = [found.choice(found.small_warp(On.LOOM, 15, length)).narrows_length for length in (8, 12, 20, 30)]
    assert widths == sorted(widths)
    assert widths[-1] > widths[0] + 0.1
    assert lengths == sorted(lengths)


def test_a_washed_square_of_20_cm_takes_away_two_fifths_of_the_doubt_in_width() -> None:
    """As much as a sample is asked to tell where nothing of the cloth is known."""
    found = search()
    assert found.choice(found.small_warp(On.LOOM, 20, 20)).narrows_width >= 0.4


def test_a_card_tells_less_than_a_loom_of_the_same_size_and_takes_less_yarn() -> None:
    found = search()
    for width, length in ((8, 8), (12, 15), (20, 20)):
        loom, card = (found.choice(found.small_warp(on, width, length)) for on in On)
        assert card.narrows_width < loom.narrows_width
        assert card.narrows_length < loom.narrows_length
        assert card.narrows_margin < loom.narrows_margin
        assert card.sample.metres < 0.6 * loom.sample.metres


def test_what_a_card_would_settle_is_what_drawn_outcomes_settle() -> None:
    """The card's own unknowns are drawn too, and every outcome is planned anew."""
    found = search()
    choice = found.smallest(On.CARD)
    sample = choice.sample
    after = planned_anew(
        found.weighed, found.narrowing.belief, found.rows(sample), used_m=(sample.warp_m, sample.weft_m), outcomes=120
    )
    assert choice.settles == pytest.approx(after.definite, abs=0.08)


def test_what_two_heddles_on_one_warp_would_settle_is_what_drawn_outcomes_settle() -> None:
    found = search(WITH_FORTY, BOTH)
    choice = found.smallest(On.LOOM)
    sample = choice.sample
    after = planned_anew(
        found.weighed, found.narrowing.belief, found.rows(sample), used_m=(sample.warp_m, sample.weft_m), outcomes=120
    )
    assert choice.settles == pytest.approx(after.definite, abs=0.08)


def test_the_yarn_of_a_sample_adds_up() -> None:
    """Ends × warp, picks × width × weft per pick, and grams by the yarn's own metres, with a calculator."""
    found = search()
    sample = found.small_warp(On.LOOM, 20, 15)
    take_up, waste = found._middle.take_up, found._middle.waste_cm
    assert sample.warp_cm == math.ceil((15 + 2 * 2) / take_up + waste)
    assert sample.ends == 60
    assert sample.warp_m == pytest.approx(60 * sample.warp_cm / 100)
    section = sample.first
    picks = section.picks * (15 + 4) / 15
    assert sample.weft_m == pytest.approx(picks * 20 * found._middle.pick_length / 100)
    assert sample.grams == pytest.approx(sample.metres / found.weighed.job.yarns.warp[0].m_per_g)


def test_loom_waste_is_paid_once_for_two_heddles() -> None:
    """Two sections on one warp take less than two warps: by the waste, less the change of heddle."""
    one, two = search(WITH_FORTY), search(WITH_FORTY, BOTH)
    single, double = one.small_warp(On.LOOM, 15, 12), two.small_warp(On.LOOM, 15, 12)
    saved = 2 * single.warp_cm - double.warp_cm
    change = sampling_table()["loom"]["change_cm"]
    assert saved == pytest.approx(single.waste_cm - change, abs=2)
    assert {section.ends for section in double.sections} == {single.ends}
    assert double.sections[1].width_in_heddle_cm == pytest.approx(single.ends / 4)


def test_sections_on_a_card_lie_side_by_side() -> None:
    found = search(WITH_FORTY, BOTH)
    card = found.small_warp(On.CARD, 8, 10)
    assert card.ends == sum(section.ends for section in card.sections) == 24 + 32
    widest = max(sum(s.width_in_heddle_cm for s in one.sample.sections) for one in found.affordable(On.CARD))
    assert widest <= sampling_table()["card"]["widest_cm"] + 1


def test_a_second_heddle_tells_a_little_more_of_the_planned_cloth() -> None:
    """Its cloth shares the yarn, the weaver and the wash, and has another sett."""
    one, two = search(WITH_FORTY), search(WITH_FORTY, BOTH)
    alone, both = (found.choice(found.small_warp(On.LOOM, 15, 12)).narrows_width for found in (one, two))
    assert alone < both < alone + 0.15


def test_no_sample_is_wider_than_the_loom() -> None:
    narrow = changed(SLATE, loom__weaving_width="10 cm", want__width="7 cm")
    widths = [one.sample.first.width_in_heddle_cm for one in search(narrow).affordable(On.LOOM)]
    assert max(widths) <= 10


def test_a_sample_takes_a_tenth_of_the_yarn_at_most_where_a_small_one_does_not() -> None:
    found = search(OPEN)
    in_hand = sum(float(have.mean()) for have in found.weighed.stock.of_lot.values())
    assert all(one.sample.metres <= 0.105 * in_hand for one in found.affordable(On.LOOM))
    little = search(changed(UNSAMPLED, yarn__0__balls=["30 g"], yarn__0__grist="310 m/100 g"))
    assert len(little.affordable(On.LOOM)) == 1


def test_every_figure_of_the_table_says_where_it_comes_from() -> None:
    def sourced(part: dict) -> bool:
        return "source" in part or all(isinstance(one, dict) and sourced(one) for one in part.values())

    parts = {name: part for name, part in sampling_table().items() if name != "minutes"}
    assert all("source" in part for part in parts.values())
    assert all("source" in part for part in sampling_table()["minutes"].values())
