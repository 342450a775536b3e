"""From the line on the page to the line the scissors follow: opened out, with its allowance, grain along x.

Page coordinates are centimetres, x to the right and y *down*, as in SVG. A piece is drawn as seen from the right side
of the cloth, so bringing it onto the cloth is a turn and never a mirroring: y is set upright first (which shows the same
picture), then the picture is turned until the grain points along +x.
"""

from __future__ import annotations

import math

from shapely.geometry import Polygon

from clothwright.pattern.drawing_geometry import Flat, cos_sin
from clothwright.pattern.piece import Point, Ring

STRAIGHT_WITHIN_CM = 0.02
FOLD_AT_LEAST_CM = 1.0
SNAP_DEG = 0.1
MITRE_LIMIT = 4.0

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
