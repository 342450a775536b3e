"""The rules of a weft order: which yarns, in what steps, and what an order must keep, and back in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from clothwright.colours import Rules
from clothwright.planning.colours.colour_rules import lightness_of, strictness
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.colour_parts import WeftColoursPart
from clothwright.yarn import Lot

PATH = ("colours", "weft")


@dataclass(frozen=True)
class Weaving:
    """How picks are taken: `step` picks of a shuttle before its colour may change, `turn_picks` that come together at least."""

    turns: int
    turn_picks: int
    step: int

    @property
    def called(self) -> tuple[str, str]:
        """What a turn is called, and what several are."""
        if self.turn_picks == 1:
            return "pick", "picks"
        return (
            ("pair of picks", "pairs of picks")
            if self.turn_picks == 2
            else (
                f"band of {self.turn_picks} picks",
                f"bands of {self.turn_picks} picks",
            )
        )


def weaving_of(part: WeftColoursPart, picks: int) -> Weaving:
    """The steps in which a weft is woven; changes at one side ask for even picks."""
    step = 2 if part.colours_change == "at one side" else 1
    turn_picks = math.ceil((part.least_together or step) / step) * step
    return Weaving(math.ceil(picks / turn_picks), turn_picks, step)


def has_rules(part: WeftColoursPart) -> bool:
    """Whether any rule is typed that only an order drawn at random keeps."""
    return bool(
        part.longest_run
        or part.least_together
        or part.between_one_yarn
        or part.not_side_by_side
        or part.not_at_ends
        or part.use_up
        or part.light_and_dark != "as it falls"
    )


def rules_of_weft(part: WeftColoursPart, weaving: Weaving, lots: Sequence[Lot], held: Mapping[int, str]) -> Rules:
    """What a weft order must keep; ProblemsFound where a rule cannot be read as picks, or a yarn's colour is not said."""
    called, plural = weaving.called
    return Rules(
        weaving.turns,
        longest_run=_longest_run(part, weaving),
        strangers=frozenset(frozenset(pair) for pair in part.not_side_by_side),
        not_at_edges=frozenset(part.not_at_ends),
        use_up=frozenset(part.use_up),
        between=math.ceil((part.between_one_yarn or 0) / weaving.turn_picks),
        held=held,
        lightness=lightness_of(part.light_and_dark, lots, (*PATH, "light_and_dark")),
        balanced=part.light_and_dark == "balanced",
        gradient=strictness(part.light_and_dark, part.strictly),
        called=called,
        plural=plural,
    )


def _longest_run(part: WeftColoursPart, weaving: Weaving) -> int | None:
    if part.longest_run is None:
        return None
    if part.longest_run < weaving.turn_picks:
        sentence = f"{part.longest_run} picks: {weaving.turn_picks} picks of a yarn come together at least, so a run is no shorter"
        raise ProblemsFound(Problem((*PATH, "longest_run"), sentence))
    return part.longest_run // weaving.turn_picks


def told_of_weft(part: WeftColoursPart, rules: Rules, weaving: Weaving) -> Iterator[str]:
    """The rules of an order drawn at random, as sentences."""
    yield f"At least {weaving.turn_picks} picks of a yarn come together."
    if rules.longest_run:
        yield f"At most {rules.longest_run * weaving.turn_picks} picks of a yarn come together."
    yield from (f"{' and '.join(pair)} do not lie side by side." for pair in part.not_side_by_side)
    if part.not_at_ends:
        yield f"Not first and not last: {', '.join(part.not_at_ends)}."
    if part.use_up:
        yield f"Used up: {', '.join(part.use_up)}."
    if rules.between:
        yield f"At least {rules.between * weaving.turn_picks} picks of others lie between two runs of one yarn."
    if part.light_and_dark != "as it falls":
        yield f"Light and dark: {part.light_and_dark}."
