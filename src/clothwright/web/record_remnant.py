"""A remnant measured from a photograph: its outline, corrected by markers or a sheet beside it, written into the record."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST
from shapely.geometry import Polygon

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.pattern import DrawingRefused
from clothwright.pattern.photographs.seeing import MAX_BYTES
from clothwright.pattern.photographs.tracing import TracedBy, Tracing, trace
from clothwright.project import Problem, ProblemsFound
from clothwright.project.record_parts import RemnantPart
from clothwright.sheets import remnant_outline_svg
from clothwright.web.apart import TRACING_S, read_apart
from clothwright.web.fetching import get_project
from clothwright.web.typed import Tree, put, rows

#: The corners a remnant is kept by, and how far its outline may be simplified to that, cm.
_MOST_CORNERS: Final = 60
_SIMPLER_CM: Final = (0.1, 0.2, 0.4, 0.8, 1.6)


@require_POST
def measure(request: HttpRequest, key: UUID) -> HttpResponse:
    """Measure a remnant from a photograph and write its outline into the record; or say why not."""
    from clothwright.web.record_page import shown

    found, upload = get_project(key), request.FILES.get("remnant")
    name, sheet = request.POST.get("name", "").replace("\0", "").strip()[:80], request.POST.get("sheet", "")
    try:
        traced = _traced(upload.read(MAX_BYTES + 1) if upload else b"", sheet)
        _keep(found, name or "remnant", corners_of(traced.outline))
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
        return read_apart(_traced_by, content, TracedBy.read(sheet), seconds=TRACING_S)
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(("remnant",), sentence) for sentence in refusal.problems)) from None


def _traced_by(content: bytes, sheet: TracedBy) -> Tracing:
    return trace(content, sheet=sheet)


def corners_of(outline: Sequence[tuple[float, float]]) -> list[list[str]]:
    """An outline on the page (y downwards) as corners across and along, few enough to be kept and read."""
    shape = Polygon(outline)
    for within in _SIMPLER_CM:
        simpler = shape.simplify(within)
        if len(simpler.exterior.coords) <= _MOST_CORNERS + 1:
            break
    left, _, _, low = simpler.bounds
    points = list(simpler.exterior.coords)[:_MOST_CORNERS]
    points = points[:-1] if points[0] == points[-1] else points
    return [[f"{x - left:.1f} cm", f"{low - y:.1f} cm"] for x, y in points]


def _keep(found: Project, name: str, corners: list[list[str]]) -> None:
    tree = copy.deepcopy(store.head(found).tree)
    there = rows(tree, ("record", "remnant"))
    put(tree, ("record", "remnant"), [*there, {"name": name, "outline": corners}])
    store.change(found, tree, f"remnant {name}, measured from a photograph")


def remnant_context(tree: Tree) -> dict[str, Any]:
    """The remnants that have an outline, drawn, and the ways a photograph is corrected."""
    return {"ways": list(TracedBy), "remnants": _drawn(tree)}


def _drawn(tree: Tree) -> list[str]:
    imperial, drawn = tree.get("units") == "imperial", []
    for one in rows(tree, ("record", "remnant")):
        try:
            part = RemnantPart.model_validate(one)
        except ValueError:
            continue
        if part.outline:
            drawn.append(remnant_outline_svg(part.name, part.corners, imperial=imperial))
    return drawn
