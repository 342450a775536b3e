"""Joins open lines that end where others begin, as drawings by single lines and arcs need it.

Two ends are joined where they lie within `CLOSES_WITHIN_CM` of each other and no third end does: where three meet, which two
belong together is not known, and all stay open.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

from clothwright.pattern.geometry import CLOSES_WITHIN_CM, Flat, Point

_Cell = tuple[int, int]
_End = tuple[int, bool]


def join_ends(lines: Iterable[Flat]) -> list[Flat]:
    """The lines, joined end to end; those that come round to their own beginning are closed."""
    found = list(lines)
    open_lines = [line for line in found if not line.closed and len(line.points) > 1]
    partner = _partners(open_lines)
    used: set[int] = set()
    joined = [_chain(start, open_lines, partner, used) for start in _starts(open_lines, partner)]
    joined += [_chain((i, False), open_lines, partner, used) for i in range(len(open_lines)) if i not in used]
    return [line for line in found if line.closed or len(line.points) < 2] + [line for line in joined if line]


def _starts(lines: list[Flat], partner: dict[_End, _End]) -> list[_End]:
    """The ends that no other meets: where a chain begins."""
    return [(i, tail) for i in range(len(lines)) for tail in (False, True) if (i, tail) not in partner]


def _partners(lines: list[Flat]) -> dict[_End, _End]:
    """For each end the one other that meets it."""
    cells: dict[_Cell, list[tuple[Point, _End]]] = defaultdict(list)
    for i, line in enumerate(lines):
        for tail, point in ((False, line.points[0]), (True, line.points[-1])):
            cells[_cell(point)].append((point, (i, tail)))
    met = {end: _meeting(point, end, cells) for ends in list(cells.values()) for point, end in ends}
    return {end: others[0] for end, others in met.items() if len(others) == 1 and met[others[0]] == [end]}


def _cell(point: Point) -> _Cell:
    return math.floor(point[0] / CLOSES_WITHIN_CM), math.floor(point[1] / CLOSES_WITHIN_CM)


def _meeting(point: Point, end: _End, cells: dict[_Cell, list[tuple[Point, _End]]]) -> list[_End]:
    column, row = _cell(point)
    near = ((column + dx, row + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1))
    return [
        other
        for cell in near
        for place, other in cells.get(cell, ())
        if other != end and math.dist(place, point) <= CLOSES_WITHIN_CM
    ]


def _chain(start: _End, lines: list[Flat], partner: dict[_End, _End], used: set[int]) -> Flat | None:
    """The lines from one end on, as one; None if they are used already."""
    if start[0] in used:
        return None
    points: list[Point] = []
    straight: list[bool] = []
    at: _End | None = start
    while at is not None and at[0] not in used:
        used.add(at[0])
        line = lines[at[0]]
        forwards = not at[1]
        points += (line.points if forwards else line.points[::-1])[bool(points) :]
        straight += line.straight if forwards else line.straight[::-1]
        at = partner.get((at[0], forwards))
    closed = len(points) > 3 and math.dist(points[0], points[-1]) <= CLOSES_WITHIN_CM
    return Flat(tuple(points[:-1] if closed else points), tuple(straight), closed)
