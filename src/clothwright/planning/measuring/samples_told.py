"""Everything the samples of a project tell: ratios, what they were good for, the sett, conflicts, the two width forecasts.

What a sample is good for is how much it narrows the forecast of a cloth of the same yarns at the planned heddle: the share by
which the spread of finished width, finished length and weft falls when it alone is known.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Any, Final

from clothwright.cloth import closest_sett, structure
from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    NO_HISTORY,
    WIDTH_STEPS,
    Belief,
    History,
    Making,
    SampleMeasured,
    Step,
    believed_before,
    between_balls,
    joint,
    measured_rows,
    sample_unknowns,
)
from clothwright.measure import Interval
from clothwright.planning.job import Heddle, chosen_heddle, job_of, sett_question, sleyed_heddle
from clothwright.planning.pieces.fitting import LayoutSearch
from clothwright.planning.samples.hand_words import hand_in_words
from clothwright.planning.samples.sample_conflicts import Conflict, conflicts
from clothwright.planning.samples.sample_ratios import (
    StepRatio,
    TracedShape,
    WidthForecast,
    smallness,
    step_ratios,
    traced_sentences,
    traced_shapes,
    width_forecast,
)
from clothwright.planning.samples.sett_verdict import SettVerdict, finished_cover, judge_sett
from clothwright.planning.setts.side_by_side import LeadsTo, SettQuestion, compare_setts
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.document import CutPart, SamplePart
from clothwright.project.domain import Yarns, every_lot, making, samples, touching_per_cm, yarns_sampled
from clothwright.project.sampling import with_drawn_outlines
from clothwright.yarn import Lot

_NO_DRAWINGS: Mapping[str, bytes] = MappingProxyType({})
#: A width for which to say what a sample is good for where none is planned, cm. Common practice, no source.
_USUAL_WIDTH_CM: Final = 50.0


@dataclass(frozen=True)
class Neighbour:
    """A heddle next to the sample's: which way it lies, and what it leads to with the sample known."""

    way: str
    heddle: str
    ends_per_cm: float
    firmness: str
    leads_to: LeadsTo


@dataclass(frozen=True)
class PartTold:
    """A part cut from a sample: its recipe, its ratios, and its hand."""

    name: str
    finish: str
    ratios: tuple[StepRatio, ...]
    hand: str


@dataclass(frozen=True)
class SampleTold:
    """What one sample tells. `narrows` are shares by which it alone narrows a forecast; `owned`: the heddles are her own."""

    name: str
    heddle: str
    ends_per_cm: float
    structure: str
    finish: str
    measured: tuple[str, ...]
    ratios: tuple[StepRatio, ...]
    narrows: Mapping[str, float]
    limits: tuple[str, ...]
    traced: tuple[TracedShape, ...]
    parts: tuple[PartTold, ...]
    g_per_m2: float | None
    cover: float | None
    sett: SettVerdict
    neighbours: tuple[Neighbour, ...]
    owned: bool
    width_forecast: WidthForecast | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class SamplesTold:
    """What all samples tell, where they do not agree, and what keeps the two width forecasts from being made."""

    samples: tuple[SampleTold, ...]
    conflicts: tuple[Conflict, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer as scripts read it: cm, g, per cm, shares from 0 to 1."""
        return {
            "samples": [_plain(one) for one in self.samples],
            "conflicts": [_plain(one) | {"says": one.says} for one in self.conflicts],
            "notes": list(self.notes),
        }


def _plain(value: Any) -> Any:
    """A value as JSON holds it."""
    if isinstance(value, LeadsTo):
        return value.as_json()
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, StrEnum):
        return str(value)
    if hasattr(value, "__dataclass_fields__"):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return round(value, 6) if isinstance(value, float) else value


def tell_samples(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    layouts: LayoutSearch | None = None,
    history: History = NO_HISTORY,
) -> SamplesTold:
    """What the samples of a project tell; ProblemsFound where there is none, or one cannot be read.

    `layouts` searches for the layout of the cloth they are for, first guesses where it is left out; `history` is what was
    measured elsewhere.
    """
    if not project.sample:
        raise ProblemsFound(Problem(("sample",), "no sample is given yet; weave and wash a square, and measure it"))
    project = with_drawn_outlines(project, drawings)
    told = _Telling(project, _planned(project, drawings, layouts, history))
    return told.answer()


def _planned(
    project: Project, drawings: Mapping[str, bytes], layouts: LayoutSearch | None, history: History
) -> WeighedUp | ProblemsFound:
    """The plan the samples are for, or why there is none yet."""
    try:
        return weigh_up(job_of(project, drawings, history), layouts)
    except ProblemsFound as why:
        return why


class _Telling:
    """One project's samples, and the cloth they are for."""

    def __init__(self, project: Project, planned: WeighedUp | ProblemsFound) -> None:
        self.project = project
        self.planned = planned if isinstance(planned, WeighedUp) else None
        self.why_unplanned = planned.problems[0] if isinstance(planned, ProblemsFound) else None
        self.yarns = yarns_sampled(project)
        self.heddle = _heddle(project, self.yarns)
        found = samples(project, self.yarns, self.heddle.per_cm)
        self.lots = every_lot(project)
        self.measured = tuple(in_metres(one, self.lots) for one in found)
        self.wholes = tuple(one for one in self.measured if one.cut_from is None)

    def answer(self) -> SamplesTold:
        told = tuple(self._told(part, one) for part, one in zip(self.project.sample, self.wholes, strict=True))
        return SamplesTold(told, conflicts(self.measured), tuple(self._notes()))

    def _notes(self) -> Iterator[str]:
        if self.planned is None and self.why_unplanned is not None:
            yield f"No plan yet, so no width forecasts: {self.why_unplanned.sentence}."

    def _told(self, part: SamplePart, one: SampleMeasured) -> SampleTold:
        shapes = traced_shapes(part)
        neighbours, owned = self._neighbours(one)
        return SampleTold(
            name=one.name,
            heddle=part.heddle.typed if part.heddle else self.heddle.name,
            ends_per_cm=one.making.ends_per_cm,
            structure=one.making.structure,
            finish=one.making.finish,
            measured=tuple(row.what.removeprefix(f"{one.name}: ") for row in measured_rows(one)),
            ratios=step_ratios(one),
            narrows=self._narrows(one),
            limits=tuple(smallness(one, self._planned_width())),
            traced=shapes,
            parts=tuple(self._parts(part, one)),
            g_per_m2=_mass(part, one),
            cover=finished_cover(one),
            sett=self._sett(part, one),
            neighbours=neighbours,
            owned=owned,
            width_forecast=width_forecasts(self.planned, (one,))[0] if self._forecasts(one) else None,
            notes=tuple(_notes_on(part, shapes, one)),
        )

    def _forecasts(self, one: SampleMeasured) -> bool:
        return self.planned is not None and bool(width_forecasts(self.planned, (one,)))

    def _planned_width(self) -> float | None:
        return self.planned.job.width_in_heddle(self.planned.decision.ends) if self.planned else None

    def _parts(self, part: SamplePart, whole: SampleMeasured) -> Iterator[PartTold]:
        cut = (one for one in self.measured if one.cut_from is not None and one.cut_from.making == whole.making)
        for typed, one in zip(part.parts, cut, strict=True):
            ratios = step_ratios(whole_where_uncut(typed, one, whole))
            washed = tuple(ratio for ratio in ratios if ratio.to_state == "finished")
            yield PartTold(typed.name, one.making.finish, washed, typed.hand)

    def _narrows(self, one: SampleMeasured) -> dict[str, float]:
        """By how much the sample alone, with its parts, narrows what is forecast of the planned cloth."""
        made = making(self.project, self.yarns, self.heddle.per_cm)
        family = tuple(each for each in self.measured if each is one or each.cut_from is one)
        before, after = _believed(made, ()), _believed(made, family)
        width = self._planned_width() or _USUAL_WIDTH_CM
        return {
            what: round(1 - after.expected(row)[1] / before.expected(row)[1], 4)
            for what, row in _forecast_rows(made, width).items()
        }

    def _sett(self, part: SamplePart, one: SampleMeasured) -> SettVerdict:
        warp, weft = (self._lot(name) for name in (one.making.warp, one.making.weft))
        closest = closest_sett(touching_per_cm(warp), structure(one.making.structure), touching_per_cm(weft))
        hand = hand_in_words(f"{part.hand}; {part.drape}")
        return judge_sett(one, one.making.ends_per_cm / closest, hand)

    def _lot(self, name: str) -> Lot:
        return next(lot for lot in self.lots if lot.name == name)

    def _neighbours(self, one: SampleMeasured) -> tuple[tuple[Neighbour, ...], bool]:
        """The nearest heddle to either side of the sample's, with what each leads to; and whether they are owned."""
        question = self._question(one)
        owned = bool(self.project.loom.heddles)
        found = compare_setts(question).candidates
        return tuple(_either_side(found, one.making.ends_per_cm)), owned

    def _question(self, one: SampleMeasured) -> SettQuestion:
        """The heddles to compare, for a cloth made as this sample, with every sample known."""
        cloth = self.project.cloth.model_copy(update={"structure": one.making.structure, "finish": one.making.finish})
        warp, weft = self._lot(one.making.warp), self._lot(one.making.weft)
        asked = sett_question(self.project.model_copy(update={"cloth": cloth}), Yarns((warp,), (weft,)), self.yarns)
        width = self.planned.wanted.width_cm if self.planned else asked.finished_width_cm
        return replace(asked, width_ratio=None, finished_width_cm=width, known=self.measured, other_ways=False)


def _either_side(found: Sequence[tuple[Any, LeadsTo]], ends_per_cm: float) -> Iterator[Neighbour]:
    apart = 1.02
    opener = [one for one in found if one[0].ends_per_cm < ends_per_cm / apart]
    closer = [one for one in found if one[0].ends_per_cm > ends_per_cm * apart]
    nearest = (
        ("more open", max(opener, key=lambda one: one[0].ends_per_cm, default=None)),
        ("closer", min(closer, key=lambda one: one[0].ends_per_cm, default=None)),
    )
    for way, one in nearest:
        if one is not None:
            candidate, leads_to = one
            yield Neighbour(way, candidate.named, candidate.ends_per_cm, candidate.firmness, leads_to)


def _heddle(project: Project, cloth_yarns: Yarns) -> Heddle:
    """The planned cloth's heddle, else that of the first sample that says."""
    if project.cloth.heddle or project.loom.heddles:
        return chosen_heddle(project, cloth_yarns)
    said = next((part.heddle for part in project.sample if part.heddle), None)
    if said is None:
        why = "which heddle was it woven in? Write what is printed on it, as 30/10 cm"
        raise ProblemsFound(Problem(("sample", 0, "heddle"), why))
    return sleyed_heddle(project, said)


def in_metres(sample: SampleMeasured, lots: Sequence[Lot]) -> SampleMeasured:
    """The sample with weft that was weighed told in metres, for a belief that holds no yarn."""
    if sample.weft_used_g is None:
        return sample
    lot = next(lot for lot in lots if lot.name == sample.making.weft)
    if not lot.has_grist:
        return replace(sample, weft_used_g=None)
    metres, spread = sample.weft_used_g * lot.m_per_g, math.hypot(sample.weft_error_log, between_balls(lot))
    return replace(sample, weft_used_g=None, weft_used_m=metres, weft_error_log=spread)


def whole_where_uncut(typed: CutPart, part: SampleMeasured, whole: SampleMeasured) -> SampleMeasured:
    """A part with the whole sample's earlier sizes on the sides it was not cut on."""
    given = {
        name: getattr(whole, name)
        for side, states in (
            ("width", ("width_in_heddle", "width_on_loom", "width_off_loom", "traced_width_off_loom")),
            ("length", ("warp_used", "length_on_loom", "length_off_loom", "traced_length_off_loom")),
        )
        for name in states
        if getattr(typed.before, side) is None and getattr(typed.after, side) is not None
    }
    return replace(part, **given)


def _believed(made: Making, known: tuple[SampleMeasured, ...]) -> Belief:
    blocks = [believed_before([made, *(one.making for one in known)]), *map(sample_unknowns, known)]
    return joint(blocks).conditioned([row for one in known for row in measured_rows(one)])


def _forecast_rows(made: Making, width_cm: float) -> dict[str, dict[str, float]]:
    """What is forecast of a cloth, as sums of its unknowns."""
    return {
        "finished_width": {made.unknown(step): 1.0 for step in WIDTH_STEPS} | {EDGE: 1 / width_cm},
        "finished_length": {made.unknown(step): 1.0 for step in (Step.TAKE_UP, *LENGTH_STEPS)},
        "weft": {made.unknown(Step.PICKS): 1.0, made.unknown(Step.PICK_LENGTH): 1.0},
    }


def width_forecasts(planned: WeighedUp | None, known: Sequence[SampleMeasured]) -> tuple[WidthForecast, ...]:
    """For each sample, the finished width of the planned cloth two ways, beside what the model makes of all that is known."""
    if planned is None:
        return ()
    width = planned.job.width_in_heddle(planned.decision.ends)
    fused = Interval.of_draws(planned.outcome.finished_width)
    found = (width_forecast(one, width, fused, planned.wanted.width_cm) for one in known)
    return tuple(one for one in found if one is not None)


def samples_of(planned: WeighedUp) -> tuple[SampleMeasured, ...]:
    """The project's own samples, whole, as a plan knows them."""
    job = planned.job
    found = samples(job.project, job.yarns, job.heddle.per_cm)
    return tuple(one for one in found if one.cut_from is None)


def questions_of(planned: WeighedUp) -> tuple[str, ...]:
    """Where samples of a plan do not agree, as sentences."""
    job = planned.job
    return tuple(one.says for one in conflicts(samples(job.project, job.yarns, job.heddle.per_cm)))


def _mass(part: SamplePart, one: SampleMeasured) -> float | None:
    """g/m² of the finished sample, where it was weighed and measured."""
    width, length = (
        next((cm for name in names if (cm := getattr(one, name)) is not None), None)
        for names in (("width_finished", "traced_width_finished"), ("length_finished", "traced_length_finished"))
    )
    weight = part.weight.finished
    return weight.grams / (width * length) * 1e4 if weight and width and length else None


def _notes_on(part: SamplePart, shapes: tuple[TracedShape, ...], one: SampleMeasured) -> Iterator[str]:
    yield from traced_sentences(part.name, shapes)
    if one.on_card:
        yield "woven on a card loom: its draw-in, take-up and picks count for less, its finishing for as much as any"
    if part.one_pick and part.one_pick.drawn_from == "finished":
        yield "the pick was drawn from washed cloth, so it may be shorter than what the shuttle gave"
    unsaid = [word for word, given in (("picks", part.picks), ("how it was washed", part.finish)) if not given]
    if unsaid:
        yield f"it does not say {' nor '.join(unsaid)}"
