"""The page of a pattern's fit: the mock-up, the changes as steps, each piece before and after, all sizes, seams walked."""

from __future__ import annotations

import copy
import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.pattern import Check, Piece, Step, Walked, check_every_size
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project import Project as Document
from clothwright.project.parts.pattern_parts import ChangePart
from clothwright.project.pattern.changing import change_in_words as change_said
from clothwright.project.pattern.changing import day_in_words, provisional_because
from clothwright.project.pattern.garment import ChangedPattern, changed_pattern
from clothwright.project.pattern.pattern_state import pattern_state
from clothwright.sheets.wording import LENGTH, literal
from clothwright.web.answering import Shown, show
from clothwright.web.fetching import get_project
from clothwright.web.forms.fit_fields import FIT
from clothwright.web.forms.form import FieldTable, Form
from clothwright.web.forms.row_buttons import row_in_words
from clothwright.web.forms.typed import Filled, Tree, at, put
from clothwright.web.forms.typed_page import PART, answered_as_typed, page_context
from clothwright.web.showing import is_imperial

TABLE: Final = FieldTable(FIT)
_CHANGED: Final = (
    "That change was altered since this page was shown. Look at it again, then set it aside or bring it back."
)
_WHY: Final = "Say why it is set aside; it is kept in its place, and the reason with it."


@dataclass(frozen=True)
class ShownStep:
    """A change as the page shows it: `row` where it stands among those typed, `said` a digest of what it says."""

    number: int
    row: int
    says: str
    day: str
    part: ChangePart
    step: Step
    shown: bool
    said: str
    seams: tuple[tuple[str, str, str, str], ...]
    other_seams: tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True)
class ShownFit:
    """What came of the changes; `before`: the change before which the pattern is shown, or None."""

    steps: tuple[ShownStep, ...]
    pieces: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, str], ...]
    walked: tuple[tuple[str, str, str, str, str], ...]
    checks: tuple[Check, ...]
    state: str
    provisional: str
    before: int | None


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def fit(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post saves what was typed and shows what comes of it."""
    found = get_project(key)
    return answered_as_typed(request, found, TABLE, partial(_page, request, found))


@require_POST
def mark(request: HttpRequest, key: UUID) -> HttpResponse:
    """Set a change aside with its reason, or bring it back."""
    found = get_project(key)
    tree = copy.deepcopy(store.head(found).tree)
    reason = request.POST.get("reason", "").replace("\0", "").strip()[:300]
    row = request.POST.get("row", "")
    path = ("pattern", "change", int(row) if row.isdecimal() and len(row) < 5 else -1)
    part = at(tree, path) if path[2] >= 0 else None
    if not isinstance(part, dict) or _digest(part) != request.POST.get("said"):
        return _page(request, found, notice=_CHANGED, whole=True, status=409)
    aside = request.POST.get("do") != "bring back"
    if aside and not reason:
        return _page(request, found, notice=_WHY, whole=True, status=422)
    put(tree, (*path, "set_aside"), reason if aside else None)
    name = row_in_words(".".join(map(str, path)))
    store.change(found, tree, f"set {name} aside: {reason}" if aside else f"brought {name} back")
    return redirect("fit", key=found.pk)


def pattern_key(tree: Tree, drawings: dict[str, bytes]) -> str | None:
    """The key of the pattern's state in a tree as typed; None where there is none, or it cannot be read."""
    try:
        state = pattern_state(_document(Filled.of(tree)), drawings)
    except ProblemsFound:
        return None
    return state.key if state else None


def _document(filled: Filled) -> Document:
    """The document of what was typed of the pattern; the rest of the project may still be unsettled."""
    return read_project({part: filled.tree[part] for part in ("units", "pattern") if part in filled.tree})


# --- what is shown -----------------------------------------------------------------------------------------------


def _page(request: HttpRequest, found: Project, **how: Any) -> HttpResponse:
    back = reverse("fit", args=[found.pk])
    return show(request, Shown("fit.html", PART, back, partial(_context, found, back, _before(request))), **how)


def _before(request: HttpRequest) -> int | None:
    asked = request.GET.get("before", "")
    return int(asked) if asked.isdecimal() and len(asked) < 5 else None


def _context(found: Project, here: str, before: int | None) -> dict[str, Any]:
    revision = store.head(found)
    shown, problems = _shown(revision, before)
    form = Form(revision.tree, problems, TABLE)
    return {**page_context(found, revision, form, here, "fit_answer.html"), "shown": shown}


def _shown(revision: Revision, before: int | None) -> tuple[ShownFit | None, tuple[Problem, ...]]:
    """What came of the changes of a revision, and its problems; changes that cannot be made leave the others shown."""
    filled = Filled.of(revision.tree)
    try:
        document = _document(filled)
        changed = changed_pattern(document, drawings := store.drawings_of(revision), before=before, every_size=True)
    except ProblemsFound as wrong:
        return None, filled.problems(wrong.problems)
    imperial, state = is_imperial(revision), pattern_state(document, drawings)
    shown = ShownFit(
        steps=tuple(_steps(filled, revision.tree, document, changed, before, imperial)),
        pieces=tuple(_pictures(changed, imperial)),
        sizes=tuple(_sizes(changed.every, imperial)),
        walked=tuple(_walked(changed, imperial)),
        checks=check_every_size(changed.pieces),
        state=state.words if state else "",
        provisional=provisional_because(document),
        before=before,
    )
    return shown, filled.problems(changed.problems)


def _steps(
    filled: Filled, tree: Tree, document: Document, changed: ChangedPattern, before: int | None, imperial: bool
) -> Iterable[ShownStep]:
    assert document.pattern is not None  # its pieces are shown
    chosen = (document.pattern.size, document.pattern.version)
    for number, (part, step) in enumerate(zip(document.pattern.change, changed.steps, strict=True)):
        place = filled.problems([Problem(("pattern", "change", number), "")])[0].path
        asked = [one for one in step.walked if {one.size, one.version} <= {None, *chosen}]
        others = [one for one in step.walked if one not in asked]
        yield ShownStep(
            number=number + 1,
            row=int(place[2]),
            says=change_said(part),
            day=day_in_words(part.date) if part.date else "",
            part=part,
            step=step,
            shown=before is None or number + 1 < before,
            said=_digest(at(tree, place)),
            seams=_lengths(asked, imperial),
            other_seams=_lengths(others, imperial),
        )


def _lengths(walked: Iterable[Walked], imperial: bool) -> tuple[tuple[str, str, str, str], ...]:
    return tuple(
        (one.seam, _who(one.piece, one.size, one.version), *_both(one.before_cm, one.after_cm, imperial))
        for one in walked
    )


def _digest(part: object) -> str:
    return hashlib.sha256(json.dumps(part, sort_keys=True, default=str).encode()).hexdigest()


def _who(name: str, size: str | None, version: str | None) -> str:
    belongs = ", ".join(filter(None, (size, version)))
    return f"{name} ({belongs})" if belongs else name


def _both(before_cm: float, after_cm: float, imperial: bool) -> tuple[str, str]:
    return LENGTH.text(before_cm, imperial=imperial), LENGTH.text(after_cm, imperial=imperial)


def _pictures(changed: ChangedPattern, imperial: bool) -> Iterable[tuple[str, str]]:
    """Each piece of the size and version asked for, before and after; those that did not change are named only."""
    chosen = {id(piece) for piece in changed.pieces}
    for was, now in zip(changed.was, changed.every, strict=True):
        if id(now) in chosen:
            name = literal(_who(now.name, now.size, now.version))
            yield name, sheets.fit_svg(was, now, imperial=imperial) if was.piece != now else ""


def _sizes(every: tuple[Piece, ...], imperial: bool) -> Iterable[tuple[str, str]]:
    """Each piece that comes in more sizes than one, all of them over each other."""
    groups: dict[tuple[str, str | None], list[Piece]] = {}
    for piece in every:
        groups.setdefault((piece.name, piece.version), []).append(piece)
    for (name, version), pieces in groups.items():
        if len(pieces) > 1:
            yield literal(_who(name, None, version)), sheets.sizes_svg(pieces, imperial=imperial)


def _walked(changed: ChangedPattern, imperial: bool) -> Iterable[tuple[str, str, str, str, str]]:
    """Every seam of the pieces chosen, once for each piece: before all changes and now, and the difference in words."""
    chosen, told = {id(piece) for piece in changed.pieces}, set()
    for was, now in zip(changed.was, changed.every, strict=True):
        for one, other in zip(was.piece.edges, now.edges, strict=True):
            if id(now) not in chosen or one.seam is None or (one.seam, now.name) in told:
                continue
            told.add((one.seam, now.name))
            apart = other.length_cm - one.length_cm
            words = (
                "as before"
                if abs(apart) < 0.05
                else f"{LENGTH.text(abs(apart), imperial=imperial)} {'longer' if apart > 0 else 'shorter'}"
            )
            yield one.seam, literal(now.name), *_both(one.length_cm, other.length_cm, imperial), words
