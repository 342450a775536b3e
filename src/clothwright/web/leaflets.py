"""The page “Leaflet”: what it tabulates, the table as readers see it, and the pages on paper."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from clothwright.library import store
from clothwright.library.leaflet_answers import kept_answers
from clothwright.library.models import Project, Revision
from clothwright.planning import Leaflet, NothingLaidOut, Working, leaflet
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import leaflet_words as words
from clothwright.sheets.leaflet_sheet import drawn_layouts
from clothwright.web import leaflet_runs, planned
from clothwright.web.answering import Shown, fragment_asked, pressed, show
from clothwright.web.fetching import get_project
from clothwright.web.form import FieldTable, Form
from clothwright.web.latest import Latest
from clothwright.web.leaflet_fields import LEAFLET
from clothwright.web.searching import running
from clothwright.web.showing import is_imperial
from clothwright.web.typed_page import PART, keep_typed, page_context, undone

TABLE: Final = FieldTable(LEAFLET)
#: So many layouts are guessed while the page waits; more are asked for by a button.
AT_ONCE: Final = 12
_answers: Final = Latest["Answered"](32)


@dataclass(frozen=True)
class Answered:
    """The leaflet of a revision, or what keeps it from being made: here, or on the page of the project.

    `to_lay`: layouts still to be made where none is there yet.
    """

    leaflet: Leaflet | None = None
    to_lay: int = 0
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed and shows what comes of it."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found)
    verb, _, name = pressed(request).partition(" ")
    if undone(found, verb):
        return _page(request, found, whole=True)
    return keep_typed(request, found, (verb, name), TABLE, partial(_page, request, found))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def work_out(request: HttpRequest, key: UUID) -> HttpResponse:
    """Start working out the whole leaflet, or say how far it is."""
    found = get_project(key)
    if request.method == "POST":
        leaflet_runs.start(found)
    return _run(request, found)


@require_POST
def stop(request: HttpRequest, key: UUID) -> HttpResponse:
    """Stop working it out; what is done is kept."""
    leaflet_runs.ask_to_stop(found := get_project(key))
    return _run(request, found)


def _run(request: HttpRequest, found: Project) -> HttpResponse:
    """How far it is, as a fragment; when it has ended, the tables anew."""
    if not fragment_asked(request):
        return redirect("leaflet", key=found.pk)
    run = leaflet_runs.latest(found)
    if run and run.ended and request.method == "GET":
        response = render(
            request, "clothwright/leaflet_answer.html", _context(found, reverse("leaflet", args=[found.pk]))
        )
        response["HX-Retarget"] = "#plan"
        return response
    return render(request, "clothwright/leaflet_run.html", {"project": found, **_runs(found)})


def _runs(found: Project) -> dict[str, Any]:
    return {"run": leaflet_runs.latest(found), "busy": running()}


def answered(revision: Revision) -> Answered:
    """The leaflet of a revision, kept by all that it depends on."""
    key = json.dumps([revision.tree, revision.drawings], sort_keys=True)
    known = _answers.get(key)
    return known if known is not None else _answers.put(key, _answered(revision))


def _answered(revision: Revision) -> Answered:
    search = planned.layouts(revision)
    try:
        document = planned.document(revision)
        working = Working(kept=kept_answers(), also=search, at_most=AT_ONCE)
        made = leaflet(document, drawings=store.drawings_of(revision), working=working)
        return Answered(made)
    except NothingLaidOut as why:
        return Answered(to_lay=why.to_lay)
    except ProblemsFound as wrong:
        every = planned.problems_of(revision, wrong)
        here = tuple(one for one in every if one.path[:1] == ("leaflet",))
        return Answered(None, 0, here, tuple(one for one in every if one not in here))


def _page(request: HttpRequest, found: Project, **how: Any) -> HttpResponse:
    back = reverse("leaflet", args=[found.pk])
    return show(request, Shown("leaflet.html", PART, back, partial(_context, found, back)), **how)


def _context(found: Project, here: str) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision)
    form = Form(revision.tree, answer.here, TABLE)
    return {
        **page_context(found, revision, form, here, "leaflet_answer.html"),
        **_runs(found),
        "to_lay": answer.to_lay,
        "elsewhere": Form(revision.tree, answer.elsewhere).told if answer.elsewhere else (),
        **(_shown(answer.leaflet, is_imperial(revision)) if answer.leaflet else {}),
    }


def _shown(made: Leaflet, imperial: bool) -> dict[str, Any]:
    """The leaflet in the words and units of the page."""
    return {
        "leaflet": made,
        "told": words.told(made),
        "how_searched": words.how_searched(made),
        "proof": words.not_to_be_given_out(made),
        "head": words.HEAD,
        "groups": list(words.groups(made, imperial=imperial)),
        "balls": words.balls_in_words(made),
        "tables": words.tables(made, imperial=imperial),
        "layouts": drawn_layouts(made, imperial=imperial),
        "lists": [
            ("Worth knowing", made.advice),
            ("Not on every cloth", tuple(words.missing(made))),
            ("How far it may be from this", tuple(words.low_and_high(made, imperial=imperial))),
            ("Order of making", made.contents.making),
            ("Care", made.contents.care),
            ("What the figures stand on", made.assumed),
        ],
    }
