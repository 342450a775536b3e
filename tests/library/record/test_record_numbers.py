"""Every garment has a number of its own for good, whatever is undone, opened again or brought in."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.record import record_numbers
from clothwright.library.record.record_notes import add_later
from clothwright.library.record.record_numbers import give_number, of_number, take_in, words
from clothwright.project import ProblemsFound

pytestmark = pytest.mark.django_db
DAY = datetime.date(2027, 1, 9)


def garment(**record: Any) -> Project:
    return store.new_project({"name": "Kelp waistcoat", "record": record}, "started")


def number(project: Project) -> str:
    return words(give_number(project, DAY))


def test_numbers_run_on_within_the_year_a_garment_was_finished() -> None:
    days = ("2026-03-14", "2026-03-15", "2025-12-31", "2026-03-16")
    assert [number(garment(date=day)) for day in days] == ["2026-001", "2026-002", "2025-001", "2026-003"]


def test_without_a_day_the_year_is_today_s() -> None:
    assert number(garment()) == "2027-001"


def test_a_number_is_written_into_the_record_and_asked_for_again_stays_the_same() -> None:
    one = garment(date="2026-03-14")
    assert [number(one), number(one)] == ["2026-001", "2026-001"]
    assert store.head(one).tree["record"]["number"] == "2026-001"


def test_finishing_and_numbering_are_one_change() -> None:
    one = garment()
    tree = {"name": "Kelp waistcoat", "record": {"date": "2026-03-14"}}
    record_numbers.with_number(one, tree, DAY)
    store.change(one, tree, "finished")
    assert store.head(one).tree["record"] == {"date": "2026-03-14", "number": "2026-001"}
    assert store.head(one).number == 2


def test_undone_it_is_still_taken_and_still_its_own() -> None:
    one = garment(date="2026-03-14")
    number(one)
    store.undo(one)
    assert "number" not in store.head(one).tree["record"]
    assert number(garment(date="2026-03-14")) == "2026-002"
    assert number(store.project(one.pk)) == "2026-001"


def test_a_file_keeps_its_number_where_it_is_free_and_gets_another_where_it_is_not() -> None:
    first, copy = garment(date="2026-03-14", number="2026-040"), garment(date="2026-03-14", number="2026-040")
    assert number(first) == "2026-040"
    assert number(copy) == "2026-041"
    assert record_numbers.number_of(copy).before == "2026-040"  # type: ignore[union-attr]
    assert [one.project_id for one in of_number("2026-040")] == [first.pk, copy.pk]


def test_a_number_that_cannot_be_read_is_replaced_by_one_that_can() -> None:
    one = garment(date="2026-03-14", number="seven")
    assert number(one) == "2026-001"


def test_brought_in_a_taken_number_becomes_another_and_is_remembered() -> None:
    number(garment(date="2026-03-14"))
    other = garment(date="2026-03-20")
    found = take_in(other, "2026-001")
    assert found is not None
    assert (words(found), found.before) == ("2026-002", "2026-001")
    assert take_in(other, "2026-009") is None


@pytest.mark.parametrize("text", ["", "x", "2026", "2026-000", "../2026-001"])
def test_what_is_no_number_opens_nothing(text: str) -> None:
    with pytest.raises(ValueError, match="as 2026-007"):
        of_number(text)


def test_notes_are_only_ever_added_to() -> None:
    one = garment(date="2026-03-14")
    for says in ("pills", "no longer pills"):
        add_later(one, {"day": "2026-05-01", "about": "wear", "says": says})
    add_later(one, {"day": "2026-05-02", "about": "note", "says": "the first was lint", "corrects": "1"})
    said = [(entry["says"], entry.get("corrects")) for entry in store.head(one).tree["record"]["later"]]
    assert said == [("pills", None), ("no longer pills", None), ("the first was lint", 1)]


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"day": "May", "about": "wear", "says": "x"}, "write a day as year-month-day"),
        ({"day": "2026-05-01", "about": "wear", "says": "x", "corrects": "4"}, "there is none"),
        ({"day": "2026-05-01", "about": "liked it"}, "was it liked"),
    ],
)
def test_a_note_that_cannot_be_read_changes_nothing(entry: dict[str, Any], sentence: str) -> None:
    one = garment(date="2026-03-14")
    with pytest.raises(ProblemsFound, match=sentence):
        add_later(one, entry)
    assert "later" not in store.head(one).tree["record"]
