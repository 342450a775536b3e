"""What a record tells, in words for its page: plan beside actual, forecasts against what came, what was learnt, yarn used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any, Final

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.planning.record.learnt import Lesson, lesson
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.project.record.past import record_gaps
from clothwright.project.record.record_stages import still_wanting
from clothwright.sheets import at_loom, record_words
from clothwright.web import planned
from clothwright.web.latest import Latest
from clothwright.web.loom.loom_told import looked_back_rows
from clothwright.web.record.came import beside_revision
from clothwright.web.showing import is_imperial


@dataclass(frozen=True)
class Told:
    """A record told: `problems` where it, or the project around it, cannot be read."""

    problems: tuple[Problem, ...] = ()
    wanting: str = ""
    gaps: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    held: str = ""
    said: tuple[tuple[str, ...], ...] = ()
    learnt: tuple[tuple[str, ...], ...] = ()
    not_learnt: str = ""
    used: tuple[str, ...] = ()
    first_plan: str = ""
    remnants: tuple[str, ...] = ()
    #: Why there is no plan beside it, in sentences.
    unplanned: tuple[str, ...] = ()


_told: Final = Latest[Told](64)


def told(revision: Revision) -> Told:
    """A record told, kept by all that it depends on."""
    return _told.made((revision.pk, *planned.rests_on(revision)), partial(_made, revision))


def _made(revision: Revision) -> Told:
    try:
        document = planned.document(revision)
    except ProblemsFound as wrong:
        return Told(planned.problems_of(revision, wrong))
    imperial, answer = is_imperial(revision), planned.answer(revision)
    lines = beside_revision(answer, revision)
    taught, why = _learnt(revision, document)
    return Told(
        wanting=record_words.wanting_sentence(still_wanting(document)),
        gaps=record_gaps(document),
        rows=tuple(record_words.beside_row(one, imperial=imperial) for one in lines),
        held=record_words.held_sentence(lines),
        said=tuple(looked_back_rows(revision)),
        learnt=tuple(record_words.learnt_row(one, imperial=imperial) for one in taught.figures),
        not_learnt=why or taught.idle,
        used=tuple(record_words.used_lines(document, imperial=imperial)),
        first_plan=record_words.first_plan_sentence(document),
        unplanned=tuple(map(str, answer.problems)),
        remnants=tuple(record_words.remnant_lines(document, imperial=imperial)),
    )


def _learnt(revision: Revision, document: Document) -> tuple[Lesson, str]:
    """What it taught, or why that cannot be told."""
    try:
        return lesson(document, drawings=store.drawings_of(revision), history=planned.history(revision)), ""
    except ProblemsFound:
        return Lesson(), "the project cannot be planned as it stands, so what it taught cannot be told"


def context(revision: Revision) -> dict[str, Any]:
    """What the page needs to tell it."""
    return {
        "told": told(revision),
        "beside_head": record_words.BESIDE_HEAD,
        "learnt_head": record_words.LEARNT_HEAD,
        "said_head": at_loom.LOOKED_BACK_HEAD,
    }
