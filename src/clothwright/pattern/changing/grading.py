"""A size between two sizes of a piece: every place of the line goes the same share of the way from the one to the other.

Places correspond by *stations*: the corners of the line and the ends of its edges, in their order round it. Where both lines
have as many points and as many stations at the same of them, they correspond point by point, as lines graded by rule do.
Else each stretch between two stations corresponds by its share of length, and gets a corner wherever either line has one, so
that share 0 gives the first line and share 1 the second. Which station is the first is found by laying one line on the other.
Where the stations are not as many, which place is which would be a guess, and is refused.

*Source:* grading by moving corresponding points by even steps is common practice of the trade, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from clothwright.pattern.piece import Edge, Piece, PieceMark, Point, Ring
from clothwright.pattern.seamline import (
    CORNER_DEG,
    Corners,
    Seamline,
    as_points,
    cut_line,
    grown_from_stitching,
    seamline_of,
    shares_along,
    without_repeats,
)

#: Two ways of laying the lines on one another are as good as each other within this. Our own.
_ALIKE: Final = 1.02


class GradingRefused(ValueError):
    """Two sizes whose lines do not correspond; the message is one sentence."""


@dataclass(frozen=True)
class Between:
    """A size to be made: its name, the two sizes it lies between, and how far from the first to the second, 0 to 1."""

    size: str
    first: str
    second: str
    share: float


def grade(pieces: Iterable[Piece], wanted: Between) -> tuple[Piece, ...]:
    """The pieces of a size between two, one for each name and version that has both; GradingRefused where one has not."""
    return _graded(tuple(pieces), wanted)


@lru_cache(maxsize=16)
def _graded(every: tuple[Piece, ...], wanted: Between) -> tuple[Piece, ...]:
    there = list(dict.fromkeys(piece.size for piece in every if piece.size is not None))
    for size in (wanted.first, wanted.second):
        if size not in there:
            raise GradingRefused(f"“{size}”: the pattern has no such size; there are {', '.join(there) or 'none'}")
    if wanted.size in there:
        raise GradingRefused(f"“{wanted.size}”: the pattern has that size already; give the new one another name")
    made = []
    for one in (piece for piece in every if piece.size == wanted.first):
        same = [p for p in every if (p.size, p.name, p.version) == (wanted.second, one.name, one.version)]
        if not same:
            raise GradingRefused(f"{one.name} is not drawn in size {wanted.second}, so there is no size between")
        made.append(_between(one, same[0], wanted))
    return tuple(made)


def _between(one: Piece, other: Piece, wanted: Between) -> Piece:
    first, second = seamline_of(one), seamline_of(other)
    if [run.edge.seam for run in first.runs] != [run.edge.seam for run in second.runs]:
        raise GradingRefused(
            f"{one.name} has other seams in size {one.size} than in size {other.size}; name the same in both"
        )
    if grown_from_stitching(one) != grown_from_stitching(other):
        raise GradingRefused(f"{one.name} is drawn by its stitching line in one of the sizes only; draw both alike")
    near, far, numbers = _corresponding(one, other, first, second)
    corners = near + wanted.share * (far - near)
    line = Seamline(
        corners, tuple(replace(run, first=a, last=b) for run, (a, b) in zip(first.runs, numbers, strict=True))
    )
    edges = tuple(_graded_edge(*both, wanted.share) for both in zip(line.edges(), other.edges, strict=True))
    allowance = _mixed(one.allowance_cm, other.allowance_cm, wanted.share)
    sewn = as_points(without_repeats(corners))
    base = replace(
        one,
        size=wanted.size,
        allowance_cm=allowance,
        edges=edges,
        fold=_graded_fold(one, other, wanted.share),
        stitching=None,
    )
    marks = _graded_marks(one, other, wanted.share)
    if grown_from_stitching(one):
        return replace(base, outline=cut_line(base, sewn, edges), stitching=sewn, marks=marks)
    return replace(base, outline=sewn, stitching=_graded_ring(one, other, wanted.share), marks=marks)


def _mixed(one: float, other: float, share: float) -> float:
    return one + share * (other - one)


def _graded_fold(one: Piece, other: Piece, share: float) -> tuple[Point, Point] | None:
    if one.fold is None or other.fold is None:
        return None
    start, end = _evenly(one.fold, other.fold, share)
    return start, end


def _graded_edge(edge: Edge, other: Edge, share: float) -> Edge:
    own = edge.allowance_cm, other.allowance_cm
    allowance = None if own[0] is None or own[1] is None else _mixed(own[0], own[1], share)
    return replace(edge, ease_cm=_mixed(edge.ease_cm, other.ease_cm, share), allowance_cm=allowance)


def _graded_marks(one: Piece, other: Piece, share: float) -> tuple[PieceMark, ...]:
    """The marks in their places between; PieceMarks that do not correspond are refused, as where they lie would be a guess."""
    kinds = [[(mark.kind, mark.name, mark.closed) for mark in piece.marks] for piece in (one, other)]
    if kinds[0] != kinds[1]:
        raise GradingRefused(
            f"{one.name} has other notches or lines in size {one.size} than in size {other.size}; draw the same in both"
        )
    return tuple(
        replace(mark, points=_evenly(mark.points, to.points, share))
        for mark, to in zip(one.marks, other.marks, strict=True)
    )


def _evenly(one: Ring, other: Ring, share: float) -> Ring:
    near, far = np.array(one, dtype=float), np.array(other, dtype=float)
    if len(near) != len(far):
        near, far = _matched(near, far)
    return as_points(near + share * (far - near))


def _graded_ring(one: Piece, other: Piece, share: float) -> Ring | None:
    """The stitching line inside a cut line, where both sizes have one."""
    if one.stitching is None or other.stitching is None:
        return None
    lines = [Seamline(np.array(ring, dtype=float), ()) for ring in (one.stitching, other.stitching)]
    near, far, _ = _corresponding(one, other, *lines)
    return as_points(near + share * (far - near))


# --- which place is which ----------------------------------------------------------------------------------------


def _corresponding(
    one: Piece, other: Piece, first: Seamline, second: Seamline
) -> tuple[Corners, Corners, list[tuple[int, int]]]:
    """The same number of corners on both lines, place by place, and the numbers at which the edges begin and end."""
    stations, others = _stations(first), _stations(second)
    if len(stations) != len(others):
        raise GradingRefused(
            f"{one.name} has {len(stations)} corners and ends of seams in size {one.size} and {len(others)} in size {other.size}; "
            "which is which would be a guess, draw both with the same corners"
        )
    turn = _laid_on(one, other, first.corners[stations], second.corners[others])
    others = np.roll(others, -turn)
    _seams_correspond(one, first, second, dict(zip(stations.tolist(), others.tolist(), strict=True)))
    near: list[Corners] = []
    far: list[Corners] = []
    places: dict[int, int] = {}
    for number, start in enumerate(stations):
        places[int(start)] = int(sum(len(part) for part in near))
        end = stations[(number + 1) % len(stations)]
        to = others[number], others[(number + 1) % len(others)]
        a, b = _matched(first.corners[_from_to(first, start, end)], second.corners[_from_to(second, *to)])
        near.append(a[:-1])
        far.append(b[:-1])
    numbers = [(places[run.first], places[run.last]) for run in first.runs]
    return np.vstack(near), np.vstack(far), numbers


def _seams_correspond(piece: Piece, first: Seamline, second: Seamline, same: dict[int, int]) -> None:
    for run, to in zip(first.runs, second.runs, strict=True):
        if (same[run.first], same[run.last]) != (to.first, to.last):
            raise GradingRefused(
                f"the seam “{run.edge.seam}” of {piece.name} does not lie at the same corners in both sizes; draw both alike"
            )


def _from_to(line: Seamline, start: int, end: int) -> np.ndarray:
    """The numbers from one station to the next; once round where there is only one."""
    return line.between(start, end) if start != end else (start + np.arange(len(line.corners) + 1)) % len(line.corners)


def _stations(line: Seamline) -> np.ndarray:
    """The numbers of the corners that are stations, in their order round the line; one for a line without any."""
    sharp = set(np.flatnonzero(np.abs(line.turns_deg) >= CORNER_DEG).tolist())
    ends = {number for run in line.runs for number in (run.first, run.last)}
    return np.array(sorted(sharp | ends) or [int(line.corners.sum(axis=1).argmin())])


def _laid_on(one: Piece, other: Piece, stations: Corners, others: Corners) -> int:
    """How many stations the second line's are counted on from, so that they lie nearest to the first's."""

    def centred(points: Corners) -> Corners:
        return np.asarray((points - points.mean(axis=0)) / max(float(np.ptp(points, axis=0).max()), 1e-9))

    near, far = centred(stations), centred(others)
    away = [float(((near - np.roll(far, -turn, axis=0)) ** 2).sum()) for turn in range(len(others))]
    best = int(np.argmin(away))
    rest = [value for turn, value in enumerate(away) if turn != best]
    if rest and len(stations) > 2 and min(rest) < away[best] * _ALIKE:
        raise GradingRefused(
            f"the corners of {one.name} in sizes {one.size} and {other.size} can be laid on one another in two ways; name its seams"
        )
    return best


def _matched(one: Corners, other: Corners) -> tuple[Corners, Corners]:
    """Two open lines with corners at the same shares of their lengths, wherever either had one; as many corners stay as they are."""
    if len(one) == len(other):
        return one, other
    shares, to = shares_along(one), shares_along(other)
    both = np.unique(np.round(np.concatenate((shares, to)), 9))
    return tuple(  # type: ignore[return-value]
        np.column_stack([np.interp(both, along, line[:, axis]) for axis in (0, 1)])
        for line, along in ((one, shares), (other, to))
    )
