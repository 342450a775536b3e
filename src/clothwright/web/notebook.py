"""What stands on a project's page: the form, the plan beside it, and what can be done."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.web import planned, searching
from clothwright.web.came import came, finished_on
from clothwright.web.form import Form
from clothwright.web.narrow import names_a_piece_too_wide
from clothwright.web.sampled import to_keep
from clothwright.web.showing import shown_plan
from clothwright.web.taking import to_take


def posted_base(request: HttpRequest, project: Project) -> Revision:
    """The revision a posted page was showing; the head where it does not say."""
    number = request.POST.get("rev", "")
    try:
        return store.revision(project, int(number))
    except (ValueError, Revision.DoesNotExist):
        return store.head(project)


def fragment_asked(request: HttpRequest) -> bool:
    """Whether the script of our page asks, which swaps a part of the page."""
    return request.headers.get("HX-Request") == "true"


def pressed(request: HttpRequest) -> str:
    """The button that was pressed. The script also sends one that only has the focus as `do`, so it says `press`."""
    return request.POST.get("press" if fragment_asked(request) else "do", "save")


def page(
    request: HttpRequest, project: Project, *, notice: str = "", focus: str = "", whole: bool = False
) -> HttpResponse:
    """The page, or after a change of one field only what changes; a post without script goes back to the page."""
    if request.method == "POST" and not fragment_asked(request) and not notice:
        return _back_to(project, by_hand(request), focus)
    fragment = request.method == "POST" and fragment_asked(request) and not whole
    template = "clothwright/changed.html" if fragment else "clothwright/project.html"
    response = render(request, template, _context(request, project, notice, focus))
    if request.method == "POST" and fragment_asked(request) and whole:
        response["HX-Retarget"], response["HX-Reselect"] = "#page", "#page"
        response["HX-Reswap"] = "outerHTML show:none"
    return response


def plan_pane(request: HttpRequest, project: Project) -> HttpResponse:
    """The plan alone, made anew; what is being typed is left as it is."""
    response = render(request, "clothwright/planned_anew.html", _context(request, project, "", ""))
    response["HX-Retarget"] = "#plan"
    return response


def by_hand(request: HttpRequest) -> bool:
    """Whether the sums by hand are asked for."""
    asked = request.POST if request.method == "POST" else request.GET
    return asked.get("by_hand") == "1"


def _back_to(project: Project, hand: bool, focus: str) -> HttpResponse:
    response = redirect("project", key=project.pk)
    response["Location"] += ("?by_hand=1" if hand else "") + (f"#{focus}" if focus else "")
    response.status_code = 303
    return response


def _context(request: HttpRequest, project: Project, notice: str, focus: str) -> dict[str, Any]:
    revision, hand = store.head(project), by_hand(request)
    answer = planned.answer(revision, by_hand=hand)
    form = Form(revision.tree, answer.problems)
    return {
        "project": project,
        "here": reverse("project", args=[project.pk]),
        "revision": revision,
        "answer": answer,
        "shown": shown_plan(answer, revision),
        "form": form,
        "sentences": form.problems_by_key(),
        "notice": notice,
        "focus": focus,
        "by_hand": hand,
        "can_undo": store.can_undo(project),
        "can_redo": store.can_redo(project),
        "run": searching.latest(project),
        "busy": searching.running(),
        "to_take": to_take(),
        "to_keep": to_keep(revision.tree),
        "came": came(answer, revision),
        "finished": finished_on(revision),
        "too_wide": names_a_piece_too_wide(answer.problems),
    }
