"""What a record taught is what the next plan then believes, and it is the record alone that did it."""

from __future__ import annotations

from typing import Any

import pytest
from planning.asking import changed
from planning.past_projects import UNSAMPLED, past, past_tree

from clothwright.planning import evidence_behind, job_of
from clothwright.planning.record.learnt import Learnt, Lesson, lesson
from clothwright.project import read_project
from clothwright.project.record.past import history_of


def taught(tree: dict[str, Any], **how: Any) -> dict[str, Learnt]:
    return {one.key: one for one in lesson(read_project(tree), **how).figures}


def test_every_figure_measured_is_narrower_with_the_record_and_nearer_to_what_came() -> None:
    found = taught(past_tree("2026-03-14"))
    assert {"width", "length", "take-up", "picks", "pick-length", "waste"} <= found.keys()
    for one in found.values():
        assert one.narrower > 0, one.name
        assert one.came is not None
        assert abs(one.after.expected - one.came) <= abs(one.before.expected - one.came) + 1e-9, one.name


def test_what_came_is_the_ratio_a_hand_would_reckon() -> None:
    """43.4 ÷ (148 ÷ 3.0) = 0.880; 244 ÷ 279 = 0.875; 279 ÷ (346 − 61) = 0.979; 34 ÷ 10 = 3.4; 480 ÷ (948.6 × 0.493) = 1.026."""
    came = {key: one.came for key, one in taught(past_tree("2026-03-14")).items()}
    expected = {"width": 0.880, "length": 0.8746, "take-up": 0.9789, "picks": 3.4, "pick-length": 1.0257, "waste": 61}
    assert came == {key: pytest.approx(value, abs=0.001) for key, value in expected.items()}


def test_it_flows_into_the_next_plan_without_being_typed_again() -> None:
    """What the record's page says is believed with it is what a new project planned from it believes."""
    project = read_project(past_tree("2026-03-14"))
    new = read_project(changed(UNSAMPLED, name="Another stole"))
    behind = {one.key: one for one in evidence_behind(job_of(new, {}, history_of([project], new)), 148 / 3.0)}
    for key, one in taught(past_tree("2026-03-14")).items():
        assert behind[key].stages[-1].after.expected == pytest.approx(one.after.expected), key
        assert behind[key].stages[-1].after.high == pytest.approx(one.after.high), key


def test_a_second_record_teaches_less_than_the_first() -> None:
    alone = taught(past_tree("2026-03-14"))
    project = read_project(past_tree("2026-03-14"))
    beside = taught(past_tree("2026-03-14"), history=history_of(past("2025-02-01", "2025-06-01"), project))
    assert all(beside[key].narrower < alone[key].narrower for key in ("width", "length", "picks"))


@pytest.mark.parametrize(
    ("record", "words"),
    [
        ({"date": ""}, "no day yet"),
        ({"set_aside": "felted by mistake"}, "felted by mistake"),
        ({"width": {}, "length": {}, "picks": None, "waste": None, "weft_used": None}, "too little"),
    ],
)
def test_a_record_that_tells_nothing_says_why(record: dict[str, Any], words: str) -> None:
    tree = past_tree("2026-03-14")
    tree["record"] = {key: value for key, value in (tree["record"] | record).items() if value is not None}
    found = lesson(read_project(tree))
    assert not found.figures
    assert words in found.idle


def test_without_a_record_there_is_no_lesson() -> None:
    assert lesson(read_project(UNSAMPLED)) == Lesson(idle="there is no record yet")
