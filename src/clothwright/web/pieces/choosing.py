"""The page “What can be chosen”: width, heddle, joins, other cloth, one warp or two, each planned, best first."""

from __future__ import annotations

import json
from typing import Any, Final
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.models import Revision
from clothwright.planning import Choices, choose
from clothwright.project import ProblemsFound
from clothwright.sheets import choosing as words
from clothwright.web import evidence, planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.long_answers import LongAnswers
from clothwright.web.showing import is_imperial

_answers: Final = LongAnswers[Choices](64)


@require_safe
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """Every choice for a project's garment."""
    found = get_project(key)
    revision = store.head(found)
    return render(request, "clothwright/choosing.html", {"project": found} | _told(revision))


def _told(revision: Revision) -> dict[str, Any]:
    """The choices in words, or why there are none."""
    imperial = is_imperial(revision)
    try:
        answer = _answer(revision)
    except ProblemsFound as wrong:
        return {"told": Form(revision.tree, planned.problems_of(revision, wrong)).told}
    if isinstance(answer, int):
        return {"on_its_way": True, "before": answer}
    return {
        "front": [(words.given_up(one), words.takes(one, imperial=imperial)) for one in answer.front],
        "kinds": [
            (
                title,
                [
                    (words.how(one), words.takes(one, imperial=imperial), words.warps(one, imperial=imperial))
                    for one in choices
                ],
            )
            for title, choices in words.by_kind(answer)
        ],
        "notes": words.notes(answer),
    }


def _answer(revision: Revision) -> Choices | int:
    """The choices, kept by all that they depend on, or how many answers of others come before them: they take seconds to plan."""
    said = json.dumps([revision.tree, revision.drawings], sort_keys=True)
    key = (said, evidence.beside(revision.project).key)
    if (known := _answers.get(key)) is not None:
        return known
    if settings.STUDIO:
        return _answers.ask(key, choices_of, revision.pk)
    return _answers.put(key, choices_of(revision.pk))


def choices_of(number: int) -> Choices:
    """Every choice of a revision, by its number in the library."""
    revision = Revision.objects.select_related("project").get(pk=number)
    history = planned.history(revision)
    return choose(planned.document(revision), drawings=store.drawings_of(revision), history=history)
