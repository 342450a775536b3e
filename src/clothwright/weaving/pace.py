"""When to weigh next, at which marks to stop and look, and how many sittings are left."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from clothwright.planning import Verdict
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.weaving.answer import Sessions, YarnAtLoom
from clothwright.weaving.standing import Standing

#: Cloth that must still be to come when a warning is given, so that a way out is left. Common practice, no source.
WARNED_BEFORE_CM: Final = 30.0
_ROUND_CM: Final = 5.0
_LEAST_CM: Final = 10.0
#: Without marks of her own, the longest the weaving goes on without a weighing. Common practice, no source.
_LONGEST_CM: Final = 60.0
_MOST_STOPS: Final = 2


def next_weighing(stands: Standing, yarns: Sequence[YarnAtLoom], found: Verdict) -> float | None:
    """How much woven to weigh at next; None where the cloth is done.

    Half way to where the earliest yarn might end less a rescue's length of cloth, at the latest half way to the end; at one of
    her own marks where there is one by then.
    """
    woven, end = stands.log.woven_cm, stands.to_weave_cm
    if end - woven < _LEAST_CM:
        return None
    early = [one.ends_at_cm.low for one in yarns if one.ends_at_cm and found is not Verdict.ENOUGH]
    reach = min([end, *(cm - WARNED_BEFORE_CM for cm in early)]) - woven
    ahead = max(_LEAST_CM, min(reach / 2, _LONGEST_CM))
    own = stands.project.on_loom.marks_every if stands.project.on_loom else None
    if own is not None and (mark := math.floor((woven + ahead) / own.cm + 1e-9) * own.cm) > woven + 1:
        return float(mark)
    return min(end, math.ceil((woven + ahead) / _ROUND_CM - 1e-9) * _ROUND_CM)


def stop_marks(stands: Standing, one: YarnAtLoom) -> tuple[float, ...]:
    """The next marks at which a yarn's weight decides: her own, or every third of what is to come, in tens."""
    woven, end = max(stands.log.woven_cm, one.weighed_at_cm), stands.to_weave_cm
    told = stands.project.on_loom or OnLoomPart()
    step = told.marks_every.cm if told.marks_every else max(_LEAST_CM, round((end - woven) / 3 / 10) * 10)
    first = math.floor(woven / step + 1e-9) + 1 if told.marks_every else math.floor(woven / 10) * 10 / step + 1
    marks = [round((first + number) * step, 3) for number in range(_MOST_STOPS)]
    return tuple(mark for mark in marks if woven + 1 < mark < end - 1)


def sessions(stands: Standing) -> Sessions | None:
    """What is left in time, at the pace of the entries that say their minutes; None where none does."""
    woven, cm, minutes, sittings = 0.0, 0.0, 0, 0
    for one in stands.log.in_order:
        here = one.part.woven.cm if one.part.woven else woven
        if one.part.minutes:
            cm, minutes, sittings = cm + max(0.0, here - woven), minutes + one.part.minutes, sittings + 1
        woven = max(woven, here)
    if not cm or not minutes:
        return None
    left = stands.still_to_weave_cm * minutes / cm
    told = stands.project.on_loom
    sitting = float(told.minutes_a_session) if told and told.minutes_a_session else minutes / sittings
    return Sessions(left, math.ceil(left / sitting - 1e-9), sitting)
