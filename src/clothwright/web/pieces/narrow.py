"""The page “Narrow cloth”: how pieces can be joined for it, and what may come from other cloth; each with a button that takes it."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods
from pydantic import TypeAdapter, ValidationError

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.measure import Length, QuantityError
from clothwright.pattern import OTHER_CLOTH, other_cloth_width_cm
from clothwright.planning import (
    JoinProposal,
    JoinsAnswer,
    Movable,
    OtherCloth,
    propose_joins,
    says_how_to_join,
    what_may_move,
    written,
)
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.pattern_parts import JoinPart
from clothwright.sheets import joining as words
from clothwright.sheets.wording import LENGTH
from clothwright.web import evidence, planned
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.forms.typed import Path, Tree, at, put, rows, with_row
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial
from clothwright.web.worked_apart import of_revision

MOVED: Final = "This project was changed meanwhile, so nothing was taken. Below it stands as it is now."
#: How many ways are laid open; the others are folded away.
FIRST_SHOWN: Final = 4
_JOINS: Final = TypeAdapter(list[JoinPart])
_answers: Final = Latest[tuple[JoinsAnswer, OtherCloth]](32)


@dataclass(frozen=True)
class ShownProposal:
    """A proposal as the page shows it; `taking` is what its button posts, `rank` its place among those that are ranked."""

    rank: int
    what: str
    facts: list[tuple[str, str]]
    pictures: tuple[str, ...]
    taking: str


@dataclass(frozen=True)
class ShownMove:
    """What may come from other cloth, in words; `taking` is what its button posts."""

    name: str
    sentences: tuple[str, ...]
    taking: str


@dataclass(frozen=True)
class Asked:
    """What was typed for the widths, and what it means, cm."""

    width: str
    other: str
    width_cm: float | None = None
    other_cm: float | None = None
    problem: str = ""


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The proposals for the cloth asked for; a post takes one, or goes back by one change."""
    found = get_project(key)
    if request.method == "POST":
        return _taken(request, found)
    return _page(request, found)


def _page(request: HttpRequest, found: Project, problem: str = "", status: int = 200) -> HttpResponse:
    revision = store.head(found)
    asked = _asked(request, is_imperial(revision))
    context: dict[str, Any] = {
        "project": found,
        "revision": revision,
        "asked": asked,
        "unit": "in" if is_imperial(revision) else "cm",
        "usual_other": LENGTH.text(other_cloth_width_cm(), imperial=is_imperial(revision)),
        "problem": problem or asked.problem,
        "can_undo": store.can_undo(found),
        "joins": _joins_now(revision),
    }
    if not asked.problem:
        context |= _proposals(revision, asked)
    return render(request, "clothwright/narrow.html", context, status=status)


def _asked(request: HttpRequest, imperial: bool) -> Asked:
    """The widths asked for in the address, or posted along."""
    given = request.POST if request.method == "POST" else request.GET
    width, other = (given.get(name, "").strip()[:60] for name in ("width", "other"))
    unit = "in" if imperial else "cm"
    try:
        cm, other_cm = (Length.read(text, bare_unit=unit).cm if text else None for text in (width, other))
    except QuantityError as error:
        return Asked(width, other, problem=str(error))
    return Asked(width, other, cm, other_cm)


def _proposals(revision: Revision, asked: Asked) -> dict[str, Any]:
    """The answer in the words and units of the page, or why there is none."""
    imperial = is_imperial(revision)
    try:
        joins, other = _answer(revision, asked)
    except ProblemsFound as wrong:
        return {"told": Form(revision.tree, planned.problems_of(revision, wrong)).told}
    ranked = [_shown(rank, one, joins.usable_cm, imperial) for rank, one in enumerate(joins.proposals, 1)]
    together = [other.together] if other.together else []
    return {
        "answer": joins,
        "opening": words.opening(joins, imperial=imperial),
        "proposals": ranked[:FIRST_SHOWN],
        "others": ranked[FIRST_SHOWN:],
        "savings": [_shown(0, one, joins.usable_cm, imperial) for one in joins.savings],
        "moves": [_shown_move(one, imperial) for one in (*other.movable, *together)],
        "already": words.already(other, imperial=imperial),
        "material": OTHER_CLOTH,
    }


def _answer(revision: Revision, asked: Asked) -> tuple[JoinsAnswer, OtherCloth]:
    """Both answers, kept by all that they depend on: they take seconds to plan."""
    said = json.dumps([revision.tree, revision.drawings], sort_keys=True)
    key = (said, evidence.beside(revision.project).key, asked.width_cm, asked.other_cm)
    return _answers.made(key, partial(of_revision, _answered, revision, asked))


def _answered(revision: Revision, asked: Asked) -> tuple[JoinsAnswer, OtherCloth]:
    document, drawings = planned.document(revision), store.drawings_of(revision)
    beside: dict[str, Any] = {"drawings": drawings, "history": planned.history(revision)}
    joins = propose_joins(document, cloth_width_cm=asked.width_cm, **beside)
    return joins, what_may_move(document, joins=joins, other_width_cm=asked.other_cm, **beside)


def _shown(rank: int, one: JoinProposal, usable_cm: float, imperial: bool) -> ShownProposal:
    pictures = tuple(sheets.joined_svg(joined, usable_cm, imperial=imperial) for joined in one.joined)
    return ShownProposal(rank, words.what(one), words.facts(one, imperial=imperial), pictures, _posted(one.parts))


def _shown_move(one: Movable, imperial: bool) -> ShownMove:
    sentences = (words.saves(one, imperial=imperial), words.needs(one, imperial=imperial), words.why(one))
    taking = {"pieces": list(one.moved), "hems": [written(hem) for hem in one.hems]}
    return ShownMove(one.name, sentences, json.dumps(taking))


def _posted(parts: Iterable[JoinPart]) -> str:
    return json.dumps([written(part) for part in parts])


def _joins_now(revision: Revision) -> list[str]:
    """The joins the project has, in words."""
    found = rows(revision.tree, ("pattern", "join"))
    return [_join_in_words(row) for row in found if row]


def _join_in_words(row: Any) -> str:
    piece, where, sewn, aside = (str(at(row, (name,)) or "") for name in ("piece", "at", "sewn", "set_aside"))
    how = f", {sewn}" if sewn and sewn != "seam" else ""
    return f"{piece or '?'}: {where or '?'}{how}{f' (set aside: {aside})' if aside else ''}"


# --- taking ------------------------------------------------------------------------------------------------------


def _taken(request: HttpRequest, found: Project) -> HttpResponse:
    """Take what was chosen as a change of the project, or go back by one."""
    if request.POST.get("do") == "undo":
        store.undo(found)
        return _back(request, found)
    if request.POST.get("rev") != str(store.head(found).number):
        return _page(request, found, MOVED, status=409)
    try:
        tree, what = _changed(store.head(found).tree, request)
    except (ValueError, KeyError, TypeError):  # what no page of ours posts
        return HttpResponse("There is no such proposal.", status=400, content_type="text/plain; charset=utf-8")
    store.change(found, tree, what)
    return _back(request, found)


def _back(request: HttpRequest, found: Project) -> HttpResponse:
    typed = {name: text for name in ("width", "other") if (text := request.POST.get(name, "").strip()[:60])}
    response = redirect(reverse("narrow", args=[found.pk]) + (f"?{urlencode(typed)}" if typed else ""))
    response.status_code = 303
    return response


def _changed(tree: Tree, request: HttpRequest) -> tuple[Tree, str]:
    """The tree with what was posted, and what happened in words; ValueError where it is nothing of ours."""
    if "joins" in request.POST:
        parts = _read_joins(json.loads(request.POST["joins"]))
        return with_joins_added(tree, parts), f"joined {', '.join(part.piece for part in parts)}"
    posted = json.loads(request.POST["move"])
    material = " ".join(request.POST.get("material", "").replace("\0", "").split())[:60] or OTHER_CLOTH
    hems = [{**written(part), "material": material} for part in _read_joins(posted["hems"])]
    names = [str(name) for name in posted["pieces"]]
    for name in names:
        tree = with_material(tree, name, material)
    for hem in hems:
        tree = with_row(tree, ("pattern", "join"), hem)
    moved = ", ".join((*names, *(f"hem of {hem['piece']}" for hem in hems)))
    return tree, f"moved {moved} to {material}"


def _read_joins(posted: Any) -> list[JoinPart]:
    try:
        return _JOINS.validate_python(posted)
    except ValidationError as error:
        raise ValueError(posted) from error


def with_joins_added(tree: Tree, parts: Iterable[JoinPart]) -> Tree:
    """The tree with joins written after those it has."""
    for part in parts:
        tree = with_row(tree, ("pattern", "join"), written(part))
    return tree


def with_material(tree: Tree, name: str, material: str) -> Tree:
    """The tree with a piece cut from another cloth: said on its numbers, or beside its drawing."""
    changed = copy.deepcopy(tree)
    for path, field in (("piece", "name"), ("mark", "name"), ("mark", "piece")):
        where = _row_of(changed, ("pattern", path), field, name)
        if where is not None:
            put(changed, (*where, "material"), material)
            return changed
    return with_row(changed, ("pattern", "mark"), {"piece": name, "material": material})


def _row_of(tree: Tree, path: Path, field: str, name: str) -> Path | None:
    """The path of the row whose field says the name."""
    found = (n for n, row in enumerate(rows(tree, path)) if str(at(row, (field,)) or "").strip() == name)
    return next(((*path, n) for n in found), None)


def names_a_piece_too_wide(problems: Iterable[Problem]) -> bool:
    """Whether a problem is a piece that could be joined, so that the page can be named beside it."""
    return any(says_how_to_join(problem.sentence) for problem in problems)
