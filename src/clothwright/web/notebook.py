"""What stands on a project's page: the form, the plan beside it, and what can be done."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web import planned, searching
from clothwright.web.answering import Shown, fragment_asked, show
from clothwright.web.forms.form import Form
from clothwright.web.forms.taking import to_take
from clothwright.web.measuring.sampled import to_keep
from clothwright.web.pieces.narrow import names_a_piece_too_wide
from clothwright.web.record.came import came, finished_on
from clothwright.web.showing import shown_plan


def page(
    request: HttpRequest, project: Project, *, notice: str = "", focus: str = "", whole: bool = False
) -> HttpResponse:
    """The page, or after a change of one field only what changes; a post without script goes back to the page."""
    back = reverse("project", args=[project.pk]) + ("?by_hand=1" if by_hand(request) else "")
    only_changed = fragment_asked(request) and not whole
    answered = planned.answer_soon if only_changed else planned.answer
    shown = Shown("project.html", "changed.html", back, partial(_context, request, project, answered))
    return show(request, shown, notice=notice, focus=focus, whole=whole)


def plan_pane(request: HttpRequest, project: Project) -> HttpResponse:
    """The plan alone, made anew; what is being typed is left as it is."""
    response = render(request, "clothwright/planned_anew.html", _context(request, project, planned.answer))
    response["HX-Retarget"] = "#plan"
    return response


def by_hand(request: HttpRequest) -> bool:
    """Whether the sums by hand are asked for."""
    asked = request.POST if request.method == "POST" else request.GET
    return asked.get("by_hand") == "1"


def _context(request: HttpRequest, project: Project, answered: Callable[..., planned.Answer]) -> dict[str, Any]:
    revision, hand = store.head(project), by_hand(request)
    answer = answered(revision, by_hand=hand)
    form = Form(revision.tree, answer.problems)
    return {
        "project": project,
        "here": reverse("project", args=[project.pk]),
        "revision": revision,
        "answer": answer,
        "shown": shown_plan(answer, revision),
        "form": form,
        "sentences": form.problems_by_key(),
        "by_hand": hand,
        "can_undo": store.can_undo(project),
        "can_redo": store.can_redo(project),
        **searching.shown(project, searching.latest(project)),
        "to_take": to_take(),
        "to_keep": to_keep(revision.tree),
        "came": came(answer, revision),
        "finished": finished_on(revision),
        "too_wide": names_a_piece_too_wide(answer.problems),
    }
