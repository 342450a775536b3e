"""By hand: grams per cm over the last stretch and over the whole, the worse of the two times the cm left.

Need is low at the better rate and high at the worse, each a twentieth further; a yarn that covers the high need is enough, one
that does not cover the low is not. Sums are written with what was measured, so that anyone can add them again.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from clothwright.measure import Interval, Rung
from clothwright.planning import Verdict, WorkingLine
from clothwright.planning.sums import Figures, figures
from clothwright.weaving.answer import SoFar, WarpAtLoom, YarnAtLoom
from clothwright.weaving.reckoned import ClothNow, Reckoned, colour_of
from clothwright.weaving.standing import Standing, warp_could_weave
from clothwright.weaving.stretches import Rates

#: How far a hand's beat may be from what it was: need is reckoned so much either way. Common practice, no source.
EITHER_WAY: Final = 0.05


def reckoned_by_hand(stands: Standing) -> Reckoned:
    """What stands on the loom, by sums on paper."""
    known = figures(stands.warped.job) if stands.warped else None
    lines: list[WorkingLine] = []
    yarns = tuple(_yarn(stands, name, known, lines) for name in stands.yarns)
    per_cm = {one.name: one.g_per_cm.high if one.g_per_cm else 0.0 for one in yarns}
    return Reckoned(
        by_hand=True,
        yarns=yarns,
        chance_enough=None,
        warp=_warp(stands, known),
        so_far=_so_far(stands, known),
        g_per_cm_at_trust=per_cm,
        picks_per_cm=stands.log.picks[-1].per_cm if stands.log.picks else known.picks_on_loom.value if known else None,
        length_ratio=known.length_ratio.value if known else None,
        off_loom_ratio=None,
        working=tuple(lines),
        cloth=_cloth(stands, known),
    )


def _cloth(stands: Standing, known: Figures | None) -> ClothNow | None:
    if known is None or stands.warped is None:
        return None
    could = warp_could_weave(stands, np.array([known.woven_of_warp.value]), np.array([known.waste_cm.value]))
    width = stands.warped.width_in_heddle_cm * known.width_ratio.value
    return ClothNow(np.array([known.length_ratio.value]), np.array([width]), could)


def _yarn(stands: Standing, name: str, known: Figures | None, lines: list[WorkingLine]) -> YarnAtLoom:
    weighed = stands.log.weighings[name]
    last, found = weighed[-1], stands.rates(name)
    better, worse = _rates(stands, name, found, known, lines)
    rest = stands.rest_cm(name, last.woven_cm)
    need = Interval(better * rest * (1 - EITHER_WAY), worse * rest, worse * rest * (1 + EITHER_WAY))
    spare = Interval(last.grams - need.high, last.grams - need.expected, last.grams - need.low)
    _write_need(name, last.grams, last.woven_cm, worse, rest, stands, lines, found)
    short = max(0.0, -spare.expected / worse) if worse else 0.0
    return YarnAtLoom(
        name=name,
        colour=colour_of(stands, name),
        left_g=last.grams,
        weighed_at_cm=last.woven_cm,
        need_g=need,
        spare_g=spare,
        chance_enough=None,
        short_cm=short,
        ends_at_cm=_ends(last.woven_cm, last.grams, better, worse, last.woven_cm + rest),
        g_per_cm=Interval(better * (1 - EITHER_WAY), worse, worse * (1 + EITHER_WAY)),
        verdict=_verdict(spare),
    )


def _verdict(spare: Interval) -> Verdict:
    if spare.low >= 0:
        return Verdict.ENOUGH
    return Verdict.NOT_ENOUGH if spare.high < 0 else Verdict.TOO_CLOSE


def _ends(woven_cm: float, grams: float, better: float, worse: float, end_cm: float) -> Interval | None:
    """Where a yarn is used up; None where not even the high need uses it up before the end."""
    if worse <= 0 or woven_cm + grams / (worse * (1 + EITHER_WAY)) >= end_cm:
        return None
    low, high = worse * (1 + EITHER_WAY), better * (1 - EITHER_WAY)
    return Interval(*(woven_cm + grams / rate for rate in (low, worse, high)))


def _rates(
    stands: Standing, name: str, found: Rates | None, known: Figures | None, lines: list[WorkingLine]
) -> tuple[float, float]:
    """Grams per cm, the better and the worse: of the weighings, or of the plan before there are two."""
    if found is not None:
        source = f"weighed at {found.last.before.woven_cm:g} and {found.last.after.woven_cm:g} cm"
        step = f"{name}: grams per cm over the last stretch"
        lines.append(
            WorkingLine(step, found.last.in_words, round(found.last.g_per_cm, 4), "g/cm", Rung.MEASURED_ON_LOOM, source)
        )
        if found.whole_in_words != found.last.in_words:
            step = f"{name}: grams per cm over the whole"
            whole = round(found.whole_g_per_cm, 4)
            lines.append(WorkingLine(step, found.whole_in_words, whole, "g/cm", Rung.MEASURED_ON_LOOM, "all weighings"))
        return found.better, found.worse
    assert known is not None
    assert stands.warped is not None  # without a plan there are two weighings
    lot = next((one for one in stands.warped.job.yarns.weft if one.name == name), stands.warped.job.yarns.weft[0])
    picks = stands.log.picks[-1].per_cm if stands.log.picks else known.picks_on_loom.value
    width, length = stands.warped.width_in_heddle_cm, known.pick_length.value
    rate = picks * width * length / 100 / lot.expected_m_per_g
    sum_ = f"{picks:.4g} picks/cm × {width:.4g} cm × {length:.4g} ÷ 100 ÷ {lot.expected_m_per_g:.4g} m/g"
    step = f"{name}: grams per cm, before two weighings"
    lines.append(WorkingLine(step, sum_, rate, "g/cm", known.pick_length.rung, "picks, width and yarn per pick"))
    return rate, rate


def _write_need(
    name: str,
    grams: float,
    woven_cm: float,
    worse: float,
    rest_cm: float,
    stands: Standing,
    lines: list[WorkingLine],
    found: Rates | None,
) -> None:
    from_log = Rung.MEASURED_ON_LOOM if found else Rung.CALCULATED
    in_bands = stands.to_weave_cm - woven_cm - rest_cm
    banded = f" − {in_bands:g} cm" if in_bands > 0 else ""
    left = f"({stands.to_weave_cm:g} cm − {woven_cm:g} cm{banded})"
    rate = found.worse_in_words if found else f"{worse:.4g} g/cm"
    need = round(worse * rest_cm, 2)
    worse_of = "the worse of the two rates times the cm left" if found else "the rate times the cm left"
    lines.append(WorkingLine(f"{name}: needed for the rest", f"{rate} × {left}", need, "g", from_log, worse_of))
    over = round(grams - need, 2)
    said = "to spare" if over >= 0 else "short by"
    lines.append(
        WorkingLine(f"{name}: {said}", f"{grams:g} g − {need:g} g", abs(over), "g", Rung.CALCULATED, "the lines above")
    )
    if over < 0:
        lines.append(
            WorkingLine(
                f"{name}: does not reach the last",
                f"{-over:g} g ÷ {worse:.4g} g/cm",
                round(-over / worse, 2),
                "cm",
                Rung.CALCULATED,
                "on the loom under tension",
            )
        )


def _warp(stands: Standing, known: Figures | None) -> WarpAtLoom | None:
    if known is None or stands.warped is None:
        return None
    low, middle, high = (
        float(warp_could_weave(stands, np.array([known.woven_of_warp.value]), np.array([waste]))[0])
        for waste in sorted(known.waste_cm.three, reverse=True)
    )
    could = Interval(low, middle, high)
    enough = middle >= stands.to_weave_cm
    return WarpAtLoom(could, None, None if enough else could, Verdict.ENOUGH if enough else Verdict.NOT_ENOUGH)


def _so_far(stands: Standing, known: Figures | None) -> SoFar | None:
    if known is None or stands.warped is None:
        return None
    width = stands.warped.width_in_heddle_cm * known.width_ratio.value
    return SoFar(Interval.exactly(width), Interval.exactly(stands.log.woven_cm * known.length_ratio.value))
