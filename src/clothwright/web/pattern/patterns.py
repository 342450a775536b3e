"""The pages of a project's pattern: its pieces and what looks wrong in them, their sheets, and tracing a photograph."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.pattern import (
    Check,
    DrawingRefused,
    Fault,
    Piece,
    Ring,
    TracedBy,
    Tracing,
    check_every_size,
    outline_svg,
    read_drawing,
    trace,
    with_point,
)
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project import Project as Document
from clothwright.project.pattern.garment import every_piece, faults, pieces_to_print
from clothwright.project.pattern.pattern_state import pattern_state
from clothwright.sheets.wording import LENGTH, literal
from clothwright.web.answering import fragment_asked, pressed
from clothwright.web.apart import TRACING_S, read_apart
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import read_posted
from clothwright.web.forms.typed import Filled, put, rows, with_row
from clothwright.web.showing import is_imperial

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
        (every, notes), found_faults = _pieces(revision, looking=True), _faults(revision)
    except ProblemsFound as wrong:
        return render(request, "clothwright/pieces.html", context | {"problems": wrong.problems})
    imperial = is_imperial(revision)
    shown = [_shown(piece, imperial) for piece in every]
    context |= {"pieces": shown, "checks": check_every_size(every), "notes": notes}
    context["changed"] = bool(rows(revision.tree, ("pattern", "change")))
    context |= {"faults": [_shown_fault(fault) for fault in found_faults]}
    return render(request, "clothwright/pieces.html", context)


def _pieces(revision: Revision, *, looking: bool = False) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of what was typed of the pattern; the rest of the project may still be unsettled."""
    return every_piece(_pattern_of(revision), store.drawings_of(revision), looking=looking)


def _faults(revision: Revision) -> tuple[Fault, ...]:
    return faults(_pattern_of(revision), store.drawings_of(revision))


def _pattern_of(revision: Revision) -> Document:
    tree = Filled.of(revision.tree).tree
    told: dict[str, Any] = {part: tree[part] for part in ("units", "pattern") if part in tree}
    return read_project(told)


@dataclass(frozen=True)
class ShownFault:
    """A fault as the page shows it: the check, its picture, and the button that mends it where that is certain."""

    check: Check
    picture: str
    do: str
    button: str


def _shown_fault(fault: Fault) -> ShownFault:
    picture = (
        sheets.outline_picture_svg(fault.piece, fault.line, closed=fault.closed, at=fault.at) if fault.line else ""
    )
    if fault.scale_cm is not None:
        return ShownFault(
            fault.check, picture, "scale", f"Take one unit of the drawing as {_unit_text(fault.scale_cm)}"
        )
    if fault.may_close:
        return ShownFault(fault.check, picture, f"close {fault.piece}", f"Close {fault.piece} with a straight side")
    return ShownFault(fault.check, picture, "", "")


def _unit_text(cm: float) -> str:
    """A small length as text that is read back as true as it was."""
    return f"{cm * 10:.6f}".rstrip("0").rstrip(".") + " mm"


@require_POST
def mend(request: HttpRequest, key: UUID) -> HttpResponse:
    """Take a mend that is certain: state the scale, or close an open outline."""
    found = get_project(key)
    revision, do = store.head(found), request.POST.get("do", "")
    tree = read_posted(revision.tree, {})
    try:
        fault = next((one for one in _faults(revision) if do and _shown_fault(one).do == do), None)
    except ProblemsFound:
        fault = None
    if fault is not None:
        store.change(found, _mended(tree, fault), _shown_fault(fault).button.lower())
    return redirect("pieces", key=found.pk)


def _mended(tree: dict[str, Any], fault: Fault) -> dict[str, Any]:
    if fault.scale_cm is not None:
        put(tree, ("pattern", "scale"), _unit_text(fault.scale_cm))
        return tree
    marks = rows(tree, ("pattern", "mark"))
    known = (number for number, row in enumerate(marks) if isinstance(row, dict) and row.get("piece") == fault.piece)
    number = next(known, None)
    if number is None:
        return with_row(tree, ("pattern", "mark"), {"piece": fault.piece, "close": True})
    put(tree, ("pattern", "mark", number, "close"), True)
    return tree


def to_print(revision: Revision, *, show_before: bool, paper: str | None = None) -> sheets.ToPrint:
    """The pieces to print, what is said of the pattern on them, and on what paper; ProblemsFound where they cannot be."""
    document, drawings = _pattern_of(revision), store.drawings_of(revision)
    printed, state = pieces_to_print(document, drawings), pattern_state(document, drawings)
    said = sheets.OfPattern(state.words if state else "", printed.was if show_before else ())
    return sheets.ToPrint(tuple(printed.pieces), revision.project.name, said, paper if paper in sheets.PAPERS else None)


def _shown(piece: Piece, imperial: bool) -> ShownPiece:
    cut = f"{piece.cut}{', half of them mirrored' if piece.pair else ''}"
    around = LENGTH.text(piece.around_cm, imperial=imperial)
    facts = [("Cut", cut), ("From", piece.material), ("Once round", around)]
    belongs = ", ".join(filter(None, (piece.size, piece.version)))
    facts += [("Size", belongs)] if belongs else []
    facts += [("Allowance added", LENGTH.text(piece.allowance_cm, imperial=imperial))] if piece.allowance_cm else []
    seams = Counter((f"Seam {e.seam}", LENGTH.text(e.length_cm, imperial=imperial)) for e in piece.edges if e.seam)
    facts += [(seam, f"{long}, {times} times" if times > 1 else long) for (seam, long), times in seams.items()]
    return ShownPiece(literal(piece.name), sheets.piece_svg(piece, imperial=imperial), tuple(facts))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def traced(request: HttpRequest, key: UUID) -> HttpResponse:
    """Trace a photograph; show the outline over it; take the outline, as corrected, as the project's drawing."""
    found = get_project(key)
    context: dict[str, Any] = {"project": found, "ways": list(TracedBy), "name": request.POST.get("name", "piece")}
    context["replaces"] = _drawing_used(found)
    if request.method != "POST":
        return render(request, "clothwright/trace.html", context)
    try:
        if "photo" in request.FILES:
            return render(request, "clothwright/trace.html", context | _of_photo(request))
        outline = _corners(request.POST.get("corners", ""))
        if (do := _pressed(request)) == "use":
            return _use(request, found, outline)
        changed = corrected(outline, do, request.POST)
        return _outline(request, context | _over(changed, request))
    except DrawingRefused as refusal:
        problems = [Problem((), sentence) for sentence in refusal.problems]
        typed = {key: request.POST.get(key, "") for key in ("corners", "flat", "flat_cm", "point")}
        return _outline(request, context | typed | {"problems": problems}, status=422)


def _drawing_used(found: Project) -> str:
    """The name of the project's drawing; "" where it has none."""
    pattern = Filled.of(store.head(found).tree).tree.get("pattern")
    return str(pattern.get("file", "")) if isinstance(pattern, dict) else ""


def _pressed(request: HttpRequest) -> str:
    return pressed(request) if fragment_asked(request) else request.POST.get("do", "show")


def _outline(request: HttpRequest, context: dict[str, Any], status: int = 200) -> HttpResponse:
    """The page, or the outline alone where the script of the page asks, which shows what it gets only as answered."""
    if fragment_asked(request):
        return render(request, "clothwright/trace_outline.html", context | {"fragment": True})
    return render(request, "clothwright/trace.html", context, status=status)


def corrected(outline: Ring, do: str, typed: Mapping[str, str]) -> Ring:
    """The outline with the corner asked for taken away, or a new one put on the side it lies nearest to."""
    if do == "take":
        number = _corner_number(typed, len(outline))
        return (*outline[: number - 1], *outline[number:])
    if do != "add":
        return outline
    place = _PAIR.fullmatch(
        f"{typed.get('at.across', '').removesuffix(' cm')}, {typed.get('at.down', '').removesuffix(' cm')}"
    )
    if place is not None:
        return with_point(outline, (float(place[1]), float(place[2])))
    number = _corner_number(typed, len(outline))
    (x, y), (u, v) = outline[number - 1], outline[number % len(outline)]
    return (*outline[:number], ((x + u) / 2, (y + v) / 2), *outline[number:])


def _corner_number(typed: Mapping[str, str], count: int) -> int:
    text = typed.get("point", "").strip()
    if not text.isdecimal() or not 1 <= int(text[:6]) <= count:
        raise DrawingRefused([f"“{text[:40]}” is no corner; write a number from 1 to {count}, as in the picture."])
    return int(text)


def _of_photo(request: HttpRequest) -> dict[str, Any]:
    upload = request.FILES.get("photo")
    if upload is None or (upload.size or 0) > LARGEST_PHOTO:
        raise DrawingRefused([f"The photograph is larger than {LARGEST_PHOTO // 1_000_000} MB, the most that is read."])
    sheet = TracedBy.read(request.POST.get("sheet", ""))
    try:
        tracing = read_apart(_traced_by, upload.read(), sheet, seconds=TRACING_S)
    except ProblemsFound as wrong:
        raise DrawingRefused([f"The photograph: {wrong}."]) from None
    return _shown_tracing(tracing)


def _traced_by(content: bytes, sheet: TracedBy) -> Tracing:
    return trace(content, sheet=sheet)


def _shown_tracing(tracing: Tracing) -> dict[str, Any]:
    size = tracing.flat_cm[2:]
    return {
        "picture": sheets.traced_svg(tracing.outline, tracing.flat_uri, size),
        "corners": _as_text(tracing.outline),
        "flat": tracing.flat_uri,
        "flat_cm": f"{size[0]:.4f}, {size[1]:.4f}",
        "notes": tracing.notes,
        "size": _size(tracing.outline),
    }


def _over(outline: Ring, request: HttpRequest) -> dict[str, Any]:
    """The same page with the outline as it was corrected."""
    flat, size = request.POST.get("flat", ""), _PAIR.fullmatch(request.POST.get("flat_cm", ""))
    same = outline == _corners(request.POST.get("corners", ""))
    corners = request.POST.get("corners", "") if same else _as_text(outline)
    shown = {"corners": corners, "size": _size(outline), "point": request.POST.get("point", "")}
    if size is None or not _PHOTO.fullmatch(flat) or min(float(size[1]), float(size[2])) <= 0:
        return shown
    picture = sheets.traced_svg(outline, flat, (float(size[1]), float(size[2])))
    return shown | {"picture": picture, "flat": flat, "flat_cm": request.POST["flat_cm"]}


def _as_text(outline: Ring) -> str:
    return "\n".join(f"{x:.2f}, {y:.2f}" for x, y in outline)


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
