"""The plan beside what came of it: each figure of the record with what was planned, in the units chosen."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from functools import partial
from typing import Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.planning import Plan
from clothwright.planning.record.record_beside import Beside, beside
from clothwright.project import ProblemsFound
from clothwright.sheets.record.record_words import beside_row
from clothwright.web import planned
from clothwright.web.forms.typed import at
from clothwright.web.latest import Latest
from clothwright.web.planned import Answer
from clothwright.web.showing import is_imperial


@dataclass(frozen=True)
class Came:
    """One figure in words: what was planned, what came, how far that differs, and whether the forecast held."""

    what: str
    planned: str
    came: str
    difference: str
    word: str


def finished_on(revision: Revision) -> str:
    """The day a project was finished, in words; empty where it is not."""
    typed = at(revision.tree, ("record", "date"))
    try:
        day = datetime.date.fromisoformat(str(typed or ""))
    except ValueError:
        return ""
    return f"{day.day} {day:%B %Y}"


def came(answer: Answer, revision: Revision) -> tuple[Came, ...]:
    """Every figure of the record beside the plan's; none while there is no plan or the record cannot be read."""
    rows = (beside_row(one, imperial=is_imperial(revision)) for one in beside_revision(answer, revision))
    return tuple(Came(*row) for row in rows)


_beside: Final = Latest[tuple[Beside, ...]](64)


def beside_revision(answer: Answer, revision: Revision) -> tuple[Beside, ...]:
    """A revision's record beside its plan, kept by all that it depends on; none where either is not there."""
    if answer.plan is None or answer.problems or not revision.tree.get("record"):
        return ()
    key = (revision.pk, *planned.rests_on(revision))
    return _beside.made(key, partial(_made, answer.plan, revision))


def _made(plan: Plan, revision: Revision) -> tuple[Beside, ...]:
    try:
        document = planned.document(revision)
        return beside(document, plan, drawings=store.drawings_of(revision), history=planned.history(revision))
    except ProblemsFound:
        return ()
