"""Setts side by side: what each leads to agrees with itself, with the plan and with the sums on paper."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.cloth import (
    Thickness,
    firmness_bands,
    grams_per_m2,
    read_heddle,
    read_heddles,
    structure,
    structures,
    usual_heddles,
)
from clothwright.evidence import Making, SampleMeasured
from clothwright.measure import Interval
from clothwright.planning import (
    SettQuestion,
    compare_setts,
    sett_candidates,
    sett_question,
    what_a_sett_leads_to,
)
from clothwright.planning.ways_out import second_yarn
from clothwright.project import ProblemsFound, read_project
from clothwright.project.domain import yarns

WRAPS = 15 / 2.54
SLATE = Thickness(WRAPS, WRAPS, WRAPS / 0.7, WRAPS / 0.7)
QUESTION = SettQuestion(
    structure=structure("plain"),
    thickness=SLATE,
    heddles=read_heddles(["30/10 cm, 40/10 cm"]),
    fibre="wool",
    warp_tex=200.0,
    weft_tex=200.0,
)

wraps = st.floats(2, 20)
thicknesses = st.builds(lambda warp, weft: Thickness(warp, weft, warp / 0.7, weft / 0.7), wraps, wraps)
questions = st.builds(
    SettQuestion,
    structure=st.sampled_from(structures()),
    thickness=thicknesses,
    heddles=st.lists(
        st.sampled_from(["20/10 cm", "7.5/in", "10/in reed", "30/10 cm for 20 cm + 40/10 cm for 10 cm"]),
        min_size=1,
        unique=True,
    ).map(read_heddles),
    fibre=st.sampled_from(["wool", "cotton", "silk", ""]),
    finish=st.sampled_from(["", "hand wash", "machine, fulled"]),
    warp_tex=st.floats(10, 800),
    weft_tex=st.floats(10, 800),
    wanted=st.sampled_from([None, *firmness_bands()[:-1]]),
    finished_width_cm=st.none() | st.floats(5, 90),
    loom_cm=st.none() | st.floats(15, 120),
    width_ratio=st.none() | st.floats(0.7, 0.98),
    pattern_ends=st.none() | st.integers(1, 500),
)


def leads(question: SettQuestion, heddle: str = "30/10 cm") -> object:
    """What that heddle leads to, sleyed as usual."""
    return next(led for one, led in compare_setts(question).candidates if one.heddle == heddle and one.usual)


@settings(max_examples=60)
@given(questions)
def test_whatever_is_asked_the_answer_agrees_with_itself(question: SettQuestion) -> None:
    """Intervals lie in order; ends fit what they are said to fit; the answer is JSON without a figure missing."""
    answer = compare_setts(question)
    assert {one.heddle for one, _ in answer.candidates} == {one.printed for one in question.heddles}
    for one, led in answer.candidates:
        for value in vars(led).values():
            if isinstance(value, Interval):
                assert value.low <= value.expected <= value.high
                assert all(map(math.isfinite, (value.low, value.expected, value.high)))
        assert led.width_in_heddle_cm * one.ends_per_cm == pytest.approx(led.ends)
        if led.fits and not one.sections:
            assert led.ends == led.ends_needed
        if question.loom_cm and not one.sections:
            assert led.width_in_heddle_cm <= max(question.loom_cm, 1 / one.ends_per_cm) + 1e-9
        assert led.narrower_by_cm == 0 or not led.fits
    assert json.loads(json.dumps(answer.as_json()))["candidates"]
    assert set(answer.sample) <= {one for one, _ in answer.candidates}


@settings(max_examples=40)
@given(questions)
def test_mass_by_lengths_is_mass_by_threads(question: SettQuestion) -> None:
    """From the metres that go into it and from its finished threads and their crimp, cloth weighs the same in each draw.

    Σ n·tex·(1 + c)/10 with n and c of the finished cloth, as in GATE textile papers 2009 TF-37 and 2017 TF-43.
    """
    for one, led in compare_setts(question).candidates:
        width = led.finished_width_cm.expected
        warp_crimp = led.warp_m_per_m.expected / led.ends - 1
        weft_per_pick_m = led.weft_m_per_m.expected / (100 * led.picks_per_cm_finished.expected)
        mass = grams_per_m2(
            ends_per_cm=led.ends / width,
            picks_per_cm=led.picks_per_cm_finished.expected,
            warp_tex=question.warp_tex,
            weft_tex=question.weft_tex,
            warp_crimp=warp_crimp,
            weft_crimp=100 * weft_per_pick_m / width - 1,
        )
        assert led.g_per_m2.expected == pytest.approx(mass, rel=0.03), one


@given(questions, st.floats(1.2, 3))
def test_more_width_takes_more_ends_and_more_yarn(question: SettQuestion, times: float) -> None:
    """For each heddle, where it fits."""
    narrow = replace(question, finished_width_cm=20.0, loom_cm=None)
    one = compare_setts(narrow).candidates[0][0]
    if one.sections:
        return
    less = what_a_sett_leads_to(one, narrow)
    more = what_a_sett_leads_to(one, replace(narrow, finished_width_cm=20.0 * times))
    assert more.ends >= less.ends
    assert more.warp_m_per_m.expected >= less.warp_m_per_m.expected
    assert more.weft_m_per_m.expected >= less.weft_m_per_m.expected


def test_a_closer_heddle_takes_more_yarn_and_makes_heavier_firmer_cloth() -> None:
    """40/10 against 30/10 for the same yarn and width."""
    opener, closer = leads(QUESTION, "30/10 cm"), leads(QUESTION, "40/10 cm")
    assert closer.warp_m_per_m.expected > opener.warp_m_per_m.expected
    assert closer.weft_m_per_m.expected > opener.weft_m_per_m.expected
    assert closer.g_per_m2.expected > opener.g_per_m2.expected
    assert closer.width_lost.expected < opener.width_lost.expected
    assert opener.hand != closer.hand


def test_finished_cloth_covers_more_than_in_the_heddle_and_is_two_threads_thick() -> None:
    """It has drawn together; a square cloth of one yarn is two diameters thick (F. T. Peirce, 1937)."""
    answer = compare_setts(QUESTION)
    for one, led in answer.candidates:
        assert led.cover > one.cover * 0.95
        assert led.thickness_mm == pytest.approx(2 * 10 / SLATE.warp_touching)
    opener, closer = leads(QUESTION, "30/10 cm"), leads(QUESTION, "40/10 cm")
    assert closer.cover > opener.cover


def test_without_the_yarns_number_there_is_no_mass() -> None:
    """Wraps do not tell a weight."""
    led = leads(replace(QUESTION, warp_tex=None))
    assert led.g_per_m2 is None
    assert led.weight is None
    assert led.warp_m_per_m.expected > 0


def test_the_lines_of_working_are_re_added() -> None:
    """The printed sum of every line gives its value, to the last figure shown."""
    for line in compare_setts(replace(QUESTION, finished_width_cm=44.0)).working:
        said = line.sum.split(",")[0]
        for word in ("cm", "ends", "woven of warp", "finished of woven", "picks per", "per", "tex", "m ", "in 30/10"):
            said = said.replace(word, " ")
        value = eval(said.split(" in ")[0].replace("÷", "/").replace("×", "*"))  # a sum we wrote ourselves
        steps = 2 if line.step == "Ends" else 0
        assert line.value - steps <= value + 0.06 + 0.005 * abs(value), line
        assert line.value + 0.06 + 0.005 * abs(value) >= value, line


def test_a_pattern_of_160_ends_does_not_fit_and_150_do() -> None:
    """160 ends at 8 to the inch, 18 in finished of 20 in the heddle, on a 30/10 heddle and a 50 cm loom. By arithmetic.

    160 ends are 53.3 cm; 150 are 50.0 cm and finish about 45.0 cm (17.7 in), 0.7 cm narrow. 30/10 is 7.62, never 8.
    """
    question = replace(
        QUESTION,
        heddles=(read_heddle("30/10 cm"),),
        finished_width_cm=18 * 2.54,
        width_ratio=18 / 20,
        loom_cm=50.0,
        pattern_ends=160,
    )
    answer = compare_setts(question)
    one, led = answer.candidates[0]
    assert led.pattern_width_in_heddle_cm == pytest.approx(53.33, abs=0.01)
    assert not led.fits
    assert (led.ends, led.width_in_heddle_cm) == (150, pytest.approx(50.0))
    assert led.finished_width_cm.expected == pytest.approx(45.0, abs=0.1)
    assert led.narrower_by_cm == pytest.approx(0.72, abs=0.01)
    assert one.ends_per_inch == pytest.approx(7.62)
    for said in (
        "160 ends would be 53.3 cm",
        "does not fit the 50 cm",
        "150 ends do: 50.0 cm",
        "45.0 cm (17.7 in)",
        "0.7 cm narrow",
    ):
        assert said in led.says
    assert "8 per inch" not in json.dumps(answer.as_json())
    assert "7.62 per inch" in " ".join(answer.advice)


def test_a_pattern_that_fits_says_so() -> None:
    """140 ends are 46.7 cm on 30/10."""
    led = leads(replace(QUESTION, pattern_ends=140, loom_cm=50.0))
    assert "140 ends would be 46.7 cm in this heddle, which fits the 50 cm" in led.says


def test_a_heddle_of_sections_is_used_whole() -> None:
    """60 ends on 20 cm and 40 on 10; what it finishes at, and whether that is wide enough."""
    heddle = "30/10 cm for 20 cm + 40/10 cm for 10 cm"
    question = replace(QUESTION, heddles=(read_heddle(heddle),), finished_width_cm=40.0)
    led = leads(question, heddle)
    assert led.ends == 100
    assert led.width_in_heddle_cm == pytest.approx(30.0)
    assert not led.fits
    assert "does not fit" in led.says
    assert led.narrower_by_cm > 10
    assert leads(replace(question, finished_width_cm=20.0), heddle).fits


def test_a_measured_sample_narrows_what_a_sett_leads_to() -> None:
    """A sample of the same cloth, 24 cm in the heddle and 21.6 finished, moves the width towards nine tenths."""
    made = Making("sample 1", "warp", "weft", "wool", "", "plain", 3.0, SLATE.advised(structure("plain")), 1.2, 1.2)
    sample = SampleMeasured(made, width_in_heddle=24.0, width_finished=21.6, name="square")
    before, after = leads(QUESTION), leads(replace(QUESTION, known=(sample,)))
    width = 1 - after.width_lost.expected
    assert abs(width - 0.9) < abs(1 - before.width_lost.expected - 0.9)
    assert after.width_lost.high - after.width_lost.low < before.width_lost.high - before.width_lost.low


def test_a_known_ratio_is_the_middle_and_good_to_two_in_a_hundred() -> None:
    """18 in of 20: nine tenths, 3.3 % to either side nine times in ten."""
    led = leads(replace(QUESTION, width_ratio=0.9))
    assert led.width_lost.expected == pytest.approx(0.1, abs=0.002)
    assert led.width_lost.high - led.width_lost.low == pytest.approx(2 * 1.645 * 0.02 * 0.9, rel=0.1)


def test_light_cotton_is_a_question_and_wool_is_none() -> None:
    """Fine cotton in an open sett weighs under 88 g/m²: ask. The same in wool is not asked about."""
    fine = Thickness(*(2 * (50 / 2.54,)), *(2 * (50 / 2.54 / 0.7,)))
    question = replace(QUESTION, thickness=fine, warp_tex=15.0, weft_tex=15.0, heddles=(read_heddle("60/10 cm"),))
    cotton = compare_setts(replace(question, fibre="cotton"))
    assert cotton.cautions
    assert "Ask" in cotton.cautions[0]
    assert not compare_setts(question).cautions


def test_a_firmness_wanted_moves_the_sett_and_says_so() -> None:
    """Gauze is set opener than upholstery, and the working names the band."""
    gauze, firm = (
        compare_setts(replace(QUESTION, wanted=band)) for band in (firmness_bands()[0], firmness_bands()[-2])
    )
    assert gauze.advised_per_cm < firm.advised_per_cm
    assert any("gauze" in line.source for line in gauze.working)


PROJECT = {
    "clothwright": 1,
    "yarn": [{"name": "slate", "fibre": "wool", "wraps": "15/in", "grist": "310 m/100 g", "balls": ["100 g"]}],
    "loom": {"heddles": ["40/10 cm", "30/10 cm", "7.5/in"], "weaving_width": "60 cm"},
    "want": {"width": "44 cm", "length": "230 cm"},
    "sample": [{"heddle": "30/10 cm", "width": {"in_heddle": "24 cm", "finished": "21.6 cm"}}],
}


def test_a_project_is_compared_as_it_is_planned() -> None:
    """The heddles owned stand in the order the plan chooses them by, with the same shares and words."""
    project = read_project(PROJECT)
    answer = compare_setts(sett_question(project, yarns(project)))
    planned = sett_candidates(project, yarns(project))
    side_by_side = [one for one, _ in answer.candidates if one.usual]
    assert [one.heddle for one in side_by_side] == [heddle.name for heddle, _ in planned]
    for one, (_, other) in zip(side_by_side, planned, strict=True):
        assert one.share_of_closest == pytest.approx(other.share_of_closest)
        assert one.firmness == other.firmness
    assert {led.for_width_cm for _, led in answer.candidates} == {44.0}
    assert all(led.g_per_m2 for _, led in answer.candidates)


def test_without_heddles_those_commonly_sold_are_compared() -> None:
    """A project may not have said its heddles yet; a question without any is a mistake of the caller."""
    project = read_project(PROJECT | {"loom": {}})
    answer = compare_setts(sett_question(project, yarns(project)))
    assert {one.heddle for one, _ in answer.candidates} == set(usual_heddles())
    with pytest.raises(ValueError, match="no heddle"):
        compare_setts(replace(QUESTION, heddles=()))


def test_how_wraps_were_taken_is_kept_in_the_project_and_shown() -> None:
    """Stored as typed, refused when it says nothing of counting."""
    yarn = PROJECT["yarn"][0] | {"wraps_taken": "over 5 cm, just touching"}
    project = read_project(PROJECT | {"yarn": [yarn]})
    answer = compare_setts(sett_question(project, yarns(project)))
    assert project.yarn[0].wraps_taken == "over 5 cm, just touching"
    assert any("5.81 to 6.01" in line.sum for line in answer.working)
    with pytest.raises(ProblemsFound, match="how the wraps were counted"):
        read_project(PROJECT | {"yarn": [yarn | {"wraps_taken": "by moonlight"}]})


def test_no_second_yarn_is_offered_where_there_may_be_no_weft() -> None:
    """A warp shorter than its waste takes no weft in some of the drawn cloths."""
    assert second_yarn(np.full(100, -5.0), np.zeros(100), 0.95) is None
    assert second_yarn(np.full(100, -5.0), np.full(100, 50.0), 0.95).change.startswith("10%")


def test_every_name_of_the_room_is_what_its_file_holds() -> None:
    """Names are imported when asked for; none is lost or stands for a file."""
    import clothwright.planning as room

    for name in room.__all__:
        assert callable(getattr(room, name)), name
    with pytest.raises(AttributeError, match="has no nothing"):
        room.nothing  # noqa: B018


def test_two_ways_to_one_sett_are_not_called_opener_and_closer() -> None:
    """Two ends in each place and two heddles both stand at 6 per cm from 30/10; they weave a half basket and plain."""
    fine = Thickness(*(2 * (9.16,)), *(2 * (13.09,)))
    answer = compare_setts(replace(QUESTION, thickness=fine, heddles=read_heddles(["30/10 cm"])))
    assert [one.order for one in answer.sample] == ["2", "1 in 2 heddles"]
    assert any("half basket, ends in pairs, and plain" in sentence for sentence in answer.advice)
    assert not any("opener" in sentence for sentence in answer.advice)
