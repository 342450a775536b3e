"""The rules of a colour order, from what was typed to what an order must keep, and back in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from clothwright.colours import Rules, WarpBall, whole_turns
from clothwright.measure import Share
from clothwright.planning.colours.colour_answer import summed
from clothwright.planning.colours.thickness_families import unlike_yarns
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.colour_parts import ColoursPart
from clothwright.project.problem import Path
from clothwright.yarn import Lot

#: How strictly a gradient is kept where nothing is said. Our own choice.
_STRICTLY: Final = 0.5
#: Parts of the width or length in which light and dark are told.
_STRETCHES: Final = 6
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
        lightness=lightness_of(part.light_and_dark, lots, ("colours", "light_and_dark")),
        balanced=part.light_and_dark == "balanced",
        gradient=strictness(part.light_and_dark, part.strictly),
        spread=frozenset(spread_yarns(part, lots)),
        selvedge=_selvedge(part, winding),
        called=winding.called,
    )


def strictness(light_and_dark: str, strictly: Share | None) -> float:
    """How strictly a gradient is kept, from dark to light above nought; nought where there is none."""
    return _TOWARDS.get(light_and_dark, 0.0) * (strictly.expected if strictly else _STRICTLY)


def spread_yarns(part: ColoursPart, lots: Sequence[Lot]) -> list[str]:
    """The yarns to be spread evenly: those named, and where it is asked all that are unlike most of the warp's."""
    unlike = unlike_yarns(lots) if part.spread_unlike else ()
    return list(dict.fromkeys((*part.spread, *unlike)))


def _selvedge(part: ColoursPart, winding: Winding) -> tuple[str, int] | None:
    """The yarn of the selvedges and its turns at each."""
    return (part.selvedge.yarn, math.ceil(part.selvedge.ends / winding.turn_ends)) if part.selvedge else None


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


def lightness_of(light_and_dark: str, lots: Sequence[Lot], path: Path) -> dict[str, float]:
    """Lightness of each yarn, 0 to 1, as eyes judge it (OKLab); empty where no rule asks for it.

    ProblemsFound, at the path, where a yarn says no colour.
    """
    if light_and_dark == "as it falls":
        return {}
    unsaid = [lot.name for lot in lots if not lot.colour]
    if unsaid:
        sentence = f"the colour of {', '.join(unsaid)} is not said; choose one for each yarn"
        raise ProblemsFound(Problem(path, sentence))
    from coloraide import Color  # takes a while to load, and few projects ask for it

    return {lot.name: float(Color(lot.colour).convert("oklab")["lightness"]) for lot in lots}


def lightness_told(yarns: Sequence[str], lightness: Mapping[str, float], begins: str) -> Iterator[str]:
    """How light an order is, sixth by sixth, where a rule of light and dark asks for it; each thread or turn named by its yarn."""
    if not lightness or len(yarns) < _STRETCHES:
        return
    cuts = [len(yarns) * number // _STRETCHES for number in range(_STRETCHES + 1)]
    means = [sum(lightness[yarn] for yarn in yarns[first:last]) / (last - first) for first, last in pairwise(cuts)]
    said = ", ".join(f"{100 * mean:.0f}" for mean in means)
    yield f"How light, sixth by sixth from {begins} (0 black, 100 white, as eyes judge it): {said}."


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
    if rules.spread:
        yield f"Spread evenly along the width: {', '.join(sorted(rules.spread))}."
    if rules.selvedge:
        yield f"At each selvedge {rules.selvedge[1] * winding.turn_ends} ends of {rules.selvedge[0]}."
    if part.light_and_dark != "as it falls":
        yield f"Light and dark: {part.light_and_dark}."
