"""Changes made one after another, in the order they were written down, each with what it did to seams and checks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from clothwright.pattern.changing.altering import Altered, AlteredPiece, Change, ChangeRefused, Walked, alter
from clothwright.pattern.checks import Check, check_every_size
from clothwright.pattern.piece import Piece, Point

_FIGURE: Final = re.compile(r"\d")


@dataclass(frozen=True)
class Step:
    """What came of one change: seams before and after, what looks wrong since, and what does not any more.

    `refused`: why it could not be made; the steps after it are made all the same. `made` is False too where it was set aside.
    """

    made: bool
    walked: tuple[Walked, ...] = ()
    changed: tuple[str, ...] = ()
    asks: tuple[Check, ...] = ()
    settled: tuple[Check, ...] = ()
    notes: tuple[str, ...] = ()
    refused: str | None = None


@dataclass(frozen=True)
class Stepped:
    """The pieces after all steps; beside each, the piece as it was brought in and how far its origin moved since."""

    pieces: tuple[Piece, ...]
    was: tuple[AlteredPiece, ...]
    steps: tuple[Step, ...]


def take_steps(pieces: Iterable[Piece], changes: Iterable[Change | None], *, fitted_size: str | None = None) -> Stepped:
    """All changes made in order on the pieces; None stands for one that is set aside."""
    return _stepped(tuple(pieces), tuple(changes), fitted_size)


@lru_cache(maxsize=16)
def _stepped(pieces: tuple[Piece, ...], changes: tuple[Change | None, ...], fitted_size: str | None) -> Stepped:
    now, moved, steps = pieces, [(0.0, 0.0)] * len(pieces), []
    for change in changes:
        step, came = _step(now, change, fitted_size)
        steps.append(step)
        if came is not None:
            moved = [_sum(before, one.moved) for before, one in zip(moved, came.pieces, strict=True)]
            now = tuple(one.piece for one in came.pieces)
    was = tuple(AlteredPiece(piece, by) for piece, by in zip(pieces, moved, strict=True))
    return Stepped(now, was, tuple(steps))


def _step(pieces: tuple[Piece, ...], change: Change | None, fitted_size: str | None) -> tuple[Step, Altered | None]:
    if change is None:
        return Step(made=False), None
    try:
        came = alter(pieces, change, fitted_size=fitted_size)
    except ChangeRefused as refused:
        return Step(made=False, refused=str(refused)), None
    before, after = check_every_size(pieces), check_every_size(one.piece for one in came.pieces)
    asks = tuple(check for check in after if check not in before)
    settled = tuple(check for check in before if not any(_same(check, other) for other in after))
    return Step(True, came.walked, came.changed, asks, settled, came.notes), came


def _same(one: Check, other: Check) -> bool:
    """Whether two checks ask about the same thing, though their figures differ."""
    return (one.kind, one.pieces, _up_to_a_figure(one)) == (other.kind, other.pieces, _up_to_a_figure(other))


def _up_to_a_figure(check: Check) -> str:
    """The sentence of a check up to its first figure: The seam “side” is …"""
    return _FIGURE.split(check.sentence, maxsplit=1)[0]


def _sum(one: Point, other: Point) -> Point:
    return one[0] + other[0], one[1] + other[1]
