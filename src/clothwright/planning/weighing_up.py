"""One job weighed up: what cloth, what warp, what yarn, what chance. Ways out are other jobs weighed up the same way."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from clothwright.measure import Draws
from clothwright.planning.answer import Verdict
from clothwright.planning.forecast import Decision, Forecast, Outcome, Stock
from clothwright.planning.job import Job, Wanted
from clothwright.planning.pieces.fitting import Fitted, LayoutSearch, YarnFor, fit
from clothwright.project import Problem, ProblemsFound


@dataclass(frozen=True)
class WeighedUp:
    """A job with its forecast, decision and what the decision comes to."""

    job: Job
    forecast: Forecast
    wanted: Wanted
    fitted: Fitted | None
    decision: Decision
    outcome: Outcome
    stock: Stock

    @property
    def trust(self) -> float:
        """The chance asked that the yarn lasts."""
        return self.job.project.trust.yarn.expected

    @property
    def chance_enough(self) -> float:
        """Chance that the yarn lasts."""
        return self.stock.chance_enough

    @property
    def verdict(self) -> Verdict:
        """The chance as a word."""
        return verdict(self.chance_enough, self.trust)

    @property
    def metres_per_finished_cm(self) -> Draws:
        """Yarn that a centimetre of finished cloth takes: its picks and its warp."""
        width = self.job.width_in_heddle(self.decision.ends)
        weft = self.forecast.picks_per_cm * width * self.forecast.pick_length / 100
        warp = (self.decision.ends + self.job.extra_ends) / self.forecast.take_up / 100
        return np.asarray((weft + warp) / self.forecast.length_ratio)


def verdict(chance: float, trust: float) -> Verdict:
    """Enough at the chance asked, not enough at its opposite, else too close."""
    if chance >= trust:
        return Verdict.ENOUGH
    return Verdict.NOT_ENOUGH if chance <= 1 - trust else Verdict.TOO_CLOSE


def weigh_up(
    job: Job,
    layouts: LayoutSearch | None = None,
    *,
    like: WeighedUp | None = None,
    no_wider_cm: float | None = None,
) -> WeighedUp:
    """The least-yarn decision for a job, and the chance that the yarn lasts.

    `like` is the same question before something was changed: its forecast serves when yarn and heddle are the same,
    its layout where it still holds. `no_wider_cm`: the widest finished cloth to lay pieces on, where that is less than
    the loom's.
    """
    forecast = like.forecast.also_for(job) if like and like.job.heddle == job.heddle else Forecast(job)
    trust = job.project.trust.size.expected
    widest = min(forecast.widest_finished(trust), no_wider_cm or math.inf)
    fitted = _fitted(job, forecast, trust, layouts, like.fitted if like else None, widest)
    wanted = fitted.wanted if fitted else job.wanted
    assert wanted is not None  # a job without a garment has a cloth wanted
    decision = forecast.decide(wanted, trust)
    outcome = forecast.outcome(decision)
    return WeighedUp(job, forecast, wanted, fitted, decision, outcome, forecast.stock(decision, outcome))


def _fitted(
    job: Job,
    forecast: Forecast,
    trust: float,
    layouts: LayoutSearch | None,
    before: Fitted | None,
    widest: float,
) -> Fitted | None:
    if job.garment is None:
        return None
    if widest <= 2 * job.garment.trim_cm:
        sentence = f"the loom finishes {widest:.1f} cm of cloth, which the trim at the selvedges takes up"
        raise ProblemsFound(Problem(("pattern", "selvedge_trim"), sentence))
    known = before.layout if before else None
    return fit(job.garment, widest, _yarn_for(job, forecast, trust), layouts, known=known)


def _yarn_for(job: Job, forecast: Forecast, trust: float) -> YarnFor:
    """Metres of yarn for a layout, near enough to choose between layouts: ratios at the trusted quantile."""
    garment = job.garment
    assert garment is not None  # asked only for a garment
    middle_width = forecast.typical_width_ratio(trust)
    length_ratio = float(np.quantile(forecast.length_ratio, 1 - trust))
    take_up, waste = float(np.median(forecast.take_up)), float(np.median(forecast.waste))
    weft_per_cm2 = float(np.median(forecast.picks_per_cm * forecast.pick_length))

    def yarn_for(usable_width_cm: float, layout_length_cm: float) -> float:
        ends = job.ends_for((usable_width_cm + 2 * garment.trim_cm) / middle_width)
        woven = (layout_length_cm + 2 * garment.squaring_cm) / length_ratio + job.on_warp_sample_cm
        warp = (ends + job.extra_ends) * (woven / take_up + waste)
        return (warp + weft_per_cm2 * job.width_in_heddle(ends) * woven) / 100

    return yarn_for
