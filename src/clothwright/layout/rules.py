"""What is asked of a layout beside the pieces and the width: the cloth's faults, its stripes, and what was decided.

Every rule is a plain fact in strip coordinates (x along the cloth, y from the first selvedge, cm), or in a piece's own
coordinates as it was drawn, before it is mirrored or turned. A rule says nothing of how it is kept.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from shapely.geometry import LineString, Point, Polygon
from shapely.ops import nearest_points

from clothwright.layout.arrangement import HALF_TURN, Copy, Placed
from clothwright.pattern import MarkKind, Piece, Ring
from clothwright.pattern import Point as At


@dataclass(frozen=True)
class Flaw:
    """A place no piece may cover: `length_cm` along the cloth from `x_cm`.

    Across the whole cloth, unless `width_cm` says how far from `y_cm`. `what`: a word for it, such as "knot".
    """

    x_cm: float
    length_cm: float
    y_cm: float = 0.0
    width_cm: float | None = None
    what: str = "flaw"


@dataclass(frozen=True)
class SelvedgeEdge:
    """An edge of a piece, as drawn, that may lie on a selvedge; with `must`, on every copy it has to."""

    piece: str
    line: Ring
    must: bool = False


@dataclass(frozen=True)
class MatchPoint:
    """A point of a piece, as drawn, on its stitching line; where points of one name are sewn together, stripes meet."""

    name: str
    piece: str
    at: At


@dataclass(frozen=True)
class Stripes:
    """Stripes that repeat every `repeat_cm` from `offset_cm`: along the cloth, or `across` it from the first selvedge.

    `even`: the repeat is the same from both ends, seen from `offset_cm`. One that is not forbids turning end for end,
    and across the cloth mirrored copies as well. `hair_cm`: how far two points may be out. Checks are two of these.
    """

    repeat_cm: float
    offset_cm: float = 0.0
    even: bool = True
    across: bool = False
    hair_cm: float = 0.1

    def __post_init__(self) -> None:
        if not (math.isfinite(self.repeat_cm) and self.repeat_cm > 0):
            raise ValueError(f"stripes repeat every {self.repeat_cm} cm, which is no repeat: give a length above 0")

    def phase_cm(self, at: At, placed: Placed) -> float:
        """Where in the repeat a point of a placed copy lies, cm from 0 up to the repeat, as the garment shows it."""
        from_start = (at[1] if self.across else at[0]) - self.offset_cm
        return (-from_start if self.runs_back(placed) else from_start) % self.repeat_cm

    def runs_back(self, placed: Placed) -> bool:
        """Whether the stripes run the other way on this copy."""
        turned = math.isclose(placed.rotation_deg % 360, HALF_TURN, abs_tol=90)
        return turned != placed.mirrored if self.across else turned

    def out_cm(self, phase: float, other: float) -> float:
        """How far two places in the repeat are apart, cm."""
        return abs((phase - other + self.repeat_cm / 2) % self.repeat_cm - self.repeat_cm / 2)


@dataclass(frozen=True)
class Rules:
    """All that is asked of one layout.

    `gap_cm`: the least distance between two copies, for stitching round each. `grain_tolerance_deg`: how far a copy may
    be turned off the grain. `one_way`: no copy is turned end for end. `locked`: copies that stay where a person put
    them. `selvedge_cm`: how far from the selvedges a copy stays that has no edge which may lie there. `whole_width`:
    pieces with nothing beside them, cut from selvedge to selvedge. `lots`: names of pieces of each colour lot in the
    order of the lots along the cloth; every piece of a lot ends before any of the next begins.
    """

    gap_cm: float = 0.0
    grain_tolerance_deg: float = 0.0
    one_way: bool = False
    flaws: tuple[Flaw, ...] = ()
    locked: tuple[Placed, ...] = ()
    selvedges: tuple[SelvedgeEdge, ...] = ()
    selvedge_cm: float = 0.0
    stripes: tuple[Stripes, ...] = ()
    matches: tuple[MatchPoint, ...] = ()
    whole_width: tuple[str, ...] = ()
    lots: tuple[tuple[str, ...], ...] = ()

    def __post_init__(self) -> None:
        for name in ("gap_cm", "grain_tolerance_deg", "selvedge_cm"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0):
                raise ValueError(f"{name} is {value}; it must be 0 or more")

    def turns_deg(self, copy: Copy) -> tuple[float, ...]:
        """The turns a copy may take under these rules, before the tolerance."""
        only_up = self.one_way or any(not stripes.even for stripes in self.stripes)
        lying = [t for t in copy.turns_deg if not self.stripes or t % HALF_TURN == 0]
        up = [t for t in lying if not only_up or t % 360 < 90 or t % 360 > 270]
        return tuple(up)

    @property
    def in_shapes(self) -> Rules:
        """Those of the rules that outlines and turns can tell of: the gap, the tolerance of the grain, one way."""
        return Rules(self.gap_cm, self.grain_tolerance_deg, self.one_way)

    @property
    def more_than_shapes(self) -> bool:
        """Whether anything is asked that outlines and turns cannot tell of."""
        return replace(self, gap_cm=0.0, grain_tolerance_deg=0.0, one_way=False) != NO_RULES


NO_RULES = Rules()


def selvedge_edges(pieces: Iterable[Piece]) -> tuple[SelvedgeEdge, ...]:
    """The edges that the drawings say may lie on a selvedge."""
    return tuple(SelvedgeEdge(piece.name, edge.line) for piece in pieces for edge in piece.edges if edge.selvedge)


def match_points(pieces: Iterable[Piece]) -> tuple[MatchPoint, ...]:
    """Named notches as points on the stitching line, or on the cut line of a piece that has none."""
    return tuple(
        MatchPoint(mark.name, piece.name, _on_stitching(piece, mark.points))
        for piece in pieces
        for mark in piece.marks
        if mark.kind is MarkKind.NOTCH and mark.name
    )


def _on_stitching(piece: Piece, points: Ring) -> At:
    """The point of the stitching line nearest to a notch."""
    line = Polygon(piece.stitching or piece.outline).exterior
    notch = LineString(points) if len(points) > 1 else Point(points[0])
    nearest = nearest_points(line, notch)[0]
    return float(nearest.x), float(nearest.y)
