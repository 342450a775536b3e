"""The plan beside what came of it: each figure of the record with what was planned, in the units chosen."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from clothwright.library.models import Revision
from clothwright.planning.record_beside import beside
from clothwright.project import ProblemsFound
from clothwright.sheets.record_words import beside_row
from clothwright.web import planned
from clothwright.web.planned import Answer
from clothwright.web.showing import is_imperial
from clothwright.web.typed import at


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
    try:
        document = planned.document(revision)
    except ProblemsFound:
        return ()
    if answer.plan is None or document.record is None:
        return ()
    rows = (beside_row(one, imperial=is_imperial(revision)) for one in beside(answer.plan, document))
    return tuple(Came(*row) for row in rows)
