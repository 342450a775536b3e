"""The sums of a class sheet: what one student warps and weaves, written in her own units as she would with a calculator.

Each figure is rounded where it is written, and the next sum starts from what is written, so that adding up the printed
numbers gives the printed answer. A warp is wound to the next whole centimetre or quarter inch, and yarn is counted to the
next whole metre or yard; both are then what the sums go on with.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, Interval
from clothwright.planning.job import Job, Wanted
from clothwright.planning.sums import Figures, figures

_SLACK: Final = 1e-6


@dataclass(frozen=True)
class SumUnits:
    """How a student writes: a length of cloth to so many places, a warp up to the next step, yarn to whole metres or yards."""

    cm: float
    places: int
    warp_step: float
    yarn_m: float

    @property
    def per_yarn(self) -> float:
        """Lengths of cloth in one of yarn: 100 cm in a metre, 36 in in a yard."""
        return round(self.yarn_m * 100 / self.cm)

    def of_cm(self, cm: float) -> float:
        """A length in these units, as written."""
        return round(cm / self.cm, self.places)

    def written(self, length: float) -> float:
        """A length of these units to its places."""
        return round(length, self.places)

    def warp(self, length: float) -> float:
        """A warp length, up to the next step."""
        return math.ceil(length / self.warp_step - _SLACK) * self.warp_step


METRIC: Final = SumUnits(cm=1.0, places=1, warp_step=1.0, yarn_m=1.0)
IMPERIAL: Final = SumUnits(cm=CM_PER_INCH, places=2, warp_step=0.25, yarn_m=CM_PER_YARD / 100)


@dataclass(frozen=True)
class ClassSum:
    """Every number of a student's working, in her units: lengths in cm or in, yarn in whole m or yd, setts to the cm or in.

    `used` is the warp the weaving takes, `weave` the length woven under tension with the sample on the same warp, `wound` the
    warp before it is rounded up to `warp_length`.
    """

    units: SumUnits
    cloth_width: float
    cloth_length: float
    width_ratio: float
    length_ratio: Interval
    woven_of_warp: float
    sett: float
    end_step: int
    ends: int
    width_in_heddle: float
    woven: float
    sample: float
    weave: float
    used: float
    waste: Interval
    wound: Interval
    warp_length: Interval
    warp_yarn: Interval
    pick_length: float
    pick: float
    picks: Interval
    weft_yarn: Interval
    finished_width: float
    #: Ends beside the heddle, one at each edge where selvedges float.
    extra_ends: int = 0

    @property
    def all_ends(self) -> int:
        """Ends to wind, those beside the heddle too."""
        return self.ends + self.extra_ends

    def yarn_in_m(self, yarn: Interval) -> Interval:
        """Yarn of these sums in metres."""
        return yarn.scaled(self.units.yarn_m)


def class_sum(job: Job, wanted: Wanted, units: SumUnits, *, waste: Interval, most_ends: int | None = None) -> ClassSum:
    """The sums for a cloth at a job's heddle; `waste` in cm, `most_ends` are those the loom has room for."""
    known = figures(job)
    sett = round(job.heddle.per_cm * units.cm, 3)
    width_ratio = round(known.width_ratio.value, 3)
    width = units.of_cm(wanted.width_cm)
    ends = _ends(width / width_ratio * sett, job.end_step)
    ends = ends if most_ends is None else min(ends, most_ends)
    in_heddle = units.written(ends / sett)
    warp = _warp(job, known, wanted, units, waste)
    yarn = _yarn(job, known, warp, units, ends, in_heddle)
    return ClassSum(
        units=units,
        cloth_width=width,
        cloth_length=units.of_cm(wanted.length_cm),
        width_ratio=width_ratio,
        length_ratio=warp.ratio,
        woven_of_warp=warp.woven_of_warp,
        sett=sett,
        end_step=job.end_step,
        ends=ends,
        width_in_heddle=in_heddle,
        woven=warp.woven.expected,
        sample=warp.sample,
        weave=warp.weave.expected,
        used=warp.used.expected,
        waste=warp.waste,
        wound=warp.wound,
        warp_length=warp.length,
        warp_yarn=yarn.warp,
        pick_length=yarn.pick_length,
        pick=yarn.pick,
        picks=yarn.picks,
        weft_yarn=yarn.weft,
        finished_width=units.written(in_heddle * width_ratio),
        extra_ends=job.extra_ends,
    )


def _ends(needed: float, step: int) -> int:
    return step * max(1, math.ceil(needed / step - _SLACK))


@dataclass(frozen=True)
class _WarpSum:
    ratio: Interval
    woven_of_warp: float
    woven: Interval
    sample: float
    weave: Interval
    used: Interval
    waste: Interval
    wound: Interval
    length: Interval


def _warp(job: Job, known: Figures, wanted: Wanted, units: SumUnits, waste: Interval) -> _WarpSum:
    """From the finished length to the warp wound; a high ratio asks for less warp, so the ends of the ranges change places."""
    low, middle, high = (round(one, 3) for one in known.length_ratio.three)
    length, sample = units.of_cm(wanted.length_cm), units.of_cm(job.on_warp_sample_cm)
    of_warp = round(known.woven_of_warp.value, 3)
    woven = _each(Interval(high, middle, low), lambda ratio: units.written(length / ratio))
    weave = _each(woven, lambda one: units.written(one + sample))
    used = _each(weave, lambda one: units.written(one / of_warp))
    lost = _each(waste, units.of_cm)
    sums = (part + gone for part, gone in zip(_three(used), _three(lost), strict=True))
    wound = Interval(*map(units.written, sums))
    return _WarpSum(
        Interval(low, middle, high), of_warp, woven, sample, weave, used, lost, wound, _each(wound, units.warp)
    )


@dataclass(frozen=True)
class _YarnSum:
    warp: Interval
    pick_length: float
    pick: float
    picks: Interval
    weft: Interval


def _yarn(job: Job, known: Figures, warp: _WarpSum, units: SumUnits, ends: int, in_heddle: float) -> _YarnSum:
    per_pick = round(known.pick_length.value, 3)
    pick = units.written(in_heddle * per_pick)
    picks = Interval(*(round(one * units.cm, 2) for one in known.picks_on_loom.three))
    weft = (count * pick * length for count, length in zip(_three(picks), _three(warp.weave), strict=True))
    return _YarnSum(
        warp=_each(warp.length, lambda length: _whole((ends + job.extra_ends) * length / units.per_yarn)),
        pick_length=per_pick,
        pick=pick,
        picks=picks,
        weft=Interval(*(_whole(one / units.per_yarn) for one in weft)),
    )


def _whole(yarn: float) -> float:
    """Yarn up to the next whole metre or yard."""
    return float(math.ceil(yarn - _SLACK))


def _three(one: Interval) -> tuple[float, float, float]:
    return one.low, one.expected, one.high


def _each(one: Interval, change: Callable[[float], float]) -> Interval:
    return Interval(change(one.low), change(one.expected), change(one.high))
