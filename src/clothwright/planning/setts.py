"""Setts side by side: for every heddle and way to sley it, what cloth it leads to, and what that takes.

A candidate is carried through the same belief as a plan: 4,096 equally likely cloths of that sett, each woven on paper.

    width in heddle  = ends ÷ ends per cm
    finished width   = width in heddle × exp(draw-in + release + finishing + edge ÷ width in heddle)
    warp per metre   = ends ÷ (exp(take-up) × exp(length lost))
    weft per metre   = picks per cm × width in heddle × yarn per pick ÷ exp(length lost)
    g/m²             = (warp per metre × tex + weft per metre × tex) ÷ 1000 ÷ finished width

Metres are per metre of finished cloth, loom waste left out, since that is the same for every heddle. Ends are those of the
finished width asked for at the middle ratio; the spread of what that comes to is told beside it. No sett is *the* sett: the
answer says which to sample.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from clothwright.cloth import (
    Firmness,
    HeddleOwned,
    SettCandidate,
    Structure,
    Thickness,
    WrapsTaken,
    burning_question,
    cloth_cover,
    firmness_band,
    fractional_cover,
    sett_wanted,
    sleyed_candidates,
    structures,
    thickness,
    weight_words,
    worth_sampling,
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
from clothwright.measure import CM_PER_INCH, Draws, Interval, Rung
from clothwright.planning.working import WorkingLine

#: The finished width that a candidate is told for where none is asked for.
PER_CM: Final = 10.0
#: Floats this long catch on rings and buttons. Common practice, no source.
_LONG_FLOAT: Final = 4
_TYPED: Final = "ratio as typed"
_KEY: Final = "this cloth"


@dataclass(frozen=True)
class SettQuestion:
    """What is to be compared: structure, thickness of the yarns, heddles owned, and what else is known. cm and tex.

    `wanted` is a firmness to come near to; `width_ratio` a finished width ÷ width in heddle that is known, and
    `pattern_ends` the ends of a pattern to be carried over; `known` samples that were measured; `end_step` the whole number
    ends come in (2 when the warp is wound direct); `told` lines on how the thickness was come by; `other_ways` whether ways
    to sley that are not the usual one are shown.
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
    every = sleyed_candidates(question.heddles, question.thickness, question.structure, question.wanted)
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
        working=(*question.told, *_sett_lines(question), *first.working),
        cautions=tuple(burning),
    )


def what_a_sett_leads_to(candidate: SettCandidate, question: SettQuestion) -> LeadsTo:
    """What the cloth of one candidate comes to; pure, the same answer every time."""
    woven = _Woven(candidate, question)
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
        hand=_hand(candidate, question.structure),
        weight=warmth[0],
        season=warmth[1],
        burning=burning_question(question.fibre, question.finish, woven.g_per_m2.low if woven.g_per_m2 else None),
        pattern_width_in_heddle_cm=woven.pattern_width,
        says=_says(woven),
        working=tuple(_lines(woven)),
    )


def _three(one: Interval) -> tuple[float, float, float]:
    return one.low, one.expected, one.high


class _Woven:
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


def _hand(candidate: SettCandidate, weave: Structure) -> str:
    """What the cloth is like in the hand, no more precisely than the band it falls in."""
    said = [firmness_band(candidate.share_of_closest).hand]
    if max(weave.longest_weft_float, weave.longest_warp_float) >= _LONG_FLOAT:
        said.append("its long floats catch")
    if len({section.firmness for section in candidate.sections}) > 1:
        said.append("in its sections " + ", ".join(f"{one.printed}: {one.firmness}" for one in candidate.sections))
    return "; ".join(said)


def _says(woven: _Woven) -> str:
    """Whether it fits, and what to do if it does not, in a sentence or two."""
    return " ".join(filter(None, (_pattern_sentence(woven), _fit_sentence(woven))))


def _pattern_sentence(woven: _Woven) -> str:
    """What becomes of a pattern's ends in this heddle."""
    width, ends, loom = woven.pattern_width, woven.question.pattern_ends, woven.question.loom_cm
    if width is None:
        return ""
    sentence = f"{ends} ends would be {width:.1f} cm in this heddle"
    if loom is None:
        return f"{sentence}."
    return f"{sentence}, which {'fits' if width <= loom + 1e-9 else 'does not fit'} the {loom:g} cm the loom weaves."


def _fit_sentence(woven: _Woven) -> str:
    asked = woven.question.finished_width_cm
    if asked is None:
        return ""
    middle = woven.width_in_heddle * woven.middle_ratio
    wide = f"{woven.width_in_heddle:.1f} cm in the heddle, about {_both(middle)} finished"
    if woven.candidate.sections:
        return f"All its sections: {woven.ends} ends, {wide}; {_both(asked)} {'fits' if woven.fits else 'does not fit'} in."
    if woven.fits:
        return f"{woven.ends} ends: {wide}."
    return (
        f"{_both(asked)} finished would take {woven.ends_needed} ends and does not fit; {woven.ends} ends do: {wide}, "
        f"{woven.narrower_by:.1f} cm narrow. Or another heddle, or panels."
    )


def _both(cm: float) -> str:
    return f"{cm:.1f} cm ({cm / CM_PER_INCH:.1f} in)"


def _advice(sample: tuple[SettCandidate, ...]) -> Iterator[str]:
    """Which to sample, and how to choose between two."""
    named = [f"{one.named} ({one.ends_per_cm:.2f} per cm, {one.ends_per_inch:.2f} per inch)" for one in sample]
    yield f"Sample at {' and '.join(named)}, wash the samples as the cloth will be washed, and choose by hand."
    if len(sample) > 1:
        yield "The opener suits a yarn that blooms or is to be fulled, the closer one that stays thin; teachers differ."
    elif not sample[0].sample_this:
        yield "None of the heddles comes near what the yarn asks for; this is the nearest."


def taken_line(taken: WrapsTaken, per_cm: float) -> WorkingLine:
    """How wraps were counted, how closely that tells them, and which way it leans."""
    either_way = taken.either_way(per_cm)
    near = f"to half a wrap, {per_cm - either_way:.2f} to {per_cm + either_way:.2f} per cm" if either_way else ""
    said, leans = "; ".join(filter(None, (taken.typed, near))), taken.leans or "how firmly was not said"
    return WorkingLine("How they were counted", said, round(per_cm, 2), "per cm", Rung.RULE_OF_THUMB, leans)


def _sett_lines(question: SettQuestion) -> Iterator[WorkingLine]:
    """How the advised and the closest sett were reckoned."""
    of, thick = question.structure, question.thickness
    share = f"{of.name}: {of.ends:g} ends, {of.intersections:g} crossings"
    yield WorkingLine(
        "Sett by the wraps",
        _sett_sum(thick.warp_wraps, thick.weft_wraps, of),
        round(thick.advised(of), 2),
        "per cm",
        Rung.RULE_OF_THUMB,
        f"{share}; half the wraps for plain, common practice",
    )
    yield WorkingLine(
        "Closest sett",
        _sett_sum(thick.warp_touching, thick.weft_touching, of),
        round(thick.closest(of), 2),
        "per cm",
        Rung.CALCULATED,
        f"{share}; diameters that touch, Ashenhurst",
    )
    if question.wanted is not None:
        said = f"{question.wanted.middle_share:.2f} × {thick.closest(of):.2f}"
        value, source = round(sett_wanted(thick, of, question.wanted), 2), f"the middle of “{question.wanted.name}”"
        yield WorkingLine("Sett for the firmness", said, value, "per cm", Rung.RULE_OF_THUMB, source)


def _sett_sum(warp: float, weft: float, of: Structure) -> str:
    if math.isclose(warp, weft):
        return f"{warp:.2f} × {of.ends:g} ÷ ({of.ends:g} + {of.intersections:g})"
    return f"1 ÷ (1 ÷ {warp:.2f} + {of.crossing_share:.2f} ÷ {weft:.2f})"


def _lines(woven: _Woven) -> Iterator[WorkingLine]:
    """The sums of one candidate, in its middle figures."""
    question, per_cm = woven.question, woven.candidate.ends_per_cm
    asked = question.finished_width_cm or PER_CM
    rung = Rung.SAMPLED if question.known or question.width_ratio else Rung.RULE_OF_THUMB
    whence = "samples" if question.known else "as typed" if question.width_ratio else "usual for the fibre and finish"
    middle = woven.middle_ratio

    def line(step: str, said: str, value: float, unit: str, source: str = "the lines above") -> WorkingLine:
        return WorkingLine(step, said, round(value, 2), unit, rung, source)

    said = f"{asked:g} cm ÷ {middle:.3f}"
    yield line("Width in heddle needed", said, woven.needed_in_heddle, "cm", f"finished ÷ heddle width, {whence}")
    in_steps = f", up to whole {woven.end_step}s" if woven.end_step > 1 else ", rounded up"
    said = f"{woven.needed_in_heddle:.2f} cm × {per_cm:.3f} per cm in {woven.candidate.heddle}{in_steps}"
    yield line("Ends", said, woven.ends_needed, "ends")
    if woven.ends != woven.ends_needed:
        limit = min(width for width in (question.loom_cm, woven.candidate.width_cm) if width is not None)
        yield line("Ends that go in", f"{limit:g} cm × {per_cm:.3f} per cm", woven.ends, "ends")
    yield line("Width in heddle", f"{woven.ends} ends ÷ {per_cm:.3f} per cm", woven.width_in_heddle, "cm")
    said = f"{woven.width_in_heddle:.2f} cm × {middle:.3f}"
    yield line("Finished width", said, woven.width_in_heddle * middle, "cm")
    yield from _yarn_lines(woven)


def _yarn_lines(woven: _Woven) -> Iterator[WorkingLine]:
    """Warp, weft and mass of one candidate as sums of its middle figures."""
    prior, rule = "the belief for this fibre, finish and sett", Rung.RULE_OF_THUMB
    take_up, length = round(woven.middle(Step.TAKE_UP), 3), round(woven.middle(*LENGTH_STEPS), 3)
    picks, pick = round(woven.middle(Step.PICKS), 2), round(woven.middle(Step.PICK_LENGTH), 3)
    width, question = round(woven.width_in_heddle, 2), woven.question
    warp, weft = round(woven.ends / (take_up * length), 1), round(picks * width * pick / length, 1)
    said = f"{woven.ends} ends ÷ ({take_up:.3f} woven of warp × {length:.3f} finished of woven)"
    yield WorkingLine("Warp per metre of cloth", said, warp, "m", rule, prior)
    said = f"{picks:.2f} picks per cm × {width:.2f} cm × {pick:.3f} ÷ {length:.3f}"
    yield WorkingLine("Weft per metre of cloth", said, weft, "m", rule, prior)
    if question.warp_tex is not None and question.weft_tex is not None:
        finished = round(woven.width_in_heddle * woven.middle_ratio, 2)
        mass = (warp * question.warp_tex + weft * question.weft_tex) / 10 / finished
        said = f"({warp:.1f} m × {question.warp_tex:.1f} + {weft:.1f} m × {question.weft_tex:.1f} tex) ÷ 10 ÷ {finished:.2f} cm"
        yield WorkingLine("Mass of the cloth", said, round(mass), "g/m²", rule, prior)
