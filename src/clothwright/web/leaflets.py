"""The page “Leaflet”: what it tabulates, the table as readers see it, and the pages on paper."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import Leaflet, leaflet
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import leaflet_pdf
from clothwright.sheets import leaflet_words as words
from clothwright.web import planned
from clothwright.web.fetching import get_project, slug
from clothwright.web.form import FieldTable, Form, change_in_words, read_posted
from clothwright.web.latest import Latest
from clothwright.web.leaflet_fields import LEAFLET
from clothwright.web.notebook import fragment_asked, posted_base, pressed
from clothwright.web.showing import is_imperial

TABLE: Final = FieldTable(LEAFLET)
_MOVED: Final = "This project was changed somewhere else meanwhile. What you see here now counts; the other change is in the history."
_answers: Final = Latest["Answered"](32)


@dataclass(frozen=True)
class Answered:
    """The leaflet of a revision, or what keeps it from being made: here, or on the page of the project."""

    leaflet: Leaflet | None = None
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed and shows what comes of it."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found)
    verb = pressed(request)
    if verb in ("undo", "redo"):
        (store.undo if verb == "undo" else store.redo)(found)
        return _page(request, found, whole=True)
    base = posted_base(request, found)
    notice = _MOVED if base.pk != store.head(found).pk else ""
    tree = read_posted(base.tree, request.POST, TABLE)
    store.change(found, tree, change_in_words(base.tree, tree, TABLE))
    return _page(request, found, notice=notice, whole=bool(notice))


@require_safe
@never_cache
def sheet(request: HttpRequest, key: UUID) -> HttpResponse:
    """The leaflet on paper; back to the page where it cannot be made."""
    found = get_project(key)
    revision = store.head(found)
    if (made := answered(revision).leaflet) is None:
        return redirect("leaflet", key=found.pk)
    today, large = datetime.datetime.now().astimezone().date(), "large" in request.GET
    content = leaflet_pdf(made, imperial=is_imperial(revision), made_on=today, large_print=large)
    headers = {"Content-Disposition": f'inline; filename="{slug(found)}-leaflet.pdf"'}
    return HttpResponse(content, content_type="application/pdf", headers=headers)


def answered(revision: Revision) -> Answered:
    """The leaflet of a revision, kept by all that it depends on."""
    key = json.dumps([revision.tree, revision.drawings], sort_keys=True)
    known = _answers.get(key)
    return known if known is not None else _answers.put(key, _answered(revision))


def _answered(revision: Revision) -> Answered:
    search = planned.layouts(revision)
    try:
        document = planned.document(revision)
        made = leaflet(
            document, drawings=store.drawings_of(revision), layouts=(lambda _share: search) if search else None
        )
        return Answered(made)
    except ProblemsFound as wrong:
        every = planned.problems_of(revision, wrong)
        here = tuple(one for one in every if one.path[:1] == ("leaflet",))
        return Answered(None, here, tuple(one for one in every if one not in here))


def _page(request: HttpRequest, found: Project, *, notice: str = "", whole: bool = False) -> HttpResponse:
    """The page, or after a change of one field only what comes of it; a post without script goes back to the page."""
    fragment = request.method == "POST" and fragment_asked(request)
    if request.method == "POST" and not fragment and not notice:
        response: HttpResponse = redirect("leaflet", key=found.pk)
        response.status_code = 303
        return response
    template = "clothwright/leaflet_changed.html" if fragment and not whole else "clothwright/leaflet.html"
    response = render(request, template, _context(found) | {"notice": notice})
    if fragment and whole:
        response["HX-Retarget"], response["HX-Reselect"] = "#page", "#page"
        response["HX-Reswap"] = "outerHTML show:none"
    return response


def _context(found: Project) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision)
    form = Form(revision.tree, answer.here, TABLE)
    return {
        "project": found,
        "here": reverse("leaflet", args=[found.pk]),
        "revision": revision,
        "form": form,
        "sentences": form.problems_by_key(),
        "elsewhere": Form(revision.tree, answer.elsewhere).told if answer.elsewhere else (),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
        **(_shown(answer.leaflet, is_imperial(revision)) if answer.leaflet else {}),
    }


def _shown(made: Leaflet, imperial: bool) -> dict[str, Any]:
    """The leaflet in the words and units of the page."""
    return {
        "leaflet": made,
        "told": words.told(made),
        "proof": words.not_to_be_given_out(made),
        "head": words.HEAD,
        "groups": list(words.groups(made, imperial=imperial)),
        "balls": words.balls_in_words(made),
        "lists": [
            ("Worth knowing", made.advice),
            ("Not on every cloth", tuple(words.missing(made))),
            ("How far it may be from this", tuple(words.low_and_high(made, imperial=imperial))),
            ("What the figures stand on", made.assumed),
        ],
    }
