"""Pieces at true size on paper: cut into tiles for a printer at home, or on one large page for a copy shop.

All pieces are laid side by side on one plane, grain upwards, and a square of 10 cm to check the scale by. The plane is cut
into tiles as large as the paper's frame; each tile names its place (row by letter, column by number), and ticks go over every
joint. Tiles without a line are not printed. Lines are cut at the frame exactly, so that nothing is printed twice.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from clothwright.pattern import AlteredPiece, Flat, Frame, MarkKind, Piece, PieceMark, Point, Ring, within
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets.page import A4, US_LETTER, in_words, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import width_of
from clothwright.sheets.wording import LENGTH, literal, shortened

#: Paper by the name it is asked for: the typesetter's name, width and height in mm. Source: ISO 216; ANSI/ASME Y14.1.
PAPERS: Final = {"A4": ("a4", 210.0, 297.0), "A3": ("a3", 297.0, 420.0), "letter": ("us-letter", 215.9, 279.4)}
_SIDE_MM: Final = 10.0
_FOOT_MM: Final = 22.0
_GAP_MM: Final = 12.0
_TEST_MM: Final = 100.0
_TICK_MM: Final = 6.0
_MM_PER_POINT: Final = 25.4 / 72
#: Rolls are 841 mm wide or wider (A0). Source: ISO 216.
_ROLL_MM: Final = 821.0
MOST_TILES: Final = 200
_HOW: Final = [
    "Print all pages at 100 %, “actual size”. The line below and the sides of the test square must measure 10 cm.",
    "Every frame is one tile, named at its foot: the letter is the row, the number the column. Empty tiles are not printed.",
    "Glue order: row by row from the left. Cut off what lies right of the frame of one tile, lay its edge on the frame of the "
    "next so that the ticks meet, and glue. Then glue the rows below each other in the same way.",
    "Unbroken lines are where you cut; dashed lines are where you sew. Arrows lie along the grain.",
]
_BEFORE: Final = "Thin dotted lines are where the pieces lay before the changes; they are not cut."
_CHECK: Final = "This line is 10 cm: measure it; if it is not, the print was scaled and the pieces would be wrong."


@dataclass(frozen=True)
class _Line:
    """A line on the plane, mm, y downwards, and how it is drawn."""

    points: Ring
    closed: bool
    style: str


@dataclass(frozen=True)
class _Words:
    """Words on the plane, mm."""

    at: Point
    text: str
    size_pt: float = 9.0
    #: Whether they are read where they stand, as what the test square is told by.
    stays: bool = False


@dataclass
class _Plane:
    """Everything laid out: lines and words, and how far they reach, mm."""

    lines: list[_Line] = field(default_factory=list)
    words: list[_Words] = field(default_factory=list)
    width: float = 0.0
    height: float = 0.0


@dataclass(frozen=True)
class OfPattern:
    """What is said of the pattern on its pieces: its state in a line, and beside each piece how it was before its changes."""

    state: str = ""
    before: tuple[AlteredPiece, ...] = ()


_NOTHING_SAID: Final = OfPattern()


@dataclass(frozen=True)
class ToPrint:
    """Pieces to print at true size, of what, what is said of their pattern, and the paper; None: A4, or letter in an imperial project."""

    pieces: tuple[Piece, ...]
    title: str
    pattern: OfPattern = _NOTHING_SAID
    paper: str | None = None


def piece_tiles_pdf(
    pieces: Sequence[Piece],
    title: str,
    *,
    paper: str = "A4",
    made_on: datetime.date,
    imperial: bool = False,
    pattern: OfPattern = _NOTHING_SAID,
) -> bytes:
    """The pieces tiled on A4, A3 or letter, with a cover that shows how the tiles lie; ProblemsFound if they are too many."""
    name, wide, high = PAPERS[paper]
    tile = (wide - 2 * _SIDE_MM, high - _SIDE_MM - _FOOT_MM)
    plane = _laid_out(pieces, _across(pieces, tile[0]), pattern)
    tiles = _tiles(plane, tile, title)
    if len(tiles) > MOST_TILES:
        raise ProblemsFound(
            Problem(
                (), f"the pieces take {len(tiles)} pages of {paper}; at most {MOST_TILES} are made: take larger paper"
            )
        )
    page = sheet_page(title, "Pieces at true size", made_on, imperial=imperial, large_print=False, more=f", on {paper}")
    data = {
        "framed": True,
        "paper": name,
        "paper_mm": None,
        "margin_mm": [_SIDE_MM, _SIDE_MM],
        "tile_mm": list(tile),
        "tiles": tiles,
        "cover": _cover(plane, tile, tiles, (A4 if paper != "letter" else US_LETTER).across_mm),
    }
    how = [*_HOW, *([_BEFORE] if pattern.before else [])]
    return typeset("pieces.typ", page | data | {"how": how, "check": _CHECK}, {}, made_on)


def piece_page_pdf(
    pieces: Sequence[Piece],
    title: str,
    *,
    made_on: datetime.date,
    imperial: bool = False,
    pattern: OfPattern = _NOTHING_SAID,
) -> bytes:
    """The pieces on one page for a copy shop, as long as they need, for a roll 84 cm wide (wider if a piece is)."""
    plane = _laid_out(pieces, max(_ROLL_MM, max(10 * piece.width_cm for piece in pieces)), pattern)
    size = (plane.width + 2 * _SIDE_MM, plane.height + _SIDE_MM + _FOOT_MM)
    foot = _Words((0.0, plane.height + 6), f"{shortened(literal(title), 60)}, {in_words(made_on)}: print at 100 %", 10)
    tile = {"name": "", "foot": "", "lines": [_as_data(line) for line in plane.lines]}
    page = sheet_page(title, "Pieces at true size", made_on, imperial=imperial, large_print=False)
    data = {
        "framed": False,
        "paper_mm": list(size),
        "margin_mm": [_SIDE_MM, _SIDE_MM],
        "tile_mm": [plane.width, plane.height + _FOOT_MM - 2],
        "tiles": [tile | {"texts": [_words_data(words) for words in (*plane.words, foot)]}],
        "cover": None,
    }
    return typeset("pieces.typ", page | data, {}, made_on)


def tiled_pdf(asked: ToPrint, *, imperial: bool = False, made_on: datetime.date) -> bytes:
    """The pieces of a project in tiles."""
    paper = asked.paper or ("letter" if imperial else "A4")
    how: dict[str, Any] = {"made_on": made_on, "imperial": imperial, "pattern": asked.pattern}
    return piece_tiles_pdf(asked.pieces, asked.title, paper=paper, **how)


def rolled_pdf(asked: ToPrint, *, imperial: bool = False, made_on: datetime.date) -> bytes:
    """The pieces of a project on one page."""
    return piece_page_pdf(asked.pieces, asked.title, made_on=made_on, imperial=imperial, pattern=asked.pattern)


# --- side by side on one plane -----------------------------------------------------------------------------------


def _across(pieces: Sequence[Piece], tile_mm: float) -> float:
    """How wide the plane is: whole tiles, enough for the widest piece, about as wide as all is high."""
    if not pieces:
        raise ProblemsFound(Problem(("pattern",), "there is no piece to print"))
    widest = max(10 * piece.width_cm for piece in pieces)
    area = sum(100 * piece.width_cm * piece.length_cm for piece in pieces)
    return tile_mm * max(math.ceil((widest + 1) / tile_mm), math.ceil(math.sqrt(area) / tile_mm))


def _laid_out(pieces: Sequence[Piece], across: float, pattern: OfPattern) -> _Plane:
    """Pieces in rows, the highest first, and the test square."""
    before = dict(zip(map(id, pieces), pattern.before, strict=False))
    plane, left, top, row = _Plane(), 1.0, 1.0, 0.0
    boxes: list[tuple[float, float, Piece | None]] = [(10 * p.width_cm, 10 * p.length_cm, p) for p in pieces]
    boxes.append((_TEST_MM, _TEST_MM, None))
    for width, height, piece in sorted(boxes, key=lambda box: -box[1]):
        if left > 1.0 and left + width > across - 1:
            left, top, row = 1.0, top + row + _GAP_MM, 0.0
        if piece is None:
            _add_test_square(plane, (left, top))
        else:
            _add_piece(plane, piece, (left, top), pattern.state, before.get(id(piece)))
        plane.width, plane.height = max(plane.width, left + width + 1), max(plane.height, top + height + 1)
        left, row = left + width + _GAP_MM, max(row, height)
    return plane


def _add_test_square(plane: _Plane, at: Point) -> None:
    x, y = at
    corners = ((x, y), (x + _TEST_MM, y), (x + _TEST_MM, y + _TEST_MM), (x, y + _TEST_MM))
    plane.lines.append(_Line(corners, closed=True, style="cut"))
    plane.words.append(_Words((x + 8, y + 46), "test square 10 cm", 12, stays=True))
    plane.words.append(_Words((x + 8, y + 54), "each side measures 10 cm, 3 15/16 in"))


def _add_piece(plane: _Plane, piece: Piece, at: Point, state: str, before: AlteredPiece | None) -> None:
    def placed(ring: Iterable[Point]) -> Ring:
        """Grain upwards: x along the cloth becomes up the paper, y from the right."""
        return tuple((at[0] + 10 * (piece.width_cm - y), at[1] + 10 * (piece.length_cm - x)) for x, y in ring)

    plane.lines.append(_Line(placed(piece.outline), closed=True, style="cut"))
    if piece.stitching is not None:
        plane.lines.append(_Line(placed(piece.stitching), closed=True, style="stitch"))
    for mark in piece.marks:
        plane.lines += [_Line(placed(line), mark.closed, _style(mark)) for line in _mark_lines(mark)]
    if before is not None and before.piece.outline != piece.outline:
        plane.lines.append(_Line(placed(_opened(before)), closed=False, style="before"))
    middle_x, middle_y = piece.roomiest
    ((x, y),) = placed([(middle_x, middle_y)])
    plane.lines += _grain_arrow(piece, placed)
    plane.words += [
        _Words((x + 3, y + 4.5 * n), line, 10) for n, line in enumerate((*_says(piece), *filter(None, [state])))
    ]


def _opened(before: AlteredPiece) -> Ring:
    """The outline before the changes, left open by its last side's end, so that nothing takes it for a line to cut."""
    ring = [(x - before.moved[0], y - before.moved[1]) for x, y in before.piece.outline]
    (x0, y0), (x1, y1) = ring[-1], ring[0]
    return (*ring, (x0 + 0.9 * (x1 - x0), y0 + 0.9 * (y1 - y0)))


def _style(mark: PieceMark) -> str:
    return {MarkKind.JOIN: "join", MarkKind.NOTCH: "tick"}.get(mark.kind, "inside")


def _mark_lines(mark: PieceMark) -> list[Ring]:
    """The mark's line; a point is drawn as a small cross."""
    if len(mark.points) > 1:
        return [mark.points]
    ((x, y),) = mark.points
    return [((x - 0.3, y), (x + 0.3, y)), ((x, y - 0.3), (x, y + 0.3))]


def _grain_arrow(piece: Piece, placed: Any) -> list[_Line]:
    """A line along the grain inside the piece, with a head at each end that may lie up."""
    middle_x, middle_y = piece.roomiest
    half = min(6.0, piece.length_cm / 4)
    tail, head = middle_x - half, middle_x + half
    lines = [
        ((tail, middle_y), (head, middle_y)),
        ((head - 0.6, middle_y - 0.3), (head, middle_y), (head - 0.6, middle_y + 0.3)),
    ]
    if not piece.one_way:
        lines.append(((tail + 0.6, middle_y - 0.3), (tail, middle_y), (tail + 0.6, middle_y + 0.3)))
    return [_Line(placed(line), closed=False, style="grain") for line in lines]


def _says(piece: Piece) -> list[str]:
    """What is written on a piece, the first line so that a drawing reader takes it as its label."""
    marks = [f"cut {piece.cut}", *(["pair"] if piece.pair else []), *(["one way"] if piece.one_way else [])]
    of = [f"size {piece.size}"] * bool(piece.size) + [f"version {piece.version}"] * bool(piece.version)
    cloth = [] if piece.material == "main" else [f"material {piece.material}"]
    name = literal(piece.name).replace(":", " ")
    return [
        f"{name}: {', '.join([*marks, *of, *cloth])}",
        f"{LENGTH.text(piece.width_cm)} across, {LENGTH.text(piece.length_cm)} along the grain",
    ]


# --- cut into tiles ----------------------------------------------------------------------------------------------


def _tiles(plane: _Plane, tile: tuple[float, float], title: str) -> list[dict[str, Any]]:
    """The tiles that have a line, row by row, with ticks over their joints."""
    columns, rows = math.ceil(plane.width / tile[0]), math.ceil(plane.height / tile[1])
    made = []
    for row in range(rows):
        for column in range(columns):
            frame = Frame(column * tile[0], row * tile[1], (column + 1) * tile[0], (row + 1) * tile[1])
            lines = _within(plane.lines, frame)
            if lines:
                words = [words for words in plane.words if _holds(frame, words.at)]
                made.append(_tile((row, column), (rows, columns), frame, lines, words, title))
    return made


def _within(lines: Iterable[_Line], frame: Frame) -> list[_Line]:
    kept = []
    for line in lines:
        flat = Flat(line.points, (True,) * len(line.points), line.closed)
        kept += [_Line(part.points, part.closed, line.style) for part in within(flat, frame)]
    return kept


def _holds(frame: Frame, at: Point) -> bool:
    return frame.left <= at[0] < frame.right and frame.top <= at[1] < frame.low


def _tile(
    place: tuple[int, int],
    count: tuple[int, int],
    frame: Frame,
    lines: list[_Line],
    words: list[_Words],
    title: str,
) -> dict[str, Any]:
    row, column = place
    inner = [_Line(_moved(line.points, frame), line.closed, line.style) for line in lines]
    return {
        "name": _name(row, column),
        "place": [row, column],
        "foot": f"row {row + 1}, column {column + 1} of {count[1]} · {shortened(literal(title), 40)}",
        "lines": [_as_data(line) for line in (*inner, *_ticks(place, count, frame))],
        "texts": [_words_data(_on_tile(one, frame)) for one in words],
    }


def _on_tile(words: _Words, frame: Frame) -> _Words:
    """Words where they begin, or further left where the tile would end before they do."""
    ((x, y),) = _moved([words.at], frame)
    if words.stays:
        return _Words((x, y), words.text, words.size_pt)
    room = frame.size[0] - width_of(words.text, words.size_pt * _MM_PER_POINT) - 1
    return _Words((max(0.0, min(x, room)), y), words.text, words.size_pt)


def _name(row: int, column: int) -> str:
    return f"{chr(ord('A') + row) if row < 26 else f'{row + 1}.'}{column + 1}"


def _moved(points: Iterable[Point], frame: Frame) -> Ring:
    return tuple((x - frame.left, y - frame.top) for x, y in points)


def _ticks(place: tuple[int, int], count: tuple[int, int], frame: Frame) -> list[_Line]:
    """Short lines across each joint, at the quarters of the frame."""
    (across, down), (row, column), (rows, columns) = frame.size, place, count
    ticks = []
    for share in (0.25, 0.5, 0.75):
        x, y = share * across, share * down
        ticks += [((x, 0.0), (x, _TICK_MM))] * (row > 0) + [((x, down - _TICK_MM), (x, down))] * (row < rows - 1)
        ticks += [((0.0, y), (_TICK_MM, y))] * (column > 0)
        ticks += [((across - _TICK_MM, y), (across, y))] * (column < columns - 1)
    return [_Line(tick, closed=False, style="tick") for tick in ticks]


def _cover(plane: _Plane, tile: tuple[float, float], tiles: list[dict[str, Any]], across_mm: float) -> dict[str, Any]:
    """All tiles small, with their names, as they are glued together."""
    columns, rows = math.ceil(plane.width / tile[0]), math.ceil(plane.height / tile[1])
    scale = min((across_mm - 2) / (columns * tile[0]), 125 / (rows * tile[1]))
    lines = [_Line(_scaled(line.points, scale), line.closed, "inside") for line in plane.lines if line.style == "cut"]
    words = []
    for one in tiles:
        row, column = one["place"]
        x, y, w, h = column * tile[0], row * tile[1], *tile
        corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
        lines.append(_Line(_scaled(corners, scale), closed=True, style="cut"))
        words.append(_Words((x * scale + 1.5, y * scale + 1.5), f"tile {one['name']}", 8))
    return {
        "size_mm": [columns * tile[0] * scale, rows * tile[1] * scale],
        "lines": [_as_data(line) for line in lines],
        "texts": [_words_data(one) for one in words],
    }


def _scaled(points: Iterable[Point], scale: float) -> Ring:
    return tuple((x * scale, y * scale) for x, y in points)


def _as_data(line: _Line) -> dict[str, Any]:
    return {"points": [[round(x, 4), round(y, 4)] for x, y in line.points], "closed": line.closed, "style": line.style}


def _words_data(words: _Words) -> dict[str, Any]:
    return {"at": list(words.at), "text": words.text, "size_pt": words.size_pt}
