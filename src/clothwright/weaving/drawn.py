"""In drawn cloths: every figure of the rest, from the beliefs that the log leaves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from clothwright.evidence import EDGE, LENGTH_STEPS, WIDTH_STEPS, Step
from clothwright.measure import Draws, Interval, Rung
from clothwright.planning import WorkingLine
from clothwright.planning.forecast import WASTE
from clothwright.planning.weighing_up import verdict
from clothwright.project.domain import making
from clothwright.weaving.answer import SoFar, WarpAtLoom, YarnAtLoom
from clothwright.weaving.beat import Beaten, beaten
from clothwright.weaving.reckoned import ClothNow, Reckoned, colour_of, nothing_weighed
from clothwright.weaving.standing import Standing, Warped, warp_could_weave

#: A weighing so near the first pick is one before it.
_FIRST_CM: Final = 0.05


def reckoned_drawn(stands: Standing) -> Reckoned:
    """What stands on the loom, in every drawn cloth."""
    if not stands.yarns:
        return nothing_weighed()
    drawn = beaten(stands)
    trust = stands.project.trust.yarn.expected
    per_cm = {name: np.exp(log) for name, log in drawn.log_g_per_cm.items()}
    yarns = tuple(_yarn(stands, name, drawn, per_cm[name], trust) for name in stands.yarns)
    all_last = np.all([_spare(stands, name, drawn, per_cm[name]) >= 0 for name in stands.yarns], axis=0)
    made = _Made.of(stands, drawn)
    return Reckoned(
        by_hand=False,
        yarns=yarns,
        chance_enough=float(np.mean(all_last)),
        warp=made.warp() if made else None,
        so_far=made.so_far() if made else None,
        g_per_cm_at_trust={name: float(np.quantile(draws, trust)) for name, draws in per_cm.items()},
        picks_per_cm=made.picks_per_cm if made else None,
        length_ratio=float(np.median(made.length_ratio)) if made else None,
        off_loom_ratio=Interval.of_draws(made.step(Step.LENGTH_RELEASE, exp=True)) if made else None,
        working=tuple(_working(stands, yarns)),
        asked=tuple(
            f"{one.what} lies {one.spreads:.1f} spreads from what was expected. A slip, or measured while slack? It is kept, with "
            "less weight until another bears it out."
            for one in drawn.questioned
        ),
        drawn=drawn,
        cloth=ClothNow(made.length_ratio, made.finished_width(), made.could_weave()) if made else None,
    )


def chance_at_first(stands: Standing) -> float | None:
    """The chance that the weft lasts as it was before the first pick; None where not every weft was weighed or reckoned then, or no plan is known."""
    start = {name: stands.log.weighings[name][:1] for name in stands.yarns}
    if stands.warped is None or any(one.woven_cm > _FIRST_CM for found in start.values() for one in found):
        return None
    log = replace(stands.log, woven_cm=0.0, weighings=start, picks=(), widths=(), entries=(), warp_left=None)
    before = replace(stands, log=log)
    if not start or before.yarns != stands.yarns:
        return None
    drawn = beaten(before)
    lasts = [_spare(before, name, drawn, np.exp(drawn.log_g_per_cm[name])) >= 0 for name in start]
    return float(np.mean(np.all(lasts, axis=0)))


def _rest_cm(stands: Standing, name: str) -> float:
    return stands.rest_cm(name, stands.log.weighings[name][-1].woven_cm)


def _spare(stands: Standing, name: str, drawn: Beaten, per_cm: Draws) -> Draws:
    return np.asarray(drawn.left_g[name] - per_cm * _rest_cm(stands, name))


def _yarn(stands: Standing, name: str, drawn: Beaten, per_cm: Draws, trust: float) -> YarnAtLoom:
    last = stands.log.weighings[name][-1]
    need, spare = per_cm * _rest_cm(stands, name), _spare(stands, name, drawn, per_cm)
    chance = float(np.mean(spare >= 0))
    ends = last.woven_cm + drawn.left_g[name] / per_cm
    last_needed = last.woven_cm + _rest_cm(stands, name)
    surely = float(np.quantile(ends, 0.05)) >= last_needed
    return YarnAtLoom(
        name=name,
        colour=colour_of(stands, name),
        left_g=last.grams,
        weighed_at_cm=last.woven_cm,
        need_g=Interval.of_draws(need),
        spare_g=Interval.of_draws(spare),
        chance_enough=chance,
        short_cm=max(0.0, last_needed - float(np.median(ends))),
        ends_at_cm=None if surely else Interval.of_draws(ends),
        g_per_cm=Interval.of_draws(per_cm),
        verdict=verdict(chance, trust),
    )


def _working(stands: Standing, yarns: Sequence[YarnAtLoom]) -> Iterator[WorkingLine]:
    for one in yarns:
        found = stands.rates(one.name)
        assert one.g_per_cm is not None
        if found:
            step = f"{one.name}: grams per cm over the last stretch"
            weighed = f"weighed at {found.last.before.woven_cm:g} and {found.last.after.woven_cm:g} cm"
            yield WorkingLine(step, found.last.in_words, found.last.g_per_cm, "g/cm", Rung.MEASURED_ON_LOOM, weighed)
        said = "all weighings, picks and widths of the log" + (", and what the plan knew" if stands.warped else "")
        middle = one.g_per_cm.expected
        between = f"between {one.g_per_cm.low:.3g} and {one.g_per_cm.high:.3g} nine times in ten"
        yield WorkingLine(
            f"{one.name}: grams per cm over the rest", between, middle, "g/cm", Rung.MEASURED_ON_LOOM, said
        )
        rest = _rest_cm(stands, one.name)
        sum_ = f"{middle:.3g} g/cm × {rest:g} cm"
        yield WorkingLine(
            f"{one.name}: needed for the rest", sum_, middle * rest, "g", Rung.CALCULATED, "the line above"
        )


@dataclass(frozen=True)
class _Made:
    """The cloth of the plan in every drawn cloth, after the log."""

    stands: Standing
    warped: Warped
    drawn: Mapping[str, Draws]

    @classmethod
    def of(cls, stands: Standing, drawn: Beaten) -> _Made | None:
        """None without a plan."""
        return cls(stands, stands.warped, drawn.drawn) if stands.warped else None

    def step(self, *steps: Step, exp: bool = False) -> Draws:
        """Sum of some unknown logarithms of the cloth, or what that makes."""
        job = self.warped.job
        made = making(job.project, job.yarns, job.heddle.per_cm)
        total = np.asarray(sum(self.drawn[made.unknown(one)] for one in steps))
        return np.exp(total) if exp else total

    @property
    def length_ratio(self) -> Draws:
        """Finished over woven length."""
        return self.step(*LENGTH_STEPS, exp=True)

    @property
    def picks_per_cm(self) -> float:
        """Picks per cm on the loom, as expected."""
        return float(np.median(self.step(Step.PICKS, exp=True)))

    def finished_width(self) -> Draws:
        """Finished width, cm."""
        width = self.warped.width_in_heddle_cm
        return np.asarray(width * np.exp(self.step(*WIDTH_STEPS) + self.drawn[EDGE] / width))

    def so_far(self) -> SoFar:
        """The finished size of what is woven."""
        length = self.stands.log.woven_cm * self.length_ratio
        return SoFar(Interval.of_draws(self.finished_width()), Interval.of_draws(length))

    def could_weave(self) -> Draws:
        """How much the warp can weave in all, never less than it has, cm."""
        could = warp_could_weave(self.stands, self.step(Step.TAKE_UP, exp=True), np.exp(self.drawn[WASTE]))
        return np.asarray(np.maximum(could, self.stands.log.woven_cm))

    def warp(self) -> WarpAtLoom:
        """How far the warp reaches."""
        could = self.could_weave()
        chance = float(np.mean(could >= self.stands.to_weave_cm - 1e-9))
        reached = float(np.quantile(could, 0.05)) >= self.stands.to_weave_cm
        found = Interval.of_draws(could)
        trust = self.warped.job.project.trust.size.expected
        return WarpAtLoom(found, chance, None if reached else found, verdict(chance, trust))
