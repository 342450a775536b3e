"""The rules of a colour order, from what was typed to what an order must keep, and back in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from coloraide import Color

from clothwright.colours import Rules, WarpBall, whole_turns
from clothwright.planning.colour_answer import summed
from clothwright.project import Problem, ProblemsFound
from clothwright.project.colour_parts import ColoursPart
from clothwright.yarn import Lot

#: How strictly a gradient is kept where nothing is said. Our own choice.
_STRICTLY: Final = 0.5
_TOWARDS: Final = {"dark to light": 1.0, "light to dark": -1.0}


@dataclass(frozen=True)
class Winding:
    """How the warp is wound: `turn_ends` ends in a turn, 2 when it goes from slot to peg and back; `turn_m` a turn."""

    turns: int
    turn_ends: int
    turn_m: float

    @property
    def called(self) -> str:
        """What a turn is called."""
        return "pair" if self.turn_ends == 2 else "end"


def rules_of(part: ColoursPart, winding: Winding, lots: Sequence[Lot], balls: Sequence[WarpBall]) -> Rules:
    """What an order must keep; ProblemsFound where a rule cannot be read as turns, or a yarn's colour is not said."""
    return Rules(
        winding.turns,
        longest_run=_longest_run(part, winding),
        strangers=frozenset(frozenset(pair) for pair in part.not_side_by_side),
        not_at_edges=frozenset(part.not_at_edges),
        use_up=frozenset(part.use_up),
        most_of=_most_of(part, winding, balls),
        between=math.ceil((part.between_one_ball or 0) / winding.turn_ends),
        held=dict(_held(part, winding)),
        lightness=_lightness(part, lots),
        balanced=part.light_and_dark == "balanced",
        gradient=_TOWARDS.get(part.light_and_dark, 0.0) * (part.strictly.expected if part.strictly else _STRICTLY),
        called=winding.called,
    )


def _longest_run(part: ColoursPart, winding: Winding) -> int | None:
    if part.longest_run is None:
        return None
    if part.longest_run < winding.turn_ends:
        sentence = f"{part.longest_run} end: the warp is wound in pairs, so a run has 2 ends at least"
        raise ProblemsFound(Problem(("colours", "longest_run"), sentence))
    return part.longest_run // winding.turn_ends


def _most_of(part: ColoursPart, winding: Winding, balls: Sequence[WarpBall]) -> dict[str, int]:
    """The most turns of each yarn of which a share is kept for the weft."""
    there = summed((ball.yarn, ball.expected_m) for ball in balls)
    return {
        yarn: whole_turns(there.get(yarn, 0.0) * (1 - share.expected), winding.turn_m)
        for yarn, share in part.keep_for_weft.items()
    }


def _held(part: ColoursPart, winding: Winding) -> Iterator[tuple[int, str]]:
    """The turns that stay, by their place from 0, and their yarn."""
    place = 0
    for run in part.order:
        count = run.ends // winding.turn_ends
        if run.held:
            yield from ((place + step, run.yarn) for step in range(count))
        place += count


def _lightness(part: ColoursPart, lots: Sequence[Lot]) -> dict[str, float]:
    """Lightness of each yarn, 0 to 1, as eyes judge it (OKLab); empty where no rule asks for it."""
    if part.light_and_dark == "as it falls":
        return {}
    unsaid = [lot.name for lot in lots if not lot.colour]
    if unsaid:
        sentence = f"the colour of {', '.join(unsaid)} is not said; choose one for each yarn"
        raise ProblemsFound(Problem(("colours", "light_and_dark"), sentence))
    return {lot.name: float(Color(lot.colour).convert("oklab")["lightness"]) for lot in lots}


def told(part: ColoursPart, rules: Rules, winding: Winding) -> Iterator[str]:
    """The rules, as sentences."""
    if rules.longest_run:
        yield f"At most {rules.longest_run * winding.turn_ends} ends of a yarn lie together."
    yield from (f"{' and '.join(pair)} do not lie side by side." for pair in part.not_side_by_side)
    if part.not_at_edges:
        yield f"Not at the edges: {', '.join(part.not_at_edges)}."
    if part.use_up:
        yield f"Used up: {', '.join(part.use_up)}."
    yield from (f"{share} of {yarn} is kept for the weft." for yarn, share in part.keep_for_weft.items())
    if rules.between:
        yield f"At least {rules.between * winding.turn_ends} ends of others lie between two of one ball."
    if part.light_and_dark != "as it falls":
        yield f"Light and dark: {part.light_and_dark}."
