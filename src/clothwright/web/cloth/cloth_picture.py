"""The page “The cloth”: a patch at true size, the whole, the pieces cut from it, in whoever's eyes, and what is only tried.

What is tried stands in the address. Every picture has an address of its own that says what it shows and ends in a mark of its
content, so that a browser keeps it as long as it likes and asks anew when anything it shows has changed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright import __version__
from clothwright.cloth import PictureError, Window
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import ClothPicture, ClothState, Plan, picture_of_cloth, trying
from clothwright.planning.cloth.cloth_on_pieces import CutPiece, cut_pieces, meetings
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import cloth_words as words
from clothwright.sheets.cloth.cloth_views import ON_SCREEN, View, patch_view, real_cloth, size_mm, usable
from clothwright.sheets.pictures.cut_piece import common_scale, cut_piece_svg
from clothwright.sheets.pictures.lay import cloth_svg, layout_svg
from clothwright.sheets.pictures.patch import patch_svg
from clothwright.web import planned
from clothwright.web.answering import fragment_asked, pressed
from clothwright.web.cloth.cloth_fields import ClothAsked, can_be_kept, form_of, kept_tree, read_asked
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial

_MOVED: Final = "This project was changed meanwhile, so nothing was kept. Below it stands as it is now."
_MOST_PIXELS: Final = 6_000_000
_FOR_EVER: Final = "private, max-age=31536000, immutable"
_pictures: Final = Latest[ClothPicture](24)
_pieces: Final = Latest[tuple[CutPiece, ...]](24)
_files: Final = Latest[bytes](48)


@dataclass(frozen=True)
class Shown:
    """The cloth to show as it was asked for, with the plan it is of, and the form that asks."""

    revision: Revision
    plan: Plan
    asked: ClothAsked
    picture: ClothPicture
    form: Form


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what is tried, or goes back by a change."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found, request.GET)
    verb = pressed(request)
    if verb in ("undo", "redo"):
        (store.undo if verb == "undo" else store.redo)(found)
        return _after(request, found)
    if request.POST.get("rev") != str(store.head(found).number):
        return _page(request, found, request.POST, notice=_MOVED, status=409)
    shown = shown_cloth(store.head(found), request.POST)
    if isinstance(shown, tuple) or shown.form.told or not can_be_kept(shown.asked.tried):
        return _page(request, found, request.POST, status=422)
    tree, what = kept_tree(shown.revision.tree, shown.asked, shown.picture)
    store.change(found, tree, what)
    return _after(request, found)


@require_safe
def image(request: HttpRequest, key: UUID) -> HttpResponse:
    """One picture, a PNG; kept for ever under the mark of its content, not at all under another."""
    shown = shown_cloth(store.head(get_project(key)), request.GET)
    try:
        if isinstance(shown, tuple):
            raise PictureError("this project has no cloth to draw yet")
        view = read_view(request.GET, shown)
        mark = mark_of(shown.picture, view)
        png = _files.made(mark, partial(view.png, shown.picture))
    except PictureError as wrong:
        return HttpResponse(f"{wrong}.", status=400, content_type="text/plain; charset=utf-8")
    response = HttpResponse(png, content_type="image/png")
    response["Cache-Control"] = _FOR_EVER if request.GET.get("v") == mark else "no-store"
    response["ETag"] = f'"{mark}"'
    return response


# --- what is drawn -----------------------------------------------------------------------------------------------


def shown_cloth(revision: Revision, given: Mapping[str, str]) -> Shown | tuple[Problem, ...]:
    """The cloth of a revision as asked for, or why there is none; what cannot be tried is told and left as planned."""
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        return answer.problems
    imperial = is_imperial(revision)
    plain = {name: str(text) for name, text in given.items()}
    try:
        as_planned = _planned(revision, answer.plan, ClothState.FINISHED)
        asked = read_asked(plain, as_planned, imperial=imperial)
        as_planned = _planned(revision, answer.plan, asked.state)
    except ProblemsFound as wrong:
        return planned.problems_of(revision, wrong)
    try:
        picture, more = trying(as_planned, asked.tried), None
    except ProblemsFound as wrong:
        picture, more = as_planned, wrong
    form = form_of(asked, as_planned, imperial=imperial, more=more)
    return Shown(revision, answer.plan, asked, picture, form)


def _planned(revision: Revision, plan: Plan, state: ClothState) -> ClothPicture:
    """The cloth of a plan with nothing tried, kept by all that it depends on."""
    key = (_said(revision), state, plan.warp, plan.weft, plan.cloth)
    return _pictures.made(key, lambda: picture_of_cloth(planned.document(revision), plan, state=state))


def cut_of(shown: Shown) -> tuple[CutPiece, ...]:
    """The pieces in their places, kept by all that they depend on."""
    revision = shown.revision
    key = (_said(revision), shown.plan.layout)
    return _pieces.made(key, lambda: cut_pieces(planned.document(revision), store.drawings_of(revision), shown.plan))


def _said(revision: Revision) -> str:
    """Everything typed in a revision; its number alone does not say what it holds."""
    return json.dumps([str(revision.project_id), revision.tree, revision.drawings], sort_keys=True)


# --- addresses of pictures ---------------------------------------------------------------------------------------


def mark_of(picture: ClothPicture, view: View) -> str:
    """A mark of everything that a view of a cloth shows."""
    threads = picture.threads
    shows = [
        __version__,
        picture.structure.draft,
        None if picture.drawdown is None else hashlib.sha256(picture.drawdown.tobytes()).hexdigest(),
        picture.first_end_left,
        picture.ends_per_cm,
        picture.picks_per_cm,
        threads.warp,
        threads.weft,
        sorted(threads.hex_of.items()),
        sorted(picture.thickness_mm.items()),
        repr(view),
    ]
    return hashlib.blake2b(json.dumps(shows).encode(), digest_size=12).hexdigest()


def address_of(shown: Shown, asked: Mapping[str, str], here: str) -> Callable[[View], str]:
    """The address of each view of the cloth, with what is tried and the mark of its content."""

    def address(view: View) -> str:
        query = QueryDict(mutable=True)
        query.update(asked)
        (left, right), (start, end) = view.window.across, view.window.along
        for name, number in zip(
            ("x0", "x1", "y0", "y1", "dots"), (left, right, start, end, view.dots_per_cm), strict=True
        ):
            query[name] = repr(float(number))
        query["lies"] = "table" if view.laid else "paper"
        query["flat"] = "0" if view.relief else "1"
        query["v"] = mark_of(shown.picture, view)
        return f"{here}?{query.urlencode()}"

    return address


def read_view(given: Mapping[str, str], shown: Shown) -> View:
    """The view that an address asks for; PictureError where it asks for none, or too much."""
    try:
        left, right, start, end, dots = (float(given[name]) for name in ("x0", "x1", "y0", "y1", "dots"))
    except (KeyError, ValueError):
        raise PictureError("x0, x1, y0, y1 and dots say what is drawn; a number stands in each") from None
    sides = all(0 <= one < 1e5 for one in (left, right, start, end)) and left < right and start < end
    if not sides or not 0 < dots <= 1000 or (right - left) * (end - start) * dots**2 > _MOST_PIXELS:
        raise PictureError(
            f"no picture of more than {_MOST_PIXELS // 1_000_000} million pixels, or of nothing, is drawn here"
        )
    laid, relief = given.get("lies") == "table", given.get("flat") != "1"
    return View(Window((left, right), (start, end)), dots, laid=laid, sight=shown.asked.sight, relief=relief)


# --- the page ----------------------------------------------------------------------------------------------------

_TYPED: Final = ("seen", "state", "structure", "ends", "picks", "thickness", "across", "along", "measured")


def _asked_again(given: Mapping[str, str]) -> dict[str, str]:
    """What of an address says what is tried, to be said again in the addresses of pictures."""
    return {
        name: str(text)
        for name, text in given.items()
        if text and (name in _TYPED or name.startswith("colour.y")) and len(str(text)) <= 300
    }


def _page(
    request: HttpRequest, found: Project, given: Mapping[str, str], *, notice: str = "", status: int = 200
) -> HttpResponse:
    revision = store.head(found)
    shown = shown_cloth(revision, given)
    context: dict[str, Any] = {
        "project": found,
        "here": reverse("cloth", args=[found.pk]),
        "revision": revision,
        "notice": notice,
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
    }
    if isinstance(shown, tuple):
        context["told"] = Form(revision.tree, shown).told
    else:
        context |= _shown(found, shown, _asked_again(given))
    return render(request, "clothwright/cloth.html", context, status=status)


def _shown(found: Project, shown: Shown, asked: Mapping[str, str]) -> dict[str, Any]:
    """The pictures and what is said of them."""
    imperial, picture, sight = is_imperial(shown.revision), shown.picture, shown.asked.sight
    address = address_of(shown, asked, reverse("cloth_image", args=[found.pk]))
    said = words.alt(picture, sight, imperial=imperial)
    real, cut = real_cloth(picture, address, sight), cut_of(shown)
    laid, scale = usable(real, picture), common_scale(cut_of(shown))
    query = QueryDict(mutable=True)
    query.update(asked)
    return {
        "form": shown.form,
        "sentences": shown.form.problems_by_key(),
        "lies_as_woven": words.lies_as_woven(picture),
        "lies_on_the_table": words.lies_on_the_table(picture),
        "summary": words.summary(picture, imperial=imperial),
        "patch": _patch(shown, address, said),
        "stripes": words.stripes_in_words(picture, imperial=imperial),
        "whole": cloth_svg(picture.name, real, said, imperial=imperial),
        "layout": layout_svg(shown.plan, imperial=imperial, real=laid) if shown.plan.layout else "",
        "cut": [
            cut_piece_svg(one, laid, scale, words.piece_alt(one, picture, imperial=imperial), imperial=imperial)
            for one in cut
        ],
        "meetings": words.meeting_sentences(meetings(cut, picture)),
        "alike": words.contrast_sentences(picture.contrasts, picture.stand_ins),
        "sight_note": words.SIGHT_NOTE,
        "threads_note": words.THREADS_NOTE,
        "key_head": words.KEY_HEAD,
        "key": words.key_rows(picture),
        "notes": picture.notes,
        "keeps": sorted(asked.items()) if can_be_kept(shown.asked.tried) and not shown.form.told else [],
        "asked": query.urlencode(),
    }


def _patch(shown: Shown, address: Callable[[View], str], said: str) -> dict[str, Any]:
    """The patch and its size, corrected where it was measured on this screen."""
    asked = shown.asked
    view = patch_view(
        shown.picture, ON_SCREEN, asked.sight, across_cm=max(0.0, asked.across_cm), along_cm=max(0.0, asked.along_cm)
    )
    wide, high = size_mm(view)
    larger = wide / asked.measured_mm if asked.measured_mm else 1.0
    svg = patch_svg(address(view), (wide, high), said, shown_mm=(wide * larger, high * larger))
    return {"svg": svg, "wide": f"{wide:.1f}", "high": f"{high:.1f}", "corrected": asked.measured_mm is not None}


def _after(request: HttpRequest, found: Project) -> HttpResponse:
    """The page after a change; without script, by going back to it."""
    if fragment_asked(request):
        return _page(request, found, {})
    response: HttpResponse = redirect("cloth", key=found.pk)
    response.status_code = 303
    return response
