"""The pages of what is on hand: the shelves of yarns, looms and samples, and each of them by itself."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from functools import partial
from pathlib import PurePath
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright.cloth import structures
from clothwright.library.files import LARGEST_DRAWING
from clothwright.library.models import OnHand, OnHandState, Photo
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept, Tree, part_of
from clothwright.library.shelves.photos import LARGEST_PHOTO, keep_photo, photo, photos_of, written_anew
from clothwright.library.shelves.sample_search import found as is_found
from clothwright.library.shelves.sample_search import read_search
from clothwright.library.shelves.yarn_csv import (
    COLUMNS,
    EXAMPLE,
    LARGEST_TABLE,
    kept_tree,
    read_yarn_table,
    row_of,
    yarn_table,
)
from clothwright.project import ProblemsFound
from clothwright.project.sampling import corners_drawn
from clothwright.web.answering import Shown, download, pressed, show
from clothwright.web.apart import read_apart
from clothwright.web.forms.fields import LOOM_ALONE, SAMPLE_ALONE, SAMPLE_YARNS, YARN_ALONE
from clothwright.web.forms.form import FieldTable, Form, change_in_words, read_posted
from clothwright.web.forms.row_buttons import ROW_VERBS, row_pressed
from clothwright.web.shelves.stock import Reckoned, reckoned, swatch, typed_of

MOVED: Final = (
    "This was changed somewhere else meanwhile, in another tab or window. "
    "What you see here now counts; the other change is kept in the history."
)


@dataclass(frozen=True)
class Shelf:
    """The words and the fields of one kind of thing on hand."""

    title: str
    one: str
    intro: str
    empty: str
    such_as: str
    answer: str
    needs: str
    table: FieldTable


SHELVES: Final = {
    Kept.YARN: Shelf(
        title="Yarn on hand",
        one="yarn",
        intro="Every yarn or lot, kept outside any project. A project takes a copy of it, as typed.",
        empty="No yarn yet. Type in the first one, or bring a whole list in.",
        such_as="such as: slate tide, second shearing",
        answer="What there is",
        needs="Metres need balls that were weighed or metered, and their length per weight. The rest can be left out.",
        table=FieldTable((YARN_ALONE,), (0,)),
    ),
    Kept.LOOM: Shelf(
        title="Looms and heddles",
        one="loom",
        intro="Every loom with its heddles (reeds), kept outside any project. A project takes a copy of it, as typed.",
        empty="No loom yet. Type in the first one.",
        such_as="such as: the window loom",
        answer="What it offers",
        needs="A loom needs a name. The rest can be left out.",
        table=FieldTable((LOOM_ALONE,)),
    ),
    Kept.SAMPLE: Shelf(
        title="Samples",
        one="sample",
        intro="Every sample, kept outside any project with its yarn, outlines and photos. A project takes a copy of it, as typed.",
        empty="No sample yet. Type in the first one, or keep one from a project.",
        such_as="such as: tide-pool square",
        answer="What it tells",
        needs="A sample needs a yarn with a name, its heddle, and a size in two states. The rest can be left out.",
        table=FieldTable((SAMPLE_ALONE, SAMPLE_YARNS), (0,)),
    ),
}


@require_safe
@never_cache
def shelf(request: HttpRequest, kind: Kept) -> HttpResponse:
    """Everything of one kind, those put away below."""
    context = shelf_context(kind)
    context["just_away"] = next((one for one in context["away"] if str(one.pk) == request.GET.get("away", "")), None)
    if kind == Kept.SAMPLE:
        context |= _searched(request, context["things"])
    return render(request, "clothwright/shelf.html", context)


def _searched(request: HttpRequest, things: list[dict[str, Any]]) -> dict[str, Any]:
    """The samples looked for, and what was asked."""
    search = read_search(*(request.GET.get(name, "").strip()[:100] for name in ("yarn", "sett", "structure")))
    shown = [thing for thing in things if is_found(on_hand.head(thing["one"]).tree, search)]
    asked = {name: getattr(search, name) for name in ("yarn", "sett", "structure", "problem", "asked")}
    return {"things": shown, "search": asked | {"structures": [one.name for one in structures()]}}


def shelf_context(kind: Kept) -> dict[str, Any]:
    """What a shelf shows."""
    used = on_hand.used_in(kind)
    return {
        "kind": kind,
        "shelf": SHELVES[kind],
        "things": [_listed(one, used) for one in on_hand.listed(kind)],
        "away": on_hand.listed(kind, put_away=True),
        "columns": COLUMNS,
    }


def _listed(one: OnHand, used: dict[str, Any]) -> dict[str, Any]:
    tree = on_hand.head(one).tree
    answer = reckoned(tree, one.kind)
    return {
        "one": one,
        "answer": answer,
        "listed": answer.figures[:2] if one.kind == Kept.YARN else answer.figures,
        "fibre": typed_of(tree, one.kind, "fibre"),
        "photo": next(iter(photos_of(one)), None) if one.kind == Kept.SAMPLE else None,
        "swatch": swatch(tree) if one.kind == Kept.YARN else None,
        "used": used.get(one.name, []),
    }


@require_POST
def new(request: HttpRequest, kind: Kept) -> HttpResponse:
    """Begin with a name."""
    name = request.POST.get("name", "").replace("\0", "").strip()[:200]
    blank: Tree = {"balls": [{}]} if kind == Kept.YARN else {}
    part = {"name": name, **blank} if name else blank
    tree = on_hand.tree_of(kind, part) | ({"yarn": [{}, {}]} if kind == Kept.SAMPLE else {})
    return redirect("thing", kind=kind, key=on_hand.add(kind, tree, "typed in").pk)


@require_POST
def import_yarn(request: HttpRequest) -> HttpResponse:
    """Bring in a table of yarns: keep every row that can be one, and tell of every other."""
    upload = request.FILES.get("table")
    name = PurePath(upload.name or "").name if upload else ""
    try:
        table = read_apart(read_yarn_table, upload.read(LARGEST_TABLE + 1) if upload else b"")
    except ProblemsFound as wrong:
        sentence = wrong.problems[0].sentence if upload else "choose a file that ends in .csv"
        return _reported(request, {"name": name, "refused": sentence}, status=422)
    rows = ((f"brought in from {name}, line {line}", kept_tree(row)) for line, row in table.yarns)
    new, already = on_hand.add_each(Kept.YARN, rows)
    return _reported(request, {"name": name, "new": new, "already": already, "table": table})


def _reported(request: HttpRequest, report: dict[str, Any], status: int = 200) -> HttpResponse:
    context = shelf_context(Kept.YARN) | {"report": report}
    return render(request, "clothwright/shelf.html", context, status=status)


@require_safe
@never_cache
def export_yarn(request: HttpRequest) -> HttpResponse:
    """Every yarn on hand as a table."""
    rows = [row_of(on_hand.head(one).tree) for one in on_hand.listed(Kept.YARN)]
    return _table(yarn_table(rows), "yarn-on-hand.csv")


@require_safe
def example_yarn(request: HttpRequest) -> HttpResponse:
    """A filled example of such a table."""
    return _table(yarn_table(EXAMPLE), "yarn-example.csv")


def _table(text: str, name: str) -> HttpResponse:
    """A table with the mark by which spreadsheets know UTF-8."""
    return download(f"\ufeff{text}".encode(), "text/csv; charset=utf-8", name)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def thing(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """One yarn or loom; a post saves what was typed and says what comes of it."""
    found = _find(kind, key)
    return _changed(request, found) if request.method == "POST" else _page(request, found)


def _find(kind: Kept, key: UUID) -> OnHand:
    try:
        return on_hand.find(kind, key)
    except OnHand.DoesNotExist:
        raise Http404 from None


def _changed(request: HttpRequest, found: OnHand) -> HttpResponse:
    base, table = _posted_base(request, found), SHELVES[Kept(found.kind)].table
    moved = MOVED if base.pk != on_hand.head(found).pk else ""
    verb, _, name = pressed(request).partition(" ")
    tree = read_posted(base.tree, request.POST, table)
    what, focus = change_in_words(base.tree, tree, table), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    units_changed = base.tree.get("units") != tree.get("units")
    on_hand.change(found, tree, what)
    return _page(request, found, notice=moved, focus=focus, whole=verb != "save" or units_changed or bool(moved))


def _posted_base(request: HttpRequest, found: OnHand) -> OnHandState:
    """The state a posted page was showing; the one that counts where it does not say."""
    try:
        return on_hand.state(found, int(request.POST.get("rev", "")))
    except (ValueError, OnHandState.DoesNotExist):
        return on_hand.head(found)


def _page(
    request: HttpRequest, found: OnHand, *, notice: str = "", focus: str = "", whole: bool = False
) -> HttpResponse:
    """The page, or after a change of one field only what changes; a post without script goes back to the page."""
    here = reverse("thing", args=[found.kind, found.pk])
    page = Shown("thing.html", "thing_changed.html", here, partial(_context, found, here))
    return show(request, page, notice=notice, focus=focus, whole=whole)


@require_POST
def add_photo(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Keep a photo of a sample, written anew; or say why not."""
    found, upload = _find(kind, key), request.FILES.get("photo")
    name = PurePath(upload.name or "").name if upload else ""
    try:
        content = upload.read(LARGEST_PHOTO + 1) if upload else b""
        kept = keep_photo(found, content, name, read=partial(read_apart, written_anew))
    except ProblemsFound as wrong:
        return _with_problem(request, found, "photo_problem", wrong)
    _name_photo(found, kept)
    return redirect(f"{reverse('thing', args=[kind, found.pk])}#photos")


def _name_photo(found: OnHand, kept: Photo) -> None:
    """Write the photo's name into the sample, so that the card and the file name it too."""
    tree = copy.deepcopy(on_hand.head(found).tree)
    part = part_of(tree, Kept.SAMPLE)
    there = part.get("photos")
    names = there if isinstance(there, list) else []
    if kept.name not in names:
        part["photos"] = [*names, kept.name]
        on_hand.change(found, tree, f"photo {kept.name}")


def _with_problem(request: HttpRequest, found: OnHand, where: str, wrong: ProblemsFound) -> HttpResponse:
    here = reverse("thing", args=[found.kind, found.pk])
    context = _context(found, here) | {where: " · ".join(one.sentence for one in wrong.problems)}
    return render(request, "clothwright/thing.html", context, status=422)


@require_safe
def thing_photo(request: HttpRequest, kind: Kept, key: UUID, number: int) -> HttpResponse:
    """A photo of a sample."""
    try:
        kept = photo(_find(kind, key), number)
    except Photo.DoesNotExist:
        raise Http404 from None
    headers = {"Cache-Control": "private, max-age=31536000, immutable", "Content-Disposition": "inline"}
    return HttpResponse(bytes(kept.content), content_type="image/jpeg", headers=headers)


@require_POST
def read_outline(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Put the corners of a drawing's outlines into a sample; the drawing itself is not kept."""
    found, upload = _find(kind, key), request.FILES.get("outline")
    name = PurePath(upload.name or "").name if upload else "no drawing"
    try:
        corners = read_apart(corners_drawn, name, upload.read(LARGEST_DRAWING + 1) if upload else b"")
    except ProblemsFound as wrong:
        return _with_problem(request, found, "outline_problem", wrong)
    tree = copy.deepcopy(on_hand.head(found).tree)
    part = part_of(tree, Kept.SAMPLE)
    traced = part.get("traced")
    part["traced"] = (traced if isinstance(traced, dict) else {}) | corners
    on_hand.change(found, tree, f"outlines of the drawing {name}")
    return redirect(f"{reverse('thing', args=[kind, found.pk])}#outline")


def _context(found: OnHand, here: str) -> dict[str, Any]:
    state, kind = on_hand.head(found), Kept(found.kind)
    answer = reckoned(state.tree, kind)
    form = Form(state.tree, answer.problems, SHELVES[kind].table)
    return {
        "kind": kind,
        "shelf": SHELVES[kind],
        "thing": found,
        "revision": state,
        "back_to": on_hand.beside_head(found, back=True),
        "forward_to": on_hand.beside_head(found, back=False),
        "here": here,
        "answer": answer,
        "photos": photos_of(found) if kind == Kept.SAMPLE else [],
        "slim": _slim(answer),
        "form": form,
        "sentences": form.problems_by_key(),
        "used": on_hand.used_in(kind).get(found.name, []),
    }


def _slim(answer: Reckoned) -> str:
    return "Still to be settled" if answer.problems else answer.headline


@require_safe
@never_cache
def history(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Every state, newest first."""
    found = _find(kind, key)
    context = {"kind": kind, "thing": found, "head": on_hand.head(found), "states": on_hand.history(found)}
    return render(request, "clothwright/thing_history.html", context)


@require_POST
def go_to(request: HttpRequest, kind: Kept, key: UUID, number: int) -> HttpResponse:
    """Make an earlier state count again."""
    found = _find(kind, key)
    try:
        on_hand.go_to(found, number)
    except OnHandState.DoesNotExist:
        raise Http404 from None
    return redirect("thing", kind=kind, key=found.pk)


@require_POST
def put_away(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Take it off the shelf."""
    on_hand.put_away(_find(kind, key))
    return redirect(f"{reverse('shelf', args=[kind])}?away={key}")


@require_POST
def bring_back(request: HttpRequest, kind: Kept, key: UUID) -> HttpResponse:
    """Put it back on the shelf."""
    on_hand.bring_back(_find(kind, key))
    return redirect("shelf", kind=kind)
