"""What comes with a garment and after it: numbers, remnants, and notes that are only ever added to."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.parts.record_parts import liked, number_parts, number_words, that_count
from clothwright.project.record.past import history_of, seen_of

STOLE: dict[str, Any] = {
    "name": "Sandbar stole",
    "yarn": [{"name": "sandbar", "fibre": "wool", "grist": "310 m/100 g", "balls": ["200 g"]}],
    "loom": {"heddles": ["30/10 cm"]},
    "record": {
        "date": "2026-03-14",
        "ends": 90,
        "warp_wound": "260 cm",
        "waste": "60 cm",
        "width": {"finished": "27 cm"},
        "length": {"on_loom": "195 cm", "finished": "170 cm"},
    },
}


def stole(**record: Any) -> Project:
    tree = deepcopy(STOLE)
    tree["record"] |= record
    return read_project(tree)


def refusal(**record: Any) -> str:
    with pytest.raises(ProblemsFound) as found:
        stole(**record)
    return str(found.value)


def later(*entries: dict[str, Any]) -> Any:
    record = stole(later=list(entries)).record
    assert record is not None
    return record.later


@pytest.mark.parametrize("text", ["2026-7", "7", "2026/007", "2026-000", "26-007", "2026-007b"])
def test_what_is_no_number_of_a_record_is_refused_with_one_that_is(text: str) -> None:
    assert "as 2026-007" in refusal(number=text)


def test_a_number_is_its_year_and_what_runs_on_within_it() -> None:
    assert number_parts("2026-007") == (2026, 7)
    assert number_words(2026, 1234) == "2026-1234"


def test_the_latest_verdict_counts_and_one_that_was_corrected_does_not() -> None:
    first = {"day": "2026-05-01", "about": "liked it", "liked": "yes"}
    second = {"day": "2026-06-01", "about": "liked it", "liked": "no", "says": "it itches"}
    assert liked(later(first, second)) == "no"
    back = {"day": "2026-06-02", "about": "note", "corrects": 2, "says": "it was the label that itched"}
    assert liked(later(first, second, back)) == "yes"
    assert [number for number, _ in that_count(later(first, second, back))] == [1, 3]


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"about": "wear", "says": "pills"}, "Field required"),
        ({"day": "", "about": "wear", "says": "pills"}, "on which day"),
        ({"day": "2026-05-01", "about": "wear"}, "what about “wear”"),
        ({"day": "2026-05-01", "about": "liked it", "says": "yes"}, "was it liked"),
        ({"day": "2026-05-01", "about": "wash", "liked": "yes"}, "goes with about"),
        ({"day": "2026-05-01", "about": "note", "says": "x", "corrects": 1}, "does not come before it"),
    ],
)
def test_a_note_that_tells_nothing_is_a_question(entry: dict[str, Any], words: str) -> None:
    said = refusal(later=[entry])
    assert words in said or ("needed" in said and words == "Field required")


def test_a_remnant_has_a_size_or_an_outline() -> None:
    assert "how large is end piece" in refusal(remnant=[{"name": "end piece", "width": "20 cm"}])
    crossed = [["0 cm", "0 cm"], ["10 cm", "10 cm"], ["10 cm", "0 cm"], ["0 cm", "10 cm"]]
    assert "cross over" in refusal(remnant=[{"name": "end piece", "outline": crossed}])
    assert stole(remnant=[{"name": "end piece", "width": "20 cm", "length": "31 cm"}]).record


def test_photos_notes_and_numbers_leave_what_was_measured_the_same_evidence() -> None:
    """A copy of a project that was given a number and worn since is the same cloth, and counts once."""
    plain = stole()
    worn = stole(
        number="2026-001",
        photo=[{"file": "front.jpg", "shows": "the stole"}],
        later=[{"day": "2026-05-01", "about": "wear", "says": "as new"}],
        garment={"fit": "as meant"},
        remnant=[{"name": "end piece", "width": "20 cm", "length": "31 cm"}],
    )
    assert seen_of(plain, "a").pieces[-1].same == seen_of(worn, "b").pieces[-1].same
    assert len(history_of([plain, worn]).cloths) == len(history_of([plain]).cloths) == 1
    assert len(history_of([plain, worn]).wastes) == 1
