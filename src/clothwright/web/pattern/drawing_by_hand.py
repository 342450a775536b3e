"""The page on which a piece is drawn by hand."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project
from clothwright.pattern import (
    MOST_HAND_CORNERS,
    MOST_HAND_PIECES,
    DrawingRefused,
    HandPiece,
    HandRefused,
    hand_svg,
    hand_table,
    look_at_drawing,
    open_drawing,
    read_hand_piece,
    told,
)
from clothwright.sheets.wording import LENGTH
from clothwright.web.answering import fragment_asked, pressed
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import read_posted
from clothwright.web.forms.typed import put
from clothwright.web.pattern import sketch as sketching
from clothwright.web.pattern.sketch import Sketch, Table
from clothwright.web.showing import is_imperial

_ENDING: Final = ".svg"


class NotSaved(ValueError):
    """A sketch that cannot be saved as a drawing yet; `sentences` say why."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        self.sentences = sentences
        super().__init__(" ".join(sentences))


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def draw(request: HttpRequest, key: UUID) -> HttpResponse:
    """The board; a post takes what was typed and does what was pressed, and shows what comes of it."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found, sketching.read_sketch(store.sketch(found)))
    before, do = sketching.read_sketch(store.sketch(found)), pressed(request)
    try:
        after, left = _after(request, found, before, do)
        store.keep_sketch(found, sketching.written(after))
        if do == "use":
            _use(found, after)
            return _to(request, reverse("pieces", args=[found.pk]))
    except NotSaved as wrong:
        return _page(request, found, sketching.read_sketch(store.sketch(found)), wrong.sentences)
    if fragment_asked(request) or left:
        return _page(request, found, after, left=left)
    return redirect("draw", key=found.pk)


def _after(request: HttpRequest, found: Project, before: Sketch, do: str) -> tuple[Sketch, tuple[str, ...]]:
    """The sketch after a post, and what of an opened drawing was not brought along."""
    unit = _unit(found)
    count = sum(key.startswith("corner.") and key.endswith(".across") for key in request.POST)
    if count > MOST_HAND_CORNERS:
        raise NotSaved((f"{count} corners came; a piece has at most {MOST_HAND_CORNERS}. Nothing was changed.",))
    typed = sketching.stepped(before, sketching.typed(before, request.POST.dict(), unit))
    if do == "open":
        opened, left = _opened(found, request.POST.get("which", ""), unit)
        return sketching.stepped(typed, {**typed, **opened}), left
    after = sketching.step(typed, do, request.POST.dict(), unit)
    return (after if do in ("undo", "redo") else sketching.stepped(typed, after)), ()


def _to(request: HttpRequest, address: str) -> HttpResponse:
    """Go on to another page, also when the script of this one asks."""
    if not fragment_asked(request):
        return redirect(address)
    return HttpResponse(status=204, headers={"HX-Redirect": address})


def _unit(found: Project) -> str:
    return "in" if is_imperial(store.head(found)) else "cm"


# --- opening and saving ------------------------------------------------------------------------------------------


def _opened(found: Project, name: str, unit: str) -> tuple[Sketch, tuple[str, ...]]:
    """The pieces of a drawing of the project, to be drawn on; where some of it stays behind, under another name."""
    drawings = store.drawings_of(store.head(found))
    try:
        opened = open_drawing(drawings[name], name=name) if name in drawings else None
    except DrawingRefused as refusal:
        raise NotSaved(refusal.problems) from None
    if opened is None or not opened.pieces:
        raise NotSaved((f"“{name[:80]}” holds nothing that can be drawn on.", *(opened.left if opened else ())))
    stem = name.removesuffix(_ENDING)
    file = f"{stem} by hand" if opened.left else stem
    tables = [hand_table(piece, unit=unit) for piece in opened.pieces]
    kept = f"What is named here stays in {name}; what you draw is saved as {file}{_ENDING}."
    return {"file": file, "piece": tables, "now": 0}, (*opened.left, kept) if opened.left else ()


def _use(found: Project, sketch: Sketch) -> None:
    """Save the sketch as a drawing, and have the project use it; NotSaved where it cannot be read as pieces."""
    pieces = _every_piece(sketch, _unit(found))
    content = hand_svg(pieces)
    try:
        look_at_drawing(content)
    except DrawingRefused as refusal:
        raise NotSaved(refusal.problems) from None
    name = f"{file_name(sketch['file'] or pieces[0].name)}{_ENDING}"
    tree = read_posted(store.head(found).tree, {})
    put(tree, ("pattern", "file"), name)
    store.save_drawing(found, name, content, tree, f"drew {', '.join(one.name for one in pieces[:5])} by hand")


def file_name(text: str) -> str:
    """A text as the name of a file, without its ending."""
    stem = text.lower().removesuffix(_ENDING)
    return re.sub(r"[^a-z0-9]+", "-", stem).strip("-")[:80] or "pieces"


def _every_piece(sketch: Sketch, unit: str) -> tuple[HandPiece, ...]:
    pieces: list[HandPiece] = []
    wrong: list[str] = []
    for number, table in enumerate(sketch["piece"], 1):
        try:
            pieces.append(read_hand_piece(table, unit=unit))
        except HandRefused as refusal:
            wrong += [f"{table.get('name') or f'piece {number}'}: {one}." for one in told(refusal.problems)]
    names = [piece.name for piece in pieces]
    twice = dict.fromkeys(name for piece in pieces if (name := piece.name) and _clash(piece, pieces))
    wrong += [f"Two pieces are called {name}; give each a name of its own." for name in twice]
    if wrong or not names:
        raise NotSaved(tuple(wrong[:20]))
    return tuple(pieces)


def _clash(piece: HandPiece, pieces: list[HandPiece]) -> bool:
    return sum((one.name, one.size, one.version) == (piece.name, piece.size, piece.version) for one in pieces) > 1


# --- the page ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ShownCorner:
    """A corner with the side behind it, as the page shows it."""

    number: int
    row: Table
    following: int
    length: str
    curve: tuple[tuple[str, str], ...]
    problems: dict[str, str]

    @property
    def index(self) -> int:
        """Its place in the table, from nought."""
        return self.number - 1

    @property
    def index_text(self) -> str:
        """The same as text, for names of fields."""
        return str(self.index)

    @property
    def number_text(self) -> str:
        """Its number as text."""
        return str(self.number)

    @property
    def is_curved(self) -> bool:
        """Whether its side is a curve, or is to become one."""
        return "curve" in self.row

    @property
    def curve_problems(self) -> tuple[str, ...]:
        """What is wrong with each of the four lengths of the handles."""
        return tuple(self.problems.get(f"curve.{number}", "") for number in range(4))


def _page(
    request: HttpRequest, found: Project, sketch: Sketch, wrong: tuple[str, ...] = (), left: tuple[str, ...] = ()
) -> HttpResponse:
    imperial = is_imperial(store.head(found))
    context = _context(sketch, imperial) | {"project": found, "wrong": wrong, "left": left}
    context |= _drawings(found) | {"which": request.POST.get("which", ""), "at": _unfinished(request)}
    template = "draw_board.html" if fragment_asked(request) else "draw.html"
    return render(
        request, f"clothwright/{template}", context, status=200 if fragment_asked(request) or not wrong else 422
    )


def _unfinished(request: HttpRequest) -> tuple[str, str]:
    """The place of a new corner that is typed and not added yet."""
    typing = request.method == "POST" and pressed(request) == "save"
    return (request.POST.get("at.across", ""), request.POST.get("at.down", "")) if typing else ("", "")


def _drawings(found: Project) -> dict[str, Any]:
    revision = store.head(found)
    pattern = revision.tree.get("pattern")
    used = pattern.get("file") if isinstance(pattern, dict) else None
    return {"drawings": [name for name in revision.drawings if name.lower().endswith(_ENDING)], "used": used}


def _context(sketch: Sketch, imperial: bool) -> dict[str, Any]:
    unit, table = "in" if imperial else "cm", sketching.table_now(sketch)
    problems: dict[tuple[str | int, ...], str] = {}
    try:
        piece: HandPiece | None = read_hand_piece(table, unit=unit, whole=False)
    except HandRefused as refusal:
        problems = dict(refusal.problems)
        piece = _as_far_as_read(table, problems, unit)
    return {
        "sketch": sketch,
        "table": table,
        "unit": unit,
        "now": sketch["now"],
        "now_text": str(sketch["now"]),
        "names": [one.get("name") or f"piece {number}" for number, one in enumerate(sketch["piece"], 1)],
        "problems": {".".join(map(str, path)): sentence for path, sentence in problems.items()},
        "sentences": [f"{sentence}." for sentence in told(tuple(problems.items()))],
        "corners": _shown(table, piece, problems, imperial),
        "picture": sheets.board_svg(piece, imperial=imperial) if piece is not None else "",
        "crossing": _crossing(piece, imperial),
        "around": LENGTH.text(sum(piece.lengths_cm), imperial=imperial) if piece and len(piece.corners) >= 3 else "",
        "full": len(table["corner"]) >= MOST_HAND_CORNERS,
        "most": MOST_HAND_CORNERS,
        "many": len(sketch["piece"]) >= MOST_HAND_PIECES,
        "most_pieces": MOST_HAND_PIECES,
    }


def _as_far_as_read(table: Table, problems: dict[tuple[str | int, ...], str], unit: str) -> HandPiece | None:
    """The piece without what is wrong in it, to be looked at; None where a corner has no place."""
    kept = {key: value for key, value in table.items() if (key,) not in problems and key in ("name", "corner")}
    rows = kept.get("corner", [])
    kept["corner"] = [
        {key: value for key, value in row.items() if not any(path[:3] == ("corner", number, key) for path in problems)}
        for number, row in enumerate(rows)
    ]
    try:
        return read_hand_piece(kept, unit=unit, whole=False)
    except HandRefused:
        return None  # a corner has no place, which is told beside it


def _crossing(piece: HandPiece | None, imperial: bool) -> str:
    place = piece.crosses_at if piece is not None and len(piece.corners) >= 3 else None
    if place is None:
        return ""
    across, down = (LENGTH.text(cm, imperial=imperial) for cm in place)
    return (
        f"The line crosses itself near {across} across, {down} down; move a corner, or change the order of the corners."
    )


def _shown(
    table: Table, piece: HandPiece | None, problems: dict[tuple[str | int, ...], str], imperial: bool
) -> list[ShownCorner]:
    rows, count = table["corner"], len(table["corner"])
    shown = []
    for number, row in enumerate(rows):
        of_row = {
            ".".join(map(str, path[2:])): sentence
            for path, sentence in problems.items()
            if path[:2] == ("corner", number)
        }
        length = LENGTH.text(piece.length_cm(number), imperial=imperial) if piece is not None and count > 1 else ""
        curve = tuple(zip(_HANDLES, row["curve"], strict=True)) if row.get("curve") else ()
        shown.append(ShownCorner(number + 1, row, (number + 1) % count + 1, length, curve, of_row))
    return shown


_HANDLES: Final = ("First handle, across", "First handle, down", "Second handle, across", "Second handle, down")
