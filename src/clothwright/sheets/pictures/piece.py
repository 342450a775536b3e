"""One piece by itself, grain upwards."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from clothwright.pattern import MarkKind, Piece, Point, Ring
from clothwright.sheets.pictures.drawing import EDGE, FAINT, INK, SAND, SIGNAL, SMALL, TIDE, Drawing, path_of
from clothwright.sheets.wording import LENGTH

_DASHES: Final = {MarkKind.JOIN: "7 3 2 3", MarkKind.NOTCH: "", MarkKind.INSIDE: "1 2"}
_MOST_HIGH: Final = 340.0


def piece_svg(piece: Piece, *, imperial: bool = False) -> str:
    """A piece as it is cut, with where it is sewn, its marks and its grain; not to one scale with others."""
    room = 400.0 - 2 * EDGE
    scale = min(room / piece.width_cm, _MOST_HIGH / piece.length_cm)
    left = EDGE + (room - scale * piece.width_cm) / 2
    drawing = Drawing(f"The piece {piece.name}", _in_words(piece, imperial), "piece")
    drawing.height = EDGE + scale * piece.length_cm

    def placed(ring: Iterable[Point]) -> Ring:
        return tuple((left + scale * (piece.width_cm - y), EDGE + scale * (piece.length_cm - x)) for x, y in ring)

    drawing.path("cut", path_of(placed(piece.outline)), fill=SAND, stroke=INK, stroke_width=1.6)
    if piece.stitching is not None:
        drawing.path("sewn", path_of(placed(piece.stitching)), stroke=TIDE, stroke_dasharray="6 3")
    for mark in piece.marks:
        points = mark.points if len(mark.points) > 1 else _cross(mark.points[0])
        drawing.path(
            "mark", path_of(placed(points), closed=mark.closed), stroke=FAINT, stroke_dasharray=_DASHES[mark.kind]
        )
    for edge in piece.edges:
        sewn = {} if piece.stitching is None else {"stroke_dasharray": "6 3" if edge.seam else "14 4"}
        colour = SIGNAL if edge.seam else TIDE
        drawing.path("edge", path_of(placed(edge.line), closed=False), stroke=colour, stroke_width=3, **sewn)
    _grain(drawing, piece, placed([piece.roomiest])[0], scale)
    drawing.paragraph(_in_words(piece, imperial), size=SMALL)
    return drawing.svg()


def _cross(point: Point) -> Ring:
    x, y = point
    return ((x - 0.4, y), (x + 0.4, y))


def _grain(drawing: Drawing, piece: Piece, middle: Point, scale: float) -> None:
    half = min(40.0, scale * piece.length_cm / 5)
    x, y = middle
    drawing.line("grain", (x, y + half), (x, y - half))
    drawing.triangle("grain", x, y - half - 4, 8, fill=INK)
    if not piece.one_way:
        drawing.path("grain", path_of([(x, y + half + 4), (x + 4, y + half - 4), (x - 4, y + half - 4)]), fill=INK)


def _in_words(piece: Piece, imperial: bool) -> str:
    sides = (LENGTH.text(cm, imperial=imperial) for cm in (piece.width_cm, piece.length_cm))
    return f"{' across, '.join(sides)} along the grain"
