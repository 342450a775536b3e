"""SVG's shapes as tracks: path data, and the basic shapes.

*Source:* SVG 1.1 (W3C, 2011), sections 8.3 (path data), 9 (basic shapes), F.6 (arcs).
"""

from __future__ import annotations

import math

from clothwright.pattern.geometry import (
    MAX_POINTS,
    Arc,
    Cubic,
    Cursor,
    NotUnderstood,
    Point,
    Step,
    Straight,
    TooManyPoints,
    Track,
    cos_sin,
)

_ARGUMENTS = {
    "M": "nn",
    "L": "nn",
    "H": "n",
    "V": "n",
    "C": "nnnnnn",
    "S": "nnnn",
    "Q": "nnnn",
    "T": "nn",
    "A": "nnnffnn",
    "Z": "",
}


def read_path(text: str) -> list[Track]:
    """The tracks of a path's data; NotUnderstood at the first thing that does not follow SVG."""
    cursor, pen = Cursor(text), _Pen()
    while not cursor.at_end():
        command = cursor.letter()
        if command.upper() not in _ARGUMENTS:
            raise NotUnderstood(f"“{command}” is no path command")
        pen.draw(command, _arguments(cursor, command))
        while command not in "Zz" and cursor.at_number():
            command = {"M": "L", "m": "l"}.get(command, command)
            pen.draw(command, _arguments(cursor, command))
    return [track for track in pen.tracks if track.steps]


def _arguments(cursor: Cursor, command: str) -> list[float]:
    return [cursor.number() if kind == "n" else cursor.flag() for kind in _ARGUMENTS[command.upper()]]


class _Pen:
    """Follows the commands of a path, in absolute coordinates, and keeps the tracks it draws."""

    def __init__(self) -> None:
        self.tracks: list[Track] = []
        self._here: Point = (0.0, 0.0)
        self._handle: Point = (0.0, 0.0)
        self._handle_of = ""
        self._drawn = 0

    def draw(self, command: str, numbers: list[float]) -> None:
        kind = command.upper()
        self._drawn += 1
        if self._drawn > MAX_POINTS:
            raise TooManyPoints
        if not self.tracks and kind != "M":
            raise NotUnderstood(f"it begins with “{command}”, not with a move (M)")
        if command != kind:
            numbers = self._absolute(kind, numbers)
        getattr(self, f"_{kind.lower()}")(*numbers)

    def _absolute(self, kind: str, numbers: list[float]) -> list[float]:
        x, y = self._here
        if kind == "H":
            return [x + numbers[0]]
        if kind == "V":
            return [y + numbers[0]]
        kept = 5 if kind == "A" else 0
        moved = [n + (x, y)[i % 2] for i, n in enumerate(numbers[kept:])]
        return numbers[:kept] + moved

    def _step(self, step: Step, handle: Point | None = None, handle_of: str = "") -> None:
        if self.tracks[-1].closed:
            self.tracks.append(Track(self._here))
        self.tracks[-1].steps.append(step)
        self._here = step.end
        self._handle, self._handle_of = handle or step.end, handle_of

    def _mirrored_handle(self, handle_of: str) -> Point:
        if self._handle_of != handle_of:
            return self._here
        return 2 * self._here[0] - self._handle[0], 2 * self._here[1] - self._handle[1]

    def _m(self, x: float, y: float) -> None:
        self.tracks.append(Track((x, y)))
        self._here, self._handle_of = (x, y), ""

    def _l(self, x: float, y: float) -> None:
        self._step(Straight((x, y)))

    def _h(self, x: float) -> None:
        self._l(x, self._here[1])

    def _v(self, y: float) -> None:
        self._l(self._here[0], y)

    def _c(self, x1: float, y1: float, x2: float, y2: float, x: float, y: float) -> None:
        self._step(Cubic((x1, y1), (x2, y2), (x, y)), (x2, y2), "cubic")

    def _s(self, x2: float, y2: float, x: float, y: float) -> None:
        self._c(*self._mirrored_handle("cubic"), x2, y2, x, y)

    def _q(self, x1: float, y1: float, x: float, y: float) -> None:
        (x0, y0), third = self._here, 2 / 3
        first = (x0 + third * (x1 - x0), y0 + third * (y1 - y0))
        second = (x + third * (x1 - x), y + third * (y1 - y))
        self._step(Cubic(first, second, (x, y)), (x1, y1), "quadratic")

    def _t(self, x: float, y: float) -> None:
        self._q(*self._mirrored_handle("quadratic"), x, y)

    def _a(self, rx: float, ry: float, turn: float, large: float, sweep: float, x: float, y: float) -> None:
        step = arc_between(self._here, (x, y), (abs(rx), abs(ry)), turn, large=large == 1, sweep=sweep == 1)
        if step is not None:
            self._step(step)

    def _z(self) -> None:
        self.tracks[-1].closed = True
        self._here, self._handle_of = self.tracks[-1].start, ""


def arc_between(
    start: Point, end: Point, radii: Point, turn: float, *, large: bool, sweep: bool
) -> Arc | Straight | None:
    """The elliptical arc of a path's A command: radii that are too small grow, a radius of 0 makes a straight line.

    *Source:* SVG 1.1, F.6.5 (from end points to centre) and F.6.6 (radii out of range).
    """
    if start == end:
        return None
    rx, ry = radii
    if rx == 0 or ry == 0:
        return Straight(end)
    c, s = cos_sin(turn)
    half_x, half_y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = (c * half_x + s * half_y) / rx, (-s * half_x + c * half_y) / ry
    reach = x * x + y * y
    grow = math.sqrt(max(reach, 1.0))
    rx, ry, x, y = rx * grow, ry * grow, x / grow, y / grow
    apart = math.sqrt(max(1 / (x * x + y * y) - 1, 0.0)) * (-1 if large == sweep else 1)
    cx, cy = apart * y, -apart * x
    u, v = (rx * c, rx * s), (-ry * s, ry * c)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    centre = (middle[0] + u[0] * cx + v[0] * cy, middle[1] + u[1] * cx + v[1] * cy)
    begin, finish = math.atan2(y - cy, x - cx), math.atan2(-y - cy, -x - cx)
    angle = (finish - begin) % math.tau
    return Arc(centre, u, v, begin, angle if sweep else angle - math.tau, end)


# --- basic shapes ------------------------------------------------------------------------------------------------


def rectangle_track(x: float, y: float, width: float, height: float, radii: Point) -> list[Track]:
    """A rectangle, its corners rounded by the radii, as SVG 1.1 section 9.2 draws it; none if it has no area."""
    if width <= 0 or height <= 0:
        return []
    rx, ry = min(radii[0], width / 2), min(radii[1], height / 2)
    right, low = x + width, y + height
    if rx <= 0 or ry <= 0:
        return polygon_track([(x, y), (right, y), (right, low), (x, low)], closed=True)
    round_corner = f"A {rx!r} {ry!r} 0 0 1"
    return read_path(
        f"M {x + rx!r} {y!r} H {right - rx!r} {round_corner} {right!r} {y + ry!r} "
        f"V {low - ry!r} {round_corner} {right - rx!r} {low!r} "
        f"H {x + rx!r} {round_corner} {x!r} {low - ry!r} V {y + ry!r} {round_corner} {x + rx!r} {y!r} Z"
    )


def ellipse_track(cx: float, cy: float, rx: float, ry: float) -> list[Track]:
    """A whole ellipse; none if it has no area."""
    if rx <= 0 or ry <= 0:
        return []
    start = (cx + rx, cy)
    return [Track(start, [Arc((cx, cy), (rx, 0.0), (0.0, ry), 0.0, math.tau, start)], closed=True)]


def polygon_track(points: list[Point], *, closed: bool) -> list[Track]:
    """Straight lines from point to point; none if there are fewer than two points."""
    if len(points) < 2:
        return []
    if len(points) > MAX_POINTS:
        raise TooManyPoints
    return [Track(points[0], [Straight(point) for point in points[1:]], closed)]
