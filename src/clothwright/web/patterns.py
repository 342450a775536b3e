"""The pages of a project's pattern: its pieces and what looks wrong in them, their sheets, and tracing a photograph."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.pattern import (
    DrawingRefused,
    Piece,
    Ring,
    TracedBy,
    Tracing,
    check_every_size,
    outline_svg,
    read_drawing,
    trace,
)
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project import Project as Document
from clothwright.project.garment import changed_pattern, every_piece
from clothwright.project.pattern_state import pattern_state
from clothwright.sheets.wording import LENGTH, literal
from clothwright.web.fetching import get_project, slug
from clothwright.web.form import read_posted
from clothwright.web.showing import is_imperial
from clothwright.web.typed import Filled, put

LARGEST_PHOTO: Final = 30_000_000
MOST_CORNERS: Final = 3000
_PAIR: Final = re.compile(r"\s*(-?\d{1,4}(?:\.\d{1,6})?)\s*[,;\s]\s*(-?\d{1,4}(?:\.\d{1,6})?)\s*")
_PHOTO: Final = re.compile(r"data:image/jpeg;base64,[A-Za-z0-9+/=]{1,4000000}")


@dataclass(frozen=True)
class ShownPiece:
    """A piece as the page shows it."""

    name: str
    picture: str
    facts: tuple[tuple[str, str], ...]


@require_safe
@never_cache
def pieces(request: HttpRequest, key: UUID) -> HttpResponse:
    """The pieces, drawn, and what looks wrong in them with how to mend it."""
    found = get_project(key)
    revision = store.head(found)
    context: dict[str, Any] = {"project": found, "papers": list(sheets.PAPERS)}
    try:
        every, notes = _pieces(revision)
    except ProblemsFound as wrong:
        return render(request, "clothwright/pieces.html", context | {"problems": wrong.problems})
    imperial = is_imperial(revision)
    shown = [_shown(piece, imperial) for piece in every]
    context |= {"pieces": shown, "checks": check_every_size(every), "notes": notes}
    return render(request, "clothwright/pieces.html", context)


def _pieces(revision: Revision) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of what was typed of the pattern; the rest of the project may still be unsettled."""
    return every_piece(_told(revision), store.drawings_of(revision))


def _told(revision: Revision) -> Document:
    tree = Filled.of(revision.tree).tree
    return read_project({part: tree[part] for part in ("units", "pattern") if part in tree})


def _to_print(revision: Revision, *, show_before: bool) -> tuple[tuple[Piece, ...], sheets.OfPattern]:
    """The pieces to print, and what is said of the pattern on them."""
    document, drawings = _told(revision), store.drawings_of(revision)
    found, state = changed_pattern(document, drawings), pattern_state(document, drawings)
    if found.problems:
        raise ProblemsFound(*found.problems)
    return found.pieces, sheets.OfPattern(state.words if state else "", found.was_chosen if show_before else ())


def _shown(piece: Piece, imperial: bool) -> ShownPiece:
    cut = f"{piece.cut}{', half of them mirrored' if piece.pair else ''}"
    around = LENGTH.text(piece.around_cm, imperial=imperial)
    facts = [("Cut", cut), ("From", piece.material), ("Once round", around)]
    belongs = ", ".join(filter(None, (piece.size, piece.version)))
    facts += [("Size", belongs)] if belongs else []
    facts += [("Allowance added", LENGTH.text(piece.allowance_cm, imperial=imperial))] if piece.allowance_cm else []
    facts += [
        (f"Seam {edge.seam}", LENGTH.text(edge.length_cm, imperial=imperial)) for edge in piece.edges if edge.seam
    ]
    return ShownPiece(literal(piece.name), sheets.piece_svg(piece, imperial=imperial), tuple(facts))


@require_safe
@never_cache
def pieces_sheet(request: HttpRequest, key: UUID) -> HttpResponse:
    """The pieces at true size: tiled on the paper asked for, or on one page."""
    found = get_project(key)
    revision, paper = store.head(found), request.GET.get("paper", "A4")
    how: dict[str, Any] = {"made_on": datetime.datetime.now().astimezone().date(), "imperial": is_imperial(revision)}
    try:
        every, said = _to_print(revision, show_before="before" in request.GET)
        how["pattern"] = said
        if paper in sheets.PAPERS:
            made = sheets.piece_tiles_pdf(every, found.name, paper=paper, **how)
        else:
            made = sheets.piece_page_pdf(every, found.name, **how)
    except ProblemsFound:
        return redirect("pieces", key=found.pk)
    name = f"{slug(found)}-pieces.pdf"
    return HttpResponse(
        made, content_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def traced(request: HttpRequest, key: UUID) -> HttpResponse:
    """Trace a photograph; show the outline over it; take the outline, as corrected, as the project's drawing."""
    found = get_project(key)
    context: dict[str, Any] = {"project": found, "ways": list(TracedBy), "name": request.POST.get("name", "piece")}
    if request.method != "POST":
        return render(request, "clothwright/trace.html", context)
    try:
        if "photo" in request.FILES:
            return render(request, "clothwright/trace.html", context | _of_photo(request))
        outline = _corners(request.POST.get("corners", ""))
        if request.POST.get("do") == "use":
            return _use(request, found, outline)
        return render(request, "clothwright/trace.html", context | _over(outline, request))
    except DrawingRefused as refusal:
        problems = [Problem((), sentence) for sentence in refusal.problems]
        typed = {key: request.POST.get(key, "") for key in ("corners", "flat", "flat_cm")}
        return render(request, "clothwright/trace.html", context | typed | {"problems": problems}, status=422)


def _of_photo(request: HttpRequest) -> dict[str, Any]:
    upload = request.FILES.get("photo")
    if upload is None or (upload.size or 0) > LARGEST_PHOTO:
        raise DrawingRefused([f"The photograph is larger than {LARGEST_PHOTO // 1_000_000} MB, the most that is read."])
    tracing = trace(upload.read(), sheet=TracedBy.read(request.POST.get("sheet", "")))
    return _shown_tracing(tracing)


def _shown_tracing(tracing: Tracing) -> dict[str, Any]:
    size = tracing.flat_cm[2:]
    return {
        "picture": sheets.traced_svg(tracing.outline, tracing.flat_uri, size),
        "corners": "\n".join(f"{x:.2f}, {y:.2f}" for x, y in tracing.outline),
        "flat": tracing.flat_uri,
        "flat_cm": f"{size[0]:.4f}, {size[1]:.4f}",
        "notes": tracing.notes,
        "size": _size(tracing.outline),
    }


def _over(outline: Ring, request: HttpRequest) -> dict[str, Any]:
    """The same page with the outline as it was corrected."""
    flat, size = request.POST.get("flat", ""), _PAIR.fullmatch(request.POST.get("flat_cm", ""))
    shown = {"corners": request.POST.get("corners", ""), "size": _size(outline)}
    if size is None or not _PHOTO.fullmatch(flat) or min(float(size[1]), float(size[2])) <= 0:
        return shown
    picture = sheets.traced_svg(outline, flat, (float(size[1]), float(size[2])))
    return shown | {"picture": picture, "flat": flat, "flat_cm": request.POST["flat_cm"]}


def _size(outline: Ring) -> str:
    xs, ys = zip(*outline, strict=True)
    return f"{LENGTH.text(max(xs) - min(xs))} wide, {LENGTH.text(max(ys) - min(ys))} high"


def _corners(text: str) -> Ring:
    """The corners typed, one a line; DrawingRefused with the line that is none."""
    lines = [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]
    found = [(number, _PAIR.fullmatch(line), line) for number, line in lines]
    wrong = [
        f"Line {number}, “{line.strip()[:40]}”, is no corner; write two numbers, as 12.5, 30."
        for number, pair, line in found
        if pair is None
    ]
    if wrong or not 3 <= len(found) <= MOST_CORNERS:
        raise DrawingRefused(
            wrong[:10] or [f"{len(found)} corners came; an outline has 3 to {MOST_CORNERS}, one a line."]
        )
    return tuple((float(pair[1]), float(pair[2])) for _, pair, _ in found if pair is not None)


def _use(request: HttpRequest, found: Project, outline: Ring) -> HttpResponse:
    """Keep the outline as a drawing, once it has been read back as one piece."""
    name = " ".join(request.POST.get("name", "").split())[:80] or "piece"
    content = outline_svg(outline, name)
    read_drawing(content)
    file = f"{re.sub(r'[^a-z0-9]+', '-', name.lower()).strip('-') or 'piece'}.svg"
    tree = read_posted(store.head(found).tree, {})
    put(tree, ("pattern", "file"), file)
    store.save_drawing(found, file, content, tree, f"traced {name} from a photograph")
    return redirect(f"{reverse('project', args=[found.pk])}#garment")
