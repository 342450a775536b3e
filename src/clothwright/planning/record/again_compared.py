"""A plan made again from a record, beside last time and beside last time by proportion.

By proportion every figure of last time is multiplied by how much longer, or wider, the new cloth is. That multiplies the loom
waste too, which is paid once a warp, and so is wrong whenever the size differs: too short for a smaller cloth, too much for a
larger. By ratio the waste is taken off first, the rest goes by the ratios measured, and the waste is added once. The plan does
the same with all that is known, and adds for how unsure that is.

    by proportion  wound × wanted ÷ finished
    by ratio       (wound − waste) ÷ finished × wanted + waste
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from clothwright.evidence import SampleMeasured
from clothwright.measure import Interval
from clothwright.planning.answer import Plan
from clothwright.project import Project
from clothwright.project.document import RecordPart
from clothwright.project.domain import yarns_sampled
from clothwright.project.record.past import record_cloth


@dataclass(frozen=True)
class AgainLine:
    """One figure: last time, by proportion, by last time's ratios, and as planned now; None where last time does not tell it.

    `sum`: how the ratio was reckoned, in words and figures.
    """

    what: str
    unit: str
    last: float | None
    by_proportion: float | None
    by_ratio: float | None
    planned: Interval
    sum: str = ""

    @property
    def astray(self) -> float | None:
        """How much proportion is more than the ratio (below nothing: less); None where either is not known."""
        if self.by_proportion is None or self.by_ratio is None:
            return None
        return self.by_proportion - self.by_ratio

    def as_json(self) -> dict[str, Any]:
        """The figure as plain data."""
        planned = {"low": self.planned.low, "expected": self.planned.expected, "high": self.planned.high}
        return {
            "what": self.what,
            "unit": self.unit,
            "last_time": _round(self.last),
            "by_proportion": _round(self.by_proportion),
            "by_ratio": _round(self.by_ratio),
            "proportion_astray": _round(self.astray),
            "planned": {name: _round(value) for name, value in planned.items()},
            "sum": self.sum,
        }


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 6)


@dataclass(frozen=True)
class Compared:
    """The new plan beside last time, and what the record does not tell, so that the plan had to guess it."""

    lines: tuple[AgainLine, ...]
    missing: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The comparison as plain data."""
        return {"lines": [one.as_json() for one in self.lines], "missing": list(self.missing)}


def compared(before: Project, plan: Plan) -> Compared:
    """The plan of a project made again from `before`, beside what its record says."""
    record = before.record or RecordPart()
    cloth = record_cloth(before, record, yarns_sampled(before), "", "")
    longer, wider = (
        _times(plan.cloth.asked_length_cm, cloth.length_finished),
        _times(plan.cloth.asked_width_cm, cloth.width_finished),
    )
    lines = (
        _warp(record, cloth, plan, longer),
        _woven(cloth, plan, longer),
        _ends(record, plan, wider),
        _warp_yarn(record, plan, longer, wider),
        _weft(cloth, plan, longer, wider),
    )
    return Compared(lines, tuple(_missing(record, cloth)))


def _times(wanted: float, was: float | None) -> float | None:
    return wanted / was if was else None


def _scaled(value: float | None, *times: float | None) -> float | None:
    for one in times:
        value = None if value is None or one is None else value * one
    return value


def _warp(record: RecordPart, cloth: SampleMeasured, plan: Plan, longer: float | None) -> AgainLine:
    wound = record.warp_wound.cm if record.warp_wound else None
    by_ratio, said = None, ""
    if cloth.warp_used and cloth.length_finished and record.waste:
        ratio, waste, wanted = cloth.warp_used / cloth.length_finished, record.waste.cm, plan.cloth.asked_length_cm
        by_ratio = wanted * ratio + waste
        said = f"{wanted:g} cm × {ratio:.3f} + {waste:g} cm waste = {by_ratio:.0f} cm"
    return AgainLine(
        "Warp length ↕", "cm", wound, _scaled(wound, longer), by_ratio, Interval.exactly(plan.warp.length_cm), said
    )


def _woven(cloth: SampleMeasured, plan: Plan, longer: float | None) -> AgainLine:
    woven = cloth.length_on_loom
    by_ratio = _scaled(woven, longer)
    return AgainLine("Woven, under tension ↕", "cm", woven, by_ratio, by_ratio, Interval.exactly(plan.weft.weave_to_cm))


def _ends(record: RecordPart, plan: Plan, wider: float | None) -> AgainLine:
    ends = float(record.ends) if record.ends else None
    by_ratio = _scaled(ends, wider)
    return AgainLine("Ends", "", ends, by_ratio, by_ratio, Interval.exactly(plan.warp.ends))


def _warp_yarn(record: RecordPart, plan: Plan, longer: float | None, wider: float | None) -> AgainLine:
    """Yarn in the warp, waste and all."""
    last = record.ends * record.warp_wound.cm / 100 if record.ends and record.warp_wound else None
    by_ratio = None
    if last is not None and record.warp_wound and record.waste and longer and wider and record.ends:
        waste = record.waste.cm
        by_ratio = record.ends * wider * ((record.warp_wound.cm - waste) * longer + waste) / 100
    return AgainLine("Warp yarn", "m", last, _scaled(last, longer, wider), by_ratio, plan.warp.yarn_m)


def _weft(cloth: SampleMeasured, plan: Plan, longer: float | None, wider: float | None) -> AgainLine:
    by_ratio = _scaled(cloth.weft_used_m, longer, wider)
    return AgainLine("Weft yarn", "m", cloth.weft_used_m, by_ratio, by_ratio, plan.weft.yarn_m)


def _missing(record: RecordPart, cloth: SampleMeasured) -> list[str]:
    """What the record does not tell, so that the plan goes by what is usual or by samples."""
    told = {
        "the warp wound and the waste": cloth.warp_used,
        "the woven length, under tension": cloth.length_on_loom,
        "the finished length": cloth.length_finished,
        "the finished width": cloth.width_finished,
        "the picks": cloth.picks_count,
        "the weft used": cloth.weft_used_m,
        "how it was washed": cloth.making.finish or record.finish,
    }
    return [what for what, there in told.items() if not there]
