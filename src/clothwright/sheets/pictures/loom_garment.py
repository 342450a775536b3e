"""The garment as a way out leaves it: its pieces upright side by side, with bands where they fall and what comes from another cloth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import shapely
from shapely.geometry import MultiPolygon, Polygon

from clothwright.pattern import Ring
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    INK,
    SAND,
    SMALL,
    TIDE,
    Drawing,
    fitting,
    lines_of,
    path_of,
)
from clothwright.sheets.wording import counted, literal
from clothwright.weaving import LoomForecast, WayThrough

_HIGH: Final = 96.0
_GAP: Final = 10.0
_BETWEEN_LINES: Final = 4.0
_LEAST_WIDE: Final = 30.0
_LETTER: Final = 0.62


@dataclass(frozen=True)
class _Upright:
    """A piece as it is worn, cm, its foot at 0: its outline, the parts of it in another yarn, and whether it comes from another cloth."""

    name: str
    outline: Ring
    banded: tuple[Ring, ...]
    other_cloth: bool

    @property
    def size(self) -> tuple[float, float]:
        """Across and up, cm."""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)


def loom_garment_svg(told: LoomForecast, way: WayThrough, *, across: float = DEFAULT_ACROSS) -> str:
    """The pieces of a way out, upright, to one scale; nothing for a cloth without pieces."""
    pieces = list(_pieces(told, way))
    if not pieces:
        return ""
    drawing = Drawing(f"{way.what}: the pieces, to scale", _says(pieces), "loom-garment", across)
    drawing.height = EDGE / 2
    scale = min(_HIGH / max(one.size[1] for one in pieces), (drawing.room - _GAP) / max(one.size[0] for one in pieces))
    for row in _rows(pieces, scale, drawing.room):
        _row(drawing, row, scale)
    drawing.paragraph(_key(pieces), size=SMALL)
    return drawing.svg()


def _pieces(told: LoomForecast, way: WayThrough) -> Iterator[_Upright]:
    bands = (*told.bands, *way.bands)
    turned = way.turned if way.outlines else told.turned
    for one in way.outlines or told.outlines:
        yield _upright(
            f"{one.piece} {one.copy}", one.outline, bands, (one.piece, one.copy) in turned, other_cloth=False
        )
    for one in told.outlines if way.outlines else ():
        if one.piece in way.other_cloth:
            yield _upright(
                f"{one.piece} {one.copy}", one.outline, (), (one.piece, one.copy) in told.turned, other_cloth=True
            )


def _upright(
    name: str, outline: Ring, bands: Sequence[tuple[float, float]], turned: bool, *, other_cloth: bool
) -> _Upright:
    """A piece that lies along the cloth, stood up: its top is further along, or nearer where it lies turned."""
    way = -1.0 if turned else 1.0
    stood = [tuple((way * y, way * x) for x, y in ring) for ring in (outline, *_in_bands(outline, bands))]
    left, foot = min(x for x, _ in stood[0]), min(y for _, y in stood[0])
    rings = [tuple((x - left, y - foot) for x, y in ring) for ring in stood]
    return _Upright(name, rings[0], tuple(rings[1:]), other_cloth)


def _in_bands(outline: Ring, bands: Sequence[tuple[float, float]]) -> Iterator[Ring]:
    """What of a piece lies in bands across the cloth."""
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    for start, end in bands:
        found = shapely.clip_by_rect(Polygon(outline), start, low - 1, end, high + 1)
        for part in found.geoms if isinstance(found, MultiPolygon) else [found]:
            if isinstance(part, Polygon) and not part.is_empty:
                yield tuple(part.exterior.coords[:-1])


def _rows(pieces: Sequence[_Upright], scale: float, room: float) -> Iterator[list[_Upright]]:
    row: list[_Upright] = []
    for one in pieces:
        if row and sum(_wide(other, scale) for other in (*row, one)) > room:
            yield row
            row = []
        row.append(one)
    yield row


def _wide(one: _Upright, scale: float) -> float:
    return max(one.size[0] * scale, _LEAST_WIDE, len(one.name) * SMALL * _LETTER) + _GAP


def _row(drawing: Drawing, row: Sequence[_Upright], scale: float) -> None:
    foot = drawing.height + max(one.size[1] for one in row) * scale + 4
    left = EDGE
    for one in row:
        _piece(drawing, one, left, foot, scale)
        left += _wide(one, scale)
    drawing.height = foot + SMALL * 1.5


def _piece(drawing: Drawing, one: _Upright, left: float, foot: float, scale: float) -> None:
    def at(ring: Ring) -> list[tuple[float, float]]:
        return [(left + x * scale, foot - y * scale) for x, y in ring]

    dashes = {"stroke_dasharray": "4 3"} if one.other_cloth else {}
    fill = "none" if one.other_cloth else SAND
    drawing.path("piece", path_of(at(one.outline)), fill=fill, stroke=INK, stroke_width=1.2, **dashes)
    for ring in one.banded:
        drawing.path("band", path_of(at(ring)), stroke=TIDE, stroke_width=1.2)
        drawing.path("band", lines_of(_hatching(at(ring))), stroke=TIDE, stroke_width=1.0)
    room = (_wide(one, scale) - _GAP / 2) / SMALL / _LETTER
    drawing.text(left, foot + SMALL * 1.1, fitting(literal(one.name), room), css="name", size=SMALL)


def _hatching(ring: Sequence[tuple[float, float]]) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Lines across a part, as its picks lie."""
    shape = Polygon(ring)
    low, high = min(y for _, y in ring), max(y for _, y in ring)
    left, right = min(x for x, _ in ring), max(x for x, _ in ring)
    for number in range(1, int((high - low) / _BETWEEN_LINES) + 1):
        y = low + number * _BETWEEN_LINES
        cut = shape.intersection(shapely.LineString([(left - 1, y), (right + 1, y)]))
        for part in getattr(cut, "geoms", [cut]):
            if not part.is_empty and part.length > 0:
                (x1, y1), *_, (x2, y2) = part.coords
                yield (x1, y1), (x2, y2)


def _says(pieces: Sequence[_Upright]) -> str:
    banded = [one.name for one in pieces if one.banded]
    moved = [one.name for one in pieces if one.other_cloth]
    parts = [f"{counted(len(pieces), 'piece')}: {', '.join(one.name for one in pieces)}."]
    parts += [f"In another yarn in part: {', '.join(banded)}."] if banded else []
    parts += [f"From another cloth: {', '.join(moved)}."] if moved else []
    return " ".join(parts)


def _key(pieces: Sequence[_Upright]) -> str:
    parts = ["The pieces as they are worn"]
    parts += ["lined across: another yarn"] if any(one.banded for one in pieces) else []
    parts += ["dashed: from another cloth"] if any(one.other_cloth for one in pieces) else []
    return "; ".join(parts) + "."
