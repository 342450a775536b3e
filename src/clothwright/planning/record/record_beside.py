"""The plan beside what came of it: every figure of a record with what was planned or forecast, and how far it lies from that.

What was decided (ends, warp, where to stop) stands beside the plan the warp was put on by, where it was kept, else beside the
plan as it is made now. What could only be forecast (waste, beat, finished size, weft, what is left) is forecast of the cloth
that was really put on: so many ends, woven so far, from what was known before its day. For a plan of other ends or of another
length is no forecast of this cloth. Such a forecast held where what came lies within its nine in ten. All is of the cloth
alone: a sample woven first is taken off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History
from clothwright.measure import Draws, Interval
from clothwright.planning.answer import Plan
from clothwright.planning.forecast import Decision, Forecast, Outcome, Stock, all_lots
from clothwright.planning.job import Job, job_of
from clothwright.project import Project
from clothwright.project.document import RecordPart
from clothwright.project.domain import yarns_sampled
from clothwright.project.record.past import record_cloth

_NO_DRAWINGS: Final[Mapping[str, bytes]] = MappingProxyType({})
#: What differs by less than this share is as planned.
_THE_SAME: Final = 0.005


@dataclass(frozen=True)
class Beside:
    """One figure of a record beside the plan's; `unit` is cm, m, g, per cm, or nothing for a count.

    `least`: it is not a forecast but what was asked at least.
    """

    stage: str
    what: str
    unit: str
    planned: Interval
    came: float
    least: bool = False

    @property
    def forecast(self) -> bool:
        """Whether the plan gave it a spread."""
        return self.planned.low < self.planned.high

    @property
    def within(self) -> bool:
        """Whether what came lies within the forecast, or is as planned, or as much as was asked."""
        if self.least:
            return self.came >= self.planned.expected
        if self.forecast:
            return self.planned.low <= self.came <= self.planned.high
        return abs(self.difference) <= _THE_SAME * abs(self.planned.expected)

    @property
    def difference(self) -> float:
        """What came less what was expected."""
        return self.came - self.planned.expected

    @property
    def word(self) -> str:
        """In words whether the forecast held."""
        if self.least:
            return "wide enough" if self.within else "narrower than asked"
        if self.forecast:
            return "within the forecast" if self.within else f"{self._more} than forecast"
        return "as planned" if self.within else f"{self._more} than planned"

    @property
    def _more(self) -> str:
        return "more" if self.difference > 0 else "less"

    def as_json(self) -> dict[str, Any]:
        """The figure as plain data."""
        three = {"low": self.planned.low, "expected": self.planned.expected, "high": self.planned.high}
        return {
            "stage": self.stage,
            "what": self.what,
            "unit": self.unit,
            "planned": {name: round(value, 6) for name, value in three.items()},
            "came": round(self.came, 6),
            "difference": round(self.difference, 6),
            "within": self.within,
            "word": self.word,
        }


def beside(
    project: Project,
    plan: Plan,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    history: History = NO_HISTORY,
) -> tuple[Beside, ...]:
    """Every figure of a project's record beside what was planned and forecast, stage by stage; none without a record.

    `history`: what was known before its day. ProblemsFound where the project cannot be planned.
    """
    if project.record is None:
        return ()
    job, heddle = job_of(project, drawings, history), project.record.heddle
    if heddle is not None:
        job = job.at(replace(job.heddle, name=str(heddle), per_cm=heddle.per_cm))
    return tuple(_lines(project, project.record, plan, _as_put_on(job, project.record, plan)))


@dataclass(frozen=True)
class _PutOn:
    """What was forecast of the cloth really put on, in every drawn cloth."""

    forecast: Forecast
    outcome: Outcome
    stock: Stock
    weft_of_cloth_m: Draws


def _as_put_on(job: Job, record: RecordPart, plan: Plan) -> _PutOn:
    """The forecast of so many ends, woven so far; what the record leaves out as planned."""
    forecast = Forecast(job)
    ends = (
        record.ends - job.extra_ends
        if record.ends and record.ends > job.extra_ends
        else plan.warp.ends - job.extra_ends
    )
    wound = record.warp_wound.cm if record.warp_wound else plan.warp.length_cm
    stop = record.length.on_loom.cm if record.length.on_loom else plan.weft.weave_to_cm
    decision = Decision(ends, wound, stop)
    outcome = forecast.outcome(decision)
    if record.length.on_loom:
        outcome = _woven_so_far(forecast, outcome, decision, _sample_cm(job, record))
    of_sample = outcome.weft_m * _sample_cm(job, record) / np.maximum(outcome.woven + _sample_cm(job, record), 1e-9)
    return _PutOn(forecast, outcome, forecast.stock(decision, outcome), outcome.weft_m - of_sample)


def _sample_cm(job: Job, record: RecordPart) -> float:
    return record.on_warp_sample.cm if record.on_warp_sample else job.on_warp_sample_cm


def _woven_so_far(forecast: Forecast, outcome: Outcome, decision: Decision, sample_cm: float) -> Outcome:
    """The outcome where it is known how far the warp reached, so that no drawn cloth ends before."""
    woven = np.full_like(outcome.woven, decision.weave_to_cm)
    width = forecast.job.width_in_heddle(decision.ends)
    weft = forecast.picks_per_cm * width * forecast.pick_length * (woven + sample_cm) / 100
    return replace(outcome, woven=woven, finished_length=woven * forecast.length_ratio, weft_m=weft)


def _lines(project: Project, record: RecordPart, plan: Plan, put_on: _PutOn) -> Iterator[Beside]:
    yield from _decided(project, record, plan)
    found = (
        ("warp", "Loom waste ↕", put_on.forecast.waste, record.waste),
        ("finished", "Finished length ↕", put_on.outcome.finished_length, record.length.finished),
    )
    for stage, what, draws, length in found:
        if length is not None:
            yield Beside(stage, what, "cm", Interval.of_draws(draws), length.cm)
    yield from _widths(project, record, put_on)
    if record.picks and record.picks.where == "on loom":
        per_cm = record.picks.count / record.picks.over.cm
        yield Beside("loom", "Picks on the loom", "per cm", Interval.of_draws(put_on.forecast.picks_per_cm), per_cm)
    yield from _yarn(project, record, put_on)


def _decided(project: Project, record: RecordPart, plan: Plan) -> Iterator[Beside]:
    """Ends, warp and where to stop, beside the plan the warp was put on by where it was kept."""
    kept = project.on_loom.first_plan if project.on_loom else None
    warp = kept.warp_length.cm if kept and kept.warp_length else plan.warp.length_cm
    if record.ends:
        ends = kept.ends if kept and kept.ends else plan.warp.ends
        yield Beside("warp", "Ends", "", Interval.exactly(ends), record.ends)
    if record.warp_wound:
        yield Beside("warp", "Warp length ↕", "cm", Interval.exactly(warp), record.warp_wound.cm)
    if record.length.on_loom:
        stop = kept.to_weave.cm if kept else plan.weft.weave_to_cm
        yield Beside("loom", "Woven, under tension ↕", "cm", Interval.exactly(stop), record.length.on_loom.cm)


def _widths(project: Project, record: RecordPart, put_on: _PutOn) -> Iterator[Beside]:
    """The mean of the widths measured beside the forecast; of a cloth wanted, the least beside the width wanted."""
    places = [one.cm for one in record.width.finished.lengths]
    if places:
        mean = sum(places) / len(places)
        yield Beside("finished", "Finished width ↔", "cm", Interval.of_draws(put_on.outcome.finished_width), mean)
    if len(places) > 1 and project.want:
        asked = Interval.exactly(project.want.width.cm)
        yield Beside("finished", "Least width, which can be used ↔", "cm", asked, min(places), least=True)


def _yarn(project: Project, record: RecordPart, put_on: _PutOn) -> Iterator[Beside]:
    """Weft of the cloth alone, and what is left of each yarn that was weighed."""
    lots = yarns_sampled(project)
    used = record_cloth(project, record, lots, "", "").weft_used_m
    if used:
        yield Beside("yarn", "Weft of the cloth", "m", Interval.of_draws(put_on.weft_of_cloth_m), used)
    left: dict[str, float] = {}
    for one in record.left:
        left[one.yarn] = left.get(one.yarn, 0.0) + one.weight.grams
    for lot in all_lots(put_on.forecast.job):
        if lot.name in left and lot.has_grist and lot.balls:
            spare = put_on.stock.of_lot[lot.name] - put_on.stock.need_of_lot[lot.name]
            planned = Interval.of_draws(spare).scaled(1 / lot.expected_m_per_g)
            yield Beside("yarn", f"Left of {lot.name}", "g", planned, left[lot.name])
