"""From the line on the page to the line the scissors follow: opened out, with its allowance, grain along x.

Page coordinates are centimetres, x to the right and y *down*, as in SVG. A piece is drawn as seen from the right side
of the cloth, so bringing it onto the cloth is a turn and never a mirroring: y is set upright first (which shows the same
picture), then the picture is turned until the grain points along +x.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from shapely import set_precision
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.ops import substring, unary_union

from clothwright.pattern.geometry import Flat, cos_sin
from clothwright.pattern.piece import Point, Ring

STRAIGHT_WITHIN_CM = 0.02
FOLD_AT_LEAST_CM = 1.0
SNAP_DEG = 0.1
MITRE_LIMIT = 4.0
ON_FOLD_WITHIN_CM = 0.1
EDGE_REACH_CM = 0.5
EDGE_AT_LEAST_CM = 0.5
ON_EDGE_WITHIN_CM = 0.03
#: Where strips of allowance meet, corners that are one corner come out a rounding apart; on this grid they are one again.
GRID_CM = 1e-5

_FOLD_AXIS = {"left": (0, 1.0), "right": (0, -1.0), "top": (1, 1.0), "bottom": (1, -1.0)}


class FoldRefused(ValueError):
    """The edge named as the fold is no straight edge; the message says what it is instead."""


def open_out(outline: Flat, side: str) -> Ring:
    """The whole piece, of which `outline` is the half that lies on the fold at its `side` edge on the page.

    FoldRefused if the outermost edge on that side is not one straight line along the page's edge.
    """
    axis, sign = _FOLD_AXIS[side]
    points = outline.points
    fold = sign * min(sign * point[axis] for point in points)
    first, last = _fold_run(outline, axis, fold)
    count = len(points)
    away = [points[(last + i) % count] for i in range((first - last) % count + 1)]
    away[0], away[-1] = _onto(away[0], axis, fold), _onto(away[-1], axis, fold)
    beyond = [_reflected(point, axis, fold) for point in away[-2:0:-1]]
    return (*away, *beyond)


def _fold_run(outline: Flat, axis: int, fold: float) -> tuple[int, int]:
    """The first and last point of the straight run of edges that lies on the fold."""
    points, count = outline.points, len(outline.points)
    on = [abs(point[axis] - fold) <= STRAIGHT_WITHIN_CM for point in points]
    edges = [outline.straight[i] and on[i] and on[(i + 1) % count] for i in range(count)]
    starts = [i for i in range(count) if edges[i] and not edges[i - 1]]
    if not starts:
        raise FoldRefused("is not a straight line along that side")
    if len(starts) > 1:
        raise FoldRefused("is broken: the outline leaves the fold and comes back to it")
    first = last = starts[0]
    while edges[last]:
        last = (last + 1) % count
    if abs(points[last][1 - axis] - points[first][1 - axis]) < FOLD_AT_LEAST_CM:
        raise FoldRefused(f"is straight for less than {FOLD_AT_LEAST_CM:g} cm")
    return first, last


def _onto(point: Point, axis: int, fold: float) -> Point:
    return (fold, point[1]) if axis == 0 else (point[0], fold)


def _reflected(point: Point, axis: int, fold: float) -> Point:
    return (2 * fold - point[0], point[1]) if axis == 0 else (point[0], 2 * fold - point[1])


def add_allowance(ring: Ring, allowance_cm: float) -> tuple[Ring, bool]:
    """The ring moved outwards by the allowance, corners mitred; and whether a narrow opening was filled by it.

    A corner so sharp that its point would lie more than `MITRE_LIMIT` half-widths out is cut off square, which is where
    SVG's own line joins stop (SVG 1.1, stroke-miterlimit, 4 if left out).
    """
    grown = Polygon(ring).buffer(allowance_cm, join_style="mitre", mitre_limit=MITRE_LIMIT)
    return tuple((float(x), float(y)) for x, y in grown.exterior.coords[:-1]), bool(grown.interiors)


def turn_to_grain(ring: Ring, grain_deg: float) -> Ring:
    """The ring as it lies on the cloth: page-upright, then turned so that the grain's direction becomes +x."""
    c, s = cos_sin(-grain_deg)
    return tuple((c * x - s * -y, s * x + c * -y) for x, y in ring)


def direction_deg(start: Point, end: Point) -> float:
    """The direction of a grain line on the page, degrees anticlockwise from its right.

    Of its two directions the one that points up, or to the right if the line is nearer level. A line within
    `SNAP_DEG` of upright or level is taken as that.
    """
    drawn = math.degrees(math.atan2(start[1] - end[1], end[0] - start[0]))
    upwards = (drawn + 45) % 180 - 45
    quarter = round(upwards / 90) * 90.0
    return quarter if abs(upwards - quarter) <= SNAP_DEG else upwards


def is_straight(points: Ring) -> bool:
    """Whether an open line runs straight from its first to its last point."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    length = math.dist(points[0], points[-1])
    aside = (abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) for x, y in points)
    return bool(length > 0 and max(aside) <= length * STRAIGHT_WITHIN_CM)


def fold_line(outline: Flat, side: str) -> tuple[Point, Point]:
    """The fold at a side of the page, from end to end; FoldRefused as `open_out`."""
    axis, sign = _FOLD_AXIS[side]
    fold = sign * min(sign * point[axis] for point in outline.points)
    first, last = _fold_run(outline, axis, fold)
    return _onto(outline.points[first], axis, fold), _onto(outline.points[last], axis, fold)


@dataclass(frozen=True)
class Fold:
    """A fold line at any angle, and the turn that brings it upright with the half piece to its right."""

    start: Point
    end: Point

    def opened(self, outline: Flat) -> Ring:
        """The whole piece, of which `outline` is the half; FoldRefused if no straight edge of it lies on the fold."""
        turned = replace(outline, points=tuple(self._upright(p) for p in outline.points))
        leftmost, rightmost = (pick(x for x, _ in turned.points) for pick in (min, max))
        if abs(leftmost) > ON_FOLD_WITHIN_CM and abs(rightmost) > ON_FOLD_WITHIN_CM:
            away = min(abs(leftmost), abs(rightmost))
            raise FoldRefused(f"lies {away:.1f} cm away from it")
        side = "left" if abs(leftmost) <= abs(rightmost) else "right"
        return tuple(self._back(p) for p in open_out(turned, side))

    def reflected(self, points: Ring) -> Ring:
        """The points mirrored across the fold."""
        return tuple(self._back((-x, y)) for x, y in map(self._upright, points))

    def _direction(self) -> Point:
        length = math.dist(self.start, self.end)
        return (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length

    def _upright(self, point: Point) -> Point:
        (dx, dy), (x, y) = self._direction(), (point[0] - self.start[0], point[1] - self.start[1])
        return dy * x - dx * y, dx * x + dy * y

    def _back(self, point: Point) -> Point:
        (dx, dy), (x, y) = self._direction(), point
        return dy * x + dx * y + self.start[0], -dx * x + dy * y + self.start[1]


class EdgeUnclear(ValueError):
    """A line that does not say which stretch of the outline it means; the message says why."""


def stretch_of(ring: Ring, line: Ring) -> Ring:
    """The stretch of a closed outline that a line drawn along it means: from end to end, on the side it lies nearer to.

    EdgeUnclear if its ends lie further than `EDGE_REACH_CM` from the outline, or both ways round are as near.
    """
    around = LineString([*ring, ring[0]])
    start, end = (around.project(ShapelyPoint(point)) for point in (line[0], line[-1]))
    away = ends_off(ring, line)
    if away > EDGE_REACH_CM:
        raise EdgeUnclear(
            f"an end of it lies {away:.1f} cm from the outline; draw it from corner to corner, on the line"
        )
    if math.dist(line[0], line[-1]) < EDGE_AT_LEAST_CM:
        raise EdgeUnclear("it begins where it ends; draw it from one corner to another")
    ways = (_along(around, start, end), _along(around, end, start)[::-1])
    near, far = sorted((_strays(line, way), way) for way in ways)
    if far[0] - near[0] < EDGE_REACH_CM / 5:
        raise EdgeUnclear("both ways round the outline are as near to it; draw it along the edge it means")
    return near[1]


def ends_off(ring: Ring, line: Ring) -> float:
    """How far from a closed outline the ends of a line lie, cm: the further of the two."""
    around = LineString([*ring, ring[0]])
    return float(max(around.distance(ShapelyPoint(point)) for point in (line[0], line[-1])))


def _along(around: LineString, start: float, end: float) -> Ring:
    """From one distance to another along a closed line, forwards."""
    if start <= end:
        return _coordinates(substring(around, start, end))
    first, second = substring(around, start, around.length), substring(around, 0.0, end)
    return (*_coordinates(first), *_coordinates(second)[1:])


def _coordinates(line: LineString) -> Ring:
    return tuple((float(x), float(y)) for x, y in line.coords)


def _strays(line: Ring, way: Ring) -> float:
    """How far the middle parts of the line and of the stretch lie from each other, cm."""
    drawn, stretch = LineString(line), LineString(way)
    shares = (0.25, 0.5, 0.75)
    there = (stretch.distance(drawn.interpolate(share, normalized=True)) for share in shares)
    back = (drawn.distance(stretch.interpolate(share, normalized=True)) for share in shares)
    return float(max(*there, *back))


def add_allowances(ring: Ring, allowance_cm: float, edges: Iterable[tuple[Ring, float]]) -> tuple[Ring, bool]:
    """The ring moved outwards, by `allowance_cm` but along each of `edges` by its own; and whether an opening was filled.

    Corners are mitred as by `add_allowance`: where two edges with unlike allowances meet, each cut line runs on to the
    other. Beyond a corner turned inwards nothing is taken off.
    """
    own = tuple(edges)
    if not own:
        return add_allowance(ring, allowance_cm)
    points = _with_corners(ring, own)
    count, widths = len(points), []
    for i in range(count):
        middle = ShapelyPoint(*_between_points(points[i], points[(i + 1) % count]))
        near = next((cm for line, cm in own if LineString(line).distance(middle) <= ON_EDGE_WITHIN_CM), None)
        widths.append(allowance_cm if near is None else near)
    parts = [Polygon(points), *_strips(points, widths), *_corners(points, widths)]
    grown = set_precision(unary_union([part.buffer(0) for part in parts]), GRID_CM)
    return tuple((float(x), float(y)) for x, y in grown.exterior.coords[:-1]), bool(grown.interiors)


def _with_corners(ring: Ring, edges: tuple[tuple[Ring, float], ...]) -> Ring:
    """The ring, counter-clockwise, with a corner at each end of the edges."""
    around = LineString([*ring, ring[0]])
    stops = {around.project(ShapelyPoint(end)) for line, _ in edges for end in (line[0], line[-1])}
    steps = [math.dist(start, end) for start, end in pairwise(ring)]
    places = list(zip(accumulate(steps, initial=0.0), ring, strict=True))
    for stop in stops:
        if all(min(abs(stop - at), around.length - abs(stop - at)) > 1e-6 for at, _ in places):
            at = around.interpolate(stop)
            places.append((stop, (float(at.x), float(at.y))))
    points = tuple(point for _, point in sorted(places))
    return points if Polygon(points).exterior.is_ccw else points[::-1]


def _between_points(start: Point, end: Point) -> Point:
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2


def _outwards(start: Point, end: Point) -> Point:
    """The unit vector to the right of a step, which is outwards of a counter-clockwise ring."""
    length = math.dist(start, end)
    return (end[1] - start[1]) / length, -(end[0] - start[0]) / length


def _moved(point: Point, by: Point, cm: float) -> Point:
    return point[0] + by[0] * cm, point[1] + by[1] * cm


def _strips(points: Ring, widths: list[float]) -> Iterator[Polygon]:
    """The allowance of each step of the ring."""
    for start, end, cm in zip(points, (*points[1:], points[0]), widths, strict=True):
        if cm > 0:
            out = _outwards(start, end)
            yield Polygon([start, end, _moved(end, out, cm), _moved(start, out, cm)])


def _corners(points: Ring, widths: list[float]) -> Iterator[Polygon]:
    """What fills each corner that points outwards, up to where the two cut lines meet."""
    for i, corner in enumerate(points):
        before, after = points[i - 1], points[(i + 1) % len(points)]
        first, second = _outwards(before, corner), _outwards(corner, after)
        a, b = widths[i - 1], widths[i]
        turn = first[0] * second[1] - first[1] * second[0]
        if turn <= 1e-9 or max(a, b) == 0:
            continue
        along = (second[1] * a - first[1] * b) / turn, (first[0] * b - second[0] * a) / turn
        tip = (corner[0] + along[0], corner[1] + along[1])
        sides = _moved(corner, first, a), _moved(corner, second, b)
        sharp = math.hypot(*along) > MITRE_LIMIT * max(a, b)
        yield Polygon([corner, sides[0], sides[1]] if sharp else [corner, sides[0], tip, sides[1]])
