"""A piece as it is drawn by hand, on a grid to scale, and a traced outline over its photograph.

Both carry what the script of the page needs to let points be dragged, as `data-…`: the drawing says where its corner
lies on the page and how many units a centimetre is; a *grip* is a point that can be dragged, with the fields it
stands in; each side, and the line all round, says which grips it runs between. Without the script they are pictures.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Final

from clothwright.measure import CM_PER_INCH
from clothwright.pattern import HandPiece, Point, Ring, crossing_place, notch_line, outline_fold, point_at
from clothwright.sheets.pictures.drawing import (
    FAINT,
    FOAM,
    INK,
    KELP,
    PAPER,
    SAND,
    SIGNAL,
    TIDE,
    Drawing,
    Look,
    path_of,
)
from clothwright.sheets.wording import LENGTH

ACROSS: Final = 440.0
_LETTERS: Final = 10.0
_LEAST_CM: Final = (60.0, 50.0)
_ROUND_CM: Final = 6.0
_MOST_LINES: Final = 140
#: How wide round a grip a finger may land, in units of the drawing.
_REACH: Final = 15.0


class _Board:
    """The grid, and where a place on the page lies on it."""

    def __init__(self, drawing: Drawing, box: tuple[float, float, float, float], *, imperial: bool) -> None:
        self.drawing = drawing
        self.left, self.top, right, low = box
        self.scale = ACROSS / (right - self.left)
        self.per = CM_PER_INCH if imperial else 1.0
        drawing.height = self.scale * (low - self.top)
        drawing.told = _told(self.left, self.top, self.scale, self.per, "in" if imperial else "cm")

    def at(self, place: Point) -> Point:
        return (place[0] - self.left) * self.scale, (place[1] - self.top) * self.scale

    def all(self, places: Iterable[Point]) -> Ring:
        return tuple(map(self.at, places))

    def path(self, places: Iterable[Point], *, closed: bool = True) -> str:
        return path_of(self.all(places), closed=closed)

    def grid(self) -> None:
        """A line every centimetre or inch, heavier ones every ten, or four, with their numbers."""
        high, heavy = self.drawing.height, 10 if self.per == 1 else 4
        step = next(n for n in (1, 5, 10, 50, 100) if ACROSS / self.scale / self.per / n <= _MOST_LINES)
        fine: list[Ring] = []
        bold: list[Ring] = []
        for axis, most in ((0, ACROSS), (1, high)):
            start = (self.left, self.top)[axis]
            for number in range(
                math.ceil(start / self.per / step), math.floor((start + most / self.scale) / self.per / step) + 1
            ):
                value = (number * step * self.per - start) * self.scale
                line = ((value, 0.0), (value, high)) if axis == 0 else ((0.0, value), (ACROSS, value))
                (bold if number * step % heavy == 0 else fine).append(line)
                if number * step % heavy == 0 and value > 12:
                    x, y = (value + 2, 9.0) if axis == 0 else (2.0, value - 2)
                    self.drawing.text(x, y, str(number * step), "grid-number", 8.0, fill=FAINT, aria_hidden="true")
        for css, lines, width in (("grid", fine, 0.35), ("grid-bold", bold, 0.9)):
            self.drawing.path(
                css, "".join(path_of(line, closed=False) for line in lines), stroke="#c9c2b0", stroke_width=width
            )


def _told(left: float, top: float, scale: float, per: float, named: str) -> Mapping[str, str]:
    return {
        "board": "",
        "left": f"{left:.4f}",
        "top": f"{top:.4f}",
        "scale": f"{scale:.6f}",
        "per": f"{per:g}",
        "named": named,
    }


def board_svg(piece: HandPiece, *, imperial: bool = False) -> str:
    """A piece being drawn, its corners and handles as grips, each side with its length."""
    count = len(piece.corners)
    drawing = Drawing(f"{piece.name or 'The piece'} as drawn", f"{count} corners", "board", across=ACROSS, role="group")
    board = _Board(drawing, _box(piece), imperial=imperial)
    board.grid()
    if count >= 3:
        _whole(board, piece)
    for side in range(count if count >= 3 else count - 1):
        _side(board, piece, side)
    for side, one in enumerate(piece.sides):
        for notch in one.notches if count >= 2 else ():
            line = board.path(notch_line(piece, side, notch), closed=False)
            drawing.path("notch", line, stroke=INK, stroke_width=2)
    handles = {f"h{n}.{i}": place for n, side in enumerate(piece.sides) for i, place in enumerate(side.handles or ())}
    _reaches(board, handles | {f"c{n}": place for n, place in enumerate(piece.corners)})
    for side in range(count):
        _handles(board, piece, side)
    for corner in range(count):
        _corner(board, piece, corner)
    _crossing(board, piece)
    return drawing.svg()


def _box(piece: HandPiece) -> tuple[float, float, float, float]:
    """What of the page is shown: the piece opened out with room round it, and no less than a usual piece."""
    points = [*piece.corners, *(handle for side in piece.sides for handle in side.handles or ()), *outline_fold(piece)]
    xs, ys = ([point[axis] for point in points] or [0.0] for axis in (0, 1))
    left, top = (min(0.0, math.floor(min(values) - 2)) if min(values) < 2 else 0.0 for values in (xs, ys))
    right, low = (max(least, max(values) + _ROUND_CM) for values, least in zip((xs, ys), _LEAST_CM, strict=True))
    return left, top, float(math.ceil(right)), float(math.ceil(low))


def _whole(board: _Board, piece: HandPiece) -> None:
    keys = ";".join(_keys(piece, side) for side in range(len(piece.sides)))
    mirrored = outline_fold(piece)
    if mirrored:
        board.drawing.path("mirrored", board.path(mirrored), fill=FOAM, stroke=TIDE, stroke_dasharray="2 3")
    board.drawing.path("whole", board.path(piece.outline.points), fill=SAND, fill_opacity=0.75, data_whole=keys)


def _keys(piece: HandPiece, side: int) -> str:
    """The grips a side runs between: its corner, its handles, and the next corner."""
    handles = (f"h{side}.0", f"h{side}.1") if piece.sides[side].handles else ()
    return " ".join((f"c{side}", *handles, f"c{piece.after(side)}"))


def _side(board: _Board, piece: HandPiece, side: int) -> None:
    words = piece.sides[side].words
    looks: dict[str, Look] = {"stroke": INK, "stroke_width": 1.8}
    if words.fold:
        looks = {"stroke": TIDE, "stroke_width": 2.4, "stroke_dasharray": "9 3 2 3"}
    elif words.said:
        looks = {"stroke": SIGNAL if words.seam else KELP, "stroke_width": 3.2}
    board.drawing.path("side", board.path(piece.flat(side), closed=False), data_side=_keys(piece, side), **looks)
    x, y = board.at(point_at(piece.points(side), 0.5))
    shown = LENGTH.text(piece.length_cm(side), imperial=board.per != 1).partition(" (")[0]
    halo: dict[str, Look] = {"stroke": PAPER, "stroke_width": 3, "paint_order": "stroke", "text_anchor": "middle"}
    board.drawing.text(x, y + 3, shown, "length", _LETTERS, data_length=_keys(piece, side), **halo)


def _handles(board: _Board, piece: HandPiece, side: int) -> None:
    handles = piece.sides[side].handles
    for number, handle in enumerate(handles or ()):
        corner = side if number == 0 else piece.after(side)
        key = f"h{side}.{number}"
        line = board.path((piece.corners[corner], handle), closed=False)
        board.drawing.path("stem", line, stroke=TIDE, stroke_width=1, data_side=f"c{corner} {key}")
        fields = tuple(f"corner.{side}.curve.{2 * number + axis}" for axis in (0, 1))
        words = f"Handle {number + 1} of the side after corner {side + 1}"
        _grip(board, handle, key, words, fields, fill=PAPER, stroke=TIDE)


def _corner(board: _Board, piece: HandPiece, corner: int) -> None:
    before = corner - 1 if corner else len(piece.corners) - 1
    takes = [f"h{corner}.0"] if piece.sides[corner].handles else []
    takes += [f"h{before}.1"] if piece.sides[before].handles else []
    fields = (f"corner.{corner}.across", f"corner.{corner}.down")
    place = piece.corners[corner]
    _grip(board, place, f"c{corner}", f"Corner {corner + 1}", fields, takes, fill=SIGNAL, stroke=PAPER)
    x, y = board.at(place)
    halo: dict[str, Look] = {"stroke": PAPER, "stroke_width": 3, "paint_order": "stroke", "font_weight": "bold"}
    board.drawing.text(x + 8, y - 7, str(corner + 1), "number", _LETTERS, data_beside=f"c{corner}", **halo)


def _grip(
    board: _Board, place: Point, key: str, words: str, fields: tuple[str, ...], takes: Iterable[str] = (), **looks: Look
) -> None:
    """A point that can be dragged."""
    x, y = board.at(place)
    across, down = (LENGTH.text(cm, imperial=board.per != 1).partition(" (")[0] for cm in place)
    told: dict[str, Look] = {
        "data_grip": key,
        "data_x": f"{place[0]:.4f}",
        "data_y": f"{place[1]:.4f}",
        "data_fields": " ".join(fields),
        "data_takes": " ".join(takes),
        "data_words": words,
        "tabindex": "0",
        "role": "button",
        "aria_label": f"{words}, {across} across, {down} down. Arrow keys move it.",
    }
    board.drawing.add("circle", "grip", {"cx": x, "cy": y, "r": 5.5, "stroke_width": 1.6, **looks, **told})


def _reaches(board: _Board, places: Mapping[str, Point]) -> None:
    """Wider rings round the grips for a finger, all under the grips themselves."""
    for key, place in places.items():
        x, y = board.at(place)
        board.drawing.add("circle", "reach", {"cx": x, "cy": y, "r": _REACH, "fill": "transparent", "data_beside": key})


def _crossing(board: _Board, piece: HandPiece) -> None:
    place = piece.crosses_at if len(piece.corners) >= 3 else None
    if place is not None:
        x, y = board.at(place)
        board.drawing.add(
            "circle",
            "crossing",
            {
                "cx": x,
                "cy": y,
                "r": 12,
                "fill": "none",
                "stroke": SIGNAL,
                "stroke_width": 2.5,
                "stroke_dasharray": "4 2",
            },
        )
        board.drawing.text(
            x + 14,
            y + 4,
            "crosses itself here",
            "crossing",
            _LETTERS,
            fill=SIGNAL,
            stroke=PAPER,
            stroke_width=3,
            paint_order="stroke",
        )


# --- over a photograph -------------------------------------------------------------------------------------------


def traced_svg(outline: Ring, photo: str, size_cm: tuple[float, float]) -> str:
    """An outline (cm) over the corrected photograph, which covers `size_cm`; `photo` is an address that holds it."""
    words = f"{len(outline)} corners"
    drawing = Drawing("The outline over the photograph", words, "traced", across=ACROSS, role="group")
    board = _Board(drawing, (0.0, 0.0, *size_cm), imperial=False)
    looks: dict[str, Look] = {"x": 0.0, "y": 0.0, "width": ACROSS, "height": drawing.height}
    drawing.add("image", "photo", {"href": photo, **looks})
    count = len(outline)
    keys = ";".join(f"c{n} c{(n + 1) % count}" for n in range(count))
    drawing.path("under", board.path(outline), stroke=PAPER, stroke_width=3.6, data_whole=keys)
    drawing.path("traced", board.path(outline), stroke=SIGNAL, stroke_width=1.6, data_whole=keys)
    _reaches(board, {f"c{number}": place for number, place in enumerate(outline)})
    for number, place in enumerate(outline):
        _grip(board, place, f"c{number}", f"Corner {number + 1}", (f"line.{number}",), fill=SIGNAL, stroke=PAPER)
    for number, place in enumerate(outline):
        if number % 5 == 0:
            x, y = board.at(place)
            halo: dict[str, Look] = {"stroke": PAPER, "stroke_width": 3, "paint_order": "stroke"}
            drawing.text(x + 8, y - 6, str(number + 1), "number", _LETTERS, data_beside=f"c{number}", **halo)
    crossing = crossing_place(outline)
    if crossing is not None:
        x, y = board.at(crossing)
        drawing.add(
            "circle", "crossing", {"cx": x, "cy": y, "r": 12, "fill": "none", "stroke": SIGNAL, "stroke_width": 2.5}
        )
    return drawing.svg()


def outline_picture_svg(name: str, line: Ring, *, closed: bool, at: Point | None = None) -> str:
    """A line that is no piece yet, as drawn on its page (cm), with the place where something is wrong."""
    xs, ys = zip(*line, strict=True)
    drawing = Drawing(f"{name}, as drawn", "not a piece yet", "flawed")
    scale = min(372 / max(max(xs) - min(xs), 0.1), 340 / max(max(ys) - min(ys), 0.1))

    def placed(point: Point) -> Point:
        return 14 + (point[0] - min(xs)) * scale, 14 + (point[1] - min(ys)) * scale

    drawing.height = 20 + scale * (max(ys) - min(ys))
    drawing.path(
        "drawn",
        path_of(map(placed, line), closed=closed),
        stroke=INK,
        stroke_width=1.6,
        fill=SAND if closed else "none",
        fill_rule="evenodd",
    )
    for end in () if closed else (line[0], line[-1]):
        x, y = placed(end)
        drawing.add("circle", "end", {"cx": x, "cy": y, "r": 5, "fill": SIGNAL})
    if at is not None:
        x, y = placed(at)
        drawing.add(
            "circle", "crossing", {"cx": x, "cy": y, "r": 12, "fill": "none", "stroke": SIGNAL, "stroke_width": 2.5}
        )
    return drawing.svg()
