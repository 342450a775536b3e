"""Every sheet of a project on paper: filled, or to fill in, in ordinary or large print."""

from __future__ import annotations

import datetime
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clothwright.library import store
from clothwright.project import ProblemsFound
from clothwright.sheets import BY_KIND, How, Sheet, draw
from clothwright.web.answering import on_paper
from clothwright.web.fetching import get_project, slug
from clothwright.web.sheet_given import Given, settled_on
from clothwright.web.showing import is_imperial


@require_safe
@never_cache
def sheet(request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """A sheet on paper, with `large` and `blank` as asked; back to the page where it is settled while it is not."""
    found, row = get_project(key), _known(kind)
    revision = store.head(found)
    how = How(today(), is_imperial(revision), "large" in request.GET)
    if "blank" in request.GET:
        return _blank(row, how)
    try:
        made = draw(row, Given(revision, request.GET), how)
    except ProblemsFound:
        return redirect(settled_on(row), key=found.pk)
    return on_paper(made, f"{slug(found)}-{kind}")


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
