"""Setts side by side: for every heddle and way to sley it, what cloth it leads to, and what that takes.

A candidate is carried through the same belief as a plan: 4,096 equally likely cloths of that sett, each woven on paper.

Metres are per metre of finished cloth, loom waste left out, since that is the same for every heddle. Ends are those of the
finished width asked for at the middle ratio; the spread of what that comes to is told beside it. No sett is *the* sett: the
answer says which to sample.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from clothwright.cloth import (
    DISTINCT,
    SettCandidate,
    burning_question,
    sett_wanted,
    sleyed_candidates,
    weight_words,
    worth_sampling,
)
from clothwright.evidence import (
    Step,
)
from clothwright.measure import Interval
from clothwright.planning.setts.sett_words import cloth_lines, hand_of, says, sett_lines, taken_line
from clothwright.planning.setts.woven_setts import PER_CM, SettQuestion, WovenSett
from clothwright.planning.working import WorkingLine

__all__ = ["LeadsTo", "SettAnswer", "SettQuestion", "compare_setts", "taken_line", "what_a_sett_leads_to"]


@dataclass(frozen=True)
class LeadsTo:
    """What a candidate leads to, for a finished width; intervals are 90 % and the median.

    `thickness_mm` and `cover` (share of the face) are of the finished cloth by geometry, for round threads that neither
    flatten nor bloom. `take_up` is a share of the warp, `draw_in` and `width_lost` of the width in the heddle, `length_lost` of the woven
    length on the loom. `fits` is False where the loom or the heddle is too narrow: then `ends` are the most that go in, and
    `ends_needed` what the width asked for would take.
    """

    for_width_cm: float
    ends: int
    ends_needed: int
    most_ends: int | None
    fits: bool
    width_in_heddle_cm: float
    finished_width_cm: Interval
    narrower_by_cm: float
    picks_per_cm_on_loom: Interval
    ends_per_cm_finished: Interval
    picks_per_cm_finished: Interval
    warp_m_per_m: Interval
    weft_m_per_m: Interval
    g_per_m2: Interval | None
    thickness_mm: float
    cover: float
    take_up: Interval
    draw_in: Interval
    width_lost: Interval
    length_lost: Interval
    hand: str
    weight: str | None
    season: str | None
    burning: str | None
    pattern_width_in_heddle_cm: float | None
    says: str
    working: tuple[WorkingLine, ...]

    def as_json(self) -> dict[str, Any]:
        """The fields as scripts read them."""
        return {field.name: _plain(getattr(self, field.name)) for field in fields(self)}


@dataclass(frozen=True)
class SettAnswer:
    """The setts side by side; `sample` are those to sample first."""

    question: SettQuestion
    advised_per_cm: float
    closest_per_cm: float
    candidates: tuple[tuple[SettCandidate, LeadsTo], ...]
    sample: tuple[SettCandidate, ...]
    advice: tuple[str, ...]
    working: tuple[WorkingLine, ...]
    cautions: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The result as scripts read it."""
        return {
            "structure": self.question.structure.name,
            "advised_ends_per_cm": self.advised_per_cm,
            "closest_ends_per_cm": self.closest_per_cm,
            "candidates": [self._candidate(*one) for one in self.candidates],
            "advice": list(self.advice),
            "working": [line.as_json() for line in self.working],
            "cautions": list(self.cautions),
        }

    def _candidate(self, one: SettCandidate, leads_to: LeadsTo) -> dict[str, Any]:
        return {
            "heddle": one.heddle,
            "sleying": one.sleying,
            "order": one.order,
            "structure": one.structure,
            "ends_per_cm": one.ends_per_cm,
            "ends_per_in": one.ends_per_inch,
            "share_of_closest": one.share_of_closest,
            "against_advised": one.against_advice,
            "firmness": one.firmness,
            "cover": one.cover,
            "sample_this": one.sample_this,
            "sample_first": one in self.sample,
            "sections": [_plain(section) for section in one.sections],
            "leads_to": leads_to.as_json(),
        }


def _plain(value: Any) -> Any:
    """A value as JSON holds it."""
    if isinstance(value, WorkingLine):
        return value.as_json()
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if hasattr(value, "__dataclass_fields__"):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value


def compare_setts(question: SettQuestion) -> SettAnswer:
    """Every heddle and way to sley it, what each leads to, and which to sample first; ValueError without a heddle."""
    if not question.heddles:
        raise ValueError("there is no heddle to compare")
    every = sleyed_candidates(question.heddles, question.thickness, question.structure, question.wanted, question.typed)
    found = tuple(one for one in every if one.usual or question.other_ways)
    led = tuple((one, what_a_sett_leads_to(one, question)) for one in found)
    sample = worth_sampling(found)
    first = next(leads_to for one, leads_to in led if one == sample[0])
    burning = dict.fromkeys(leads_to.burning for one, leads_to in led if one in sample and leads_to.burning)
    return SettAnswer(
        question=question,
        advised_per_cm=sett_wanted(question.thickness, question.structure, question.wanted),
        closest_per_cm=question.thickness.closest(question.structure),
        candidates=led,
        sample=sample,
        advice=tuple(_advice(sample)),
        working=(*question.told, *sett_lines(question), *first.working),
        cautions=tuple(burning),
    )


def what_a_sett_leads_to(candidate: SettCandidate, question: SettQuestion) -> LeadsTo:
    """What the cloth of one candidate comes to; pure, the same answer every time."""
    woven = WovenSett(candidate, question)
    warmth = weight_words(*_three(woven.g_per_m2)) if woven.g_per_m2 else (None, None)
    return LeadsTo(
        for_width_cm=question.finished_width_cm or PER_CM,
        ends=woven.ends,
        ends_needed=woven.ends_needed,
        most_ends=woven.most_ends,
        fits=woven.fits,
        width_in_heddle_cm=woven.width_in_heddle,
        finished_width_cm=Interval.of_draws(woven.finished_width),
        narrower_by_cm=woven.narrower_by,
        picks_per_cm_on_loom=Interval.of_draws(woven.picks),
        ends_per_cm_finished=Interval.of_draws(woven.ends / woven.finished_width),
        picks_per_cm_finished=Interval.of_draws(woven.picks / woven.length_ratio),
        warp_m_per_m=Interval.of_draws(woven.warp),
        weft_m_per_m=Interval.of_draws(woven.weft),
        g_per_m2=woven.g_per_m2,
        thickness_mm=woven.thickness_mm,
        cover=woven.cover,
        take_up=Interval.of_draws(1 - woven.take_up),
        draw_in=Interval.of_draws(1 - np.exp(woven.step(Step.DRAW_IN))),
        width_lost=Interval.of_draws(1 - woven.finished_width / woven.width_in_heddle),
        length_lost=Interval.of_draws(1 - woven.length_ratio),
        hand=hand_of(candidate, question.structure),
        weight=warmth[0],
        season=warmth[1],
        burning=burning_question(question.fibre, question.finish, woven.g_per_m2.low if woven.g_per_m2 else None),
        pattern_width_in_heddle_cm=woven.pattern_width,
        says=says(woven),
        working=tuple(cloth_lines(woven)),
    )


def _three(one: Interval) -> tuple[float, float, float]:
    return one.low, one.expected, one.high


def _advice(sample: tuple[SettCandidate, ...]) -> Iterator[str]:
    """Which to sample, and how to choose between two."""
    named = [f"{one.named} ({one.ends_per_cm:.2f} per cm, {one.ends_per_inch:.2f} per inch)" for one in sample]
    yield f"Sample at {' and '.join(named)}, wash the samples as the cloth will be washed, and choose by hand."
    if len(sample) > 1 and sample[1].ends_per_cm < DISTINCT * sample[0].ends_per_cm:
        yield f"They stand alike in the heddle and weave otherwise: {sample[0].structure}, and {sample[1].structure}."
    elif len(sample) > 1:
        yield "The opener suits a yarn that blooms or is to be fulled, the closer one that stays thin; teachers differ."
    elif not sample[0].sample_this:
        yield "None of the heddles comes near what the yarn asks for; this is the nearest."
