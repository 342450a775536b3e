"""Pieces drawn by hand as a drawing, and a drawing's pieces opened again to be drawn on.

What is written is a drawing as the page on drawings describes it, each piece a group with its marks as attributes; so it
is read by the same reader as any other. Each group keeps the piece's own places and is moved aside by a transform, so
that opening it again gives the same corners.

What can be opened again is what such a piece consists of: one closed line of straight sides and curves, arcs becoming
curves, edges that run from corner to corner, notches on the line, a fold along one straight side. Everything else is said.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final
from xml.etree import ElementTree

from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint

from clothwright.pattern.by_hand.sides import (
    MOST_CORNERS,
    MOST_PIECES,
    HandPiece,
    Notch,
    Side,
    notch_line,
    place_along,
    run_line,
    runs,
    shifted_piece,
    split,
)
from clothwright.pattern.geometry import CLOSES_WITHIN_CM, Affine, Arc, Cubic, Step, Straight, Track
from clothwright.pattern.outline import EdgeUnclear, FoldRefused, direction_deg, fold_line, stretch_of
from clothwright.pattern.piece import MAIN_CLOTH, Point
from clothwright.pattern.reading.assembly import Assembly, Drawn, Found
from clothwright.pattern.reading.edge_words import EdgeWords
from clothwright.pattern.reading.findings import DrawingRefused, Findings, listed, quoted
from clothwright.pattern.reading.tree import Line

_GAP_CM: Final = 3.0
_ON_CORNER_CM: Final = 0.1
_HOME_CM: Final = 20.0
_ARC_STEP: Final = math.pi / 4


# --- out ---------------------------------------------------------------------------------------------------------


def hand_svg(pieces: Sequence[HandPiece]) -> bytes:
    """A drawing at true size of pieces side by side, as `read_drawing` reads it."""
    root = ElementTree.Element("svg", {"xmlns": "http://www.w3.org/2000/svg"})
    left, lowest = _GAP_CM, 0.0
    for piece in pieces:
        x0, y0, x1, y1 = _box(piece)
        root.append(_group(piece, left - x0, _GAP_CM - y0))
        left, lowest = left + x1 - x0 + _GAP_CM, max(lowest, y1 - y0)
    width, height = math.ceil(left), math.ceil(lowest + 2 * _GAP_CM)
    for key, value in (("width", f"{width}cm"), ("height", f"{height}cm"), ("viewBox", f"0 0 {width} {height}")):
        root.set(key, value)
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode").encode() + b"\n"


def _box(piece: HandPiece) -> tuple[float, float, float, float]:
    xs, ys = zip(*piece.outline.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _group(piece: HandPiece, across: float, down: float) -> ElementTree.Element:
    looks = {"fill": "none", "stroke": "#000", "stroke-width": "0.05"}
    group = ElementTree.Element("g", {**_piece_marks(piece), **looks})
    group.set("transform", f"translate({_n(across)} {_n(down)})")
    ElementTree.SubElement(group, "path", {"d": outline_path(piece), "data-line": "stitch" if piece.stitch else "cut"})
    for number, side in enumerate(piece.sides):
        if side.words.fold:
            _line(group, piece.ends(number), {"data-line": "fold"})
        for notch in side.notches:
            match = {"data-match": notch.match} if notch.match else {}
            _line(group, notch_line(piece, number, notch), {"data-line": "notch", **match})
    for words, run in runs(piece):
        _line(group, run_line(piece, run), _edge_marks(words))
    return group


def _piece_marks(piece: HandPiece) -> dict[str, str]:
    given = {
        "piece": piece.name,
        "cut": str(piece.cut),
        "pair": "true" if piece.pair else None,
        "one-way": "true" if piece.one_way else None,
        "grain": None
        if piece.grain_deg is None
        else {0.0: "x", 90.0: "y"}.get(piece.grain_deg, f"{piece.grain_deg:g}"),
        "allowance": None if piece.allowance_cm is None else f"{piece.allowance_cm:g} cm",
        "material": None if piece.material == MAIN_CLOTH else piece.material,
        "size": piece.size,
        "version": piece.version,
    }
    return {f"data-{mark}": value for mark, value in given.items() if value is not None}


def _edge_marks(words: EdgeWords) -> dict[str, str]:
    lengths = (("ease", words.ease_cm), ("hem", words.hem_cm), ("allowance", words.allowance_cm))
    marks = {f"data-{mark}": f"{cm:g} cm" for mark, cm in lengths if cm is not None}
    marks |= {"data-seam": words.seam} if words.seam else {}
    return {"data-line": "edge", **marks, **({"data-selvedge": "true"} if words.selvedge else {})}


def _line(group: ElementTree.Element, points: Iterable[Point], marks: dict[str, str]) -> None:
    data = "M" + " L".join(f"{_n(x)} {_n(y)}" for x, y in points)
    ElementTree.SubElement(group, "path", {"d": data, **marks})


def outline_path(piece: HandPiece) -> str:
    """The line as drawn as the data of a path: M, L, C and Z."""
    return f"M{_n(piece.corners[0][0])} {_n(piece.corners[0][1])} {' '.join(side_steps(piece))} Z"


def side_steps(piece: HandPiece) -> Iterator[str]:
    """Each side as one command of a path: L, or C with its handles."""
    for number in range(len(piece.sides)):
        points = piece.points(number)[1:]
        yield ("L" if len(points) == 1 else "C") + " ".join(f"{_n(x)} {_n(y)}" for x, y in points)


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


# --- in ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Opened:
    """Pieces of a drawing as they can be drawn on; `left`: what of it was not brought along, one sentence each."""

    pieces: tuple[HandPiece, ...]
    left: tuple[str, ...]


def open_pieces(drawn: Drawn, name: str) -> Opened:
    """The pieces of what a reader found drawn; DrawingRefused where it cannot be read at all."""
    findings = Findings()
    left: list[str] = []
    found = list(Assembly(drawn, findings, 0.0, name).found())
    findings.refuse_if_any()
    if len(found) > MOST_PIECES:
        raise DrawingRefused([f"The drawing has {len(found)} pieces; at most {MOST_PIECES} can be drawn on together."])
    pieces = [piece for one in found if (piece := _Opening(one, left).piece()) is not None]
    if drawn.texts:
        left.append(f"Text is not brought along: {listed(tuple(quoted(text.text) for text in drawn.texts))}.")
    if any(line.is_test for line in drawn.lines):
        left.append("A test square or line is not brought along.")
    return Opened(tuple(pieces), tuple(left))


class _Opening:
    """Opens one piece; what of it cannot be drawn on is added to `left`."""

    def __init__(self, found: Found, left: list[str]) -> None:
        self._found = found
        self._left = left

    def piece(self) -> HandPiece | None:
        points = self._sides()
        if points is None:
            return None
        marks, name = self._found.line.marks, self._found.name
        bare = HandPiece(
            name,
            tuple(side[0] for side in points),
            tuple(Side((side[1], side[2]) if len(side) == 4 else None) for side in points),
            cut=marks.cut or 1,
            pair=bool(marks.pair),
            one_way=bool(marks.one_way),
            grain_deg=marks.grain,
            stitch=marks.line == "stitch",
            allowance_cm=marks.allowance if marks.line == "stitch" else None,
            material=marks.material or MAIN_CLOTH,
            size=marks.size,
            version=marks.version,
        )
        return self._at_home(self._marked(bare))

    def _at_home(self, piece: HandPiece) -> HandPiece:
        """The piece in the places of its own group, or near the corner of the page where those are far from it."""
        assert self._found.line.track is not None
        across, down = self._found.line.track[1].at(0, 0)
        piece = shifted_piece(piece, -across, -down)
        x, y, _, _ = _box(piece)
        near = all(-_HOME_CM <= value <= _HOME_CM for value in (x, y))
        return piece if near else shifted_piece(piece, _GAP_CM - x, _GAP_CM - y)

    def _say(self, sentence: str) -> None:
        self._left.append(f"{quoted(self._found.name)}: {sentence}.")

    def _sides(self) -> list[tuple[Point, ...]] | None:
        if self._found.line.track is None:
            self._say("only drawings in SVG can be drawn on")
            return None
        points = list(_steps(*self._found.line.track))
        if len(points) > MOST_CORNERS:
            self._say(f"it has {len(points)} corners; at most {MOST_CORNERS} can be drawn on, so it stays as it is")
            return None
        return points if len(points) >= 3 else _in_three(points)

    def _marked(self, piece: HandPiece) -> HandPiece:
        sides = [*piece.sides]
        if len(self._found.marks) > MOST_CORNERS:
            self._say(f"of its {len(self._found.marks)} marks the first {MOST_CORNERS} are brought along")
        for line in self._found.marks[:MOST_CORNERS]:
            if line.kind == "edge":
                sides = self._edged(piece, sides, line)
            elif line.kind == "notch":
                sides = self._notched(piece, sides, line)
            elif line.kind == "grain":
                piece = replace(piece, grain_deg=_grain(line, piece.grain_deg))
            elif line.kind == "fold":
                sides = self._folded(piece, sides, (line.flat.points[0], line.flat.points[-1]))
            else:
                self._say(f"a line marked “{line.kind}” is not brought along")
        if self._found.line.marks.fold is not None:
            sides = self._folded(piece, sides, self._named_fold(self._found.line.marks.fold))
        if self._found.inner:
            self._say("what is drawn inside it (a dart, a pocket's place, a stitching line) is not brought along")
        return replace(piece, sides=tuple(sides))

    def _named_fold(self, side: str) -> tuple[Point, Point] | None:
        try:
            return fold_line(self._found.line.flat, side)
        except FoldRefused:
            return None

    def _folded(self, piece: HandPiece, sides: list[Side], fold: tuple[Point, Point] | None) -> list[Side]:
        line = LineString(fold) if fold else None
        on = [i for i in range(len(sides)) if line and all(_near(line, end) for end in piece.ends(i))]
        if len(on) != 1 or sides[on[0]].handles is not None:
            self._say("its fold is not one straight side from corner to corner, and is not brought along")
            return sides
        return _with(sides, on[0], replace(sides[on[0]], words=EdgeWords(fold=True)))

    def _edged(self, piece: HandPiece, sides: list[Side], line: Line) -> list[Side]:
        words = _words_of(line)
        try:
            along = stretch_of(self._found.line.flat.points, line.flat.points)
        except EdgeUnclear:
            along = ()
        there = LineString(along) if along else None
        on = [i for i in range(len(sides)) if there is not None and _lies_along(piece, i, there)]
        long = sum(piece.length_cm(i) for i in on)
        if not on or abs(long - LineString(along).length) > _ON_CORNER_CM * 2:
            self._say(f"the edge “{words}” does not run from corner to corner, and is not brought along")
            return sides
        for number in on:
            sides = _with(sides, number, replace(sides[number], words=words))
        return sides

    def _notched(self, piece: HandPiece, sides: list[Side], line: Line) -> list[Side]:
        places = (place_along(piece, point) for point in (line.flat.points[0], line.flat.points[-1]))
        on = next((place for place in places if place is not None), None)
        if on is None:
            self._say("a notch that is not on its line is not brought along")
            return sides
        notch = Notch(round(on[1], 3), line.chain[-1].marks.match)
        side = sides[on[0]]
        return _with(sides, on[0], replace(side, notches=(*side.notches, notch)))


def _with(sides: list[Side], number: int, side: Side) -> list[Side]:
    return [*sides[:number], side, *sides[number + 1 :]]


def _near(line: LineString, point: Point) -> bool:
    return bool(line.distance(ShapelyPoint(point)) <= _ON_CORNER_CM)


def _lies_along(piece: HandPiece, side: int, along: LineString) -> bool:
    if not all(_near(along, end) for end in piece.ends(side)):
        return False
    middle = piece.lines[side].interpolate(0.5, normalized=True)
    return _near(along, (middle.x, middle.y))


def _words_of(line: Line) -> EdgeWords:
    own = line.chain[-1].marks
    allowance = own.allowance if own.hem is None else None
    return EdgeWords(own.seam, own.ease, own.hem, allowance, bool(own.selvedge))


def _grain(line: Line, stated: float | None) -> float | None:
    return direction_deg(line.flat.points[0], line.flat.points[-1]) if stated is None else stated


def _in_three(points: list[tuple[Point, ...]]) -> list[tuple[Point, ...]]:
    """A line of one or two sides with corners put on them, so that there are three or more."""
    piece = HandPiece(
        "", tuple(side[0] for side in points), tuple(Side((s[1], s[2]) if len(s) == 4 else None) for s in points)
    )
    while len(piece.corners) < 3:
        piece = split(piece, 0)
    return [piece.points(side) for side in range(len(piece.sides))]


def _steps(track: Track, to_cm: Affine) -> Iterator[tuple[Point, ...]]:
    """Each side of a track in cm: two points, or four; an arc as curves that are as it to a thousandth of its radius."""
    here, first = track.start, to_cm.at(*track.start)
    for step in track.steps:
        for points in _cubics(step, here):
            side = tuple(to_cm.at(*point) for point in points)
            if math.dist(side[0], side[-1]) > 1e-6 or len(side) == 4:
                yield side
        here = step.end
    last = to_cm.at(*here)
    if math.dist(first, last) > CLOSES_WITHIN_CM:
        yield last, first


def _cubics(step: Step, start: Point) -> Iterator[tuple[Point, ...]]:
    if isinstance(step, Straight):
        yield start, step.end
    elif isinstance(step, Cubic):
        yield start, step.first, step.second, step.end
    else:
        yield from _of_arc(step)


def _of_arc(arc: Arc) -> Iterator[tuple[Point, ...]]:
    """An arc as curves of at most an eighth of a turn.

    Handles at 4/3 tan(δ/4) along the tangents: wrong by less than a millionth of the radius at δ = π/4.
    *Source:* a textbook formula of computer graphics; from memory, and tested.
    """
    count = max(1, math.ceil(abs(arc.sweep) / _ARC_STEP))
    turn = arc.sweep / count
    reach = 4 / 3 * math.tan(turn / 4)

    def at(t: float, along: float = 0.0) -> Point:
        c, s = math.cos(t) - along * math.sin(t), math.sin(t) + along * math.cos(t)
        return arc.centre[0] + arc.u[0] * c + arc.v[0] * s, arc.centre[1] + arc.u[1] * c + arc.v[1] * s

    for number in range(count):
        begin, end = arc.begin + turn * number, arc.begin + turn * (number + 1)
        yield at(begin), at(begin, reach), at(end, -reach), at(end)
