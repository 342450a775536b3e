"""The line a piece is sewn by, as corners that keep their numbers while it is altered, with its edges as runs of them.

An alteration gives every corner of the line a new place. Because the corners keep their numbers, an edge is altered with the
line it lies on, and whatever lies beside the line (a notch, a second line round it) can follow the place it lies nearest to.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry import Point as ShapelyPoint

from clothwright.pattern.outline import add_allowances
from clothwright.pattern.piece import Edge, Piece, Point, Ring

Corners = NDArray[np.float64]

#: From this turn on, degrees, a place of a line is a corner and no curve. Common practice, no source.
CORNER_DEG: Final = 25.0
_SAME_CM: Final = 1e-6
_SNAP_CM: Final = 0.15
_STRAIGHT_DEG: Final = 1e-5
_WITH_A_CORNER_CM: Final = 8.0
_CLOSE_CM: Final = 0.5


@dataclass(frozen=True)
class Run:
    """An edge as corners of the line, counted onwards round it from `first` to `last`; `onwards`: it was drawn that way."""

    first: int
    last: int
    onwards: bool
    edge: Edge


@dataclass(frozen=True, eq=False)
class Seamline:
    """A closed line, counter-clockwise, cm, and the edges on it."""

    corners: Corners
    runs: tuple[Run, ...]

    @cached_property
    def distances(self) -> Corners:
        """How far along the line each corner lies from the first."""
        steps = np.linalg.norm(np.roll(self.corners, -1, axis=0) - self.corners, axis=1)
        return np.concatenate(([0.0], np.cumsum(steps)[:-1]))

    @cached_property
    def around_cm(self) -> float:
        """Length once round."""
        return float(np.linalg.norm(np.roll(self.corners, -1, axis=0) - self.corners, axis=1).sum())

    @cached_property
    def turns_deg(self) -> Corners:
        """How far the line turns at each corner, to the left."""
        ahead = np.roll(self.corners, -1, axis=0) - self.corners
        back = np.roll(ahead, 1, axis=0)
        cross = back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0]
        return np.asarray(np.degrees(np.arctan2(cross, (back * ahead).sum(axis=1))))

    @property
    def ring(self) -> Ring:
        """The line as points."""
        return tuple((float(x), float(y)) for x, y in self.corners)

    def between(self, first: int, last: int) -> NDArray[np.int64]:
        """The numbers of the corners from one to another, onwards."""
        count = len(self.corners)
        return (first + np.arange((last - first) % count + 1)) % count

    def of(self, run: Run) -> NDArray[np.int64]:
        """The numbers of the corners of a run."""
        return self.between(run.first, run.last)

    def shares(self, numbers: NDArray[np.int64]) -> Corners:
        """How far along a stretch each of its corners lies, 0 to 1."""
        return shares_along(self.corners[numbers])

    def moved(self, corners: Corners) -> Seamline:
        """The line with its corners at new places."""
        return replace(self, corners=corners)

    def edges(self) -> tuple[Edge, ...]:
        """The edges as they lie now, each drawn the way it was; without repeated points."""
        return tuple(replace(run.edge, line=self._drawn(run)) for run in self.runs)

    def plain_ring(self) -> Ring:
        """The line as points, without those that repeat one or lie on a straight stretch, but for the ends of edges."""
        kept = {number for run in self.runs for number in (run.first, run.last)}
        steps = np.linalg.norm(self.corners - np.roll(self.corners, 1, axis=0), axis=1)
        numbers = np.flatnonzero(steps > _SAME_CM)
        clean = Seamline(self.corners[numbers], ())
        bends = np.abs(clean.turns_deg) > _STRAIGHT_DEG
        return as_points(clean.corners[[bend or int(n) in kept for n, bend in zip(numbers, bends, strict=True)]])

    def _drawn(self, run: Run) -> Ring:
        line = without_straight(without_repeats(self.corners[self.of(run)]))
        return as_points(line if run.onwards else line[::-1])

    def with_corners_at(self, stops: Iterable[float]) -> Seamline:
        """The same line with corners at more distances along it, the edges on it renumbered."""
        whole = self.around_cm
        more = [stop % whole for stop in stops]
        new = [stop for stop in more if self._nearest(stop)[1] > _SAME_CM]
        places = np.unique(np.round(np.concatenate((self.distances, new)), 9))
        closed = np.vstack((self.corners, self.corners[:1]))
        at = np.concatenate((self.distances, [whole]))
        corners = np.column_stack([np.interp(places, at, closed[:, axis]) for axis in (0, 1)])
        corners[np.searchsorted(places, np.round(self.distances, 9))] = self.corners
        numbers = np.searchsorted(places, np.round(self.distances, 9))
        runs = tuple(replace(run, first=int(numbers[run.first]), last=int(numbers[run.last])) for run in self.runs)
        return Seamline(corners, runs)

    def _nearest(self, stop: float) -> tuple[int, float]:
        """The corner nearest to a distance along the line, and how far it is off."""
        away = np.abs(self.distances - stop)
        away = np.minimum(away, self.around_cm - away)
        return int(away.argmin()), float(away.min())

    def number_at(self, stop: float) -> int:
        """The number of the corner at a distance along the line."""
        return self._nearest(stop % self.around_cm)[0]


def shares_along(line: Corners) -> Corners:
    """How far along an open line each of its points lies, 0 to 1."""
    along = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))))
    return along / along[-1] if along[-1] > 0 else along


def without_repeats(line: Corners) -> Corners:
    """A line without points that repeat the one before."""
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    return line[np.concatenate(([True], steps > _SAME_CM))]


def without_straight(line: Corners) -> Corners:
    """An open line without points that lie on a straight stretch of it."""
    if len(line) < 3:
        return line
    steps = np.diff(line, axis=0)
    cross = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    turns = np.degrees(np.arctan2(np.abs(cross), (steps[:-1] * steps[1:]).sum(axis=1)))
    return line[np.concatenate(([True], turns > _STRAIGHT_DEG, [True]))]


def as_points(line: Corners) -> Ring:
    """An array of points as plain pairs."""
    return tuple((float(x), float(y)) for x, y in line)


def grown_from_stitching(piece: Piece) -> bool:
    """Whether the piece's cut line is its stitching line with the allowances added."""
    if piece.stitching is None or piece.allowance_cm > 0:
        return piece.stitching is not None
    area = Polygon(_grown(piece.stitching, piece.allowance_cm, piece.edges)).area
    return bool(abs(area - piece.area_cm2) <= 1e-4 * piece.area_cm2)


def _grown(stitching: Ring, allowance_cm: float, edges: Sequence[Edge]) -> Ring:
    own = [(edge.line, edge.allowance_cm) for edge in edges if edge.allowance_cm is not None]
    return add_allowances(stitching, allowance_cm, own)[0] if allowance_cm or own else stitching


def cut_line(piece: Piece, stitching: Ring, edges: Sequence[Edge]) -> Ring:
    """The cut line of a piece drawn by its stitching line, for the line and the edges as they are now."""
    return _grown(stitching, piece.allowance_cm, edges)


def seamline_of(piece: Piece) -> Seamline:
    """The line the edges of a piece lie on: its stitching line where the cut line was made from that, else the cut line."""
    ring = piece.stitching if piece.stitching is not None and grown_from_stitching(piece) else piece.outline
    points = ring if Polygon(ring).exterior.is_ccw else ring[::-1]
    line = Seamline(without_repeats(np.array(points, dtype=float)), ())
    around = LineString([*line.ring, line.ring[0]])
    found = [_ends(line, around, edge) for edge in piece.edges]
    line = line.with_corners_at(stop for first, last, _ in found for stop in (first, last))
    numbered = [(line.number_at(first), line.number_at(last), onwards) for first, last, onwards in found]
    runs = (Run(*one, edge) for one, edge in zip(numbered, piece.edges, strict=True))
    return replace(line, runs=tuple(runs))


def _ends(line: Seamline, around: LineString, edge: Edge) -> tuple[float, float, bool]:
    """Where an edge begins and ends along the line, onwards, and whether it was drawn onwards."""
    start, end = (_stop(line, around, point) for point in (edge.line[0], edge.line[-1]))
    middle = LineString(edge.line).interpolate(0.5, normalized=True)
    inside = (around.project(middle) - start) % around.length < (end - start) % around.length
    return (start, end, True) if inside else (end, start, False)


def _stop(line: Seamline, around: LineString, point: Point) -> float:
    """Where an end of an edge lies along the line; at a corner, where one is as near as makes no difference."""
    stop = float(around.project(ShapelyPoint(point)))
    sharp = np.flatnonzero(np.abs(line.turns_deg) >= CORNER_DEG)
    if len(sharp):
        away = np.abs(line.distances[sharp] - stop)
        away = np.minimum(away, around.length - away)
        if away.min() <= _SNAP_CM:
            return float(line.distances[sharp[away.argmin()]])
    return stop


def follow(before: Seamline, after: Seamline, points: Corners) -> Corners:
    """How far each point moves with the place of the line that it lies nearest to."""
    starts, ends = before.corners, np.roll(before.corners, -1, axis=0)
    along = ends - starts
    long = np.maximum((along**2).sum(axis=1), 1e-18)
    moved = after.corners - before.corners
    next_moved = np.roll(moved, -1, axis=0)
    shift = np.empty_like(points)
    for number, point in enumerate(points):
        share = np.clip(((point - starts) * along).sum(axis=1) / long, 0.0, 1.0)
        near = int(((starts + share[:, None] * along - point) ** 2).sum(axis=1).argmin())
        shift[number] = (1 - share[near]) * moved[near] + share[near] * next_moved[near]
    return shift


def ring_followed(before: Seamline, after: Seamline, ring: Ring) -> Ring:
    """A second line round the piece as it goes with the first: its corners with the corners they lie at, the rest beside it."""
    line = Seamline(without_repeats(np.array(ring, dtype=float)), ())
    stops = np.arange(0.0, line.around_cm, _CLOSE_CM)
    line = line.with_corners_at(stops)
    shift = follow(before, after, line.corners)
    sharp = np.flatnonzero(np.abs(before.turns_deg) >= CORNER_DEG)
    for number in np.flatnonzero(np.abs(line.turns_deg) >= CORNER_DEG):
        away = np.linalg.norm(before.corners[sharp] - line.corners[number], axis=1)
        if len(sharp) and away.min() <= _WITH_A_CORNER_CM:
            near = sharp[away.argmin()]
            shift[number] = after.corners[near] - before.corners[near]
    return _without_spikes(line.moved(line.corners + shift).plain_ring())


def _without_spikes(ring: Ring) -> Ring:
    """A ring without places where it runs out and back on itself, as it does beyond a corner that was cut off."""
    whole = Polygon(ring).buffer(0)
    largest = max(whole.geoms, key=lambda part: part.area) if isinstance(whole, MultiPolygon) else whole
    return tuple((float(x), float(y)) for x, y in largest.exterior.coords[:-1])


def distance_to(line: Seamline, point: Point) -> float:
    """How far a point lies from the line, cm."""
    return float(LineString([*line.ring, line.ring[0]]).distance(ShapelyPoint(point)))
