"""One round of a search that reads no clock: the same seed gives the same layout on any machine, whoever does it."""

from __future__ import annotations

from collections.abc import Iterable

from clothwright.layout.arrangement import Copy, Layout
from clothwright.layout.first_guess import first_guess
from clothwright.layout.judge import faults
from clothwright.layout.ruled import made_to_keep, ruled_guess
from clothwright.layout.rules import NO_RULES, Rules
from clothwright.layout.search import length, solve
from clothwright.layout.searchers import Asked
from clothwright.layout.tightening import tightened


def in_round(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int) -> Asked:
    """A round as work for somebody."""
    return Asked(one_round, (copies, width_cm, rules, seed))


def one_round(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int) -> Layout | None:
    """The shortest that one seed gives without a clock: a guess and the solver's start, both pushed together."""
    found = [_guess(copies, width_cm, rules, seed), solve(copies, width_cm, 0.0, seed, 1, rules)]
    return min(filter(None, found), key=length, default=None)


def _guess(copies: tuple[Copy, ...], width_cm: float, rules: Rules, seed: int) -> Layout | None:
    """A first guess of this seed, made to keep the rules, pushed together."""
    plain = first_guess(copies, width_cm, seed=seed)
    layouts: Iterable[Layout | None] = (
        (plain,)
        if rules == NO_RULES
        else (made_to_keep(copies, plain, rules), ruled_guess(copies, width_cm, rules, seed=seed, tries=2))
    )
    sound = [one for one in layouts if one and not faults(copies, one, rules=rules)]
    return min((tightened(copies, one, rules) for one in sound), key=length, default=None)
