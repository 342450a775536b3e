"""A sample first: the answer for a whole project."""

from __future__ import annotations

import pytest
from planning.asking import changed, planned
from planning.jobs import OPEN, SLATE, UNSAMPLED

from clothwright.planning import On, SampleFirst, sample_first
from clothwright.project import ProblemsFound, read_project


def answer(given: dict, **options: object) -> SampleFirst:
    return sample_first(read_project(given), **options)


def test_a_heddle_that_is_stated_is_sampled_alone() -> None:
    found = answer(UNSAMPLED)
    assert [one.heddle for one in found.choice.sample.sections] == ["30/10 cm"]


def test_with_no_heddle_stated_the_next_that_comes_near_is_on_the_same_warp() -> None:
    found = answer(OPEN)
    assert len(found.choice.sample.sections) == 2
    assert found.choice.sample.first.heddle == next(one.heddle for one in found.heddles if one.planned)


def test_each_heddle_is_the_whole_plan_made_at_it() -> None:
    """Least ends, warp length, where to stop: what `plan` answers when that heddle is stated."""
    for one in answer(OPEN).heddles:
        plan = planned(changed(OPEN, cloth__heddle=one.heddle))
        assert (one.ends, one.warp_cm) == (plan.warp.ends, plan.warp.length_cm)
        assert one.chance_enough == pytest.approx(plan.chance_enough, abs=1e-9)


def test_a_heddle_the_cloth_does_not_fit_is_said_in_a_sentence() -> None:
    """44 cm finished takes more than a loom of 54 cm at the closest heddle, or at any."""
    tight = changed(OPEN, loom__weaving_width="61 cm", want__width="45 cm")
    try:
        found = answer(tight)
    except ProblemsFound as no:
        assert "the loom weaves 61 cm" in str(no)  # noqa: PT017 - either way one sentence says it
        return
    refused = [note for note in found.notes if "cannot be woven" in note]
    assert len(found.heddles) + len(refused) == 3


def test_without_a_loom_it_is_woven_on_a_card_and_the_doubt_that_adds_is_said() -> None:
    found = answer(UNSAMPLED, loom=False)
    assert found.choice.sample.on == On.CARD
    assert any("common practice, no source" in note for note in found.notes)
    assert found.choice.narrows_width < answer(UNSAMPLED).choice.narrows_width


def test_with_a_loom_the_card_stands_beside() -> None:
    assert On.CARD in {one.sample.on for one in answer(UNSAMPLED).beside}


def test_a_heddle_that_is_not_owned_is_refused_with_those_that_are() -> None:
    with pytest.raises(ProblemsFound, match="“50/10 cm” is not among the heddles owned; write one of 30/10 cm"):
        answer(UNSAMPLED, heddles=("50/10 cm",))


def test_heddles_are_known_however_they_are_spaced() -> None:
    found = answer(OPEN, heddles=("40/10cm",))
    assert [one.heddle for one in found.choice.sample.sections] == ["40/10 cm"]


def test_afterwards_the_doubt_is_narrower_about_the_same_middle() -> None:
    found = answer(UNSAMPLED)
    for now, after in zip(vars(found.now).values(), vars(found.after).values(), strict=True):
        assert now.low < after.low < after.expected < after.high < now.high
        assert now.expected == after.expected


def test_a_sample_that_costs_more_than_it_saves_says_so() -> None:
    """Sampled once already: another takes away little, and the answer owns up to it."""
    notes = " ".join(answer(SLATE).notes)
    assert "already tells most" in notes
    assert "more yarn than the surer plan would save" in notes


def test_too_little_yarn_for_any_sample_is_said() -> None:
    little = changed(UNSAMPLED, yarn__0__balls=["1 g"], yarn__0__grist="310 m/100 g")
    assert any("not even yarn for this" in note for note in answer(little).notes)


def test_the_working_gives_the_printed_figures() -> None:
    found = answer(OPEN)
    values = {line.step: line.value for line in found.working}
    sample = found.choice.sample
    assert values["Warp length"] == sample.warp_cm
    assert values["Warp yarn"] == pytest.approx(sample.warp_m, abs=0.006)
    weft = sum(value for step, value in values.items() if step.startswith("Weft yarn"))
    assert weft == pytest.approx(sample.weft_m, abs=0.02)


def test_json_holds_plain_numbers_with_units_in_their_keys() -> None:
    data = answer(UNSAMPLED).as_json()
    assert {"warp_m", "weft_m", "warp_g", "weft_g", "minutes", "ends", "sections"} <= set(data["choice"]["sample"])
    assert {"settles", "narrows_width", "saves_m"} <= set(data["choice"])
    assert data["working"][0]["rung"] == "calculated"
