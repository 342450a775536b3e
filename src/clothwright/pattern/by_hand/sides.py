"""A piece drawn by hand: corners, and from each corner a side to the next.

The words, as they are used here and on the page:

- The *page* is seen from the right side of the cloth: x runs across from the left, y down from the top, cm.
- A *corner* is a place on the page. A piece has three or more, in order round it, either way round.
- A *side* runs from its corner to the next one; the last runs back to the first. It is straight, or a Bézier curve of
  degree three with two *handles* h1, h2: from corner p to corner q,

      B(t) = (1 − t)³ p + 3 (1 − t)² t h1 + 3 (1 − t) t² h2 + t³ q,   0 ≤ t ≤ 1,

  so the curve leaves p towards h1 and reaches q from h2, and lies inside the four points' hull.
- A side's *length* is ∫ |B'(t)| dt. B' is a polynomial of degree two, so Gauss's rule with 16 points on each of 8 equal
  parts gives it to far below a hundredth of a millimetre, but for cusps, where it is good to 0.1 %.
- Typing a length *moves the next corner along the side's direction*: the side is stretched about its own corner by the
  length wanted over the length it has, handles and all, so a curve keeps its shape. The handle of the next side at the
  corner that moves goes along with it; every other point stays.
- A corner put on a curve splits it by de Casteljau's construction, which leaves the curve as it is.
- A piece with a side *on the fold* is half; the whole is the half and its mirror image across that straight side.
- To be looked at, cut and measured, curves are made of chords no further than 0.2 mm from them, as every drawing's are.

*Source:* Bézier curves and de Casteljau's construction, any textbook of computational geometry; Gauss–Legendre
quadrature, Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 25.4.29.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from shapely.geometry import LineString
from shapely.geometry import Point as ShapelyPoint

from clothwright.pattern.geometry import Affine, Cubic, Flat, Step, Straight, Track, flatten
from clothwright.pattern.outline import Fold, FoldRefused
from clothwright.pattern.piece import MAIN_CLOTH, Point, Ring, crossing_place
from clothwright.pattern.reading.edge_words import NOTHING_SAID, EdgeWords

MOST_CORNERS: Final = 150
MOST_PIECES: Final = 60
FARTHEST_CM: Final = 500.0
#: A place this near to a side is on it.
ON_SIDE_CM: Final = 0.8
_PARTS: Final = 8
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


@dataclass(frozen=True)
class Notch:
    """A notch on a side: how far along it from its corner, cm, and the match point it is."""

    along_cm: float
    match: str | None = None


@dataclass(frozen=True)
class Side:
    """A side from its corner to the next; `handles` of a curve, in page coordinates."""

    handles: tuple[Point, Point] | None = None
    words: EdgeWords = NOTHING_SAID
    notches: tuple[Notch, ...] = ()


@dataclass(frozen=True)
class HandPiece:
    """A piece as it is drawn by hand: side i runs from corner i to the next.

    `grain_deg`: degrees anticlockwise from the right of the page; None where nothing is said. `stitch`: the outline is
    the stitching line. `allowance_cm`: its own seam allowance; None is the project's.
    """

    name: str
    corners: tuple[Point, ...]
    sides: tuple[Side, ...]
    cut: int = 1
    pair: bool = False
    one_way: bool = False
    grain_deg: float | None = None
    stitch: bool = False
    allowance_cm: float | None = None
    material: str = MAIN_CLOTH
    size: str | None = None
    version: str | None = None

    def after(self, corner: int) -> int:
        """The corner that a corner's side leads to."""
        return (corner + 1) % len(self.corners)

    def ends(self, side: int) -> tuple[Point, Point]:
        """The two corners of a side."""
        return self.corners[side], self.corners[self.after(side)]

    def points(self, side: int) -> tuple[Point, ...]:
        """The corners of a side with the handles between them: two points, or four."""
        start, end = self.ends(side)
        return (start, *(self.sides[side].handles or ()), end)

    def length_cm(self, side: int) -> float:
        """How long a side is, cm."""
        return curve_length(self.points(side))

    @cached_property
    def lengths_cm(self) -> tuple[float, ...]:
        """How long each side is, cm."""
        return tuple(map(self.length_cm, range(len(self.sides))))

    def flat(self, side: int) -> Ring:
        """A side as chords, from corner to corner."""
        return self._flats[side]

    @cached_property
    def _flats(self) -> tuple[Ring, ...]:
        return tuple(_flat(self.points(side)).points for side in range(len(self.sides)))

    @cached_property
    def lines(self) -> tuple[LineString, ...]:
        """Each side as chords, as shapely lines."""
        return tuple(map(LineString, self._flats))

    @cached_property
    def outline(self) -> Flat:
        """The closed line as drawn: half of the piece where a side lies on the fold."""
        steps = [_step(self.points(side)) for side in range(len(self.sides))]
        return flatten(Track(self.corners[0], steps, closed=True), Affine())

    @cached_property
    def twice_area(self) -> float:
        """Twice the area within the line as drawn, cm²: above nought where it runs clockwise as seen on the page."""
        return _twice_area(self.outline.points)

    @property
    def fold(self) -> Fold | None:
        """The line it is opened out at; FoldRefused where the sides on the fold are not one straight line."""
        on = [side for side, one in enumerate(self.sides) if one.words.fold]
        if not on:
            return None
        if len(on) > 1 or self.sides[on[0]].handles is not None:
            raise FoldRefused("one straight side lies on the fold; say “fold” on that one alone")
        return Fold(*self.ends(on[0]))

    @property
    def whole(self) -> Ring:
        """The closed line once opened out; FoldRefused as `fold`, or where the half crosses the fold."""
        fold = self.fold
        return self.outline.points if fold is None else fold.opened(self.outline)

    @cached_property
    def crosses_at(self) -> Point | None:
        """The first place where the line as drawn crosses itself, on the page; None where it does not."""
        return crossing_place(self.outline.points)


def outline_fold(piece: HandPiece) -> Ring:
    """The other half of a piece on the fold, as drawn; empty where it has no fold, or none that can be opened at."""
    try:
        fold = piece.fold
    except FoldRefused:
        return ()
    return () if fold is None or fold.start == fold.end else fold.reflected(piece.outline.points)


def _step(points: tuple[Point, ...]) -> Step:
    return Straight(points[1]) if len(points) == 2 else Cubic(points[1], points[2], points[3])


def _flat(points: tuple[Point, ...]) -> Flat:
    return flatten(Track(points[0], [_step(points)]), Affine())


def curve_length(points: tuple[Point, ...]) -> float:
    """Length of a straight side (two points) or of a curve (four), cm."""
    if len(points) == 2:
        return math.dist(*points)
    p = np.array(points)
    t = ((_NODES[:, None] + 1) / 2 + np.arange(_PARTS)) / _PARTS
    s, steps = 1 - t, 3 * np.diff(p, axis=0)
    slope = s[..., None] ** 2 * steps[0] + 2 * (s * t)[..., None] * steps[1] + t[..., None] ** 2 * steps[2]
    return float((np.hypot(slope[..., 0], slope[..., 1]) * _WEIGHTS[:, None]).sum() / 2 / _PARTS)


# --- changing it -------------------------------------------------------------------------------------------------


def with_length(piece: HandPiece, side: int, length_cm: float) -> HandPiece:
    """The piece with a side as long as that: its far corner moves along the side's direction.

    ValueError where the side has no direction, its corners lying on each other.
    """
    start, end = piece.ends(side)
    now = piece.length_cm(side)
    if now < 1e-6 or math.dist(start, end) < 1e-6:
        raise ValueError("its corners lie on each other, so it has no direction; move one of them first")
    by = length_cm / now
    moved = _between(start, end, by)
    shift = moved[0] - end[0], moved[1] - end[1]
    sides, following = list(piece.sides), piece.after(side)
    handles, onward = piece.sides[side].handles, piece.sides[following].handles
    if onward is not None:
        sides[following] = replace(sides[following], handles=(_shifted(onward[0], shift), onward[1]))
    if handles is not None:
        sides[side] = replace(sides[side], handles=(_between(start, handles[0], by), _between(start, handles[1], by)))
    corners = list(piece.corners)
    corners[following] = moved
    return replace(piece, corners=tuple(corners), sides=tuple(sides))


def shifted_piece(piece: HandPiece, across: float, down: float) -> HandPiece:
    """The piece elsewhere on the page."""
    by = (across, down)
    sides = (
        replace(one, handles=one.handles and (_shifted(one.handles[0], by), _shifted(one.handles[1], by)))
        for one in piece.sides
    )
    return replace(piece, corners=tuple(_shifted(point, by) for point in piece.corners), sides=tuple(sides))


def split(piece: HandPiece, side: int, share: float = 0.5) -> HandPiece:
    """The piece with a corner put on a side at a share of its parameter; the line stays as it is."""
    one, now = piece.sides[side], piece.points(side)
    first, second = one, one
    if len(now) == 2:
        place = _between(now[0], now[1], share)
    else:
        a, b, c = (_between(now[i], now[i + 1], share) for i in range(3))
        left, right = _between(a, b, share), _between(b, c, share)
        place = _between(left, right, share)
        first, second = replace(one, handles=(a, left)), replace(one, handles=(right, c))
    kept, gone = _shared_notches(one.notches, curve_length((*now[:1], *(first.handles or ()), place)))
    halves = replace(first, notches=kept), replace(second, notches=gone)
    corners = (*piece.corners[: side + 1], place, *piece.corners[side + 1 :])
    return replace(piece, corners=corners, sides=(*piece.sides[:side], *halves, *piece.sides[side + 1 :]))


def _shared_notches(notches: tuple[Notch, ...], at_cm: float) -> tuple[tuple[Notch, ...], tuple[Notch, ...]]:
    """The notches before a place along a side, and those behind it, counted from there."""
    before = tuple(notch for notch in notches if notch.along_cm <= at_cm)
    behind = (replace(notch, along_cm=notch.along_cm - at_cm) for notch in notches if notch.along_cm > at_cm)
    return before, tuple(behind)


def bent(piece: HandPiece, side: int) -> tuple[Point, Point]:
    """Handles that make a straight side a curve: at its thirds, towards the inside by a sixth of it."""
    (x0, y0), (x1, y1) = piece.ends(side)
    across, down = x1 - x0, y1 - y0
    turn = math.copysign(1 / 6, _twice_area(piece.corners))
    return tuple((x0 + across * t - down * turn, y0 + down * t + across * turn) for t in (1 / 3, 2 / 3))  # type: ignore[return-value]


def _twice_area(corners: tuple[Point, ...]) -> float:
    """Twice the area within the corners: above nought where they run clockwise as seen on the page."""
    onward = (*corners[1:], corners[0])
    return sum(x * v - u * y for (x, y), (u, v) in zip(corners, onward, strict=True))


def side_at(piece: HandPiece, place: Point) -> tuple[int, float] | None:
    """The side a place lies on, and the share of its parameter there; None where it lies on none."""
    found = min((_nearest(piece, side, place) for side in range(len(piece.sides))), default=None)
    return None if found is None or found[0] > ON_SIDE_CM else (found[1], found[2])


def _nearest(piece: HandPiece, side: int, place: Point) -> tuple[float, int, float]:
    shares = np.linspace(0.02, 0.98, 97)
    points = piece.points(side)
    away = [math.dist(point_at(points, float(share)), place) for share in shares]
    best = int(np.argmin(away))
    return away[best], side, float(shares[best])


def point_at(points: tuple[Point, ...], share: float) -> Point:
    """The point of a side (two points, or four) at a share of its parameter."""
    while len(points) > 1:
        points = tuple(_between(points[i], points[i + 1], share) for i in range(len(points) - 1))
    return points[0]


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _shifted(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]


def with_point(ring: Ring, place: Point) -> Ring:
    """A closed line of straight sides with a point put in on the side it lies nearest to."""
    onward = (*ring[1:], ring[0])
    away = [LineString(side).distance(ShapelyPoint(place)) for side in zip(ring, onward, strict=True)]
    number = int(np.argmin(away)) + 1
    return (*ring[:number], place, *ring[number:])


# --- along its sides ---------------------------------------------------------------------------------------------


def runs(piece: HandPiece) -> Iterator[tuple[EdgeWords, tuple[int, ...]]]:
    """Neighbouring sides of which the same is said, as one edge each; a run all the way round is given in two halves."""
    count = len(piece.sides)
    words = [one.words for one in piece.sides]
    starts = [i for i in range(count) if words[i].said and words[i - 1] != words[i]]
    if not starts and words[0].said:
        yield words[0], tuple(range(count // 2))
        yield words[0], tuple(range(count // 2, count))
    for start in starts:
        run = [start]
        while len(run) < count and words[(run[-1] + 1) % count] == words[start]:
            run.append((run[-1] + 1) % count)
        yield words[start], tuple(run)


def run_line(piece: HandPiece, run: tuple[int, ...]) -> Ring:
    """The line along a run of sides, from corner to corner."""
    return (piece.corners[run[0]], *(point for side in run for point in piece.flat(side)[1:]))


def notch_line(piece: HandPiece, side: int, notch: Notch, deep_cm: float = 0.6) -> Ring:
    """A notch as a short line from the outline inwards."""
    line = piece.lines[side]
    at, on = line.interpolate(notch.along_cm), line.interpolate(min(notch.along_cm + 0.05, line.length))
    back = line.interpolate(max(notch.along_cm - 0.05, 0.0))
    across, down = on.x - back.x, on.y - back.y
    long = math.hypot(across, down) or 1.0
    turn = math.copysign(deep_cm / long, piece.twice_area)
    return (at.x, at.y), (at.x - down * turn, at.y + across * turn)


def place_along(piece: HandPiece, place: Point) -> tuple[int, float] | None:
    """The side a place lies on, and how far along it, cm; None where it lies on none."""
    point = ShapelyPoint(place)
    away, side = min((line.distance(point), number) for number, line in enumerate(piece.lines))
    return None if away > ON_SIDE_CM else (side, float(piece.lines[side].project(point)))
