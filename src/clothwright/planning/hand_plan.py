"""The plan by hand: no spread but the ranges typed, as sums on paper; what teaching and checking need."""

from __future__ import annotations

from functools import partial

from clothwright.measure import Interval
from clothwright.planning.answer import (
    ClothPlan,
    Margin,
    Plan,
    Shortfall,
    ToMeasure,
    Verdict,
    WarpPlan,
    WeftPlan,
    YarnLine,
)
from clothwright.planning.behind import known_figures
from clothwright.planning.cautions import cautions
from clothwright.planning.forecast import UNKNOWN_LOOM_CM, all_lots, none_fits
from clothwright.planning.job import Job, Wanted
from clothwright.planning.notes import notes
from clothwright.planning.pieces.fitting import Fitted, LayoutSearch, YarnFor, fit
from clothwright.planning.pieces.width_steps import Aimed, tell_widths
from clothwright.planning.sums import (
    Figures,
    HandSum,
    Sheet,
    cloth_weight,
    figures,
    shared_by_hand,
    stock_lines,
    work_out,
)
from clothwright.planning.ways_out import ways_out
from clothwright.project import Problem, ProblemsFound
from clothwright.yarn import Use


def plan_by_hand(job: Job, layouts: LayoutSearch | None) -> Plan:
    """The whole plan as sums."""
    known, sheet = figures(job), Sheet()
    fitted = _fitted(job, known, layouts)
    wanted = fitted.wanted if fitted else job.wanted
    assert wanted is not None  # a job without a garment has a cloth wanted
    sums = work_out(job, known, wanted, sheet)
    _check_loom(job, sums, wanted)
    widths = tell_widths(job.garment, fitted, Aimed(sums.finished_width)) if job.garment and fitted else None
    have = stock_lines(job, sheet)
    spare = _spare(job, have, sums)
    weight = cloth_weight(job, known, sums, sheet)
    _verdict_lines(sums, spare, sheet)
    need = shared_by_hand(job, have, sums.warp_m, sums.weft_m)
    found = _verdict(spare)
    return Plan(
        name=job.project.name,
        by_hand=True,
        verdict=found,
        chance_enough=None,
        chance_size=None,
        trust_yarn=job.project.trust.yarn.expected,
        trust_size=job.project.trust.size.expected,
        warp=_warp(job, known, sums),
        weft=_weft(known, sums),
        cloth=_cloth(sums, wanted, weight),
        yarns=tuple(_yarn(job, name, have[name], need[name]) for name in have),
        margin=_margin(job, sums, spare),
        layout=fitted.layout if fitted else None,
        outlines=fitted.outlines if fitted else (),
        staircase=widths.staircase if widths else (),
        squaring_cm=job.garment.squaring_cm if job.garment else 0.0,
        selvedge_trim_cm=job.garment.trim_cm if job.garment else 0.0,
        shortfall=_shortfall(job, sums, spare),
        ways_out=() if found == Verdict.ENOUGH else ways_out(job, wanted, partial(_fares, fitted), 1.0, spare.low),
        measure_next=_measure_next(job, known, spare),
        working=tuple(sheet.lines),
        cautions=cautions(job, weight.expected),
        notes=notes(job, known_figures(job), fitted.told if fitted else ()),
        provisional_because=job.provisional_because,
        pattern_state=job.pattern_state,
        width_advice=widths.advice if widths else None,
        least_length=widths.least if widths else None,
    )


def _fitted(job: Job, known: Figures, layouts: LayoutSearch | None, before: Fitted | None = None) -> Fitted | None:
    if job.garment is None:
        return None
    loom = job.loom.weaving_width.cm if job.loom.weaving_width else UNKNOWN_LOOM_CM
    most_ends = int(loom * job.heddle.per_cm / job.end_step + 1e-9) * job.end_step
    widest = round(job.width_in_heddle(most_ends) * known.width_ratio.value, 2)
    return fit(job.garment, widest, _yarn_for(job, known), layouts, known=before.layout if before else None)


def _yarn_for(job: Job, known: Figures) -> YarnFor:
    garment = job.garment
    assert garment is not None  # asked only for a garment

    def yarn_for(usable_width_cm: float, layout_length_cm: float) -> float:
        wanted = Wanted(usable_width_cm + 2 * garment.trim_cm, layout_length_cm + 2 * garment.squaring_cm)
        sums = work_out(job, known, wanted, Sheet())
        return sums.warp_m + sums.weft_m.expected

    return yarn_for


def _check_loom(job: Job, sums: HandSum, wanted: Wanted) -> None:
    loom = job.loom.weaving_width
    if loom is not None and sums.width_in_heddle > loom.cm + 1e-6:
        fits = int(loom.cm * job.heddle.per_cm / job.end_step + 1e-9) * job.end_step
        if not fits:
            raise ProblemsFound(Problem(("loom", "weaving_width"), none_fits(job)))
        ratio = sums.finished_width / sums.width_in_heddle
        sentence = (
            f"{wanted.width_cm:g} cm finished takes {sums.ends} ends, {sums.width_in_heddle:g} cm in the {job.heddle.name} "
            f"heddle, and the loom weaves {loom}. {fits} ends fit, {job.width_in_heddle(fits):.1f} cm in the heddle, and "
            f"finish about {job.width_in_heddle(fits) * ratio:.1f} cm"
        )
        raise ProblemsFound(Problem(("loom", "weaving_width"), sentence))


def _spare(job: Job, have: dict[str, Interval], sums: HandSum) -> Interval:
    """Metres left where they bind: least with the low stock and the high need."""
    return Interval(
        _slack(job, {name: one.low for name, one in have.items()}, sums.warp_m, sums.weft_m.high),
        _slack(job, {name: one.expected for name, one in have.items()}, sums.warp_m, sums.weft_m.expected),
        _slack(job, {name: one.high for name, one in have.items()}, sums.warp_m, sums.weft_m.low),
    )


def _slack(job: Job, have: dict[str, float], warp_m: float, weft_m: float) -> float:
    size = {use: sum(have[lot.name] for lot in all_lots(job) if lot.use == use) for use in Use}
    if not any(lot.use == Use.BOTH for lot in all_lots(job)):
        return round(min(size[Use.WARP] - warp_m, size[Use.WEFT] - weft_m), 2)
    rest = warp_m - min(warp_m, size[Use.WARP]) + weft_m - min(weft_m, size[Use.WEFT])
    return round(size[Use.BOTH] - rest, 2)


def _verdict(spare: Interval) -> Verdict:
    if spare.low >= 0:
        return Verdict.ENOUGH
    return Verdict.NOT_ENOUGH if spare.high < 0 else Verdict.TOO_CLOSE


def _verdict_lines(sums: HandSum, spare: Interval, sheet: Sheet) -> None:
    weft = sums.weft_m
    words = (
        {"low": weft.low, "expected": weft.expected, "high": weft.high} if weft.high > weft.low else {"": weft.expected}
    )
    for word, metres in words.items():
        said = f"{sums.warp_m:g} m warp + {metres:g} m weft"
        sheet.write(f"Yarn needed, {word}".rstrip(", "), said, sums.warp_m + metres, "m")
    for word, left in (("at worst", spare.low), ("as expected", spare.expected), ("at best", spare.high)):
        if word == "as expected" or spare.high > spare.low:
            sheet.write(f"Left over, {word}", "in hand less needed", left, "m")


def _warp(job: Job, known: Figures, sums: HandSum) -> WarpPlan:
    return WarpPlan(
        heddle=job.heddle.name,
        ends_per_cm=job.heddle.per_cm,
        ends=sums.ends + job.extra_ends,
        width_in_heddle_cm=sums.width_in_heddle,
        length_cm=sums.warp_cm,
        yarn_m=Interval.exactly(sums.warp_m),
        waste_cm=Interval.exactly(known.waste_cm.value),
        on_warp_sample_cm=job.on_warp_sample_cm,
    )


def _weft(known: Figures, sums: HandSum) -> WeftPlan:
    return WeftPlan(Interval(*known.picks_on_loom.three), Interval.exactly(sums.woven), sums.weft_m, sums.woven)


def _cloth(sums: HandSum, wanted: Wanted, g_per_m2: Interval) -> ClothPlan:
    return ClothPlan(
        finished_width_cm=Interval.exactly(sums.finished_width),
        finished_length_cm=Interval.exactly(sums.finished_length),
        g_per_m2=g_per_m2,
        asked_width_cm=wanted.width_cm,
        asked_length_cm=wanted.length_cm,
    )


def _yarn(job: Job, name: str, have: Interval, need: Interval) -> YarnLine:
    lot = next(lot for lot in all_lots(job) if lot.name == name)
    spare = Interval(have.low - need.high, have.expected - need.expected, have.high - need.low)
    return YarnLine(name, lot.colour, str(lot.use), round(lot.grams, 1), have, need, spare, _share_enough(spare))


def _share_enough(spare: Interval) -> float:
    """The share of the range in which it lasts: 1 or 0 where the sums agree."""
    if spare.low >= 0 or spare.high <= spare.low:
        return float(spare.low >= 0)
    return max(0.0, min(1.0, spare.high / (spare.high - spare.low)))


def _margin(job: Job, sums: HandSum, spare: Interval) -> Margin:
    m_per_g, per_cm = job.yarns.weft[0].m_per_g, _per_finished_cm(sums)
    return Margin(spare, spare.scaled(1 / m_per_g), spare.scaled(1 / per_cm))


def _per_finished_cm(sums: HandSum) -> float:
    """Metres of yarn a finished cm takes, warp and weft."""
    return (sums.warp_m + sums.weft_m.expected) / sums.finished_length


def _shortfall(job: Job, sums: HandSum, spare: Interval) -> Shortfall | None:
    if spare.low >= 0:
        return None
    missing = -spare.low
    return Shortfall(missing, missing / job.yarns.weft[0].m_per_g, missing / _per_finished_cm(sums))


def _fares(before: Fitted | None, job: Job) -> tuple[float, float]:
    """How a changed job fares by hand: the share of the range in which it lasts, and metres to spare at the high need."""
    known = figures(job)
    fitted = _fitted(job, known, None, before)
    wanted = fitted.wanted if fitted else job.wanted
    assert wanted is not None  # a job without a garment has a cloth wanted
    sheet = Sheet()
    sums = work_out(job, known, wanted, sheet)
    _check_loom(job, sums, wanted)
    spare = _spare(job, stock_lines(job, sheet), sums)
    return _share_enough(spare), spare.low


def _measure_next(job: Job, known: Figures, spare: Interval) -> tuple[ToMeasure, ...]:
    """What was given as a range, and what settles when it is measured."""
    definite = _verdict(spare) != Verdict.TOO_CLOSE
    picks, core = known.picks_on_loom, any(ball.core_unknown for lot in all_lots(job) for ball in lot.balls)
    settles = 1.0 if definite or not (picks.high and core) else _share_enough(spare)
    found = []
    if picks.high:
        what = "Count the picks of a washed sample, or of the first 20 cm"
        found.append(_by_hand(what, settles, 5, "5 minutes", _why_picks(job)))
    if core:
        found.append(_by_hand("Weigh an empty core", settles, 1, "1 minute", "the cone was weighed with its core"))
    return tuple(found)


def _why_picks(job: Job) -> str:
    """Why picks are a range: typed as one, or not counted by anybody."""
    return "a range of picks was given" if job.project.cloth.picks else "nobody has counted picks yet"


def _by_hand(what: str, settles: float, minutes: float, costs: str, why: str) -> ToMeasure:
    """An entry of a plan by hand: sums tell of no spread, so nothing is said of how far it narrows."""
    return ToMeasure(
        what=what,
        settles=settles,
        costs=costs,
        why=why,
        when="before warping",
        minutes=minutes,
        metres=0.0,
        grams=0.0,
        narrows_margin=0.0,
        narrows_width=0.0,
        narrows_length=0.0,
        saves_m=0.0,
        rank=settles / (minutes / 60),
    )
