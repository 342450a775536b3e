"""The plan beside what came of it: every figure of a record with what was planned, and how far it lies from that.

A figure is a forecast where the plan gave it a spread, and then what came lies within nine times in ten or does not; or it
was decided (ends, warp, where to stop), and then what came is as planned or is not. What is compared is of the cloth alone: a
sample woven first is taken off.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from clothwright.measure import Interval
from clothwright.planning.answer import Plan, YarnLine
from clothwright.project import Project
from clothwright.project.document import RecordPart
from clothwright.project.domain import yarns_sampled
from clothwright.project.past import record_cloth
from clothwright.yarn import Lot

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


def beside(plan: Plan, project: Project) -> tuple[Beside, ...]:
    """Every figure of a project's record beside its plan's, stage by stage; none without a record."""
    return tuple(_lines(plan, project, project.record)) if project.record else ()


def _lines(plan: Plan, project: Project, record: RecordPart) -> Iterator[Beside]:
    exactly = Interval.exactly
    if record.ends:
        yield Beside("warp", "Ends", "", exactly(plan.warp.ends), record.ends)
    lengths = (
        ("warp", "Warp length ↕", exactly(plan.warp.length_cm), record.warp_wound),
        ("warp", "Loom waste ↕", plan.warp.waste_cm, record.waste),
        ("loom", "Woven, under tension ↕", exactly(plan.weft.weave_to_cm), record.length.on_loom),
        ("finished", "Finished length ↕", plan.cloth.finished_length_cm, record.length.finished),
    )
    for stage, what, planned, length in lengths:
        if length is not None:
            yield Beside(stage, what, "cm", planned, length.cm)
    yield from _widths(plan, record)
    if record.picks and record.picks.where == "on loom":
        per_cm = record.picks.count / record.picks.over.cm
        yield Beside("loom", "Picks on the loom", "per cm", plan.weft.picks_per_cm_on_loom, per_cm)
    yield from _yarn(plan, project, record)


def _widths(plan: Plan, record: RecordPart) -> Iterator[Beside]:
    places = [one.cm for one in record.width.finished.lengths]
    if places:
        mean = sum(places) / len(places)
        yield Beside("finished", "Finished width ↔", "cm", plan.cloth.finished_width_cm, mean)
    if len(places) > 1:
        asked = Interval.exactly(plan.cloth.asked_width_cm)
        yield Beside("finished", "Least width, which can be used ↔", "cm", asked, min(places), least=True)


def _yarn(plan: Plan, project: Project, record: RecordPart) -> Iterator[Beside]:
    """Weft of the cloth alone, and what is left of each yarn that was weighed."""
    if not project.yarn:
        return
    lots = yarns_sampled(project)
    used = record_cloth(project, record, lots, "", "").weft_used_m
    if used:
        woven = plan.weft.weave_to_cm
        share = woven / (woven + plan.warp.on_warp_sample_cm)
        yield Beside("yarn", "Weft of the cloth", "m", plan.weft.yarn_m.scaled(share), used)
    left: dict[str, float] = {}
    for one in record.left:
        left[one.yarn] = left.get(one.yarn, 0.0) + one.weight.grams
    every = {lot.name: lot for lot in (*lots.warp, *lots.weft)}
    for line in plan.yarns:
        lot = every.get(line.name)
        if line.name in left and lot is not None and lot.has_grist:
            yield Beside("yarn", f"Left of {line.name}", "g", _left_over(line, lot), left[line.name])


def _left_over(line: YarnLine, lot: Lot) -> Interval:
    """Grams that the plan leaves of a yarn; below nothing where it does not last."""
    return line.spare_m.scaled(1 / lot.expected_m_per_g)
