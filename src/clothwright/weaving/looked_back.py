"""What the forecast said at each mark, beside what the rest of the cloth then took.

Each mark is forecast anew from what the log knew by then, to the last place that was weighed, so that what was needed is known.
A forecast held where what was used lies within its nine-in-ten.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from clothwright.measure import Interval
from clothwright.project import ProblemsFound
from clothwright.weaving.forecasting import forecast_of
from clothwright.weaving.logged import Weighing
from clothwright.weaving.standing import Standing, with_log

_MOST_MARKS: Final = 12
#: A rest shorter than this tells nothing of a forecast. Common practice, no source.
_LEAST_CM: Final = 10.0


@dataclass(frozen=True)
class LookedBack:
    """A forecast of a yarn made at a mark, and what was then used to the last weighing."""

    yarn: str
    at_cm: float
    to_cm: float
    said_g: Interval
    used_g: float

    @property
    def held(self) -> bool:
        """Whether what was used lies within what was forecast, nine times in ten."""
        return self.said_g.low <= self.used_g <= self.said_g.high


def looked_back(stands: Standing) -> tuple[LookedBack, ...]:
    """Every forecast of the log that can be held against what came, along the cloth; at most some evenly among many."""
    found = []
    for yarn in stands.yarns:
        weighed = stands.log.weighings[yarn]
        last = weighed[-1]
        marks = [one for one in weighed[:-1] if last.woven_cm - one.woven_cm >= _LEAST_CM and one.woven_cm > 0]
        found += [told for one in _evenly(marks) if (told := _told_at(stands, yarn, one, last)) is not None]
    return tuple(sorted(found, key=lambda one: one.at_cm))


def _evenly(marks: Sequence[Weighing]) -> list[Weighing]:
    step = max(1, -(-len(marks) // _MOST_MARKS))
    return list(marks[::step])


def _told_at(stands: Standing, yarn: str, mark: Weighing, last: Weighing) -> LookedBack | None:
    """The forecast at a mark from the entries made by then; None where they do not say enough."""
    made, known = stands.log.in_order, []
    for entry in made:
        known.append(entry.part.model_copy(update={"corrects": "", "other_of": ""}))
        if entry.key == mark.key:
            break
    then = with_log(stands, stands.project.model_copy(update={"log": known}))
    try:
        told = forecast_of(replace(then, to_weave_cm=last.woven_cm), ways_out=False)
    except ProblemsFound:
        return None
    said = next((one for one in told.yarns if one.name == yarn and one.weighed_at_cm == mark.woven_cm), None)
    if said is None:
        return None
    return LookedBack(yarn, mark.woven_cm, last.woven_cm, said.need_g, mark.grams - last.grams)
