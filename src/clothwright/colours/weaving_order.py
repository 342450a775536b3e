"""A weft order as it is woven: which ball every pick comes from, where a ball runs out, what is carried and what is cut.

The theory. Warp ends want whole lengths; weft does not: a ball is woven until it has no whole pick left, and the next goes
on beside it. What stands in a shuttle is a *ball in hand*: one for each yarn, or two of one yarn where two shuttles go turn
about. Picks are taken in order; a ball in hand that has no pick left is joined to the next ball of its yarn, and that place
is a *join*. A yarn laid down at the end of its picks is *carried* up the side where it comes again soon, else *cut*. Every
end of yarn that is tucked in takes a tail. A yarn with no ball left is woven on from its last one: it is then *short*, which
is for others to say.

*Source:* common practice, no source: tails of 3 cm, carried over about 2.5 cm (1 in).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import accumulate
from typing import Final

#: Yarn in a tail that is tucked in. Common practice, no source.
TAIL_M: Final = 0.03
#: How far up the side an unused yarn is carried, on the loom. Common practice, no source.
CARRIED_CM: Final = 2.5
_ROUNDING: Final = 1e-9


@dataclass(frozen=True)
class WeftBall:
    """A ball as the weft may take it: its yarn, which of its yarn's balls, and the metres it is expected to hold."""

    yarn: str
    number: int
    metres: float


@dataclass(frozen=True)
class Picks:
    """Picks of one yarn, one after another; `shuttle`: which of the shuttles that hold this yarn."""

    yarn: str
    picks: int
    shuttle: int = 1


class After(StrEnum):
    """What is done with a ball once its picks are woven."""

    JOIN = "join"
    CARRY = "carry"
    CUT = "cut"
    END = "end"


@dataclass(frozen=True)
class WovenRun:
    """Picks of one ball: the first of them, counted from 1, and what is done after the last."""

    yarn: str
    ball: int
    picks: int
    first: int
    after: After

    @property
    def last(self) -> int:
        """The last of its picks."""
        return self.first + self.picks - 1


@dataclass(frozen=True)
class Join:
    """Where a ball has run out: after `pick` picks its yarn ends, and the next yarn and ball go on."""

    pick: int
    yarn: str
    ball: int
    next_yarn: str
    next_ball: int


@dataclass(frozen=True)
class Woven:
    """An order as woven. `tails`: ends of yarn tucked in, of each ball."""

    runs: tuple[WovenRun, ...]
    tails: dict[tuple[str, int], int] = field(default_factory=dict)

    @property
    def joins(self) -> tuple[Join, ...]:
        """Where balls have run out, in the order they are woven."""
        return tuple(
            Join(run.last, run.yarn, run.ball, then.yarn, then.ball)
            for run, then in zip(self.runs, self.runs[1:], strict=False)
            if run.after is After.JOIN
        )

    def picks_of(self, yarn: str, ball: int) -> int:
        """Picks woven from one ball."""
        return sum(run.picks for run in self.runs if (run.yarn, run.ball) == (yarn, ball))


def woven(order: Sequence[Picks], balls: Sequence[WeftBall], *, pick_m: float, carried_picks: int) -> Woven:
    """An order woven from balls, those of a yarn in the order they come; `carried_picks`: over how many a yarn is carried.

    Every yarn of the order has a ball at least.
    """
    loom = _Loom(balls, pick_m)
    runs: list[WovenRun] = []
    for use, (carried, soon) in zip(order, _carrying(order, carried_picks), strict=True):
        runs += loom.weave(use, carried=carried, after=After.CARRY if soon else After.CUT)
    return Woven(tuple(_one_after_another(runs, loom)), loom.tails)


def _carrying(order: Sequence[Picks], reach: int) -> list[tuple[bool, bool]]:
    """Of each run whether its yarn was carried up to it, and whether it is carried on from it."""
    spools = [(use.yarn, use.shuttle) for use in order]
    starts = list(accumulate((use.picks for use in order), initial=0))
    seen: dict[tuple[str, int], int] = {}
    carried, on = [False] * len(order), [False] * len(order)
    for number, spool in enumerate(spools):
        before = seen.get(spool)
        if before is not None and starts[number] - starts[before + 1] <= reach:
            carried[number] = on[before] = True
        seen[spool] = number
    return list(zip(carried, on, strict=True))


def _one_after_another(runs: Sequence[WovenRun], loom: _Loom) -> Iterator[WovenRun]:
    """The runs with their first picks; those of one ball side by side are one, and after the last comes nothing.

    Where a ball is cut for the last time and holds no more than a pick to a side and back, it has run out.
    """
    joined: list[WovenRun] = []
    for run in runs:
        if joined and (joined[-1].yarn, joined[-1].ball) == (run.yarn, run.ball):
            joined[-1] = replace(joined[-1], picks=joined[-1].picks + run.picks, after=run.after)
        else:
            joined.append(run)
    first = 1
    for number, run in enumerate(joined):
        later = joined[number + 1 :]
        over = run.after is After.CUT and loom.is_over(run) and all(_ball(run) != _ball(one) for one in later)
        yield replace(run, first=first, after=After.JOIN if over and later else run.after if later else After.END)
        first += run.picks


def _ball(run: WovenRun) -> tuple[str, int]:
    return run.yarn, run.ball


class _Loom:
    """The metres left on every ball, the balls in hand by yarn and shuttle, and those not begun."""

    def __init__(self, balls: Sequence[WeftBall], pick_m: float) -> None:
        self._pick_m = pick_m
        self._left = {(ball.yarn, ball.number): ball.metres for ball in balls}
        self._in_hand: dict[tuple[str, int], int] = {}
        self._not_begun = [(ball.yarn, ball.number) for ball in balls]
        self.tails: dict[tuple[str, int], int] = {}

    def weave(self, use: Picks, *, carried: bool, after: After) -> list[WovenRun]:
        """The runs that so many picks become, ball by ball."""
        runs: list[WovenRun] = []
        left, begins = use.picks, not carried
        while left:
            ball, taken_up = self._ball(use)
            if begins or taken_up:
                self._tail(use.yarn, ball)
            begins = False
            many = min(left, self._whole_picks(use.yarn, ball)) if self._another(use.yarn, ball) else left
            self._left[use.yarn, ball] -= many * self._pick_m
            left -= many
            if many:
                runs.append(WovenRun(use.yarn, ball, many, 0, After.JOIN if left else after))
            if left:
                self._tail(use.yarn, ball)
                del self._in_hand[use.yarn, use.shuttle]
        if after is After.CUT:
            self._tail(use.yarn, self._in_hand[use.yarn, use.shuttle])
        return runs

    def is_over(self, run: WovenRun) -> bool:
        """Whether no pick to a side and back is left on the ball of a run."""
        return self._left[run.yarn, run.ball] < 2 * self._pick_m

    def _ball(self, use: Picks) -> tuple[int, bool]:
        """The ball in hand, and whether it is only now taken up: the next not begun, else one that another shuttle has."""
        key = (use.yarn, use.shuttle)
        if key in self._in_hand:
            return self._in_hand[key], False
        fresh = [one for one in self._not_begun if one[0] == use.yarn]
        if fresh:
            self._not_begun.remove(fresh[0])
            self._in_hand[key] = fresh[0][1]
            return fresh[0][1], True
        of_yarn = [number for yarn, number in self._left if yarn == use.yarn]
        self._in_hand[key] = max(of_yarn, key=lambda number: self._left[use.yarn, number])
        return self._in_hand[key], False

    def _another(self, yarn: str, ball: int) -> bool:
        """Whether another ball of the yarn has a whole pick."""
        return any(of == yarn and number != ball and self._whole_picks(of, number) for of, number in self._left)

    def _whole_picks(self, yarn: str, ball: int) -> int:
        return max(0, int((self._left[yarn, ball] - TAIL_M) / self._pick_m + _ROUNDING))

    def _tail(self, yarn: str, ball: int) -> None:
        self._left[yarn, ball] -= TAIL_M
        self.tails[yarn, ball] = self.tails.get((yarn, ball), 0) + 1


def turn_about(spools: Sequence[tuple[str, int]], picks: int, *, step: int, most: dict[str, int]) -> tuple[Picks, ...]:
    """So many picks of the spools turn about, each a yarn and its shuttle, `step` picks at a time.

    `most`: picks there are of each yarn; one that is used up is left out, and the others go on without it. Where all are
    used up the last goes on alone.
    """
    left, found = dict(most), []
    for turn, first in enumerate(range(0, picks, step)):
        there = [spool for spool in spools if left[spool[0]] >= step] or spools[-1:]
        yarn, shuttle = there[turn % len(there)]
        found.append(Picks(yarn, min(step, picks - first), shuttle))
        left[yarn] -= step
    return tuple(found)


def one_after_another(yarns: Sequence[str], picks: int, *, step: int, most: dict[str, int]) -> tuple[Picks, ...]:
    """So many picks of the yarns one after another, each to its last whole `step`; the last goes on where all are used up."""
    found: list[Picks] = []
    for number, yarn in enumerate(yarns):
        left = picks - sum(one.picks for one in found)
        many = left if number == len(yarns) - 1 else min(left, most[yarn] // step * step)
        found += [Picks(yarn, many)] if many else []
    return tuple(found)
