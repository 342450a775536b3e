"""What stands on a project's page: the form, the plan beside it, and what can be done."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.shelves import on_hand
from clothwright.web import planned, searching
from clothwright.web.answering import Shown, fragment_asked, show
from clothwright.web.forms.form import Form
from clothwright.web.measuring.sampled import to_keep
from clothwright.web.pieces.narrow import names_a_piece_too_wide
from clothwright.web.record.came import came, finished_on
from clothwright.web.showing import shown_plan


def page(
    request: HttpRequest, project: Project, *, notice: str = "", focus: str = "", whole: bool = False
) -> HttpResponse:
    """The page, or after a change of one field only what changes; a post without script goes back to the page."""
    back = reverse("project", args=[project.pk]) + ("?by_hand=1" if by_hand(request) else "")
    answer = None
    if request.method == "POST" and fragment_asked(request) and not whole:
        answer = planned.answer_soon(store.head(project), by_hand=by_hand(request))
        if answer is None:
            return _kept_and_begun(request, project)
    shown = Shown("project.html", "changed.html", back, partial(_context, request, project, answer))
    return show(request, shown, notice=notice, focus=focus, whole=whole)


def _kept_and_begun(request: HttpRequest, project: Project) -> HttpResponse:
    """That a change is kept and its plan begun: the page asks for that by itself, and shows until then the figures of before as such."""
    revision = store.head(project)
    context = _of_the_project(request, project) | {"form": Form(revision.tree), "figures_follow": True}
    response = render(request, "clothwright/figures_follow.html", context)
    response["HX-Reswap"] = "none"
    return response


def plan_pane(request: HttpRequest, project: Project) -> HttpResponse:
    """The plan alone, made anew; what is being typed is left as it is."""
    response = render(request, "clothwright/planned_anew.html", _context(request, project))
    response["HX-Retarget"] = "#plan"
    return response


def by_hand(request: HttpRequest) -> bool:
    """Whether the sums by hand are asked for."""
    asked = request.POST if request.method == "POST" else request.GET
    return asked.get("by_hand") == "1"


def _of_the_project(request: HttpRequest, project: Project) -> dict[str, Any]:
    """What stands on the page whatever the plan says."""
    return {
        "project": project,
        "here": reverse("project", args=[project.pk]),
        "revision": store.head(project),
        "by_hand": by_hand(request),
        "can_undo": store.can_undo(project),
        "can_redo": store.can_redo(project),
    }


def _context(request: HttpRequest, project: Project, answer: planned.Answer | None = None) -> dict[str, Any]:
    """What the page says; `answer` where it has been asked for already."""
    revision = store.head(project)
    answer = answer or planned.answer(revision, by_hand=by_hand(request))
    form = Form(revision.tree, answer.problems)
    return _of_the_project(request, project) | {
        "answer": answer,
        "shown": shown_plan(answer, revision),
        "form": form,
        "sentences": form.problems_by_key(),
        **searching.shown(project, searching.latest(project)),
        "to_take": on_hand.all_listed(),
        "to_keep": to_keep(revision.tree),
        "came": came(answer, revision),
        "finished": finished_on(revision),
        "too_wide": names_a_piece_too_wide(answer.problems),
    }
