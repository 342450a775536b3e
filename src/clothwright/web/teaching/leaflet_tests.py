"""Test weavers of a leaflet: a project for each, whose record is typed from her sheet, and what hers say beside what was told."""

from __future__ import annotations

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from clothwright.library import store
from clothwright.planning import Leaflet, LeafletRow
from clothwright.project.teaching.testing import project_of_test
from clothwright.web.fetching import get_project
from clothwright.web.teaching.leaflets import answered, tried


@require_POST
def begin(request: HttpRequest, key: UUID) -> HttpResponse:
    """A project for a test weaver's cloth; its record is where her sheet is typed."""
    found, weaver = get_project(key), request.POST.get("weaver", "").strip()[:80]
    revision = store.head(found)
    made = answered(revision).leaflet
    row = _row(made, request.POST.get("row", "")) if made else None
    if made is None or row is None or not weaver:
        return redirect(f"{reverse('leaflet', args=[found.pk])}#tests")
    begun = store.new_project(
        project_of_test(revision.tree, tried(made, row, weaver)), f"begun for {weaver}, a test weaver"
    )
    return redirect("type_sheet", key=begun.pk, kind="test-weaver")


def _row(made: Leaflet, number: str) -> LeafletRow | None:
    return made.rows[int(number)] if number.isdecimal() and int(number) < len(made.rows) else None
