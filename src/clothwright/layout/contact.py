"""How far one piece must be moved along the cloth before it clears another: exactly, from the outlines.

The theory. Take two outlines side by side, and a line across the cloth's length at height y. On that line a
piece begins at some x and ends at some x; what lies between counts as the piece, notches included (a piece
that goes round a corner is filled in). Move the first piece along x and leave the other: on that line they
touch while its move lies between

    (beginning of the other - end of the first)   and   (end of the other - beginning of the first).

Over all the lines both pieces cross, the moves that touch make one unbroken stretch, `low` to `high`: every
move strictly between is forbidden, every other is free. Between two corners each outline is a straight
line, so the largest difference is always found where an edge begins or ends: looking at the ends of the
heights that two edges share is exact, not a sampling. Rectangles that touch come out touching.

Placing a piece is then arithmetic: of all moves that no piece already placed forbids, take the least that
is not negative. What is placed so never overlaps, and falls into gaps left behind earlier pieces if it fits
there.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from clothwright.pattern import Ring

Floats = npt.NDArray[np.float64]

THIN_CM = 1e-7
TOUCH_CM = 1e-9


def edges(ring: Ring) -> tuple[Floats, Floats]:
    """The edges where a line across the piece begins, and where it ends: rows low y, high y, x at low, dx/dy.

    Edges that lie along x within 1e-7 cm are left out: no line at a height of its own crosses them.
    """
    here = np.asarray(ring, dtype=float)
    following = np.roll(here, -1, axis=0)
    clockwise = float(np.sum(here[:, 0] * following[:, 1] - following[:, 0] * here[:, 1])) < 0
    rise = (following[:, 1] - here[:, 1]) * (-1 if clockwise else 1)
    low = np.where((here[:, 1] <= following[:, 1])[:, None], here, following)
    high = here + following - low
    return _rows(low, high, rise < -THIN_CM), _rows(low, high, rise > THIN_CM)


def _rows(low: Floats, high: Floats, chosen: npt.NDArray[np.bool_]) -> Floats:
    low, high = low[chosen], high[chosen]
    slope = (high[:, 0] - low[:, 0]) / (high[:, 1] - low[:, 1])
    return np.stack([low[:, 1], high[:, 1], low[:, 0], slope])


def shifted(rows: Floats, x: float, y: float) -> Floats:
    """The edges moved by (x, y)."""
    moved: Floats = rows + np.array([[y], [y], [x], [0.0]])
    return moved


def excess(beginnings: Floats, ends: Floats) -> Floats:
    """How far each end lies beyond each beginning where they share heights; minus infinity elsewhere."""
    first, second = beginnings[:, :, None], ends[:, None, :]
    low = np.maximum(first[0], second[0])
    high = np.minimum(first[1], second[1])
    at_low = _along(second, low) - _along(first, low)
    at_high = _along(second, high) - _along(first, high)
    shared = high - low > THIN_CM
    return np.where(shared, np.maximum(at_low, at_high), -np.inf)


def _along(rows: Floats, y: Floats) -> Floats:
    """Where along the cloth lines at heights `y` cross the edges."""
    return np.asarray(rows[2] + rows[3] * (y - rows[0]))


def least_free(
    low: Floats, high: Floats, least: Floats | float = 0.0, every: tuple[float, float] | None = None
) -> Floats:
    """The least move, `least` or more, strictly inside no stretch `low` to `high`; stretches on the last axis.

    `every`: a first move and a step; only moves whole steps from the first are taken.
    """
    move = _on_step(np.zeros(low.shape[:-1]) + least, every)
    while True:
        inside = (low < move[..., None] - TOUCH_CM) & (high > move[..., None] + TOUCH_CM)
        if not inside.any():
            return move
        move = _on_step(np.maximum(move, np.where(inside, high, 0.0).max(axis=-1)), every)


def _on_step(move: Floats, every: tuple[float, float] | None) -> Floats:
    """The move, or the next one that is whole steps from the first."""
    if every is None:
        return move
    first, step = every
    return np.asarray(first + np.ceil((move - first) / step - TOUCH_CM) * step)


def fall(rings: Sequence[Ring], across: Sequence[float], order: Sequence[int]) -> list[float]:
    """Where along the cloth each ring comes to rest, placed in `order`, each as near the start as it can.

    `rings` start at their own origin; `across` says how far from the first selvedge each lies, and is kept.
    """
    rest = [0.0] * len(rings)
    begun: list[Floats] = []
    ended: list[Floats] = []
    for index in order:
        begins, ends = (shifted(rows, 0.0, across[index]) for rows in edges(rings[index]))
        rest[index] = _rest(begins, ends, begun, ended)
        begun.append(shifted(begins, rest[index], 0.0))
        ended.append(shifted(ends, rest[index], 0.0))
    return rest


def _rest(begins: Floats, ends: Floats, begun: list[Floats], ended: list[Floats]) -> float:
    """The least free place of one ring among those already at rest."""
    if not begun:
        return 0.0
    high = excess(begins, np.hstack(ended)).max(axis=0)
    low = -excess(np.hstack(begun), ends).max(axis=1)
    return float(least_free(np.minimum.reduceat(low, _starts(begun)), np.maximum.reduceat(high, _starts(ended))))


def _starts(groups: list[Floats]) -> npt.NDArray[np.intp]:
    """Where each group of edges begins when they are laid end to end."""
    return np.cumsum([0] + [group.shape[1] for group in groups[:-1]])
