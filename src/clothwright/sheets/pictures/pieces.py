"""Pieces in place, with their names: drawn alike on the strip and on the layout."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from shapely.geometry import Polygon

from clothwright.pattern import Ring
from clothwright.planning import PlacedOutline, Plan
from clothwright.sheets.pictures.drawing import INK, PAPER, SMALL, TIDE, Drawing, path_of, width_of
from clothwright.sheets.pictures.rows import Frame, part_in
from clothwright.sheets.wording import literal

MIRRORED: Final = "mirrored"


@dataclass(frozen=True)
class NamedOutline:
    """A placed piece with what it is called: its name, its copy number where there are several, and its key number."""

    key: int
    name: str
    mirrored: bool
    outline: Ring

    @property
    def full_name(self) -> str:
        """The name with its mark, as a list would have it."""
        return f"{self.name}, {MIRRORED}" if self.mirrored else self.name


def named(plan: Plan) -> tuple[NamedOutline, ...]:
    """Every placed piece of the plan, named."""
    return named_outlines(plan.outlines)


def named_outlines(outlines: Sequence[PlacedOutline]) -> tuple[NamedOutline, ...]:
    """Every placed piece, named."""
    copies = Counter(one.piece for one in outlines)
    return tuple(
        NamedOutline(key, _name(one, copies[one.piece]), one.mirrored, one.outline)
        for key, one in enumerate(outlines, 1)
    )


def _name(one: PlacedOutline, copies: int) -> str:
    name = literal(one.piece)
    return f"{name} {one.copy}" if copies > 1 else name


def draw_pieces(drawing: Drawing, pieces: Iterable[NamedOutline], frame: Frame, *, say_mirrored: bool) -> set[int]:
    """The pieces that lie in a row; the keys of those whose name was written in full."""
    written: set[int] = set()
    for piece in pieces:
        parts = [frame.ring(part) for part in part_in(piece.outline, frame.row)]
        for part in parts:
            _draw(drawing, part)
        if parts and _write(drawing, piece, max(parts, key=_area), say_mirrored):
            written.add(piece.key)
    return written


def _draw(drawing: Drawing, part: Ring) -> None:
    drawing.path("piece", path_of(part), fill=PAPER, stroke=TIDE, stroke_width=1.5, stroke_linejoin="round")


def draw_pieces_on_cloth(
    drawing: Drawing, pieces: Iterable[NamedOutline], frame: Frame, *, say_mirrored: bool
) -> set[int]:
    """The same on a picture of the cloth: it shows through the pieces, and pale beside them."""
    lying = [(piece, [frame.ring(part) for part in part_in(piece.outline, frame.row)]) for piece in pieces]
    shown = [part for _, parts in lying for part in parts]
    if not shown:
        return set()
    left, right = frame.x(frame.row.start), frame.x(frame.row.end)
    row = ((left, frame.top), (right, frame.top), (right, frame.bottom), (left, frame.bottom))
    beside = "".join(map(path_of, (row, *shown)))
    drawing.path("offcuts", beside, fill=PAPER, fill_opacity=0.66, fill_rule="evenodd")
    for part in shown:
        outline = path_of(part)
        drawing.path("piece-halo", outline, stroke=PAPER, stroke_width=3.4, stroke_linejoin="round")
        drawing.path("piece", outline, stroke=INK, stroke_width=1.5, stroke_linejoin="round")
    return {
        piece.key
        for piece, parts in lying
        if parts and _write(drawing, piece, max(parts, key=_area), say_mirrored, True)
    }


def _area(ring: Ring) -> float:
    return float(Polygon(ring).area)


def _write(drawing: Drawing, piece: NamedOutline, part: Ring, say_mirrored: bool, on_cloth: bool = False) -> bool:
    """The name in the piece, along or across it, else its key number; whether the name stands in full."""
    room = _room(part)
    lines = [piece.name, MIRRORED] if say_mirrored and piece.mirrored else [piece.name]
    for tried in (lines, [", ".join(lines)]):
        for upright in (False, True):
            if room.takes(tried, upright):
                _letters(drawing, room, tried, upright, on_cloth)
                return True
    _letters(drawing, room, [str(piece.key)], False, on_cloth)
    return False


def name_the_rest(drawing: Drawing, pieces: Iterable[NamedOutline], named_in_full: set[int]) -> None:
    """What the numbers stand for, in pieces too small for their names."""
    for piece in pieces:
        if piece.key not in named_in_full:
            drawing.one_line(f"{piece.key}: {piece.full_name}")


@dataclass(frozen=True)
class _Room:
    """The room for letters within an outline: about its middle."""

    x: float
    y: float
    width: float
    height: float

    def takes(self, lines: list[str], upright: bool) -> bool:
        """Whether lines of small letters fit."""
        across, high = (self.height, self.width) if upright else (self.width, self.height)
        return max(width_of(line, SMALL) for line in lines) <= across - 4 and len(lines) * SMALL * 1.2 <= high - 2


def _room(part: Ring) -> _Room:
    shape = Polygon(part)
    middle = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
    left, low, right, high = shape.bounds
    width = 2 * min(middle.x - left, right - middle.x)
    height = 2 * min(middle.y - low, high - middle.y)
    return _Room(middle.x, middle.y, width, height)


def _letters(drawing: Drawing, room: _Room, lines: list[str], upright: bool, on_cloth: bool) -> None:
    turned = f"rotate({-90 if upright else 0} {room.x:.2f} {room.y:.2f})"
    first = room.y - (len(lines) - 1) * SMALL * 0.6 + SMALL * 0.35
    if on_cloth:
        _paper_below(drawing, room, lines, turned)
    for number, line in enumerate(lines):
        y = first + number * SMALL * 1.2
        drawing.text(room.x, y, line, "name", SMALL, text_anchor="middle", transform=turned)


def _paper_below(drawing: Drawing, room: _Room, lines: list[str], turned: str) -> None:
    """A slip of paper for the letters, so that they can be read on any cloth."""
    wide, high = max(width_of(line, SMALL) for line in lines) + 6, len(lines) * SMALL * 1.2 + 3
    drawing.rect("slip", room.x - wide / 2, room.y - high / 2, wide, high, rx=2, fill=PAPER, transform=turned)
