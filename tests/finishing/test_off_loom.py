"""Sizes off the loom: the latest of each counts, two places that differ are asked about, and a missed mark is."""

from __future__ import annotations

from typing import Any

import pytest
from finishing.cloths import project

from clothwright.finishing import OffLoom, off_loom
from clothwright.project import read_project


def measured(change: Any = lambda tree: tree) -> OffLoom:
    return off_loom(project(change), drawings={})


def test_the_latest_of_each_size_counts_and_keeps_what_the_one_before_it_had() -> None:
    def more(tree: dict[str, Any]) -> None:
        tree["off_loom"].append({"state": "finished", "length": "186 cm"})

    finished = measured(more).of("finished")
    assert finished.widths_cm == (43.6, 44.4, 44.2)
    assert finished.length_cm == 186
    assert finished.least_width_cm == 43.6


def test_what_is_only_in_the_record_is_taken_from_there() -> None:
    record = {"width": {"finished": {"start": "43 cm", "end": "44 cm"}}, "length": {"finished": "190 cm"}}
    found = off_loom(read_project({"record": record}), drawings={}).of("finished")
    assert (found.widths_cm, found.length_cm, found.of_record) == ((43.0, 44.0), 190.0, True)


def test_the_cloth_cut_off_in_the_log_is_off_the_loom() -> None:
    log = [{"woven": "200 cm"}, {"off_loom": {"length": "190 cm", "width": "45 cm"}}]
    assert off_loom(read_project({"log": log}), drawings={}).of("off the loom").length_cm == 190


def test_a_record_that_says_otherwise_is_asked_about() -> None:
    def other(tree: dict[str, Any]) -> None:
        tree["record"] = {"length": {"finished": "185 cm"}, "width": {"finished": {"start": "43.6 cm"}}}

    (asked,) = measured(other).asked
    assert "185 cm" in asked
    assert "188 cm" in asked


def test_cloth_that_grew_while_it_rested_is_asked_about() -> None:
    assert (
        "Was one measured while it was stretched"
        in measured(lambda tree: tree["off_loom"][1].update(length="215 cm")).asked[0]
    )


def test_a_length_that_agrees_with_the_log_is_not_asked_about() -> None:
    """The sample was 24.0 on the loom and 22.9 off it: 214 × 22.9 / 24 = 204.2 cm, and 203 were measured."""
    assert measured().missed is None


@pytest.mark.parametrize(("length", "asked"), [("206 cm", False), ("213 cm", True), ("194 cm", True)])
def test_more_than_three_in_a_hundred_away_is_asked_about(length: str, asked: bool) -> None:
    """Worked by hand from the sample's release, 204.2 cm: 206 is 0.9 % off, 213 and 194 are 4.3 and 5.0 %."""
    found = measured(lambda tree: tree["off_loom"][1].update(length=length)).missed
    assert (found is not None) is asked


@pytest.mark.parametrize(("length", "more", "steps"), [("232 cm", True, 1), ("175 cm", False, 1), ("215 cm", True, 0)])
def test_a_whole_step_of_the_marks_is_told(length: str, more: bool, steps: int) -> None:
    """Worked by hand: a mark of 30 cm is 28.6 off the loom; 232 is 27.8 more than 204.2, 175 is 29.2 less, 215 is 10.8 more."""
    found = measured(lambda tree: tree["off_loom"][1].update(length=length)).missed
    assert found is not None
    assert (found.share > 0, found.steps) == (more, steps)


def test_the_release_believed_is_near_the_sample_and_its_range_holds_it() -> None:
    found = measured(lambda tree: tree["off_loom"][1].update(length="232 cm")).missed
    assert found is not None
    assert found.expected_cm.expected == pytest.approx(204.2, rel=0.02)
    assert found.expected_cm.low < 204.2 < found.expected_cm.high
    assert not found.likely


def test_the_finished_size_is_expected_from_what_is_off_the_loom() -> None:
    """By the sample alone: 203 × 21.2 / 22.9 = 187.9 cm long."""
    found = measured()
    assert found.expected_length_cm is not None
    assert found.expected_length_cm.low < 187.9 < found.expected_length_cm.high
    assert found.expected_length_cm.expected == pytest.approx(187.9, rel=0.02)


def test_without_a_plan_the_sizes_are_told_and_nothing_is_expected() -> None:
    found = off_loom(read_project({"off_loom": [{"length": "2 m"}], "log": [{"woven": "1 m"}]}), drawings={})
    assert found.of("off the loom").length_cm == 200
    assert found.missed is None
    assert found.expected_length_cm is None
