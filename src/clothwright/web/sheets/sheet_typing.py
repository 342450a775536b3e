"""From paper back: a filled sheet typed in the order in which it is printed, its photograph beside the fields.

The fields are those of the project's pages, put in the order of the sheet by `sheets/asked.py` and called as they are called there.
A photograph is looked at while typing and kept only as long as the program runs; it is no part of the project.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, partial
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.shelves.photos import LARGEST_PHOTO, written_anew
from clothwright.project import ProblemsFound
from clothwright.sheets import ASKED, BY_KIND, AskPart, AskRows, AskSheet
from clothwright.web import planned
from clothwright.web.answering import Shown, pressed, show
from clothwright.web.apart import read_apart
from clothwright.web.fetching import get_project
from clothwright.web.forms.field import Field, Group, Part, Rows, Section
from clothwright.web.forms.fields import SECTIONS, UNITS
from clothwright.web.forms.finish_fields import FINISH
from clothwright.web.forms.form import FieldTable, Form
from clothwright.web.forms.record_fields import STAGES as RECORD_STAGES
from clothwright.web.forms.typed import at
from clothwright.web.forms.typed_page import PART, keep_typed, page_context, undone
from clothwright.web.latest import Latest

#: Sheets whose page of their own has their order already, by the name of its address.
_PAGES_OF_THEIR_OWN: Final = {"loom-log": "at_loom", "threading": "threading"}
#: The card of a sample has the order of the section of that name.
_AS_THE_SECTION: Final = {"sample-card": "samples"}
#: What the sheet “Measuring your yarn” asks of each yarn, in its order.
_MEASURED: Final = ("yarn.*.name", "yarn.*.wraps", "yarn.*.wraps_taken", "yarn.*.grist", "yarn.*.balls")
#: Her sheet is typed in a project of her own, which the page of the leaflet begins.
_TEST: Final = "test-weaver"
_photos: Latest[bytes] = Latest(8)


def typed_on(kind: str, key: UUID) -> str:
    """The address of the page on which a filled sheet of a project is typed in."""
    own = _PAGES_OF_THEIR_OWN.get(kind)
    return reverse(own, args=[key]) if own else reverse("type_sheet", args=[key, kind])


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """The page; a post keeps what was typed, or shows a photograph of the sheet beside it."""
    found = get_project(key)
    if kind not in BY_KIND or not BY_KIND[kind].typed or kind in _PAGES_OF_THEIR_OWN:
        raise Http404
    if kind == _TEST and not at(store.head(found).tree, ("record", "test_of")):
        return redirect(f"{reverse('leaflet', args=[key])}#tests")
    if request.method != "POST":
        return _page(request, found, kind)
    verb, _, name = pressed(request).partition(" ")
    if undone(found, verb):
        return _page(request, found, kind, whole=True)
    if verb in ("look", "away"):
        return _photographed(request, found, kind, away=verb == "away")
    return keep_typed(request, found, (verb, name), table(kind), partial(_page, request, found, kind))


@require_safe
@never_cache
def photo(_request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """The photograph that is looked at."""
    content = _photos.get((key, kind))
    if not content:
        raise Http404
    return HttpResponse(content, content_type="image/jpeg")


def _photographed(request: HttpRequest, found: Project, kind: str, *, away: bool) -> HttpResponse:
    if away:
        _photos.put((found.pk, kind), b"")
        return _page(request, found, kind, notice="The photograph is put away.", whole=True)
    sent = request.FILES.get("photo")
    try:
        if sent is None:
            return _page(request, found, kind, notice="No photograph came: choose one first.", whole=True, status=422)
        content = sent.read(LARGEST_PHOTO + 1)
        _photos.put((found.pk, kind), read_apart(written_anew, content, sent.name or "photo").content)
    except ProblemsFound as wrong:
        told = "; ".join(one.sentence for one in wrong.problems)
        return _page(request, found, kind, notice=f"{told}.", whole=True, status=422)
    return _page(request, found, kind, notice="The photograph stands beside the fields.", whole=True)


def _page(request: HttpRequest, found: Project, kind: str, **how: Any) -> HttpResponse:
    revision = store.head(found)
    here = reverse("type_sheet", args=[found.pk, kind])

    def context() -> dict[str, Any]:
        form = Form(revision.tree, planned.answer(revision).problems, table(kind))
        return page_context(found, revision, form, here, "sheet_beside.html") | {
            "sheet": BY_KIND[kind],
            "seen": bool(_photos.get((found.pk, kind))),
            "on_paper": on_paper_only(ASKED[kind]) if kind in ASKED else [],
        }

    return show(request, Shown("sheet_typing.html", PART, here, context), **how)


# --- the fields in the order of the sheet ------------------------------------------------------------------------


@cache
def table(kind: str) -> FieldTable:
    """The fields of a sheet, in the order in which it is printed."""
    if kind in _AS_THE_SECTION:
        return FieldTable(tuple(section for section in SECTIONS if section.key == _AS_THE_SECTION[kind]))
    return FieldTable((_measured(),)) if kind not in ASKED else _as_asked(ASKED[kind])


def _measured() -> Section:
    """Wraps, weighings and balls of every yarn."""
    parts = (UNITS, replace(_rows_of("yarn"), parts=tuple(part for path in _MEASURED for part in _known()[path])))
    return Section("measured", "Measuring your yarn", "", parts)


def _as_asked(sheet: AskSheet) -> FieldTable:
    sections: list[Section] = []
    each = False
    for number, part in enumerate(sheet.parts):
        if part.each and each:
            continue
        each = each or bool(part.each)
        parts = _of_each(sheet, part.each) if part.each else _of_part(part)
        if parts:
            sections.append(Section(f"part-{number}", part.title or sheet.title, " ".join(part.says), parts))
    first, *rest = sections
    return FieldTable((replace(first, parts=(UNITS, *first.parts)), *rest))


def on_paper_only(sheet: AskSheet) -> list[str]:
    """The boxes of a sheet that the project has no place for."""
    return [
        ask.label
        for part in sheet.parts
        for ask in (*part.asks, *(part.rows.columns if part.rows else ()))
        if not ask.path
    ]


def _of_part(part: AskPart) -> tuple[Part, ...]:
    fields = tuple(_field(ask.path, ask.label) for ask in part.asks if ask.path)
    return (*fields, *((_rows(part.rows),) if part.rows else ()))


def _rows(rows: AskRows) -> Rows:
    """The rows of a table, with its columns and no others."""
    fields = tuple(_field(ask.path, ask.label) for ask in rows.columns if ask.path)
    return replace(_rows_of(rows.path), parts=fields, small=True, help="")


def _of_each(sheet: AskSheet, path: str) -> tuple[Part, ...]:
    """The parts of a sheet that stand again for every row of a list, as one row of the page."""
    groups = tuple(
        Group(part.title, _of_part(part), " ".join(part.says))
        for part in sheet.parts
        if part.each == path and _of_part(part)
    )
    return (replace(_rows_of(path), parts=groups, help=""),)


def _field(path: str, label: str) -> Field:
    """The project's field of a place, called as on the sheet."""
    field = next(part for part in _known()[path] if isinstance(part, Field))
    return replace(field, label=label, american="", only_where_given=False)


@cache
def _known() -> dict[str, list[Field | Rows]]:
    """Every field and list of rows of the project's page, by its place, which may have one of each."""
    found: dict[str, list[Field | Rows]] = {}
    for section in (*SECTIONS, *RECORD_STAGES, *FINISH):
        for part in _every(section.parts):
            found.setdefault(part.path, []).append(part)
    return found


def _rows_of(path: str) -> Rows:
    return next(part for part in _known()[path] if isinstance(part, Rows))


def _every(parts: tuple[Part, ...]) -> Iterator[Field | Rows]:
    for part in parts:
        if isinstance(part, Field | Rows):
            yield part
        if not isinstance(part, Field):
            yield from _every(part.parts)
