"""Orders drawn at random under rules.

The theory. Given how many turns each ball gives, every order that keeps the rules shall be as likely as every other. There
are far too many to list, so we walk among them: two turns chosen at random change places, again and again. If every step
were taken, all orders of the multiset would become equally likely, rules kept or not. Give every order an *energy*, the
number of places where it breaks a rule, and take a step that raises the energy by d only with chance exp(−β d): the walk
then visits each order in proportion to exp(−β energy) (Metropolis and others, 1953). All orders that keep the rules have
energy nought and stay equally likely among themselves, while the walk may still pass through broken ones, so that it is
not caught between rules. After a long enough walk we look; if the rules are kept, that is the order; else we walk on as far
again, a little colder. What is only wished for (light and dark in balance, a gradient) adds to the energy by its weight, and
is then kept the more often the better, never strictly.

*Source:* N. Metropolis, A. W. Rosenbluth, M. N. Rosenbluth, A. H. Teller, E. Teller, "Equation of State Calculations by
Fast Computing Machines", J. Chem. Phys. 21 (1953) 1087.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_left, insort
from collections.abc import Iterable, Mapping, Sequence
from itertools import permutations
from typing import Final

from clothwright.colours.rules import Rules, Taken, stretch_of

_STEPS_PER_TURN: Final = 60
_LEAST_STEPS: Final = 400
_COLD: Final = 3.5
_COLDER: Final = 0.5
_LOOKS: Final = 12
#: Energy of one broken wish, where light and dark are a tenth of the whole range off. Our own choice.
_BALANCE_WEIGHT: Final = 6.0
_GRADIENT_WEIGHT: Final = 60.0
_STRETCHES: Final = 6


def shuffled(counts: Mapping[Taken, int], rules: Rules, rng: random.Random) -> list[Taken] | None:
    """An order of so many turns of each ball that keeps the rules, each such order alike likely; None if none was met."""
    walk = _Walk(counts, rules, rng)
    for _ in range(_LOOKS):
        walk.go_on()
        if walk.keeps_rules:
            return walk.order
        walk.cooler()
    return None


class _Walk:
    """A walk among orders."""

    def __init__(self, counts: Mapping[Taken, int], rules: Rules, rng: random.Random) -> None:
        self._rules, self._rng = rules, rng
        self.order = _start(counts, rules, rng)
        self._free = [place for place in range(len(self.order)) if place not in rules.fixed]
        self._reach = max(1 if rules.strangers else 0, rules.between)
        self._apart = {pair for two in rules.strangers for pair in permutations([*two, *two][:2])}
        self._cold = _COLD
        self._last = len(self.order) - 1
        self._wishes = _Wishes(rules, self.order)
        self._spread = _Spread(rules, self.order)

    def go_on(self) -> None:
        """As many steps as make an order forget where it came from."""
        steps = max(_LEAST_STEPS, _STEPS_PER_TURN * len(self.order))
        for _ in range(steps if len(self._free) > 1 else 0):
            self._step()

    def cooler(self) -> None:
        """From now on broken rules weigh more."""
        self._cold += _COLDER

    @property
    def keeps_rules(self) -> bool:
        every = range(len(self.order))
        return not (any(map(self._breaks, every)) or self._too_long(every) or self._spread.breaks)

    def _step(self) -> None:
        order, rng = self.order, self._rng
        one, other = rng.choice(self._free), rng.choice(self._free)
        if order[one] == order[other]:
            return
        places, beside = self._near(one, other), self._beside(one, other)
        before = sum(map(self._breaks, places)) + self._too_long(beside)
        wished = self._wishes.gain(order, one, other)
        spread = self._spread.exchanged(order[one].yarn, one, order[other].yarn, other)
        order[one], order[other] = order[other], order[one]
        breaks = sum(map(self._breaks, places)) + self._too_long(beside)
        worse = self._cold * (breaks - before + spread) + wished
        if worse > 0 and rng.random() >= math.exp(-worse):
            self._spread.exchanged(order[one].yarn, one, order[other].yarn, other)
            order[one], order[other] = order[other], order[one]

    def _too_long(self, places: Iterable[int]) -> int:
        """By how many turns the runs that hold some places are longer than a run may be."""
        longest, order = self._rules.longest_run, self.order
        if longest is None:
            return 0
        over: dict[int, int] = {}
        for place in places:
            yarn, start, end = order[place].yarn, place, place
            while start > 0 and order[start - 1].yarn == yarn:
                start -= 1
            if start in over:
                continue
            while end < self._last and order[end + 1].yarn == yarn:
                end += 1
            over[start] = max(0, end - start + 1 - longest)
        return sum(over.values())

    def _beside(self, one: int, other: int) -> set[int]:
        """The places whose runs change when two turns change places."""
        return {place for at in (one, other) for place in (at - 1, at, at + 1) if 0 <= place <= self._last}

    def _near(self, one: int, other: int) -> set[int]:
        """The places whose rules look at either turn."""
        reach = self._reach + 1
        return {*range(one, min(one + reach, self._last + 1)), *range(other, min(other + reach, self._last + 1))}

    def _breaks(self, place: int) -> int:
        """How many rules of neighbours and edges the turn at a place breaks, looking back from it."""
        order, rules = self.order, self._rules
        yarn = order[place].yarn
        breaks = 0
        if place and self._apart:
            breaks += (order[place - 1].yarn, yarn) in self._apart
        if (place == 0 or place == self._last) and yarn in rules.not_at_edges:
            breaks += 1
        if rules.between:
            breaks += order[place] in order[max(0, place - rules.between) : place]
        return breaks


class _Spread:
    """How far yarns that are to be spread evenly are from it: a turn outside its stretch counts one, and more the farther."""

    def __init__(self, rules: Rules, order: Sequence[Taken]) -> None:
        self._turns = len(order)
        self._places = {
            yarn: [place for place, ball in enumerate(order) if ball.yarn == yarn] for yarn in sorted(rules.spread)
        }
        self._off = {yarn: self._off_of(places) for yarn, places in self._places.items()}

    @property
    def breaks(self) -> bool:
        return any(self._off.values())

    def exchanged(self, yarn: str, place: int, other: str, other_place: int) -> float:
        """What is added when the turns of two yarns at two places change places."""
        if yarn == other:
            return 0.0
        return self._moved(yarn, place, other_place) + self._moved(other, other_place, place)

    def _moved(self, yarn: str, place: int, to: int) -> float:
        if yarn not in self._places:
            return 0.0
        places, was = self._places[yarn], self._off[yarn]
        del places[bisect_left(places, place)]
        insort(places, to)
        self._off[yarn] = self._off_of(places)
        return self._off[yarn] - was

    def _off_of(self, places: Sequence[int]) -> float:
        return sum(self._off_stretch(number, len(places), place) for number, place in enumerate(places))

    def _off_stretch(self, number: int, many: int, place: int) -> float:
        stretch = stretch_of(number, many, self._turns)
        if place in stretch:
            return 0.0
        return 1 + max(stretch.start - place, place - stretch.stop + 1) * many / self._turns


def _start(counts: Mapping[Taken, int], rules: Rules, rng: random.Random) -> list[Taken]:
    """Any order of the turns, the held ones in their places."""
    left = [ball for ball, count in counts.items() for _ in range(count)]
    held: dict[int, Taken] = {}
    for place, yarn in sorted(rules.fixed.items()):
        ball = next((ball for ball in left if ball.yarn == yarn), None)
        if ball is None:
            continue
        held[place] = ball
        left.remove(ball)
    rng.shuffle(left)
    return [held[place] if place in held else left.pop() for place in range(len(left) + len(held))]


class _Wishes:
    """What a change of two turns does to what is only wished for: the energy it adds."""

    def __init__(self, rules: Rules, order: Sequence[Taken]) -> None:
        self._light = rules.lightness
        self._turns = len(order)
        self._mean = sum(self._light.get(ball.yarn, 0.5) for ball in order) / max(1, len(order))
        self._gradient = _GRADIENT_WEIGHT * rules.gradient
        self._balance = _BALANCE_WEIGHT if rules.balanced else 0.0

    def gain(self, order: Sequence[Taken], one: int, other: int) -> float:
        """Energy added if the turns at two places change places."""
        if not (self._gradient or self._balance):
            return 0.0
        apart = self._light.get(order[other].yarn, 0.5) - self._light.get(order[one].yarn, 0.5)
        added = -self._gradient * apart * (one - other) / self._turns
        return added + (self._balance_gain(order, one, other, apart) if self._balance else 0.0)

    def _balance_gain(self, order: Sequence[Taken], one: int, other: int, apart: float) -> float:
        first, second = self._stretch(one), self._stretch(other)
        if first == second:
            return 0.0
        was = [self._off(order, stretch) for stretch in (first, second)]
        share = _STRETCHES / self._turns
        now = [was[0] + apart * share, was[1] - apart * share]
        return self._balance * 100 * (sum(off * off for off in now) - sum(off * off for off in was))

    def _stretch(self, place: int) -> int:
        return place * _STRETCHES // self._turns

    def _off(self, order: Sequence[Taken], stretch: int) -> float:
        """How much lighter than the whole one stretch of the width is."""
        start, end = -(-stretch * self._turns // _STRETCHES), -(-(stretch + 1) * self._turns // _STRETCHES)
        return sum(self._light.get(ball.yarn, 0.5) - self._mean for ball in order[start:end]) * _STRETCHES / self._turns
