"""The sheets: chosen by their first pages, printed filled or to fill in, ordinary or large, and found again by the code on them."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.project import ProblemsFound
from clothwright.sheets import BY_KIND, How, Need, Opens, Sheet, draw, preview, staged
from clothwright.web.answering import on_paper
from clothwright.web.fetching import get_project, slug
from clothwright.web.latest import Latest
from clothwright.web.sheets.sheet_given import Given, settled_on
from clothwright.web.sheets.sheet_typing import typed_on
from clothwright.web.showing import is_imperial

#: Letters of a project's key that a code names it by.
_KEY_LETTERS = 6
_previews: Latest[bytes] = Latest(120)


@require_safe
@never_cache
def sheet(request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """A sheet on paper, with `large` and `blank` as asked; back to the page where it is settled while it is not."""
    found, row = get_project(key), _known(kind)
    revision = store.head(found)
    how = How(today(), is_imperial(revision), "large" in request.GET, _opens(request, found, row))
    if "blank" in request.GET or not row.filled:
        return _blank(row, how)
    try:
        made = draw(row, Given(revision, request.GET), how)
    except ProblemsFound:
        return redirect(settled_on(row), key=found.pk)
    return on_paper(made, f"{slug(found)}-{kind}")


@require_safe
@never_cache
def blank_sheet(request: HttpRequest, kind: str) -> HttpResponse:
    """A sheet to fill in, of no project yet."""
    row = _known(kind)
    how = How(today(), "inches" in request.GET, "large" in request.GET)
    return _blank(row, how)


@require_safe
@never_cache
def sheet_preview(_request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """The first page of a project's sheet, small; to fill in where it is not settled, else a word that says so."""
    found, row = get_project(key), _known(kind)
    revision = store.head(found)
    how = How(today(), is_imperial(revision))
    if not row.filled:
        return _picture(("blank", row.kind, how), lambda: preview(row, None, how))
    try:
        mark = (revision.pk, row.kind, how)
        return _picture(mark, lambda: preview(row, Given(revision, {}), how))
    except ProblemsFound:
        return render(_request, "clothwright/sheet_unsettled.svg", {"needs": _needs(row)}, content_type="image/svg+xml")


@require_safe
@never_cache
def blank_preview(_request: HttpRequest, kind: str) -> HttpResponse:
    """The first page of a sheet to fill in, small."""
    row = _known(kind)
    if not row.blank:
        raise Http404
    how = How(today())
    return _picture(("blank", row.kind, how), lambda: preview(row, None, how))


@require_safe
@never_cache
def picker(request: HttpRequest, key: UUID) -> HttpResponse:
    """Every sheet of a project, by its first page."""
    found = get_project(key)
    stages = [(stage.value, [_shown(row, found) for row in of_stage]) for stage, of_stage in staged().items()]
    return render(request, "clothwright/sheets.html", {"project": found, "stages": stages})


@require_safe
@never_cache
def all_sheets(request: HttpRequest) -> HttpResponse:
    """The sheets to fill in, the projects whose sheets can be printed, and the place for the code on a sheet."""
    code = request.GET.get("code", "").strip()
    opened = _opened(code) if code else None
    if opened:
        return redirect(opened)
    stages = [
        (stage.value, blanks)
        for stage, of_stage in staged().items()
        if (blanks := [row for row in of_stage if row.blank])
    ]
    context = {"stages": stages, "projects": store.projects(), "code": code, "kind": _kind_of(code)}
    return render(request, "clothwright/all_sheets.html", context, status=404 if code and not context["kind"] else 200)


# --- codes -------------------------------------------------------------------------------------------------------


def code_of(found: Project, row: Sheet) -> str:
    """The short code of a project's sheet: its kind, and the first letters of the project's key."""
    return f"{row.kind} {found.pk.hex[:_KEY_LETTERS]}"


def _opens(request: HttpRequest, found: Project, row: Sheet) -> Opens | None:
    if not row.typed:
        return None
    return Opens(code_of(found, row), request.build_absolute_uri(reverse("type_sheet", args=[found.pk, row.kind])))


def _kind_of(code: str) -> str:
    """The kind of sheet a code names, if any such is typed in."""
    kind = code.lower().split(" ")[0] if code else ""
    return kind if kind in BY_KIND and BY_KIND[kind].typed else ""


def _opened(code: str) -> str | None:
    """The address a code opens; None where it names no project, or more than one."""
    kind, key = _kind_of(code), code.lower().split(" ")[-1]
    if not kind or len(key) != _KEY_LETTERS:
        return None
    found = [one for one in store.projects() if one.pk.hex.startswith(key)]
    return typed_on(kind, found[0].pk) if len(found) == 1 else None


# --- what is shown -----------------------------------------------------------------------------------------------


def today() -> datetime.date:
    """The day by the clock of this machine."""
    return datetime.datetime.now().astimezone().date()


def _known(kind: str) -> Sheet:
    if kind not in BY_KIND:
        raise Http404
    return BY_KIND[kind]


def _blank(row: Sheet, how: How) -> HttpResponse:
    if not row.blank:
        raise Http404
    return on_paper(draw(row, None, how), f"{row.kind}-blank")


def _needs(row: Sheet) -> str:
    return " and ".join(need.value for need in row.needs[:1])


def _shown(row: Sheet, found: Project) -> dict[str, object]:
    return {
        "row": row,
        "needs": _needs(row),
        "settled_on": reverse(settled_on(row), args=[found.pk])
        if row.filled and Need.PROJECT not in row.needs[:1]
        else "",
        "typed_on": typed_on(row.kind, found.pk) if row.typed else "",
        "code": code_of(found, row) if row.typed else "",
    }


def _picture(mark: tuple[object, ...], make: Callable[[], bytes]) -> HttpResponse:
    """A picture, kept while the program runs."""
    made = _previews.get(mark) or _previews.put(mark, make())
    return HttpResponse(made, content_type="image/png")
