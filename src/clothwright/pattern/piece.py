"""What a pattern piece is, once it has been brought in.

A piece lies with its grain along x, as the cloth lies: x runs along the warp, y from selvedge to selvedge.
Its outline is where the scissors go; a piece drawn by its stitching line has had its allowance added, and a
piece drawn as half, on the fold, has been opened out. Edges and marks lie in the same coordinates as the outline.
Lengths are centimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from itertools import pairwise

from shapely.geometry import Polygon
from shapely.ops import polylabel
from shapely.validation import explain_validity

Point = tuple[float, float]
Ring = tuple[Point, ...]

MAIN_CLOTH = "main"


class PieceError(ValueError):
    """An outline that cannot be cut from cloth; the message says which piece and why."""


class CrossedOutline(PieceError):
    """An outline that crosses itself or encloses nothing; `ring` is the line, `place` where."""

    def __init__(self, name: str, ring: Ring, polygon: Polygon) -> None:
        self.ring = ring
        self.place = _place_of(polygon)
        near = "" if self.place is None else f", near {self.place[0]:.1f} cm across, {self.place[1]:.1f} cm down"
        super().__init__(
            f"{name}: the outline crosses itself or encloses no area{near}; draw it as one simple closed line"
        )


class MarkKind(StrEnum):
    """What a mark on a piece is for."""

    NOTCH = "notch"
    JOIN = "join"
    INSIDE = "inside"


@dataclass(frozen=True)
class PieceMark:
    """A line drawn on a piece, or a point.

    `name`: of a notch, the match point it is; notches of one name on two pieces meet when they are sewn.
    """

    kind: MarkKind
    points: Ring
    closed: bool = False
    name: str | None = None


@dataclass(frozen=True)
class Edge:
    """A stretch of a piece's outline that is treated in a way of its own.

    `line`: along the stitching line where the piece has one, else along the cut line. `seam`: edges of one seam are sewn
    together. `ease_cm`: how much longer than its partner it is meant to be. `allowance_cm`: cloth beyond the stitching
    line; None is the piece's. `hem`: the allowance is turned up. `selvedge`: may lie on the selvedge, and on a panel
    joined by its selvedge must. `whole_cm`: length of the edge it is a part of, where a join cuts it.
    """

    line: Ring
    seam: str | None = None
    ease_cm: float = 0.0
    allowance_cm: float | None = None
    hem: bool = False
    selvedge: bool = False
    whole_cm: float | None = None

    @property
    def length_cm(self) -> float:
        """Length along the edge, cm."""
        return line_length(self.line)

    @property
    def of_the_whole(self) -> tuple[float, float]:
        """Length and ease of the edge it is a part of, cm; its own where no join cuts it."""
        if self.whole_cm is None or self.length_cm == 0:
            return self.length_cm, self.ease_cm
        return self.whole_cm, self.ease_cm * self.whole_cm / self.length_cm


@dataclass(frozen=True)
class Piece:
    """One pattern piece.

    `outline`: cut line in cm, counter-clockwise, not closed, its box starting at (0, 0); x along the grain.
    `cut`: how many to cut. `pair`: half of them are mirrored. `one_way`: may not be turned end for end.
    `material`: "main", or the name of another cloth, which this layout leaves out.
    `size`, `version`: which it belongs to; None means every one.
    `stitching`: where it is sewn, if that was drawn. `allowance_cm`: what was added to it to find the outline, where no
    edge says otherwise; 0 where the outline itself was drawn. `fold`: the line it was opened out at.
    `grain_stated`: False where nothing says which way the grain runs, and the page's height was taken.
    `panel_of`: the piece that this panel is joined into, where it is a panel.
    """

    name: str
    outline: Ring
    cut: int = 1
    pair: bool = False
    one_way: bool = False
    material: str = MAIN_CLOTH
    size: str | None = None
    version: str | None = None
    stitching: Ring | None = None
    allowance_cm: float = 0.0
    fold: tuple[Point, Point] | None = None
    grain_stated: bool = True
    edges: tuple[Edge, ...] = ()
    marks: tuple[PieceMark, ...] = ()
    panel_of: str | None = None

    def __post_init__(self) -> None:
        """Check once that the outline can be cut, and bring it to its own origin, counter-clockwise."""
        left, low = _corner(self.outline)
        object.__setattr__(self, "outline", tidy_ring(self.name, self.outline))
        if (left, low) != (0.0, 0.0):
            self._bring_along(-left, -low)
        if self.cut < 1:
            raise PieceError(f"{self.name}: cut {self.cut} makes no sense, a piece is cut once or more")

    def _bring_along(self, dx: float, dy: float) -> None:
        """Move what is drawn on the piece as its outline was moved."""
        stitching = shifted(self.stitching, dx, dy) if self.stitching is not None else None
        fold = shifted(self.fold, dx, dy) if self.fold is not None else None
        edges = tuple(replace(edge, line=shifted(edge.line, dx, dy)) for edge in self.edges)
        marks = tuple(replace(mark, points=shifted(mark.points, dx, dy)) for mark in self.marks)
        for name, value in (("stitching", stitching), ("fold", fold), ("edges", edges), ("marks", marks)):
            object.__setattr__(self, name, value)

    @cached_property
    def polygon(self) -> Polygon:
        """The outline as a shapely polygon, cm."""
        return Polygon(self.outline)

    @property
    def length_cm(self) -> float:
        """Extent along the grain, cm."""
        return float(self.polygon.bounds[2])

    @property
    def width_cm(self) -> float:
        """Extent across the grain, cm."""
        return float(self.polygon.bounds[3])

    @property
    def area_cm2(self) -> float:
        """Area of one copy, cm²."""
        return float(self.polygon.area)

    @property
    def around_cm(self) -> float:
        """Length once round the outline, cm."""
        return float(self.polygon.exterior.length)

    @cached_property
    def roomiest(self) -> Point:
        """The place inside that is furthest from the outline, to half a centimetre: where words have room."""
        place = polylabel(self.polygon, 0.5)
        return float(place.x), float(place.y)

    @property
    def mirrored_count(self) -> int:
        """How many of the copies are mirror images: half of a pair, rounded down."""
        return self.cut // 2 if self.pair else 0

    def renamed(self, name: str) -> Piece:
        """The same piece under another name."""
        return replace(self, name=name)


def tidy_ring(name: str, ring: Ring) -> Ring:
    """The ring moved to its own origin, counter-clockwise, without repeated points; PieceError if it is no outline."""
    points = [p for p, before in zip(ring, (ring[-1:] + ring[:-1]), strict=True) if p != before] if ring else []
    polygon = Polygon(points) if len(points) >= 3 else Polygon()
    if polygon.is_empty or not polygon.is_valid or polygon.area <= 0:
        raise CrossedOutline(name, ring, polygon)
    if not polygon.exterior.is_ccw:
        points = points[::-1]
    left, low = polygon.bounds[0], polygon.bounds[1]
    return tuple((float(x - left), float(y - low)) for x, y in points)


def crossing_place(ring: Ring) -> Point | None:
    """The first place where a closed line crosses or touches itself; None where it does not."""
    return _place_of(Polygon(ring)) if len(ring) >= 3 else None


def _place_of(polygon: Polygon) -> Point | None:
    what, bracket, place = explain_validity(polygon).partition("[")
    numbers = [float(number) for number in place.rstrip("]").split()] if bracket and what.strip() in _CROSSINGS else []
    return (numbers[0], numbers[1]) if len(numbers) == 2 else None


_CROSSINGS = ("Self-intersection", "Ring Self-intersection")


def _corner(ring: Ring) -> Point:
    """The lower left corner of a ring's box."""
    return min((float(x) for x, _ in ring), default=0.0), min((float(y) for _, y in ring), default=0.0)


def shifted(points: Iterable[Point], dx: float, dy: float) -> tuple[Point, ...]:
    """The points moved."""
    return tuple((float(x + dx), float(y + dy)) for x, y in points)


def line_length(points: Ring) -> float:
    """Length of an open line, cm."""
    return sum(math.dist(start, end) for start, end in pairwise(points))
