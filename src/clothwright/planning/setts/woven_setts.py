"""The drawn cloths of one sett: a heddle sleyed in a way, woven 4,096 times on paper through the same belief as a plan.

    width in heddle  = ends ÷ ends per cm
    finished width   = width in heddle × exp(draw-in + release + finishing + edge ÷ width in heddle)
    warp per metre   = ends ÷ (exp(take-up) × exp(length lost))
    weft per metre   = picks per cm × width in heddle × yarn per pick ÷ exp(length lost)
    g/m²             = (warp per metre × tex + weft per metre × tex) ÷ 1000 ÷ finished width

Metres are per metre of finished cloth, loom waste left out, since that is the same for every heddle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from clothwright.cloth import (
    Firmness,
    HeddleOwned,
    SettCandidate,
    Structure,
    Thickness,
    Threading,
    cloth_cover,
    fractional_cover,
    structures,
    thickness,
)
from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    WIDTH_STEPS,
    Belief,
    Making,
    SampleMeasured,
    Step,
    believed_before,
    independent,
    joint,
    measured_rows,
    sample_unknowns,
    table,
)
from clothwright.evidence.belief import Measurement
from clothwright.measure import Draws, Interval
from clothwright.planning.working import WorkingLine

#: The finished width that a candidate is told for where none is asked for.
PER_CM: Final = 10.0
_TYPED: Final = "ratio as typed"
_KEY: Final = "this cloth"


@dataclass(frozen=True)
class SettQuestion:
    """What is to be compared: structure, thickness of the yarns, heddles owned, and what else is known. cm and tex.

    `wanted` is a firmness to come near to; `width_ratio` a finished width ÷ width in heddle that is known, and
    `pattern_ends` the ends of a pattern to be carried over; `known` samples that were measured; `end_step` the whole number
    ends come in (2 when the warp is wound direct); `told` lines on how the thickness was come by; `other_ways` whether ways
    to sley that are not the usual one are shown; `typed` the heddles with the order of ends they were typed with.
    """

    structure: Structure
    thickness: Thickness
    heddles: tuple[HeddleOwned, ...]
    fibre: str = ""
    finish: str = ""
    warp_tex: float | None = None
    weft_tex: float | None = None
    wanted: Firmness | None = None
    finished_width_cm: float | None = None
    loom_cm: float | None = None
    width_ratio: float | None = None
    pattern_ends: int | None = None
    end_step: int = 2
    known: tuple[SampleMeasured, ...] = ()
    warp: str = "warp"
    weft: str = "weft"
    told: tuple[WorkingLine, ...] = ()
    other_ways: bool = True
    typed: tuple[Threading, ...] = ()


class WovenSett:
    """The drawn cloths of one candidate."""

    def __init__(self, candidate: SettCandidate, question: SettQuestion) -> None:
        self.candidate, self.question = candidate, question
        self.made = _making(candidate, question)
        self.belief = _belief(self.made, question)
        kept = [name for name in self.belief.names if name.startswith(f"{_KEY}: ") or name in (EDGE, _TYPED)]
        self._drawn = self.belief.kept(kept).draws()

    def step(self, *steps: Step) -> Draws:
        """Sum of some unknown logarithms."""
        return np.asarray(sum(self._drawn[self.made.unknown(step)] for step in steps))

    def middle(self, *steps: Step) -> float:
        """The middle of the ratio that some unknown logarithms make together."""
        return math.exp(self.belief.expected({self.made.unknown(step): 1.0 for step in steps})[0])

    @cached_property
    def middle_ratio(self) -> float:
        """Finished width over width in heddle, in the middle."""
        return self.middle(*WIDTH_STEPS)

    @cached_property
    def needed_in_heddle(self) -> float:
        """Width in heddle for the finished width asked for, cm."""
        return (self.question.finished_width_cm or PER_CM) / self.middle_ratio

    @cached_property
    def end_step(self) -> int:
        """The whole number ends come in; one where no width is asked for and the figures are per 10 cm."""
        return self.question.end_step if self.question.finished_width_cm else 1

    @cached_property
    def ends_needed(self) -> int:
        """Ends for the finished width asked for."""
        steps = self.needed_in_heddle * self.candidate.ends_per_cm / self.end_step
        return self.end_step * max(1, math.ceil(steps - 1e-9))

    @cached_property
    def most_ends(self) -> int | None:
        """The most ends that loom and heddle take; None where neither says."""
        limits = [width for width in (self.question.loom_cm, self.candidate.width_cm) if width is not None]
        if not limits:
            return None
        return self.end_step * int(min(limits) * self.candidate.ends_per_cm / self.end_step + 1e-9)

    @cached_property
    def fits(self) -> bool:
        """Whether the ends needed go in."""
        return self.most_ends is None or self.ends_needed <= self.most_ends

    @cached_property
    def ends(self) -> int:
        """The ends needed, or the most that go in; of a heddle of sections all of them, since each has its place."""
        if self.candidate.sections and (self.question.loom_cm or math.inf) >= (self.candidate.width_cm or 0):
            return sum(section.ends for section in self.candidate.sections)
        return self.ends_needed if self.most_ends is None else max(1, min(self.ends_needed, self.most_ends))

    @cached_property
    def width_in_heddle(self) -> float:
        """What those ends fill, cm."""
        return self.ends / self.candidate.ends_per_cm

    @cached_property
    def finished_width(self) -> Draws:
        """Finished width, cm; what is lost at the edges only where a width was asked for."""
        edge = self._drawn[EDGE] / self.width_in_heddle if self.question.finished_width_cm else 0.0
        typed = self._drawn.get(_TYPED, 0.0)
        return np.asarray(self.width_in_heddle * np.exp(self.step(*WIDTH_STEPS) + typed + edge))

    @cached_property
    def narrower_by(self) -> float:
        """How far the middle falls short of the width asked for, cm."""
        asked = self.question.finished_width_cm
        return max(0.0, asked - self.width_in_heddle * self.middle_ratio) if asked and not self.fits else 0.0

    @cached_property
    def take_up(self) -> Draws:
        """Woven length over warp used."""
        return np.exp(self.step(Step.TAKE_UP))

    @cached_property
    def length_ratio(self) -> Draws:
        """Finished over woven length."""
        return np.exp(self.step(*LENGTH_STEPS))

    @cached_property
    def picks(self) -> Draws:
        """Picks per cm on the loom."""
        return np.exp(self.step(Step.PICKS))

    @cached_property
    def warp(self) -> Draws:
        """Metres of warp for a metre of finished cloth."""
        return np.asarray(self.ends / (self.take_up * self.length_ratio))

    @cached_property
    def weft(self) -> Draws:
        """Metres of weft for a metre of finished cloth."""
        pick_cm = self.width_in_heddle * np.exp(self.step(Step.PICK_LENGTH))
        return np.asarray(self.picks * pick_cm / self.length_ratio)

    @cached_property
    def g_per_m2(self) -> Interval | None:
        """Mass of the finished cloth, from the metres that go into it; None where a yarn's number is not known."""
        warp_tex, weft_tex = self.question.warp_tex, self.question.weft_tex
        if warp_tex is None or weft_tex is None:
            return None
        grams_per_metre = (self.warp * warp_tex + self.weft * weft_tex) / 1000
        return Interval.of_draws(grams_per_metre / (self.finished_width / 100))

    @cached_property
    def thickness_mm(self) -> float:
        """Thickness of the rested cloth, warp and weft sharing the wave alike (Peirce)."""
        return thickness(self.made.warp_mm, self.made.weft_mm, (self.made.warp_mm + self.made.weft_mm) / 2)

    @cached_property
    def cover(self) -> float:
        """Share of the face that the finished threads cover, in the middle."""
        ends = self.candidate.ends_per_cm / self.middle_ratio
        picks = self.middle(Step.PICKS) / self.middle(*LENGTH_STEPS)
        return cloth_cover(fractional_cover(ends, self.made.warp_mm), fractional_cover(picks, self.made.weft_mm))

    @cached_property
    def pattern_width(self) -> float | None:
        """Width in this heddle of a pattern's ends, cm."""
        ends = self.question.pattern_ends
        return None if ends is None else ends / self.candidate.ends_per_cm


def _making(candidate: SettCandidate, question: SettQuestion) -> Making:
    """The candidate's cloth for the belief; a structure that only the sleying makes is believed of as the one it is made from."""
    known = {one.name: one for one in structures()}
    weave = known.get(candidate.structure, question.structure)
    return Making(
        key=_KEY,
        warp=question.warp,
        weft=question.weft,
        fibre=question.fibre,
        finish=question.finish,
        structure=weave.name,
        ends_per_cm=candidate.ends_per_cm,
        advised_ends_per_cm=question.thickness.advised(weave),
        warp_mm=10 / question.thickness.warp_touching,
        weft_mm=10 / question.thickness.weft_touching,
    )


def _belief(made: Making, question: SettQuestion) -> Belief:
    """Belief about the candidate's cloth, after what is known of others and of its width."""
    samples = [replace(one, weft_used_g=None) for one in question.known]
    blocks = [believed_before([made, *(one.making for one in samples)]), *map(sample_unknowns, samples)]
    belief = joint(blocks).conditioned([row for one in samples for row in measured_rows(one)])
    if question.width_ratio is None:
        return belief
    weights = {made.unknown(step): 1.0 for step in WIDTH_STEPS}
    exact = Measurement(weights, math.log(question.width_ratio), 0.0, "finished width ÷ width in heddle as typed")
    return joint([belief.conditioned([exact]), independent({_TYPED: (0.0, table()["error"]["typed_ratio_log"])})])
