"""Each number of a plan says what it rests on, and how far each piece of evidence moved it."""

from __future__ import annotations

import math

import pytest
from planning.asking import changed
from planning.past_projects import SLATE, UNSAMPLED, past

from clothwright.evidence import EDGE, NO_HISTORY, WIDTH_STEPS, History
from clothwright.measure import Interval, Rung
from clothwright.planning import Behind, evidence_behind, job_of, plan, rests_on
from clothwright.planning.forecast import WASTE, measured_belief
from clothwright.project import read_project
from clothwright.project.domain import making
from clothwright.project.record.past import history_of

WIDTH_CM = 49.3
THREE = ("2025-11-02", "2026-01-15", "2026-03-14")


def behind(tree: dict, history: History = NO_HISTORY) -> dict[str, Behind]:
    job = job_of(read_project(tree), {}, history)
    return {one.key: one for one in evidence_behind(job, WIDTH_CM)}


def spread(one: Interval) -> float:
    return math.log(one.high / one.low)


def test_a_figure_is_followed_from_the_rule_of_thumb_through_past_and_sample_to_what_the_plan_goes_by() -> None:
    history = history_of(past(*THREE))
    found = behind(SLATE, history)["width"]
    assert [stage.rung for stage in found.stages[:4]] == [Rung.RULE_OF_THUMB, *[Rung.PAST_PROJECTS] * 3]
    assert found.stages[-1].what == "first square"
    assert found.stages[-1].measurements == ("width in heddle 24 cm", "finished width 21.6 cm")
    spreads = [spread(stage.after) for stage in found.stages]
    assert spreads == sorted(spreads, reverse=True)


def test_the_last_line_is_what_the_plan_itself_believes() -> None:
    job = job_of(read_project(SLATE), {}, history_of(past(*THREE)))
    made, belief = making(job.project, job.yarns, job.heddle.per_cm), measured_belief(job)
    mean, sd = belief.expected({made.unknown(step): 1.0 for step in WIDTH_STEPS} | {EDGE: 1 / WIDTH_CM})
    last = evidence_behind(job, WIDTH_CM)[0].stages[-1].after
    assert math.log(last.expected) == pytest.approx(mean, abs=0.01 * sd)
    assert spread(last) == pytest.approx(2 * 1.6448536 * sd, rel=0.02)


def test_three_past_projects_with_the_same_yarn_and_loom_take_most_of_the_spread_of_the_width_away() -> None:
    """The figure asked for is 60 %. *Source*: our own aim; no outside figure."""
    stages = behind(UNSAMPLED, history_of(past(*THREE)))["width"].stages
    assert spread(stages[-1].after) < 0.4 * spread(stages[0].after)


def test_what_was_typed_is_a_line_of_its_own() -> None:
    found = behind(SLATE)["take-up"]
    typed = [stage for stage in found.stages if stage.what == "take-up of 3 % of warp as typed"]
    assert [stage.source for stage in typed] == ["typed"]
    assert typed[0].after.expected == pytest.approx(0.97, abs=0.012)


def test_waste_follows_the_warps_seen_and_the_figure_typed() -> None:
    stages = behind(SLATE, history_of(past(*THREE)))[WASTE].stages
    assert [stage.rung for stage in stages] == [Rung.RULE_OF_THUMB, *[Rung.PAST_PROJECTS] * 3, Rung.SAMPLED]
    assert 55 < stages[-1].after.expected < 61
    answer = plan(read_project(SLATE), history=history_of(past(*THREE)))
    line = next(line for line in answer.working if line.step == "Loom waste")
    assert (line.rung, line.source) == (Rung.PAST_PROJECTS, "loom waste of 3 warps on this loom, and 55 cm as typed")
    assert line.value == pytest.approx(stages[-1].after.expected, rel=0.01)


def test_yarn_rests_on_its_own_weighings() -> None:
    (stage,) = behind(SLATE)["yarn slate tide"].stages
    assert stage.measurements[0] == "ball 1: 10 m weigh 3.1 g"
    assert stage.after.expected == pytest.approx(987, rel=0.01)


@pytest.mark.parametrize("grist", ["310 m/100 g", "8/2 Nm"])
def test_every_line_of_the_working_rests_on_figures_that_are_told(grist: str) -> None:
    """Weighed yarn or a folded count: no line is without its evidence."""
    project = read_project(changed(SLATE, yarn__0__grist=grist, yarn__0__balls=["300 g"]))
    answer = plan(project)
    told = {one.key for one in evidence_behind(job_of(project, {}), WIDTH_CM)}
    for line in answer.working:
        assert rests_on(line.step), line.step
        assert set(rests_on(line.step)) <= told


def test_the_rung_of_a_line_says_past_projects_where_they_sharpen_it() -> None:
    """A wool yarn's own past sharpens every ratio; past cloth of cotton on another loom leaves the rule of thumb."""
    known = plan(read_project(UNSAMPLED), history=history_of(past(*THREE)))
    lines = {line.step: line for line in known.working}
    assert lines["Finished ÷ heddle width"].rung == Rung.PAST_PROJECTS
    assert "Slate tide stole, finished 2026-03-14" in lines["Finished ÷ heddle width"].source
    assert not any(note.startswith("Provisional") for note in known.notes)
    assert lines["Picks per cm on the loom"].rung == Rung.PAST_PROJECTS


def test_beat_is_learned_from_the_picks_of_past_projects() -> None:
    """34 picks over 10 cm, three times: near 3.4 per cm, and surer than before."""
    before, after = (plan(read_project(UNSAMPLED), history=one) for one in (NO_HISTORY, history_of(past(*THREE))))
    was, now = before.weft.picks_per_cm_on_loom, after.weft.picks_per_cm_on_loom
    assert abs(now.expected - 3.4) < abs(was.expected - 3.4)
    assert spread(now) < 0.6 * spread(was)


def test_a_plan_by_hand_does_not_use_the_past() -> None:
    project = read_project(SLATE)
    assert plan(project, by_hand=True) == plan(project, by_hand=True, history=history_of(past(*THREE)))


def test_a_sample_set_aside_is_told_and_not_used() -> None:
    aside = plan(read_project(changed(SLATE, sample__0__set_aside="washed too hot")))
    without = plan(read_project(changed(SLATE, sample=None)))
    assert aside.cloth.finished_width_cm == without.cloth.finished_width_cm
    assert "first square is set aside and not used: washed too hot." in aside.notes


def test_a_record_set_aside_is_told_in_the_notes() -> None:
    records = past(*THREE)
    assert records[0].record is not None
    aside = records[0].model_copy(update={"record": records[0].record.model_copy(update={"set_aside": "felted"})})
    answer = plan(read_project(SLATE), history=history_of([aside, *records[1:]]))
    assert "Slate tide stole, finished 2025-11-02 is set aside and not used: felted." in answer.notes
    assert [stage.what[-10:] for stage in behind(SLATE, history_of([aside, *records[1:]]))["width"].stages[1:3]] == [
        "2026-01-15",
        "2026-03-14",
    ]
