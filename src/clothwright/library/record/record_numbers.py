"""The number of each garment's record: its year and a running number, given once and to no other ever.

Here is what counts; the number that stands in a project's tree is a copy, so that a file of it says it too. A project that
comes from a file, or from another library, keeps its number where it is free, and gets a new one where it is not.
"""

from __future__ import annotations

import copy
import datetime
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Final

from django.db import IntegrityError, transaction
from django.db.models import Max

from clothwright.library import store, whose
from clothwright.library.models import Project, RecordNumber
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.record_parts import number_parts, number_words

#: How often a number is asked for again that another got first.
_TRIES: Final = 100
#: An example's number stands so many years back, so that it takes none of hers.
_EXAMPLES_BACK: Final = 1000


def words(number: RecordNumber) -> str:
    """A number as it is written on a label."""
    return number_words(number.year, number.running)


def number_of(project: Project) -> RecordNumber | None:
    """The number of a project's record, if it has one."""
    return RecordNumber.objects.filter(project=project).first()


@transaction.atomic
def give_number(project: Project, today: datetime.date) -> RecordNumber:
    """The number of a project's record: the one it has, else the one its file names if that is free, else the next of its year.

    It is written into the record too. The year is that of the day it was finished, else of today.
    """
    store.lock(project)
    tree = copy.deepcopy(store.head(project).tree)
    number = with_number(project, tree, today)
    store.change(project, tree, f"record {words(number)}")
    return number


def with_number(project: Project, tree: dict[str, Any], today: datetime.date) -> RecordNumber:
    """The same, written into a tree that is still to be kept; nothing is written where its record is no table."""
    record = tree.setdefault("record", {})
    said = record if isinstance(record, dict) else {}
    number = number_of(project) or _made(project, said, today)
    said["number"] = words(number)
    return number


def _made(project: Project, said: Mapping[str, Any], today: datetime.date) -> RecordNumber:
    asked = None if whose.examples_now() else _asked(said.get("number"))
    year = _year(said.get("date"), today) - (_EXAMPLES_BACK if whose.examples_now() else 0)
    before = number_words(*asked) if asked else ""
    return _kept(project, asked, year, before)


def _kept(
    project: Project, asked: tuple[int, int] | None, year: int, before: str, kept_before: str = ""
) -> RecordNumber:
    """The number asked for where it is free, else the next of a year, which remembers what it was `before`.

    Two members may ask at once: the database takes one of each number, and who comes second asks again. So it does where the
    project got its number meanwhile, in another window.
    """
    for _ in range(_TRIES):
        free = asked is not None and not _taken(*asked)
        number = asked if asked is not None and free else (year, _next(year))
        with suppress(IntegrityError), transaction.atomic():
            return RecordNumber.objects.create(
                project=project, year=number[0], running=number[1], before=kept_before if free else before
            )
        if (meanwhile := number_of(project)) is not None:
            return meanwhile
    raise ProblemsFound(Problem((), "many records were given numbers at this moment; try again, nothing was changed"))


def _asked(typed: object) -> tuple[int, int] | None:
    try:
        return number_parts(str(typed or ""))
    except ValueError:
        return None


def _taken(year: int, running: int) -> bool:
    return RecordNumber.every.filter(year=year, running=running).exists()


def _year(day: object, today: datetime.date) -> int:
    try:
        return datetime.date.fromisoformat(str(day or "")).year
    except ValueError:
        return today.year


def _next(year: int) -> int:
    """One more than the highest of a year: numbers are never given again, and none is ever taken away."""
    highest = RecordNumber.every.filter(year=year).aggregate(Max("running"))["running__max"]
    return (highest or 0) + 1


@transaction.atomic
def take_in(project: Project, number: str, before: str = "") -> RecordNumber | None:
    """Give a project brought in the number it had in its library; a new one where that is another's here."""
    asked = _asked(number)
    if asked is None or number_of(project) is not None:
        return None
    return _kept(project, asked, asked[0], number_words(*asked), kept_before=before)


def of_number(text: str) -> list[RecordNumber]:
    """The record of a number, then those that had it in another library; ValueError where the text is no number."""
    year, running = number_parts(text)
    here = RecordNumber.objects.select_related("project").filter(year=year, running=running)
    elsewhere = RecordNumber.objects.select_related("project").filter(before=number_words(year, running))
    return [*here, *elsewhere]


def every_number() -> dict[Any, RecordNumber]:
    """The numbers of all records by the key of their project."""
    return {one.project_id: one for one in RecordNumber.objects.all()}
