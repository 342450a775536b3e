"""How many whole turns of the warp each ball gives, without a knot.

A *turn* is what is wound of one ball before its colour may change: a pair of ends when the warp is wound direct, from slot
to peg and back, else one end. A ball of 72 m gives eleven turns of 6.2 m, and what is left of it is no use in the warp. The
metres of a ball are known only so well, so that every number of turns has a chance that the ball lasts.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from clothwright.measure import Draws

#: Metres that are lost in rounding are no reason to lose a turn.
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, eq=False)
class WarpBall:
    """A ball that may go into the warp. `number`: which of its yarn's balls, from 1; `metres`: draws of what it holds."""

    yarn: str
    number: int
    metres: Draws

    @cached_property
    def expected_m(self) -> float:
        """The median of its metres."""
        return float(np.median(self.metres))

    def turns(self, turn_m: float) -> int:
        """Whole turns of so many metres, by its expected metres."""
        return whole_turns(self.expected_m, turn_m)

    def sure_turns(self, turn_m: float, chance: float) -> int:
        """The most whole turns that it gives with at least such a chance."""
        return whole_turns(float(np.quantile(self.metres, 1 - chance)), turn_m)

    def chance_of(self, turns: int, turn_m: float) -> float:
        """The chance that it gives so many turns."""
        return float(np.mean(self.metres >= turns * turn_m * (1 - _ROUNDING)))


def whole_turns(metres: float, turn_m: float) -> int:
    """Whole turns in so many metres; what is left over is no turn."""
    return max(0, math.floor(metres / turn_m + _ROUNDING))


def chance_all_last(used: Iterable[tuple[WarpBall, int]], turn_m: float) -> float:
    """The chance that every ball gives the turns taken from it; balls share what is not known of their yarn."""
    lasts = [ball.metres >= turns * turn_m * (1 - _ROUNDING) for ball, turns in used if turns]
    return float(np.mean(np.all(lasts, axis=0))) if lasts else 1.0


@dataclass(frozen=True)
class LengthTried:
    """What warps of some length would make of the balls: `turns` in all, `needed` of them, and `left_m` that no turn can use.

    `warps`: into how many warps the cloth is parted.
    """

    warp_cm: float
    turns: int
    left_m: float
    needed: int = 0
    warps: int = 1

    @property
    def enough(self) -> bool:
        """Whether the balls give the turns."""
        return self.turns >= self.needed


def lengths_tried(
    balls: Iterable[WarpBall], warps_cm: Iterable[float], *, turn_ends: int, needed: int = 0
) -> tuple[LengthTried, ...]:
    """Turns and leavings of these balls for each warp length, by their expected metres."""
    balls = tuple(balls)
    return tuple(_tried(balls, warp_cm, turn_ends, needed, 1) for warp_cm in warps_cm)


def warps_tried(
    balls: Iterable[WarpBall], warp_cm: float, waste_cm: float, *, turn_ends: int, needed: int, most: int = 3
) -> tuple[LengthTried, ...]:
    """The same cloth from one warp, two, and so on: each warp has its own loom waste, and every warp its `needed` turns."""
    balls = tuple(balls)
    each = ((number, (warp_cm - waste_cm) / number + waste_cm) for number in range(1, most + 1))
    return tuple(_tried(balls, length_cm, turn_ends, number * needed, number) for number, length_cm in each)


def least_left(tried: Iterable[LengthTried]) -> LengthTried | None:
    """The one that leaves least among those whose balls give the turns; the first of several; None where none do."""
    return min((one for one in tried if one.enough), key=lambda one: one.left_m, default=None)


def _tried(balls: tuple[WarpBall, ...], warp_cm: float, turn_ends: int, needed: int, warps: int) -> LengthTried:
    turn_m = turn_ends * warp_cm / 100
    turns = [ball.turns(turn_m) for ball in balls]
    left = sum(ball.expected_m - count * turn_m for ball, count in zip(balls, turns, strict=True))
    return LengthTried(warp_cm, sum(turns), left, needed, warps)
