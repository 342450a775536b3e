"""A piece before its changes and after, laid over each other; and all sizes of a piece at one scale. Told apart by dashes and words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from clothwright.pattern import AlteredPiece, Piece, Ring
from clothwright.sheets.pictures.drawing import EDGE, FAINT, INK, SAND, SMALL, TIDE, Drawing, Look, path_of
from clothwright.sheets.wording import LENGTH, counted, literal

_MOST_HIGH: Final = 340.0
_KEY_LINE: Final = 34.0
#: How the sizes are dashed, in turn.
_DASHES: Final = ("", "7 3", "2 3", "9 3 2 3", "5 2 1 2 1 2", "12 4")


def fit_svg(was: AlteredPiece, now: Piece, *, imperial: bool = False) -> str:
    """A piece as it was brought in, dashed, under what it is now; `was` says how far its own origin moved since."""
    before = _moved(was.piece.outline, was.moved)
    sewn = _moved(was.piece.stitching, was.moved) if was.piece.stitching else None
    words = f"Dashed: before, {_size(was.piece, imperial)}. Solid: after, {_size(now, imperial)}."
    drawing, placed = _board(f"{_name(now)}, before and after", words, "fit", [before, now.outline])
    drawing.path("after", path_of(placed(now.outline)), fill=SAND, stroke=INK, stroke_width=1.8)
    if now.stitching is not None:
        drawing.path("after-sewn", path_of(placed(now.stitching)), stroke=TIDE, stroke_width=1.0)
    drawing.path("before", path_of(placed(before)), stroke=FAINT, stroke_width=1.3, stroke_dasharray="6 4")
    if sewn is not None:
        drawing.path("before-sewn", path_of(placed(sewn)), stroke=FAINT, stroke_width=0.9, stroke_dasharray="3 3")
    _key_line(drawing, f"before: {_size(was.piece, imperial)}", {"stroke": FAINT, "stroke_dasharray": "6 4"})
    _key_line(drawing, f"after: {_size(now, imperial)}", {"stroke": INK, "stroke_width": 1.8})
    return drawing.svg()


def sizes_svg(pieces: Sequence[Piece], *, imperial: bool = False) -> str:
    """A piece in all its sizes at one scale, lower left corners together, each size labelled in words."""
    words = "; ".join(f"size {piece.size}: {_size(piece, imperial)}" for piece in pieces) + "."
    title = f"{literal(pieces[0].name)} in {counted(len(pieces), 'size')}"
    drawing, placed = _board(title, words, "sizes", [piece.outline for piece in pieces])
    looks: list[dict[str, Look]] = []
    for number, piece in enumerate(pieces):
        look: dict[str, Look] = {"stroke": INK, "stroke_width": 1.2 + 0.3 * (number % 2)}
        if dash := _DASHES[number % len(_DASHES)]:
            look["stroke_dasharray"] = dash
        looks.append(look)
        drawing.path("size", path_of(placed(piece.outline)), **look)
    for piece, look in zip(pieces, looks, strict=True):
        _key_line(drawing, f"size {piece.size}: {_size(piece, imperial)}", look)
    return drawing.svg()


def _name(piece: Piece) -> str:
    belongs = ", ".join(filter(None, (piece.size, piece.version)))
    return literal(f"{piece.name} ({belongs})" if belongs else piece.name)


def _moved(ring: Ring, by: tuple[float, float]) -> Ring:
    return tuple((x - by[0], y - by[1]) for x, y in ring)


def _size(piece: Piece, imperial: bool) -> str:
    across, along = (LENGTH.text(cm, imperial=imperial) for cm in (piece.width_cm, piece.length_cm))
    return f"{across} across, {along} along the grain"


class _Placed:
    """Where a ring lies on the drawing, grain upwards."""

    def __init__(self, scale: float, left: float, low: tuple[float, float], high: tuple[float, float]) -> None:
        self._scale, self._left, self._low, self._high = scale, left, low, high

    def __call__(self, ring: Iterable[tuple[float, float]]) -> Ring:
        """The ring in units of the drawing."""
        return tuple(
            (self._left + self._scale * (self._high[1] - y), EDGE + self._scale * (self._high[0] - x)) for x, y in ring
        )


def _board(title: str, words: str, name: str, rings: Sequence[Ring]) -> tuple[Drawing, _Placed]:
    """A drawing with room for all the rings at one scale."""
    xs, ys = zip(*(point for ring in rings for point in ring), strict=True)
    low, high = (min(xs), min(ys)), (max(xs), max(ys))
    drawing = Drawing(title, words, name)
    scale = min(drawing.room / (high[1] - low[1]), _MOST_HIGH / (high[0] - low[0]))
    left = EDGE + (drawing.room - scale * (high[1] - low[1])) / 2
    drawing.height = EDGE + scale * (high[0] - low[0]) + 4
    return drawing, _Placed(scale, left, low, high)


def _key_line(drawing: Drawing, words: str, look: dict[str, Look]) -> None:
    """A piece of the line with what it stands for."""
    y = drawing.height + 11
    drawing.line("key", (EDGE, y), (EDGE + _KEY_LINE - 8, y), **look)
    drawing.paragraph(words, indent=_KEY_LINE, size=SMALL + 1)
