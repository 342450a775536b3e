"""What a colour order must keep, and a judge that says which rules an order breaks.

The judge is slow and obvious, and knows nothing of how orders are found. An order is told turn by turn, from one selvedge
to the other, by the balls they are wound from.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise


@dataclass(frozen=True)
class Taken:
    """A ball as an order takes it: its yarn, which of its yarn's balls, and the most turns it gives."""

    yarn: str
    number: int
    most: int


@dataclass(frozen=True)
class Rules:
    """What an order of `turns` turns must keep.

    `longest_run`: most turns of one yarn together. `strangers`: two yarns that do not lie side by side. `not_at_edges`:
    yarns that stand at neither selvedge. `use_up`: yarns of which every turn is used. `most_of`: most turns of a yarn, where
    some of it is kept for the weft. `between`: fewest turns of others between two of one ball. `held`: turns that stay, by
    their place from 0. `lightness`: of each yarn, 0 to 1; `balanced`: light and dark even along the width; `gradient`:
    from the first to the last, dark to light, as strictly as it is above 0 (1: strict, 0.3: loose). `spread`: yarns whose
    turns stand evenly along the width, one in each of as many equal stretches. `selvedge`: a yarn, and how many turns of it
    stand at either selvedge. `called`: what a turn is called, “pair” or “end”, and `plural` of several where that is not
    the word with an s.
    """

    turns: int
    longest_run: int | None = None
    strangers: frozenset[frozenset[str]] = frozenset()
    not_at_edges: frozenset[str] = frozenset()
    use_up: frozenset[str] = frozenset()
    most_of: Mapping[str, int] = field(default_factory=dict)
    between: int = 0
    held: Mapping[int, str] = field(default_factory=dict)
    lightness: Mapping[str, float] = field(default_factory=dict)
    balanced: bool = False
    gradient: float = 0.0
    spread: frozenset[str] = frozenset()
    selvedge: tuple[str, int] | None = None
    called: str = "turn"
    plural: str = ""

    def counted(self, turns: int) -> str:
        """So many turns, by what they are called."""
        return f"{turns} {self.called if turns == 1 else self.several}"

    @property
    def several(self) -> str:
        """What turns are called."""
        return self.plural or f"{self.called}s"

    @property
    def at_selvedges(self) -> dict[int, str]:
        """The turns that the selvedges are of, by their place from 0."""
        yarn, many = self.selvedge or ("", 0)
        return {place: yarn for place in range(self.turns) if place < many or place >= self.turns - many}

    @property
    def fixed(self) -> dict[int, str]:
        """Every turn whose yarn is settled, held or of a selvedge, by its place from 0."""
        return self.at_selvedges | dict(self.held)


def broken(order: Sequence[Taken], rules: Rules, balls: Sequence[Taken]) -> tuple[str, ...]:
    """One sentence for every rule that an order breaks; none if it keeps them all."""
    return tuple(sentence for look in _LOOKS for sentence in look(order, rules, balls))


def _number(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    if len(order) != rules.turns:
        yield f"{rules.counted(len(order))} stand in the order and {rules.turns} were asked for"


def _balls_hold(order: Sequence[Taken], rules: Rules, balls: Sequence[Taken]) -> Iterator[str]:
    for ball, used in Counter(order).items():
        if ball not in balls:
            yield f"ball {ball.number} of {ball.yarn} is not there"
        elif used > ball.most:
            yield f"{rules.counted(used)} are taken from ball {ball.number} of {ball.yarn}, which gives {ball.most}"
    for yarn, used in Counter(ball.yarn for ball in order).items():
        if used > rules.most_of.get(yarn, used):
            yield f"{rules.counted(used)} of {yarn} are taken, and {rules.most_of[yarn]} may be"


def _runs(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    for yarn, run in groupby(ball.yarn for ball in order):
        length = len(list(run))
        if rules.longest_run is not None and length > rules.longest_run:
            yield f"{rules.counted(length)} of {yarn} lie together, and {rules.longest_run} may"


def _strangers(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    for place, (one, other) in enumerate(pairwise(order), 1):
        if frozenset((one.yarn, other.yarn)) in rules.strangers:
            yield f"{one.yarn} and {other.yarn} lie side by side at {rules.several} {place} and {place + 1}"


def _edges(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    for yarn in sorted(rules.not_at_edges & {ball.yarn for ball in (*order[:1], *order[-1:])}):
        yield f"{yarn} stands at an edge"


def _used_up(order: Sequence[Taken], rules: Rules, balls: Sequence[Taken]) -> Iterator[str]:
    used = Counter(ball.yarn for ball in order)
    for yarn in sorted(rules.use_up):
        there = _of_yarn(balls, rules, yarn)
        if used[yarn] < there:
            yield f"{rules.counted(there - used[yarn])} of {yarn} are left over, and it is to be used up"


def _apart(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    last: dict[Taken, int] = {}
    for place, ball in enumerate(order):
        between = place - last[ball] - 1 if ball in last else rules.between
        if between < rules.between:
            yield f"ball {ball.number} of {ball.yarn} comes again after {rules.counted(between)} of others, at {rules.called} {place + 1}"
        last[ball] = place


def _held(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    for place, yarn in sorted(rules.held.items()):
        if place < len(order) and order[place].yarn != yarn:
            yield f"{rules.called} {place + 1} is held as {yarn} and is {order[place].yarn}"


def _selvedges(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    yarn, many = rules.selvedge or ("", 0)
    if many and any(ball.yarn != yarn for ball in (*order[:many], *order[-many:])):
        yield f"{rules.counted(many)} of {yarn} are to stand at each selvedge, and do not"


def _spread(order: Sequence[Taken], rules: Rules, _balls: Sequence[Taken]) -> Iterator[str]:
    for yarn in sorted(rules.spread):
        places = [place for place, ball in enumerate(order) if ball.yarn == yarn]
        for number, place in enumerate(places):
            stretch = stretch_of(number, len(places), len(order))
            if place not in stretch:
                yield (
                    f"{yarn} is not spread evenly: its {rules.called} number {number + 1} of {len(places)} stands at "
                    f"{place + 1}, and belongs between {stretch.start + 1} and {stretch.stop}"
                )
                break


def stretch_of(number: int, many: int, turns: int) -> range:
    """The places, from 0, where turn `number` (from 0) of `many` of a yarn stands so that they are spread evenly.

    The width is cut into as many equal stretches as the yarn has turns, and one stands in each; a place that two stretches
    share serves both. However many yarns are spread so, there is an order of them all.

    *Source:* the windows of proportionate progress, S. Baruah, N. Cohen, C. Plaxton, D. Varvel, Algorithmica 15 (1996) 600,
    from memory.
    """
    return range(number * turns // many, -(-(number + 1) * turns // many))


def _of_yarn(balls: Sequence[Taken], rules: Rules, yarn: str) -> int:
    """The most turns of a yarn."""
    there = sum(ball.most for ball in balls if ball.yarn == yarn)
    return min(there, rules.most_of.get(yarn, there))


_LOOKS = (_number, _balls_hold, _runs, _strangers, _edges, _used_up, _apart, _held, _selvedges, _spread)
