"""A colour order: drawn at random, or an earlier one mended."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from clothwright.colours.rules import Rules, Taken, broken
from clothwright.colours.sharing import Short, share_out
from clothwright.colours.shuffling import shuffled


class Clash(ValueError):
    """No order keeps the rules. `sentences`: the least set of rules that clash, or what is too short."""

    def __init__(self, *sentences: str) -> None:
        super().__init__("; ".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True)
class Order:
    """An order, turn by turn. `changed`: places, from 0, at which it is another than the order it was mended from."""

    turns: tuple[Taken, ...]
    changed: tuple[int, ...] = ()


def draw(balls: Sequence[Taken], rules: Rules, *, seed: int) -> Order:
    """An order at random under the rules, the same for the same seed; Clash where no order keeps them."""
    rng = random.Random(seed)
    _check_held(balls, rules)
    try:
        counts = share_out(balls, rules)
    except Short as short:
        raise Clash(str(short)) from None
    order = _shuffled(counts, balls, rules, rng) or _with_other_counts(balls, rules, rng)
    return Order(tuple(order))


def _shuffled(
    counts: Mapping[Taken, int], balls: Sequence[Taken], rules: Rules, rng: random.Random
) -> list[Taken] | None:
    """A shuffled order that the judge finds nothing broken in."""
    order = shuffled(counts, rules, rng)
    return None if order is None or broken(order, rules, balls) else order


def _with_other_counts(balls: Sequence[Taken], rules: Rules, rng: random.Random) -> list[Taken]:
    """An order of other numbers of turns of each ball, where those in proportion cannot keep the rules."""
    found = _found(balls, rules)
    return _shuffled(Counter(found), balls, rules, rng) or found


def _found(balls: Sequence[Taken], rules: Rules) -> list[Taken]:
    from clothwright.colours.solving import least_clash, order_that_keeps

    found = order_that_keeps(balls, rules)
    if found is None:
        raise Clash(*(least_clash(balls, rules) or ("no order was found that keeps all the rules",)))
    return found


def _check_held(balls: Sequence[Taken], rules: Rules) -> None:
    there = {ball.yarn for ball in balls if ball.most}
    gone = sorted({yarn for yarn in rules.fixed.values() if yarn not in there})
    if gone:
        raise Clash(*(f"{yarn} is held in the order, and no ball of it gives a {rules.called}" for yarn in gone))


def mended(earlier: Sequence[Taken], balls: Sequence[Taken], rules: Rules) -> Order:
    """An earlier order, changed in as few turns as can be so that it keeps the rules; Clash where no order keeps them."""
    known = _with_what_balls_give(earlier, balls)
    if not broken(known, rules, balls):
        return Order(tuple(known))
    from clothwright.colours.solving import nearest

    _check_held(balls, rules)
    found = nearest(known, balls, rules)
    if found is None:
        _found(balls, rules)
        raise Clash("no order was found that keeps all the rules")
    return Order(
        tuple(found), tuple(place for place, (was, now) in enumerate(zip(known, found, strict=False)) if was != now)
    )


def _with_what_balls_give(earlier: Sequence[Taken], balls: Sequence[Taken]) -> list[Taken]:
    """The earlier order by the balls as they are now; a ball that is gone gives nothing."""
    now = {(ball.yarn, ball.number): ball for ball in balls}
    return [now.get((ball.yarn, ball.number), replace(ball, most=0)) for ball in earlier]
