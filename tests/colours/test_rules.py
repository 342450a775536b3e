"""The judge of orders names every rule that is broken, and finds none broken where none is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clothwright.colours import Rules, Taken, broken

KELP, DULSE, SHALE = Taken("kelp", 1, 4), Taken("dulse", 1, 4), Taken("shale", 1, 2)
BALLS = (KELP, DULSE, SHALE)
KEPT = Rules(6, longest_run=2, not_at_edges=frozenset({"shale"}), between=0, called="pair")
ORDER = (KELP, KELP, SHALE, DULSE, SHALE, DULSE)


def test_an_order_that_keeps_its_rules_is_not_complained_of() -> None:
    """Nothing is said."""
    assert broken(ORDER, KEPT, BALLS) == ()


@pytest.mark.parametrize(
    ("rules", "order", "words"),
    [
        (KEPT, ORDER[:-1], "5 pairs stand in the order and 6 were asked for"),
        (replace(KEPT, longest_run=1), ORDER, "2 pairs of kelp lie together, and 1 may"),
        (replace(KEPT, not_at_edges=frozenset({"dulse"})), ORDER, "dulse stands at an edge"),
        (replace(KEPT, use_up=frozenset({"kelp"})), ORDER, "2 pairs of kelp are left over"),
        (replace(KEPT, most_of={"kelp": 1}), ORDER, "2 pairs of kelp are taken, and 1 may be"),
        (replace(KEPT, between=2), ORDER, "ball 1 of kelp comes again after 0 pairs of others, at pair 2"),
        (replace(KEPT, held={0: "dulse"}), ORDER, "pair 1 is held as dulse and is kelp"),
        (replace(KEPT, strangers=frozenset({frozenset({"kelp", "shale"})})), ORDER, "side by side at pairs 2 and 3"),
        (KEPT, (KELP, KELP, SHALE, SHALE, DULSE, SHALE), "3 pairs are taken from ball 1 of shale, which gives 2"),
        (KEPT, (*ORDER[:-1], Taken("kelp", 2, 9)), "ball 2 of kelp is not there"),
    ],
)
def test_a_broken_rule_is_told_with_its_place(rules: Rules, order: tuple[Taken, ...], words: str) -> None:
    """One sentence says what is broken and where."""
    assert any(words in sentence for sentence in broken(order, rules, BALLS))


def test_a_yarn_may_be_a_stranger_to_itself() -> None:
    """Two of one yarn side by side break it."""
    rules = Rules(2, strangers=frozenset({frozenset({"kelp"})}))
    assert broken((KELP, KELP), rules, BALLS) == ("kelp and kelp lie side by side at turns 1 and 2",)
