"""The record on paper says what was planned, what came and what is still to complete; blank, it has a box for each."""

from __future__ import annotations

import datetime

import pytest
from planning.asking import planned
from planning.past_projects import past_tree
from sheets.printed import reader, text_of

from clothwright.planning.record.record_beside import beside
from clothwright.project import read_project
from clothwright.sheets import record_words
from clothwright.sheets.record.record_sheet import record_pdf

DAY = datetime.date(2026, 3, 20)


def tree() -> dict[str, object]:
    found = past_tree("2026-03-14")
    found["record"] |= {
        "number": "2026-007",
        "left": [{"yarn": "slate tide", "weight": "12 g"}],
        "remnant": [{"name": "end piece", "width": "20 cm", "length": "31 cm"}],
        "later": [
            {"day": "2026-05-01", "about": "wear", "says": "pills at the fold"},
            {"day": "2026-05-02", "about": "wear", "says": "it was lint", "corrects": 1},
        ],
    }
    return found


def test_it_says_plan_and_what_came_yarn_used_and_what_was_found_out() -> None:
    pdf = record_pdf(read_project(tree()), beside(read_project(tree()), planned(tree())), made_on=DAY)
    text = text_of(pdf)
    for words in (
        "number 2026-007",
        "Plan beside what came",
        "61 cm (24 in)",
        "312 g",
        "12 g",
        "end piece: 20 cm",
        "it was lint",
        "Still to complete",
        "what it weighs",
    ):
        assert words in text, words
    assert "pills at the fold" not in text


@pytest.mark.parametrize("large", [False, True])
def test_blank_it_has_every_stage(large: bool) -> None:
    text = text_of(record_pdf(None, made_on=DAY, large_print=large))
    for words in (
        "Number",
        "Yarn",
        "Warp",
        "On the loom",
        "Off the loom",
        "Finished",
        "Garment",
        "Later",
        "Waste cut off",
    ):
        assert words in text
    assert "None" not in text


def test_in_large_print_and_inches_it_is_whole() -> None:
    pdf = record_pdf(
        read_project(tree()),
        beside(read_project(tree()), planned(tree())),
        made_on=DAY,
        large_print=True,
        imperial=True,
    )
    assert len(reader(pdf).pages) >= 2
    assert "24 in (61 cm)" in text_of(pdf)


def test_a_rest_that_weighs_more_than_there_was_is_asked_about() -> None:
    found = tree()
    found["record"]["left"] = [{"yarn": "slate tide", "weight": "400 g"}]  # type: ignore[index]
    (line,) = record_words.used_lines(read_project(found))
    assert "was a core weighed with it?" in line
