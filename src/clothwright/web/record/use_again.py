"""The page “Use again”: a new project from a record, planned anew, beside last time and beside last time by proportion."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.evidence import History
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.pattern import sizes, versions
from clothwright.planning import plan
from clothwright.planning.record.again_compared import Compared, compared
from clothwright.project import ProblemsFound, read_project
from clothwright.project import Project as Document
from clothwright.project.pattern.garment import changed_pattern
from clothwright.project.record.used_again import STOCKS, Again, Started, used_again
from clothwright.sheets import record_words
from clothwright.sheets.wording import verdict_sentence
from clothwright.web import evidence, planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import with_unit
from clothwright.web.forms.typed import Filled, Tree
from clothwright.web.showing import is_imperial

_LONGEST: Final = 200
_FIELDS: Final = ("name", "width", "length", "size", "version", "stock")


@dataclass(frozen=True)
class Tried:
    """What comes of what was asked: the new project and its plan beside last time, or why there is none, a sentence each."""

    started: Started | None = None
    verdict: str = ""
    found: Compared | None = None
    problems: tuple[str, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """What was asked, planned; a post starts the new project."""
    found = get_project(key)
    revision = store.head(found)
    typed = _typed(request.POST if request.method == "POST" else request.GET)
    tried = _tried(revision, _again(typed, revision.tree))
    if request.method == "POST" and tried.started is not None:
        return _start(found, revision, tried.started)
    status = 422 if request.method == "POST" else 200
    return render(request, "clothwright/use_again.html", _context(found, revision, typed, tried), status=status)


def _typed(sent: Mapping[str, str]) -> dict[str, str]:
    return {name: sent.get(name, "").replace("\0", "").strip()[:_LONGEST] for name in _FIELDS}


def _again(typed: dict[str, str], tree: Tree) -> Again:
    """What was typed, a bare length in the units of the project."""
    unit = "in" if tree.get("units") == "imperial" else "cm"
    lengths = {name: with_unit(typed[name], unit) for name in ("width", "length")}
    return Again(**{**typed, **lengths, "stock": typed["stock"] or STOCKS[0]})


def _start(found: Project, revision: Revision, started: Started) -> HttpResponse:
    new = store.new_project(started.tree, f"used again from {found.name}", store.drawings_of(revision))
    return redirect("project", key=new.pk)


def _tried(revision: Revision, again: Again) -> Tried:
    """The new project as it would be, planned from everything the library tells, this record with it."""
    if not isinstance(revision.tree.get("record"), dict):
        return Tried(problems=("This project has no record yet to start from.",))
    try:
        before = planned.document(revision)
        started = used_again(revision.tree, again)
    except ProblemsFound as wrong:
        return Tried(problems=tuple(map(str, wrong.problems)))
    except ValueError as wrong:
        return Tried(problems=(f"{wrong}.",))
    if before.record is None:
        return Tried(problems=("This project has no record yet to start from.",))
    return _planned(revision, before, started)


def _planned(revision: Revision, before: Document, started: Started) -> Tried:
    try:
        project = read_project(Filled.of(started.tree).tree)
        history: History = evidence.everything().history(project)
        made = plan(project, drawings=store.drawings_of(revision), history=history)
    except ProblemsFound as wrong:
        return Tried(started, problems=tuple(map(str, wrong.problems)))
    return Tried(started, verdict_sentence(made), compared(before, made))


def _context(found: Project, revision: Revision, typed: dict[str, str], tried: Tried) -> dict[str, Any]:
    imperial = is_imperial(revision)
    lines = tried.found.lines if tried.found else ()
    return {
        "project": found,
        "typed": typed,
        "problems": tried.problems,
        "can_start": tried.started is not None,
        "told": tried.started.told if tried.started else (),
        "verdict": tried.verdict,
        "head": record_words.AGAIN_HEAD,
        "rows": [(record_words.again_row(one, imperial=imperial), bool(one.astray)) for one in lines],
        "notes": record_words.again_notes(tried.found, imperial=imperial) if tried.found else (),
        "finished": bool((revision.tree.get("record") or {}).get("date"))
        if isinstance(revision.tree.get("record"), dict)
        else False,
        "stocks": STOCKS,
        "unit": "in" if imperial else "cm",
        **_choices(revision),
    }


def _choices(revision: Revision) -> dict[str, Any]:
    """What may differ: of a cloth wanted its width and length, of a pattern its sizes and versions."""
    wants = bool(revision.tree.get("want")) and not revision.tree.get("pattern")
    try:
        document = planned.document(revision)
        every = (
            changed_pattern(document, store.drawings_of(revision), every_size=True).every if document.pattern else ()
        )
    except ProblemsFound:
        every = ()
    return {"wants": wants, "sizes": sizes(every), "versions": versions(every)}
