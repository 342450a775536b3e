"""A long strip in rows: a warp of metres, drawn in proportion, is cut into rows like lines of text.

`x` runs along the strip, in cm. A row ends where no piece has to be cut in two, if such a place is near.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import shapely
from shapely.geometry import MultiPolygon, Polygon

from clothwright.pattern import Ring

_NEAR: Final = 0.4  # share of a row that it may be longer or shorter
_TINY: Final = 1e-6
MOST_ROWS: Final = 10


@dataclass(frozen=True)
class Row:
    """One row of the strip, from `start` to `end`."""

    start: float
    end: float

    @property
    def length(self) -> float:
        """How much of the strip it holds."""
        return self.end - self.start

    def holds(self, x: float) -> bool:
        """Whether a place of the strip lies in this row."""
        return self.start - _TINY <= x <= self.end + _TINY


def clear_cuts(spans: Iterable[tuple[float, float]]) -> list[float]:
    """The places, of the ends of spans, that no span reaches across."""
    spans = list(spans)
    ends = sorted({end for span in spans for end in span})
    return [x for x in ends if not any(low + _TINY < x < high - _TINY for low, high in spans)]


def in_rows(total: float, number: int, cuts: list[float]) -> list[Row]:
    """The strip in so many rows of about one length, ended at cuts where they are near."""
    even = total / number
    ends = [0.0]
    for index in range(1, number):
        wanted = index * even
        near = [x for x in cuts if abs(x - wanted) <= _NEAR * even and x > ends[-1] + _TINY]
        ends.append(min(near, key=lambda x: abs(x - wanted)) if near else wanted)
    ends.append(total)
    return [Row(start, end) for start, end in pairwise(ends)]


def readable_rows(
    total: float, width: float, room: float, cuts: list[float], least_height: float, most: int = MOST_ROWS
) -> list[Row]:
    """The fewest rows that, filling the room across, draw the width at least so high; no more than `most`."""
    for number in range(1, most):
        rows = in_rows(total, number, cuts)
        if width * scale_of(rows, room) >= least_height:
            return rows
    return in_rows(total, most, cuts)


def scale_of(rows: list[Row], room: float) -> float:
    """Units of the drawing per cm at which the longest row fills the room."""
    return room / max(row.length for row in rows)


def part_in(ring: Ring, row: Row) -> list[Ring]:
    """What of an outline lies in the row."""
    low = min(y for _, y in ring)
    high = max(y for _, y in ring)
    clipped = shapely.clip_by_rect(Polygon(ring), row.start, low - 1, row.end, high + 1)
    parts = clipped.geoms if isinstance(clipped, MultiPolygon) else [clipped]
    return [tuple(part.exterior.coords[:-1]) for part in parts if isinstance(part, Polygon) and not part.is_empty]


@dataclass(frozen=True)
class Frame:
    """Where a row stands in the drawing: `scale` units per cm, the strip `width` cm wide, y from the selvedge below."""

    row: Row
    left: float
    top: float
    scale: float
    width: float

    @property
    def bottom(self) -> float:
        """The lower selvedge in the drawing."""
        return self.top + self.width * self.scale

    def x(self, along: float) -> float:
        """A place along the strip, in the drawing."""
        return self.left + (along - self.row.start) * self.scale

    def ring(self, ring: Ring) -> Ring:
        """An outline of the strip, in the drawing."""
        return tuple((self.x(x), self.bottom - y * self.scale) for x, y in ring)

    def span(self, start: float, end: float) -> tuple[float, float] | None:
        """The part of a span that lies in this row, in the drawing."""
        low, high = max(start, self.row.start), min(end, self.row.end)
        return (self.x(low), self.x(high)) if high - low > _TINY else None
