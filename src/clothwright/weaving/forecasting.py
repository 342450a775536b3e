"""The forecast at the loom: is there enough, where would it end, when to weigh next, how to finish well from here.

Two ways, as plans have. By hand: grams per cm over the last stretch and over the whole, the worse times the cm left. Else
the drawn cloths of `beat`. Both tell the same things; by hand nothing has a chance.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History
from clothwright.pattern import often_of_other_cloth
from clothwright.planning import LayoutSearch, Verdict
from clothwright.planning.weighing_up import verdict
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.weaving.answer import FirstPlan, LoomForecast, StopLine, WayThrough
from clothwright.weaving.by_hand import reckoned_by_hand
from clothwright.weaving.drawn import chance_at_first, reckoned_drawn
from clothwright.weaving.pace import next_weighing, sessions, stop_marks
from clothwright.weaving.reckoned import Reckoned
from clothwright.weaving.repeats import repeats_told
from clothwright.weaving.rest import on_loom, turned
from clothwright.weaving.standing import NO_DRAWINGS, Standing, standing
from clothwright.weaving.trends import missed_a_mark, trends
from clothwright.weaving.ways_out import ways_through

#: Pieces that reach so far beyond the stop are told of; less is lost in what is believed of the length.
_BEYOND_CM: Final = 5.0
_WORST_FIRST: Final = (Verdict.NOT_ENOUGH, Verdict.TOO_CLOSE, Verdict.ENOUGH)


def forecast(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = NO_DRAWINGS,
    history: History = NO_HISTORY,
    layouts: LayoutSearch | None = None,
    by_hand: bool = False,
    ways_out: bool = True,
) -> LoomForecast:
    """The forecast of what stands on the loom; ProblemsFound where plan and log do not say enough for one."""
    stands = standing(project, drawings=drawings, history=NO_HISTORY if by_hand else history, layouts=layouts)
    return forecast_of(stands, by_hand=by_hand, ways_out=ways_out)


def forecast_of(stands: Standing, *, by_hand: bool = False, ways_out: bool = True) -> LoomForecast:
    """The forecast of what is known to stand on the loom."""
    _can_be_told(stands)
    reckoned = reckoned_by_hand(stands) if by_hand else reckoned_drawn(stands)
    return _told(stands, reckoned, ways_out=ways_out)


def _can_be_told(stands: Standing) -> None:
    """ProblemsFound where nothing was weighed, or one weighing is all there is and no plan says how fast yarn goes.

    Repeats can be told without.
    """
    if not stands.yarns and repeats_told(stands.project, stands.log, None, None):
        return
    if not stands.yarns:
        raise ProblemsFound(
            Problem(
                ("log",),
                'nothing has been weighed yet; log what is left of the weft, as weft_left = { moss = "165 g" }',
            )
        )
    for yarn in stands.yarns:
        if stands.warped is None and stands.rates(yarn) is None:
            one = stands.log.weighings[yarn][-1]
            why = (
                f"{yarn}: {one.grams:g} g at {one.woven_cm:g} cm says what is left and not how fast it goes; it takes two weighings "
                "with some grams used between them, one weighing is not enough: log what there was at 0 cm, or weigh at the next mark"
            )
            raise ProblemsFound(Problem(("log",), why))


def _told(stands: Standing, reckoned: Reckoned, *, ways_out: bool) -> LoomForecast:
    told = stands.project.on_loom or OnLoomPart()
    found = _verdict(stands, reckoned)
    moved = trends(stands)
    ways = ways_through(stands, reckoned, found) if ways_out else ()
    return LoomForecast(
        name=stands.project.name,
        by_hand=reckoned.by_hand,
        verdict=found,
        chance_enough=reckoned.chance_enough,
        trust=stands.project.trust.yarn.expected,
        woven_cm=stands.log.woven_cm,
        to_weave_cm=stands.to_weave_cm,
        still_to_weave_cm=stands.still_to_weave_cm,
        yarns=reckoned.yarns,
        warp=reckoned.warp,
        trends=moved,
        so_far=reckoned.so_far,
        weigh_next_at_cm=next_weighing(stands, reckoned.yarns, found),
        stop_lines=tuple(_stop_lines(stands, reckoned, ways)),
        sessions=sessions(stands),
        repeats=repeats_told(stands.project, stands.log, reckoned.picks_per_cm, reckoned.length_ratio),
        first_plan=_first_plan(stands),
        ways_out=ways,
        working=reckoned.working,
        asked=(
            *stands.log.asked,
            *missed_a_mark(stands, reckoned.off_loom_ratio),
            *reckoned.asked,
            *_beyond_the_stop(stands, reckoned),
        ),
        notes=(*stands.notes, *_reserve(stands), *_of_bands(stands, reckoned)),
        marks_cm=_marks(stands, told),
        ends=stands.warped.decision.ends if stands.warped else None,
        bands=tuple((one.begins.cm, one.stops.cm) for one in told.bands),
        chance_at_first=_at_first(stands, found, by_hand=reckoned.by_hand),
        **_pieces(stands, reckoned),
    )


def _at_first(stands: Standing, found: Verdict, *, by_hand: bool) -> float | None:
    """The chance before the first pick, where a warning hangs on it."""
    return None if by_hand or found is not Verdict.TOO_CLOSE else chance_at_first(stands)


def _pieces(stands: Standing, reckoned: Reckoned) -> dict[str, Any]:
    """Where the pieces of the plan lie on the loom, and how wide the cloth is; nothing without a garment."""
    weighed = stands.warped.weighed if stands.warped else None
    if weighed is None or weighed.fitted is None or weighed.job.garment is None or reckoned.length_ratio is None:
        return {}
    outlines = on_loom(weighed.fitted, weighed.job.garment, reckoned.length_ratio)
    return {"outlines": outlines, "width_cm": weighed.fitted.wanted.width_cm, "turned": turned(weighed.fitted)}


def _verdict(stands: Standing, reckoned: Reckoned) -> Verdict:
    if not reckoned.yarns:
        return Verdict.TOO_CLOSE
    if reckoned.chance_enough is not None:
        told = verdict(reckoned.chance_enough, stands.project.trust.yarn.expected)
        return Verdict.TOO_CLOSE if told is Verdict.ENOUGH and _in_question(stands, reckoned) else told
    return min((one.verdict for one in reckoned.yarns), key=_WORST_FIRST.index)


def _in_question(stands: Standing, reckoned: Reckoned) -> bool:
    """Whether something weighed was too far from belief to be taken at its word, and taken so would not leave enough."""
    if reckoned.drawn is None or not reckoned.drawn.questioned:
        return False
    for one in reckoned.yarns:
        found = stands.rates(one.name)
        if found and one.left_g < found.worse * stands.rest_cm(one.name, one.weighed_at_cm):
            return True
    return False


def _marks(stands: Standing, told: OnLoomPart) -> tuple[float, ...]:
    """Her own marks along the whole cloth, where she has a step for them."""
    if told.marks_every is None:
        return ()
    count = math.ceil(stands.to_weave_cm / told.marks_every.cm - 1e-9)
    return tuple(round(number * told.marks_every.cm, 3) for number in range(1, count))


def _reserve(stands: Standing) -> Iterator[str]:
    """Wefts of the plan that the log does not name."""
    for lot in stands.warped.job.yarns.weft if stands.warped else ():
        if lot.name not in stands.log.weighings:
            yield f"{lot.name} is not in the log: it is reckoned as not woven with, and what there is of it as kept back."


def _beyond_the_stop(stands: Standing, reckoned: Reckoned) -> Iterator[str]:
    """Pieces that lie further along than the weaving is to go."""
    outlines = _pieces(stands, reckoned).get("outlines", ())
    reach = max((x for one in outlines for x, _ in one.outline), default=0.0)
    if reach > stands.to_weave_cm + _BEYOND_CM:
        yield (
            f"The pieces as they are laid reach to about {reach:.0f} cm, and {stands.to_weave_cm:g} cm are to be woven: search for "
            "layouts, or weave on."
        )


def _of_bands(stands: Standing, reckoned: Reckoned) -> Iterator[str]:
    """What bands are to come, and about what they take of their yarn where it weighs like the other."""
    bands = stands.project.on_loom.bands if stands.project.on_loom else []
    per_cm = max(reckoned.g_per_cm_at_trust.values(), default=0.0)
    for one in bands:
        if (rest := one.stops.cm - max(one.begins.cm, stands.log.woven_cm)) > 0:
            of = one.yarn or "another yarn"
            grams = math.ceil(rest * per_cm)
            yield f"From {one.begins} to {one.stops} in {of}: up to about {grams} g of it, if it is of like thickness."


def _stop_lines(stands: Standing, reckoned: Reckoned, ways: Sequence[WayThrough]) -> Iterator[StopLine]:
    """For each yarn that may not last, the least it must weigh at the next marks, and what to do with less."""
    for one in reckoned.yarns:
        if one.verdict is not Verdict.TOO_CLOSE or not one.need_g.high:
            continue
        for mark in stop_marks(stands, one):
            if not stands.rest_cm(one.name, mark):
                continue
            grams = math.ceil(reckoned.g_per_cm_at_trust[one.name] * stands.rest_cm(one.name, mark) - 1e-6)
            yield _stop_line(one.name, mark, grams, ways)


def _stop_line(yarn: str, mark_cm: float, grams: float, ways: Sequence[WayThrough]) -> StopLine:
    """A stop line with the band to start then: the first that begins beyond the mark, one within what does not show before others."""
    to_come = [one for one in ways if one.bands and one.bands[0][0] >= mark_cm and one.stop_at_cm >= one.bands[-1][1]]
    if not to_come:
        return StopLine(yarn, mark_cm, grams, "take a way out there")
    best = min(to_come, key=lambda one: not all(map(often_of_other_cloth, one.falls_on or ("",))))
    return StopLine(yarn, mark_cm, grams, "start the other yarn", math.floor(best.bands[0][0]), best.falls_on)


def _first_plan(stands: Standing) -> FirstPlan | None:
    """The plan as it was kept when the warp was put on, else as the project now gives it; None where there is none."""
    kept = stands.project.on_loom.first_plan if stands.project.on_loom else None
    if kept is not None:
        width, length = (one.cm if one else None for one in (kept.finished_width, kept.finished_length))
        return FirstPlan(True, kept.to_weave.cm, kept.verdict, kept.picks.per_cm if kept.picks else None, width, length)
    warped = stands.warped
    if warped is None:
        return None
    weighed, made = warped.weighed, warped.weighed.forecast
    per_m = made.picks_per_cm * warped.width_in_heddle_cm * made.pick_length / 100
    return FirstPlan(
        kept=False,
        weave_to_cm=weighed.decision.weave_to_cm,
        verdict=str(weighed.verdict),
        picks_per_cm=float(np.median(made.picks_per_cm)),
        finished_width_cm=float(np.median(weighed.outcome.finished_width)),
        finished_length_cm=float(np.median(weighed.outcome.finished_length)),
        weft_g_per_cm=float(np.median(per_m)) / warped.job.yarns.weft[0].expected_m_per_g,
    )
