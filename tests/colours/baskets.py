"""Baskets of balls and rules for tests, and every order of a small basket."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations

from hypothesis import strategies as st

from clothwright.colours import Rules, Taken, broken

YARNS = ("dulse", "kelp", "lichen", "marram", "shale")


def every_order(counts: Mapping[Taken, int], rules: Rules) -> Iterator[tuple[Taken, ...]]:
    """Every order of so many turns of each ball that keeps the rules, each once."""
    turns = [ball for ball, count in counts.items() for _ in range(count)]
    for order in sorted(set(permutations(turns)), key=str):
        if not broken(order, rules, tuple(counts)):
            yield order


@st.composite
def baskets(draw: st.DrawFn, *, most_turns: int = 7, yarns: int = 5) -> tuple[tuple[Taken, ...], Rules]:
    """A few small balls, and rules that may or may not clash."""
    balls = tuple(
        Taken(yarn, number, draw(st.integers(0, 4)))
        for yarn in YARNS[: draw(st.integers(1, yarns))]
        for number in range(1, draw(st.integers(1, 2)) + 1)
    )
    names = st.sampled_from(sorted({ball.yarn for ball in balls}))
    turns = draw(st.integers(1, most_turns))
    rules = Rules(
        turns,
        longest_run=draw(st.none() | st.integers(1, 3)),
        strangers=frozenset(draw(st.lists(st.tuples(names, names).map(frozenset), max_size=2))),
        not_at_edges=frozenset(draw(st.lists(names, max_size=2))),
        use_up=frozenset(draw(st.lists(names, max_size=2))),
        most_of=draw(st.dictionaries(names, st.integers(0, 5), max_size=1)),
        between=draw(st.integers(0, 2)),
        held=draw(st.dictionaries(st.integers(0, turns - 1), names, max_size=1)),
        spread=frozenset(draw(st.lists(names, max_size=2))),
        selvedge=draw(st.none() | st.tuples(names, st.just(1))),
    )
    return balls, rules
