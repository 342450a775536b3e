"""Pages that together make one drawing: joined by the frame and the place that each carries.

A page says its place as “row 1, column 2” or as “A2” (the letter is the row), and has a frame: one rectangle, as large on
every page. What lies outside the frame is for glueing and is cut away; what crosses it goes on in the frame of the next page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.pattern.geometry import CLOSES_WITHIN_CM, Flat, Point

SAME_FRAME_CM: Final = 0.05
FRAME_AT_LEAST_CM: Final = 5.0
_PLACE: Final = re.compile(
    r"\brow\s+(?P<row>\d{1,2})\b.{0,20}?\bcolumn\s+(?P<column>\d{1,2})\b|^(?P<letter>[A-Z])(?P<number>\d{1,2})$",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Frame:
    """A rectangle on the page, cm."""

    left: float
    top: float
    right: float
    low: float

    @property
    def size(self) -> tuple[float, float]:
        """Width and height, cm."""
        return self.right - self.left, self.low - self.top

    def is_as_large_as(self, other: Frame) -> bool:
        """Whether both have the same width and height."""
        return all(abs(a - b) <= SAME_FRAME_CM for a, b in zip(self.size, other.size, strict=True))

    def lies_as(self, other: Frame) -> bool:
        """Whether both lie in the same place."""
        ours, theirs = (self.left, self.top, self.right, self.low), (other.left, other.top, other.right, other.low)
        return all(abs(a - b) <= SAME_FRAME_CM for a, b in zip(ours, theirs, strict=True))


def place_of(texts: Iterable[str]) -> tuple[int, int] | None:
    """Row and column that a page's texts say, from 0; None where they say none, or several."""
    found = set()
    for text in texts:
        for match in _PLACE.finditer(text.strip()):
            row = int(match["row"]) - 1 if match["row"] else ord(match["letter"].upper()) - ord("A")
            found.add((row, int(match["column"] or match["number"]) - 1))
    place = found.pop() if len(found) == 1 else None
    return place if place and min(place) >= 0 else None


def frame_of(flat: Flat) -> Frame | None:
    """The rectangle that a closed line is, upright and large enough; None if it is none."""
    xs, ys = zip(*flat.points, strict=True)
    frame = Frame(min(xs), min(ys), max(xs), max(ys))
    corners = [(frame.left, frame.top), (frame.right, frame.top), (frame.right, frame.low), (frame.left, frame.low)]
    at_corners = all(any(_near(point, corner) for point in flat.points) for corner in corners)
    on_it = all(any(_near(point, corner) for corner in corners) for point in flat.points)
    return frame if flat.closed and at_corners and on_it and min(frame.size) >= FRAME_AT_LEAST_CM else None


def _near(one: Point, other: Point) -> bool:
    return abs(one[0] - other[0]) <= CLOSES_WITHIN_CM and abs(one[1] - other[1]) <= CLOSES_WITHIN_CM


def common_frame(pages: Sequence[Sequence[Flat]]) -> list[Frame] | None:
    """The largest frame that every page has, as it lies on each; None if there is none."""
    frames = [[frame for frame in map(frame_of, lines) if frame] for lines in pages]
    for frame in sorted(frames[0], key=lambda f: -f.size[0] * f.size[1]) if frames else ():
        like = [[other for other in page if other.is_as_large_as(frame)] for page in frames]
        if all(like):
            return [page[0] for page in like]
    return None


def within(flat: Flat, frame: Frame) -> list[Flat]:
    """The parts of a line that lie in a frame; a closed line that lies in it wholly stays closed."""
    if all(_inside(point, frame) for point in flat.points):
        return [flat]
    points = [*flat.points, flat.points[0]] if flat.closed else list(flat.points)
    runs: list[tuple[list[Point], list[bool]]] = []
    for start, end, straight in zip(points, points[1:], flat.straight, strict=False):
        part = _clipped(start, end, frame)
        if part is None:
            continue
        if runs and runs[-1][0][-1] == part[0]:
            runs[-1][0].append(part[1])
            runs[-1][1].append(straight)
        else:
            runs.append((list(part), [straight]))
    return [Flat(tuple(run), tuple(flags), False) for run, flags in runs]


def _inside(point: Point, frame: Frame) -> bool:
    return frame.left <= point[0] <= frame.right and frame.top <= point[1] <= frame.low


def _clipped(start: Point, end: Point, frame: Frame) -> tuple[Point, Point] | None:
    """The part of a straight step in the frame (Liang and Barsky, 1984)."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    first, last = 0.0, 1.0
    for towards, room in (
        (-dx, start[0] - frame.left),
        (dx, frame.right - start[0]),
        (-dy, start[1] - frame.top),
        (dy, frame.low - start[1]),
    ):
        if towards == 0 and room < 0:
            return None
        if towards < 0:
            first = max(first, room / towards)
        elif towards > 0:
            last = min(last, room / towards)
    if first >= last:
        return None
    begin = start if first == 0.0 else (start[0] + first * dx, start[1] + first * dy)
    stop = end if last == 1.0 else (start[0] + last * dx, start[1] + last * dy)
    return begin, stop


def moved(flat: Flat, dx: float, dy: float) -> Flat:
    """The line moved."""
    return Flat(tuple((x + dx, y + dy) for x, y in flat.points), flat.straight, flat.closed)
