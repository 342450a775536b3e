"""Where the joins of a piece lie: the lines that divide it, along its grain, drawn on it, or at its hems."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final

from shapely.geometry import LineString

from clothwright.pattern.geometry import Flat
from clothwright.pattern.join_place import JoinAt, JoinPlace
from clothwright.pattern.joined import SHORTEST_CM, JoinRefused
from clothwright.pattern.line_ends import join_ends
from clothwright.pattern.piece import MarkKind, Piece, Point, Ring

#: How far a drawn join line may end short of the line it is drawn to.
_REACH_CM: Final = 1.0
#: How far past its ends a hem line is carried, over the allowances beside it.
_PAST_HEM_CM: Final = 10.0


def centre_cm(piece: Piece) -> float:
    """How far its centre is from the right edge, cm: its fold, or half its width; JoinRefused for a fold off the grain."""
    if piece.fold is None:
        return piece.width_cm / 2
    (_, low), (_, high) = piece.fold
    if abs(high - low) > _REACH_CM / 10:
        raise JoinRefused(
            f"{piece.name}: its fold runs at an angle to the grain, so a seam there would be off the grain"
        )
    return (low + high) / 2


def drawn_joins(piece: Piece) -> tuple[Ring, ...]:
    """The lines drawn on the piece where it may be joined; halves that meet at a fold are one."""
    return _end_to_end(mark.points for mark in piece.marks if mark.kind is MarkKind.JOIN and len(mark.points) > 1)


def hem_lines(piece: Piece) -> tuple[Ring, ...]:
    """The lines its hems are turned up at, where those lie inside the outline."""
    inside = piece.polygon.buffer(-SHORTEST_CM)
    hems = _end_to_end(edge.line for edge in piece.edges if edge.hem)
    return tuple(line for line in hems if inside.contains(LineString(line).interpolate(0.5, normalized=True)))


def _end_to_end(lines: Iterable[Ring]) -> tuple[Ring, ...]:
    """The lines, those that end where another begins joined."""
    joined = join_ends(Flat(line, (True,) * (len(line) - 1), False) for line in lines)
    return tuple(flat.points for flat in joined if not flat.closed)


def _reach_cm(piece: Piece) -> float:
    """How far a drawn line may end short of the cut line: at the stitching line, or a little short of that."""
    return _REACH_CM + max((piece.allowance_cm, *(edge.allowance_cm or 0.0 for edge in piece.edges)))


def lines_of(piece: Piece, place: JoinPlace) -> tuple[LineString, ...]:
    """The lines that divide the piece, long enough to reach past its outline."""
    if place.at is JoinAt.DRAWN:
        drawn = drawn_joins(piece)
        if not drawn:
            raise JoinRefused(f"{piece.name}: no join line is drawn on it; say where, as centre or 12 cm from the left")
        return tuple(_carried_on(line, _reach_cm(piece)) for line in drawn)
    if place.at is JoinAt.HEM:
        hems = hem_lines(piece)
        if not hems:
            raise JoinRefused(f"{piece.name}: no hem is marked on it; mark its edge in the drawing, as “hem 4 cm”")
        return tuple(_carried_on(line, _PAST_HEM_CM) for line in hems)
    return tuple(_straight(piece, y) for y in _across(piece, place))


def _across(piece: Piece, place: JoinPlace) -> tuple[float, ...]:
    """Where joins along the grain lie, y in the coordinates of the piece."""
    width = piece.width_cm
    if place.at is JoinAt.CENTRE:
        return (centre_cm(piece),)
    if place.at is JoinAt.EQUAL:
        return tuple(width * n / place.panels for n in range(1, place.panels))
    if place.at is JoinAt.SIDES:
        (side,) = place.lengths_cm
        if 2 * side >= width:
            raise JoinRefused(f"{piece.name} is {width:.1f} cm wide, so side panels of {side:g} cm leave no middle")
        return (side, width - side)
    for length in place.lengths_cm:
        if length >= width:
            raise JoinRefused(
                f"{piece.name} is {width:.1f} cm wide, so a join {length:g} cm from its edge lies outside it"
            )
    return tuple(dict.fromkeys(length if place.from_right else width - length for length in place.lengths_cm))


def _straight(piece: Piece, y: float) -> LineString:
    return LineString([(-1.0, y), (piece.length_cm + 1.0, y)])


def _carried_on(line: Ring, by_cm: float) -> LineString:
    """The line carried straight on past both its ends."""
    return LineString([_beyond(line[1], line[0], by_cm), *line, _beyond(line[-2], line[-1], by_cm)])


def _beyond(before: Point, end: Point, by_cm: float) -> Point:
    length = math.dist(before, end)
    return end[0] + (end[0] - before[0]) / length * by_cm, end[1] + (end[1] - before[1]) / length * by_cm
