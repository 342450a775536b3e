"""From the sides of a garment part, drawn upright, to the piece that lies on the cloth.

Parts are drawn as they are worn, seen from the right side: u across to the right, v upwards, cm, along the line of
sewing. Each side is an edge with its seam, and its allowance where it is not the garment's; sides follow one another
until they close, or run from the top of a fold to its foot, and are mirrored there. The cut line is grown from them, as it
is for a drawing, and the part is turned so that up, the way of the warp, runs along x. A part for the bias is turned
half a right angle further.

A part cut from straight lengths has its cut line stated: what lies between it and the line of sewing stays in the seam.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from clothwright.pattern.outline import add_allowances
from clothwright.pattern.piece import MAIN_CLOTH, Edge, MarkKind, Piece, PieceMark, Point, Ring

#: Length of the line that marks a match point, cm.
NOTCH_CM: Final = 0.8
_SAME_CM: Final = 1e-6
_UPRIGHT: Final = -math.pi / 2
_BIAS: Final = -math.pi / 4


@dataclass(frozen=True)
class Part:
    """A part of a garment, upright; see the page of prose above.

    `fold`: `sides` run down from the top of the fold at u = 0 and back to its foot, and the part is opened out there.
    `cut`: the cut line where it is not grown from the sides. `bias`: the grain runs at 45°.
    """

    name: str
    sides: tuple[Edge, ...]
    fold: bool = False
    cut: Ring | None = None
    count: int = 1
    pair: bool = False
    bias: bool = False
    material: str = MAIN_CLOTH
    marks: tuple[PieceMark, ...] = ()


def side(
    *line: Point,
    seam: str | None = None,
    ease: float = 0.0,
    allowance: float | None = None,
    hem: float | None = None,
    selvedge: bool = False,
) -> Edge:
    """One side of a part, cm; `hem` is the allowance where it is turned up."""
    return Edge(tuple(line), seam, ease, allowance if hem is None else hem, hem is not None, selvedge)


def notch(at: Point, inwards: Point, name: str) -> PieceMark:
    """A match point: a short line from the line of sewing inwards."""
    length = math.hypot(*inwards)
    end = (at[0] + inwards[0] / length * NOTCH_CM, at[1] + inwards[1] / length * NOTCH_CM)
    return PieceMark(MarkKind.NOTCH, (at, end), name=name)


def join_line(start: Point, end: Point) -> PieceMark:
    """A line where the part may be joined from two."""
    return PieceMark(MarkKind.JOIN, (start, end))


def drawn_inside(*points: Point, closed: bool = False) -> PieceMark:
    """A line that is only drawn: a slit, a fold, a pocket's place."""
    return PieceMark(MarkKind.INSIDE, tuple(points), closed)


def made(part: Part, allowance_cm: float) -> Piece:
    """The piece as it lies on the cloth, grain along x."""
    half = ring_of(part.sides, closed=not part.fold)
    edges = part.sides
    marks = part.marks
    ring = half
    if part.fold:
        ring = (*half, *_mirrored(half)[::-1])
        ring = without_repeats(ring)
        edges = tuple(one for edge in edges for one in (edge, replace(edge, line=_mirrored(edge.line))))
        marks = tuple(one for mark in marks for one in _both_sides(mark))
    outline = part.cut or add_allowances(ring, allowance_cm, _own(edges))[0]
    angle = _BIAS if part.bias else _UPRIGHT

    def turn(line: Ring) -> Ring:
        return turned(line, angle)

    fold = turn((half[0], half[-1])) if part.fold else None
    return Piece(
        part.name,
        turn(outline),
        cut=part.count,
        pair=part.pair,
        material=part.material,
        stitching=turn(ring),
        allowance_cm=0.0 if part.cut else allowance_cm,
        fold=(fold[0], fold[1]) if fold else None,
        edges=tuple(replace(edge, line=turn(edge.line)) for edge in edges if _says(edge)),
        marks=tuple(replace(mark, points=turn(mark.points)) for mark in marks),
    )


def _says(edge: Edge) -> bool:
    """Whether an edge is treated in a way of its own."""
    return edge.seam is not None or edge.allowance_cm is not None or edge.selvedge


def ring_of(sides: Iterable[Edge], *, closed: bool) -> Ring:
    """The points of sides that follow one another; of a closed ring the last is not the first again."""
    return without_repeats(tuple(point for edge in sides for point in edge.line), closed=closed)


def without_repeats(points: Ring, *, closed: bool = True) -> Ring:
    """The points without those that lie on the one before."""
    kept: list[Point] = []
    for point in points:
        if not kept or math.dist(point, kept[-1]) > _SAME_CM:
            kept.append(point)
    if closed and len(kept) > 1 and math.dist(kept[0], kept[-1]) <= _SAME_CM:
        kept.pop()
    return tuple(kept)


def _own(edges: Iterable[Edge]) -> list[tuple[Ring, float]]:
    return [(edge.line, edge.allowance_cm) for edge in edges if edge.allowance_cm is not None]


def _mirrored(line: Ring) -> Ring:
    return tuple((-u, v) for u, v in line)


def _both_sides(mark: PieceMark) -> tuple[PieceMark, ...]:
    """A mark and its mirror image; one that is its own mirror image once."""
    other = replace(mark, points=_mirrored(mark.points))
    if all(abs(u) <= _SAME_CM for u, _ in mark.points) or set(other.points) == set(mark.points):
        return (mark,)
    return mark, other


def turned(line: Ring, angle: float) -> Ring:
    """The line turned about the origin, radians anticlockwise."""
    c, s = round(math.cos(angle), 15), round(math.sin(angle), 15)
    return tuple((c * u - s * v, s * u + c * v) for u, v in line)


def strip(
    name: str,
    lengths: Iterable[Edge],
    width_cm: float,
    *,
    ends: tuple[str | None, str | None] = (None, None),
    inner: Edge | None = None,
    count: int = 1,
    bias: bool = False,
    material: str = MAIN_CLOTH,
    along: bool = True,
    marks: tuple[PieceMark, ...] = (),
    pair: bool = False,
) -> Part:
    """A straight strip sewn along one long side; `lengths` are edges whose lines only say how long each is.

    `ends`: the seams of its first and its last end. `along`: its length lies with the warp. `inner`: what its other long side is.
    """
    lower: list[Edge] = []
    at = 0.0
    for edge in lengths:
        following = at + edge.length_cm
        lower.append(replace(edge, line=((at, 0.0), (following, 0.0))))
        at = following
    far = replace(inner or Edge(()), line=((at, width_cm), (0.0, width_cm)))
    sides = (
        *lower,
        Edge(((at, 0.0), (at, width_cm)), ends[1]),
        far,
        Edge(((0.0, width_cm), (0.0, 0.0)), ends[0]),
    )
    part = Part(name, sides, count=count, pair=pair, bias=bias, material=material, marks=marks)
    return _stood_up(part) if along else part


def _stood_up(part: Part) -> Part:
    """The part with what lay across lying upwards."""

    def turn(line: Ring) -> Ring:
        return turned(line, math.pi / 2)

    return replace(
        part,
        sides=tuple(replace(edge, line=turn(edge.line)) for edge in part.sides),
        marks=tuple(replace(mark, points=turn(mark.points)) for mark in part.marks),
    )


def run(length_cm: float, seam: str | None = None, *, ease: float = 0.0, allowance: float | None = None) -> Edge:
    """An edge of which only the length is known yet, for a strip."""
    return Edge(((0.0, 0.0), (length_cm, 0.0)), seam, ease, allowance)
