"""Outcomes of a measurement drawn, conditioned on and planned anew: what the closed form is held against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from clothwright.evidence import Belief, Measurement
from clothwright.planning.forecast import Forecast
from clothwright.planning.weighing_up import WeighedUp


@dataclass(frozen=True)
class Afterwards:
    """Over drawn outcomes: share with a definite verdict, metres the plan then takes, intervals' widths in cm and m."""

    definite: float
    takes_m: float
    takes_error_m: float
    width_spread_cm: float
    length_spread_cm: float
    spare_spread_m: float


def planned_anew(
    weighed: WeighedUp,
    belief: Belief,
    rows: Sequence[Measurement],
    *,
    before_warping: bool = True,
    used_m: tuple[float, float] = (0.0, 0.0),
    outcomes: int = 150,
) -> Afterwards:
    """Every outcome forecast anew; the warp decided anew where it is not yet wound. `used_m` is a sample's warp and weft."""
    weights = np.array([belief.row(row.weights) for row in rows])
    spread = weights @ belief.covariance @ weights.T + np.diag([row.sd**2 for row in rows])
    seen = np.random.default_rng(11).multivariate_normal(weights @ belief.mean, spread, outcomes)
    found = [_after(weighed, belief, rows, values, before_warping, used_m) for values in seen]
    definite, takes, *spreads = (np.array(column) for column in zip(*found, strict=True))
    error = float(takes.std() / np.sqrt(outcomes))
    return Afterwards(float(definite.mean()), float(takes.mean()), error, *(float(one.mean()) for one in spreads))


def _after(
    weighed: WeighedUp,
    belief: Belief,
    rows: Sequence[Measurement],
    values: np.ndarray,
    before_warping: bool,
    used_m: tuple[float, float],
) -> tuple[float, ...]:
    measured = [replace(row, value=float(value)) for row, value in zip(rows, values, strict=True)]
    forecast = Forecast(weighed.job, belief=belief.conditioned(measured))
    trust = weighed.job.project.trust.size.expected
    decision = forecast.decide(weighed.wanted, trust) if before_warping else weighed.decision
    outcome = forecast.outcome(decision)
    slack = forecast.stock(decision, outcome).slack_m
    enough = float(np.mean(slack >= sum(used_m)))
    not_enough = float(np.mean(slack >= 0))
    definite = enough >= weighed.trust or not_enough <= 1 - weighed.trust
    takes = float(np.mean(outcome.warp_m) + np.mean(outcome.weft_m))
    return (
        definite,
        takes,
        *(np.ptp(np.quantile(one, (0.05, 0.95))) for one in (outcome.finished_width, outcome.finished_length, slack)),
    )


def spread_of(draws: np.ndarray) -> float:
    """From the 5 % to the 95 % point."""
    return float(np.ptp(np.quantile(draws, (0.05, 0.95))))
