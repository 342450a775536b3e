"""The page “Leaflet”: what it tabulates, the table as readers see it, and the pages on paper."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.library.teaching.leaflet_answers import kept_answers
from clothwright.library.teaching.published import publish as keep_published
from clothwright.library.teaching.published import published, tests_of
from clothwright.planning import Leaflet, LeafletRow, NothingLaidOut, Working, leaflet
from clothwright.planning.teaching.leaflet_versions import given_out, refuse_unready
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.pattern.garment import sizes_and_versions
from clothwright.project.teaching.testing import Tried
from clothwright.sheets import leaflet_pdf
from clothwright.sheets import leaflet_words as words
from clothwright.sheets.teaching.leaflet_changes import HEAD as CHANGE_HEAD
from clothwright.sheets.teaching.leaflet_changes import changes
from clothwright.sheets.teaching.leaflet_sheet import drawn_layouts
from clothwright.web import planned, searching
from clothwright.web.answering import Shown, fragment_asked, on_paper, show
from clothwright.web.fetching import get_project, slug
from clothwright.web.forms.by_size import CLOTH_LENGTHS, EVERY, MEASURES, BySize, by_size, with_sizes
from clothwright.web.forms.form import FieldTable, Form, change_in_words
from clothwright.web.forms.leaflet_fields import LEAFLET
from clothwright.web.forms.typed import Filled, Tree, at
from clothwright.web.forms.typed_page import PART, answered_as_typed, page_context
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial
from clothwright.web.teaching import leaflet_runs
from clothwright.web.worked_apart import GivenUp, of_revision

TABLE: Final = FieldTable(LEAFLET)
#: So many layouts are guessed while the page waits; more are asked for by a button.
AT_ONCE: Final = 12
_BY_SIZE: Final = {MEASURES: "measures of the finished garment", CLOTH_LENGTHS: "lengths of cloth that are given"}
_answers: Final = Latest["Answered"](32)
_sizes: Final = Latest[tuple[str, ...]](32)


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
    again = partial(_page, request, found)
    return answered_as_typed(request, found, TABLE, again, read=partial(_read, request.POST), words=_in_words)


def _read(posted: Mapping[str, str], tree: Tree) -> Tree:
    """The tree with what was typed by size."""
    for asked in EVERY:
        tree = with_sizes(asked, tree, posted)
    return tree


def _in_words(before: Tree, after: Tree) -> str:
    """What changed, in the words of the page."""
    fields = change_in_words(before, after, TABLE)
    changed = (words for asked, words in _BY_SIZE.items() if at(before, asked.where) != at(after, asked.where))
    return next(changed, fields) if fields == "changed" else fields


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
    return searching.shown(found, leaflet_runs.latest(found))


@require_POST
@never_cache
def publish(request: HttpRequest, key: UUID) -> HttpResponse:
    """Give the leaflet out as a version; the page says why where it cannot be."""
    found, version = get_project(key), request.POST.get("version", "")
    revision = store.head(found)
    try:
        made = _ready(revision)
        kept_version = given_out(made, version, _today(), published(found))
        keep_published(found, kept_version)
    except ProblemsFound as wrong:
        return _page(
            request, found, notice=" ".join(f"{one.sentence[:1].upper()}{one.sentence[1:]}." for one in wrong.problems)
        )
    return redirect(f"{reverse('leaflet', args=[found.pk])}#published")


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()


def _ready(revision: Revision) -> Leaflet:
    """The leaflet of a revision, fit to be given out; ProblemsFound with everything that keeps it from that."""
    if (made := answered(revision).leaflet) is None:
        raise ProblemsFound(Problem((), "not published: the leaflet is not settled yet"))
    refuse_unready(words.not_to_be_given_out(made))
    return made


@require_safe
@never_cache
def published_sheet(request: HttpRequest, key: UUID, version: str) -> HttpResponse:
    """A version on paper as it was given out."""
    found = get_project(key)
    one = next((each for each in published(found) if each.version == version), None)
    if one is None:
        raise Http404
    imperial, large = is_imperial(store.head(found)), "large" in request.GET
    content = leaflet_pdf(one.leaflet, imperial=imperial, made_on=one.day, large_print=large)
    return on_paper(content, f"{slug(found)}-leaflet-{version}")


def _versions(found: Project, made: Leaflet | None, imperial: bool) -> dict[str, Any]:
    """The versions given out, the latest first, and what has changed since."""
    every = published(found)
    since = changes(every[-1].leaflet, made, imperial=imperial) if every and made else ()
    return {"published": every[::-1], "changes": since, "change_head": CHANGE_HEAD}


def tried(made: Leaflet, row: LeafletRow, weaver: str) -> Tried:
    """The cloth of a row for a test weaver."""
    named = f"{made.name} {made.version}".strip()
    return Tried(weaver, named, row.size, row.version, row.heddle, row.cloth_width_cm, row.cloth_length_cm)


def _tried(made: Leaflet | None, imperial: bool) -> dict[str, Any]:
    """What test weavers tried and what came of it, and the cloths there are to try."""
    if made is None:
        return {}
    named = [tried(made, row, "").what.partition(": ")[2] for row in made.rows]
    rows = dict(zip(named, made.rows, strict=True))
    every = [(one, words.tried_row(store.head(one).tree, rows, imperial=imperial)) for one in tests_of(made.name)]
    return {"tried": every, "tried_head": words.TRIED_HEAD, "to_try": list(enumerate(named))}


def answered(revision: Revision) -> Answered:
    """The leaflet of a revision, kept by all that it depends on."""
    key = json.dumps([revision.tree, revision.drawings, planned.searched(revision)], sort_keys=True)
    try:
        return _answers.made(key, partial(of_revision, _answered, revision))
    except GivenUp as why:
        return Answered(elsewhere=why.problems)


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
    tables = _by_size(revision, answer)
    form = Form(revision.tree, (one for one in answer.here if not any(each.tells(one) for each in tables)), TABLE)
    form.told += tuple(told for each in tables for told in each.told)
    context = page_context(found, revision, form, here, "leaflet_answer.html", answer.elsewhere)
    return {
        **context,
        "by_size": tables,
        "sentences": {**context["sentences"], **{key: one for each in tables for key, one in each.sentences.items()}},
        **_runs(found),
        **_versions(found, answer.leaflet, is_imperial(revision)),
        **_tried(answer.leaflet, is_imperial(revision)),
        "to_lay": answer.to_lay,
        **(_shown(answer.leaflet, is_imperial(revision)) if answer.leaflet else {}),
    }


def _by_size(revision: Revision, answer: Answered) -> tuple[BySize, ...]:
    """What is typed by size, in the sizes of the pattern."""
    key = json.dumps([_without_leaflet(revision), revision.drawings], sort_keys=True)
    try:
        sizes = _sizes.made(key, partial(of_revision, _sizes_of, revision))
    except ProblemsFound:
        sizes = ()
    return tuple(by_size(asked, revision.tree, sizes, answer.here) for asked in EVERY)


def _without_leaflet(revision: Revision) -> Tree:
    return {name: part for name, part in revision.tree.items() if name != "leaflet"}


def _sizes_of(revision: Revision) -> tuple[str, ...]:
    """The sizes of a pattern: one from measures is drafted in each."""
    document = read_project(Filled.of(_without_leaflet(revision)).tree)
    return sizes_and_versions(document, store.drawings_of(revision))[0]


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
