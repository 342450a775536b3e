"""A remnant measured from a photograph: its outline, corrected by markers or a sheet beside it, written into the record."""

from __future__ import annotations

import copy
from typing import Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.library.record.record_notes import rows_of_record
from clothwright.pattern import DrawingRefused
from clothwright.pattern.photographs.seeing import MAX_BYTES
from clothwright.pattern.photographs.tracing import TracedBy, Tracing, trace
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.remnant_shape import corners_kept
from clothwright.web.apart import read_apart
from clothwright.web.fetching import get_project
from clothwright.web.record.record_page import shown

#: How much processor time a photograph may take.
_SECONDS: Final = 60.0


@require_POST
def measure(request: HttpRequest, key: UUID) -> HttpResponse:
    """Measure a remnant from a photograph and write its outline into the record; or say why not."""
    found, upload = get_project(key), request.FILES.get("remnant")
    name, sheet = request.POST.get("name", "").replace("\0", "").strip()[:80], request.POST.get("sheet", "")
    try:
        traced = _traced(upload.read(MAX_BYTES + 1) if upload else b"", sheet)
        _keep(found, name or "remnant", corners_kept(traced.outline))
    except ProblemsFound as wrong:
        said = " ".join(one.sentence for one in wrong.problems)
        return shown(
            request,
            found,
            more={"remnant_problem": said, "typed_remnant": name, "sheet": sheet},
            notice=said,
            status=422,
        )
    return redirect(f"{reverse('record', args=[found.pk])}#remnants")


def _traced(content: bytes, sheet: str) -> Tracing:
    try:
        return read_apart(_trace, content, TracedBy.read(sheet), seconds=_SECONDS)
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(("remnant",), sentence) for sentence in refusal.problems)) from None


def _trace(content: bytes, sheet: TracedBy) -> Tracing:
    return trace(content, sheet=sheet)


def _keep(found: Project, name: str, corners: list[list[str]]) -> None:
    tree = copy.deepcopy(store.head(found).tree)
    there = rows_of_record(tree, "remnant")
    tree["record"]["remnant"] = [*there, {"name": name, "outline": corners}]
    store.change(found, tree, f"remnant {name}, measured from a photograph")
