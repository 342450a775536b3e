"""How a coloured warp is wound: direct from slot to peg, or on a board or mill.

Direct, the yarn is tied to the back rod, drawn through a slot as a loop, laid over the peg; the next loop goes through the
next slot. A loop is a pair of ends of one colour. So a colour can change after every loop, at the rod; a change at the peg
would give one loop two colours, and asks for a cut and a knot there. With one peg the outer loops are longer than the
middle ones, which lie straight:

    outer end = √(distance² + (width ÷ 2)²).

Several pegs side by side share the width between them, so that each has its share of it in front. Where the peg is nearer
than the warp is long, the rest going on round other pegs, the distance is that from the loom to the first.

A warp wound on a board or mill is taken off in chains, each with a cross of its own, of as many ends as the pegs hold.

*Source:* common practice, no source; the outer end by Pythagoras.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.planning.colours.colour_answer import ColourPlan
from clothwright.yarn import Winder

#: Loops of other colours over which an unused yarn is still carried along the rod; about 2.5 cm. Common practice, no source.
_CARRIED_CM: Final = 2.5
_LOOPS_WITHOUT_SETT: Final = 3
#: Ends in a chain that a board holds without crowding its pegs. Common practice, no source.
MOST_IN_CHAIN: Final = 120
_TEN: Final = 10


@dataclass(frozen=True)
class Loop:
    """A loop of a direct warp: its slot from 1, its yarn and ball, and what is done at the rod after it.

    `after`: “go on”, “change, carry” where this yarn comes again within reach, “change, cut” where it does not, or “end”.
    """

    slot: int
    yarn: str
    ball: int
    after: str


@dataclass(frozen=True)
class OnWinder:
    """The warp's length on a board or mill: whole turns, and what is left over, cm."""

    name: str
    turn_cm: float
    whole: int
    rest_cm: float


@dataclass(frozen=True)
class Chain:
    """A chain of a warp wound on a board or mill: its ends from `first` to `last`, counted from 1."""

    first: int
    last: int

    @property
    def ends(self) -> int:
        """How many ends it has."""
        return self.last - self.first + 1


def outer_end_cm(distance_cm: float, width_cm: float, pegs: int = 1) -> float:
    """The length of the outermost end of a warp stretched to pegs side by side at a distance, in cm."""
    return math.hypot(distance_cm, width_cm / pegs / 2)


def distance_for_cm(share: float, width_cm: float, pegs: int = 1) -> float:
    """How far the pegs must be for the outer ends to be longer by no more than a share of the distance, in cm."""
    return width_cm / pegs / 2 / math.sqrt((1 + share) ** 2 - 1)


def chains(ends: int, most: int = MOST_IN_CHAIN) -> tuple[Chain, ...]:
    """A warp in chains alike to ten ends, none of more than `most`."""
    many = -(-ends // most)
    each = min(most, _TEN * -(-ends // (many * _TEN)))
    return tuple(Chain(first, min(first + each - 1, ends)) for first in range(1, ends + 1, each))


def loops(answer: ColourPlan) -> tuple[Loop, ...]:
    """A direct warp slot by slot; empty where it is not wound in pairs."""
    if answer.turn_ends != 2:
        return ()
    turns = [(run.yarn, ball) for run in answer.order for ball, ends in run.balls for _ in range(ends // 2)]
    reach = _reach(answer)
    return tuple(Loop(slot, yarn, ball, _after(turns, slot, reach)) for slot, (yarn, ball) in enumerate(turns, 1))


def _reach(answer: ColourPlan) -> int:
    sett = answer.warp.ends_per_cm
    return max(1, int(_CARRIED_CM * sett / 2)) if sett else _LOOPS_WITHOUT_SETT


def _after(turns: Sequence[tuple[str, int]], slot: int, reach: int) -> str:
    """What is done at the rod after the loop in a slot, counted from 1."""
    if slot == len(turns):
        return "end"
    if turns[slot] == turns[slot - 1]:
        return "go on"
    return "change, carry" if turns[slot - 1] in turns[slot : slot + reach + 1] else "change, cut"


def on_winder(warp_cm: float, winder: Winder) -> OnWinder:
    """How a warp lies on a board or mill, by its own true turn."""
    turn_cm = 100 * winder.turn_m
    whole = int(warp_cm / turn_cm + 1e-9)
    return OnWinder(winder.name, turn_cm, whole, max(0.0, warp_cm - whole * turn_cm))
