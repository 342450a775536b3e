"""How far knowing something more would narrow a plan, before it is known.

Belief is Gaussian, so what a measurement leaves of the doubt does not depend on what it will say: S' = S − K H S. What the
plan is asked for (metres to spare, finished width and length) is near enough a straight line in the unknowns where they
are likely to lie; its slope b is fitted to the draws. A measurement then takes the part

    e = bᵀ(S − S')b   of the variance   σ² = bᵀSb + what a straight line does not catch,

leaves the spread √(σ² − e), and moves the middle by √e·z with z standard normal.

The margin is looked at twice, as the log of yarn in hand over yarn needed. *As decided*: the warp is as long and as wide as
the plan says whatever comes, which is what is left to chance once it is on the loom. *Planned anew*: in each drawn cloth the
warp that would just do, which is what moves when a measurement comes before the warp is wound. A narrower belief also
asks less yarn for the same trust. With N the log of yarn for the size wanted, the plan takes mean + k·spread of it; after
the measurement mean + k·(the spread left), and its mean over what may come out has grown by e/2, being of a log.

*Source*: law of total variance; preposterior analysis in H. Raiffa and R. Schlaifer, Applied Statistical Decision Theory
(1961), from memory. *Limit*: straight lines; a test draws outcomes, conditions on them and plans them anew.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from clothwright.evidence import EDGE, Belief, Measurement
from clothwright.measure import Draws
from clothwright.planning.forecast import share_out
from clothwright.planning.weighing_up import WeighedUp

Matrix = NDArray[np.float64]

_NORMAL: Final = NormalDist()
_LEAST_M: Final = 1e-6
#: Every which draw is looked at for what a sample's own yarn does to the margin.
_EVERY: Final = 16


class Of(StrEnum):
    """What of a plan is in doubt."""

    SPARE = "metres to spare"
    WIDTH = "finished width"
    LENGTH = "finished length"
    AS_DECIDED = "log margin as decided"
    PLANNED_ANEW = "log margin planned anew"
    TAKES = "log yarn for the size wanted"


@dataclass(frozen=True)
class Told:
    """What knowing more tells: of each quantity the part of its variance that goes."""

    part: Mapping[Of, float]

    def narrows(self, what: Of) -> float:
        """The share of the spread that goes: 0 none, 1 all."""
        return 1 - math.sqrt(1 - self.part[what])


class Narrowing:
    """A job weighed up, its quantities as straight lines in the unknowns of a belief (which may know of more than the plan)."""

    def __init__(self, weighed: WeighedUp, belief: Belief) -> None:
        self.weighed = weighed
        self.belief = belief
        self._drawn = _quantities(weighed)
        self.mean = {what: float(np.mean(draws)) for what, draws in self._drawn.items()}
        self.spread = {what: float(np.std(draws)) for what, draws in self._drawn.items()}

    @cached_property
    def slopes(self) -> Matrix:
        """How each quantity follows each unknown, (unknowns, quantities): least squares over the draws."""
        drawn = self.weighed.forecast.drawn
        varied = [name for name in drawn if np.ptp(drawn[name]) > 0]
        columns = np.array([drawn[name] - drawn[name].mean() for name in varied]).T
        squares = columns.T @ columns
        squares[np.diag_indices_from(squares)] *= 1 + 1e-9
        wanted = np.array([self._drawn[what] - self.mean[what] for what in Of]).T
        slopes = np.zeros((len(self.belief.names), len(Of)))
        slopes[[self.belief.index[name] for name in varied]] = np.linalg.solve(squares, columns.T @ wanted)
        return slopes

    @cached_property
    def _doubted(self) -> Matrix:
        """How each unknown varies with each quantity, (unknowns, quantities): S b."""
        return np.asarray(self.belief.covariance @ self.slopes)

    def told_by(self, rows: Sequence[Measurement]) -> Told:
        """What rows not yet measured would tell; their values do not matter."""
        weights = np.array([self.belief.row(row.weights) for row in rows])
        return self._told(weights, np.array([row.sd for row in rows]))

    def told_by_knowing(self, names: Sequence[str]) -> Told:
        """What knowing some unknowns exactly would tell."""
        return self._told(np.array([self.belief.row({name: 1.0}) for name in names]), np.zeros(len(names)))

    def _told(self, weights: Matrix, error: Draws) -> Told:
        cross = weights @ self._doubted
        seen = weights @ self.belief.covariance @ weights.T + np.diag(error**2)
        gone = np.sum(cross * _solved(seen, cross, exact=not np.all(error > 0)), axis=0)
        return Told({what: _share(float(e), self.spread[what]) for what, e in zip(Of, gone, strict=True)})

    def settles(self, told: Told, *, before_warping: bool, costs_log: float = 0.0) -> float:
        """Chance that the verdict is definite afterwards, either way.

        Before the warp is wound the plan is made anew with what was learnt. `costs_log` is what the yarn used takes off
        the log margin: that counts against "enough" only, since a sample must not settle anything by eating the yarn.
        """
        anew = Of.PLANNED_ANEW if before_warping else Of.AS_DECIDED
        gain = self._gain(told) if before_warping else 0.0
        mean = self.mean[Of.AS_DECIDED] + gain
        moved = max(self.spread[anew] * math.sqrt(told.part[anew]), 1e-9)
        left = self.spread[Of.AS_DECIDED] * math.sqrt(1 - told.part[Of.AS_DECIDED])
        needed = _NORMAL.inv_cdf(self.weighed.trust) * left
        enough, not_enough = (mean - costs_log - needed) / moved, (-mean - needed) / moved
        return _NORMAL.cdf(enough) + _NORMAL.cdf(not_enough)

    def saves_m(self, told: Told) -> float:
        """Metres that the surer plan takes less, on average over what may come out, at the same trust in the size."""
        grown = self.spread[Of.TAKES] ** 2 * told.part[Of.TAKES] / 2
        return self._takes_m * (1 - math.exp(grown - self._gain(told)))

    @cached_property
    def _takes_m(self) -> float:
        outcome = self.weighed.outcome
        return float(np.mean(outcome.warp_m) + np.mean(outcome.weft_m))

    def _gain(self, told: Told) -> float:
        """How much the log of yarn taken falls where the outcome is as expected."""
        spread = self.spread[Of.TAKES]
        beyond = math.log(self._takes_m) - self.mean[Of.TAKES]
        return max(0.0, beyond) * told.narrows(Of.TAKES) if spread > 0 else 0.0

    def costs_log(self, warp_m: float, weft_m: float) -> float:
        """What yarn used for a sample takes off the mean log margin, over a few of the draws."""
        return self._without_sample - self._mean_log_margin(warp_m, weft_m)

    @cached_property
    def _without_sample(self) -> float:
        return self._mean_log_margin(0.0, 0.0)

    def _mean_log_margin(self, warp_m: float, weft_m: float) -> float:
        weighed, few = self.weighed, slice(None, None, _EVERY)
        need_warp, need_weft = weighed.outcome.warp_m[few], weighed.outcome.weft_m[few]
        balls = {name: metres[:, few] for name, metres in weighed.forecast.balls.items()}
        left = share_out(weighed.job, balls, weighed.decision, need_warp + warp_m, need_weft + weft_m)
        return float(np.mean(_log_margin(need_warp + need_weft, left.slack_m)))


def _solved(seen: Matrix, cross: Matrix, *, exact: bool) -> Matrix:
    """seen⁻¹ cross; what is known exactly may be known already, so that seen has no inverse in that direction."""
    if not exact:
        return np.asarray(np.linalg.solve(seen, cross))
    return np.asarray(np.linalg.pinv(seen, rcond=1e-12, hermitian=True) @ cross)


def _share(gone: float, spread: float) -> float:
    """A part of the variance as a share of it, never all of it."""
    return min(max(gone, 0.0) / spread**2, 0.9999) if spread > 0 else 0.0


def _log_margin(need_m: Draws, slack_m: Draws) -> Draws:
    """Log of yarn in hand over yarn needed where it binds."""
    return np.asarray(np.log(np.maximum(need_m + slack_m, _LEAST_M) / np.maximum(need_m, _LEAST_M)))


def _quantities(weighed: WeighedUp) -> dict[Of, Draws]:
    """Every quantity, by draw."""
    outcome, slack = weighed.outcome, weighed.stock.slack_m
    warp_m, weft_m, middling_weft_m = _just_enough(weighed)
    anew = share_out(weighed.job, weighed.forecast.balls, weighed.decision, warp_m, weft_m)
    return {
        Of.SPARE: slack,
        Of.WIDTH: outcome.finished_width,
        Of.LENGTH: outcome.finished_length,
        Of.AS_DECIDED: _log_margin(outcome.warp_m + outcome.weft_m, slack),
        Of.PLANNED_ANEW: _log_margin(warp_m + weft_m, anew.slack_m),
        Of.TAKES: np.log(warp_m + middling_weft_m),
    }


def _just_enough(weighed: WeighedUp) -> tuple[Draws, Draws, Draws]:
    """Warp and weft that would just do in each drawn cloth, m; and the weft at the middle weft per area.

    The width solves finished = width × ratio × exp(edge ÷ width), near enough finished ÷ ratio − edge.
    """
    job, forecast, wanted = weighed.job, weighed.forecast, weighed.wanted
    width = np.maximum(wanted.width_cm / np.exp(forecast.width_log) - forecast.drawn[EDGE], 1.0)
    woven = wanted.length_cm / forecast.length_ratio + job.on_warp_sample_cm
    ends = width * job.heddle.per_cm + job.extra_ends
    per_area = forecast.picks_per_cm * forecast.pick_length
    warp_m = ends * (woven / forecast.take_up + forecast.waste) / 100
    return warp_m, per_area * width * woven / 100, float(np.mean(per_area)) * width * woven / 100
