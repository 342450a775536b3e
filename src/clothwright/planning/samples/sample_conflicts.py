"""Two samples alike in yarn, sett, structure and finish whose ratios differ by more than their spreads allow.

The difference of one log ratio between two cloths alike has, before anything is measured, the spread that belief gives two
such cloths, and on top the measuring of four sizes. Beyond 2.58 of these spreads (one pair in a hundred) it is asked about.
Both samples are kept and both count.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    WIDTH_STEPS,
    Belief,
    SampleMeasured,
    Step,
    believed_before,
    sample_error,
)
from clothwright.planning.samples.sample_ratios import SIDES, Size, percent, sizes

#: Spreads beyond which one pair in a hundred lies by chance.
ASKED_BEYOND: Final = 2.576
_SAME_SETT: Final = 1.02
#: The unknown steps of a side, first state first.
STEPS_OF: Final = {"width": WIDTH_STEPS, "length": (Step.TAKE_UP, *LENGTH_STEPS)}
_CARD: Final = {"width": "card loom: draw-in", "length": "card loom: take-up"}


@dataclass(frozen=True)
class Conflict:
    """Two samples that do not agree: in what, the ratio of each, and how many spreads apart they lie."""

    one: str
    other: str
    what: str
    one_ratio: float
    other_ratio: float
    spreads: float
    allowed_share: float

    @property
    def says(self) -> str:
        """The question, naming both and what differs."""
        return (
            f"{self.one} and {self.other} are of the same yarn, sett and finish, but {self.what} was {percent(self.one_ratio)} in the "
            f"one and {percent(self.other_ratio)} in the other, where up to {percent(self.allowed_share)} apart would be usual. Was one measured "
            "while slack, or washed otherwise? Both are kept and both count; measure again, or say how they differ."
        )


def conflicts(samples: Sequence[SampleMeasured]) -> tuple[Conflict, ...]:
    """Every pair that does not agree, with the ratio that differs most."""
    found = (_worst(one, other) for one, other in combinations(samples, 2) if _alike(one, other))
    return tuple(one for one in found if one is not None)


def _alike(one: SampleMeasured, other: SampleMeasured) -> bool:
    first, second = one.making, other.making
    same = (first.warp, first.weft, first.structure) == (second.warp, second.weft, second.structure)
    sett = abs(math.log(first.ends_per_cm / second.ends_per_cm)) <= math.log(_SAME_SETT)
    return same and sett and _plain(first.finish) == _plain(second.finish)


def _plain(finish: str) -> str:
    return " ".join(finish.lower().replace(",", " ").split())


def _worst(one: SampleMeasured, other: SampleMeasured) -> Conflict | None:
    belief = believed_before([one.making, other.making])
    found = [conflict for side in SIDES for conflict in _compared(one, other, side, belief)]
    worst = max(found, key=lambda conflict: conflict.spreads, default=None)
    return worst if worst and worst.spreads > ASKED_BEYOND else None


def _compared(one: SampleMeasured, other: SampleMeasured, side: str, belief: Belief) -> Iterator[Conflict]:
    """Each pair of states that both samples have of a side, compared."""
    first, second = ({size.state.key: size for size in sizes(sample, side)} for sample in (one, other))
    order = [state.key for state in SIDES[side]]
    both = [key for key in order if key in first and key in second]
    for start, end in combinations(both, 2):
        steps = STEPS_OF[side][order.index(start) : order.index(end)]
        known = ((first[start], first[end]), (second[start], second[end]))
        between = _between_cloths(belief, one, other, steps, _edges(one, other, side, known))
        yield _conflict(one, other, side, steps, known, between)


def _conflict(
    one: SampleMeasured,
    other: SampleMeasured,
    side: str,
    steps: Sequence[Step],
    known: tuple[tuple[Size, Size], tuple[Size, Size]],
    between: float,
) -> Conflict:
    ratios = [after.cm / before.cm for before, after in known]
    measuring = math.hypot(*(size.log_sd for pair in known for size in pair))
    on_card = [sample_error(_CARD[side], "log") for sample in (one, other) if sample.on_card and steps[0] in _FIRST]
    spread = math.hypot(between, measuring, *on_card)
    before, after = known[0]
    what = f"the {side} {after.state.words} over {before.state.words}"
    apart = abs(math.log(ratios[0] / ratios[1])) / spread
    return Conflict(one.name, other.name, what, ratios[0], ratios[1], apart, ASKED_BEYOND * spread)


#: The steps that a card loom does otherwise.
_FIRST: Final = (Step.DRAW_IN, Step.TAKE_UP)


def _edges(one: SampleMeasured, other: SampleMeasured, side: str, known: tuple[tuple[Size, Size], ...]) -> float:
    """How differently edges weigh in the two, per cm: they count where the width in the heddle is one of the sizes."""
    if side != "width" or known[0][0].state.key != "width_in_heddle":
        return 0.0
    return 1 / (one.width_in_heddle or math.inf) - 1 / (other.width_in_heddle or math.inf)


def _between_cloths(
    belief: Belief, one: SampleMeasured, other: SampleMeasured, steps: Sequence[Step], edge: float
) -> float:
    """Spread of the difference of a log ratio between the two cloths, before they were measured."""
    weights = {one.making.unknown(step): 1.0 for step in steps} | {other.making.unknown(step): -1.0 for step in steps}
    return belief.expected(weights | ({EDGE: edge} if edge else {}))[1]
