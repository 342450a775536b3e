"""What to measure next: the chance that a measurement would make the verdict definite, before it is made.

With belief Gaussian, how much a measurement will narrow the margin does not depend on what it will say. Let R be the
log of yarn in hand over yarn needed, near normal with mean μ and spread σ, and let the measurement explain the part e
of σ². Afterwards the spread is √(σ² − e) whatever comes out, and the mean lies at μ + √e·z with z standard normal. The
verdict is then definite when the new mean is far enough from nothing, either way, which has a closed chance.

*Limit*: the plan would also be made tighter once more is known; that gain is not counted, so chances are cautious.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray

from clothwright.evidence import (
    Belief,
    Measurement,
    SampleMeasured,
    Step,
    ball_unknown,
    core_unknown,
    grist_unknown,
    measured_rows,
    table,
)
from clothwright.planning.answer import ToMeasure, Verdict
from clothwright.planning.forecast import WASTE, Forecast, all_lots, measured_belief
from clothwright.planning.job import Job
from clothwright.planning.weighing_up import WeighedUp
from clothwright.project.domain import making
from clothwright.yarn import Lot

_NORMAL: Final = NormalDist()
_TRIAL_CM: Final = 20.0
_WORTH_SAYING: Final = 0.005


@dataclass(frozen=True)
class Trial:
    """A measurement that could be made: its rows (values do not matter), what it costs and why it would help."""

    what: str
    costs: str
    why: str
    rows: Sequence[Measurement]


def what_to_measure(weighed: WeighedUp) -> tuple[ToMeasure, ...]:
    """Measurements that may settle a verdict that is too close, most telling first."""
    if weighed.verdict != Verdict.TOO_CLOSE:
        return ()
    sample = _trial_sample(weighed)
    belief = measured_belief(weighed.job, trials=(sample,))
    log_margin = _log_margin(weighed)
    slope = _slope(weighed.forecast, belief, log_margin)
    found = [_told(trial, belief, slope, log_margin, weighed.trust) for trial in _trials(weighed, sample)]
    return tuple(sorted((one for one in found if one.settles >= _WORTH_SAYING), key=lambda one: -one.settles))


def _log_margin(weighed: WeighedUp) -> NDArray[np.float64]:
    """Log of yarn in hand over yarn needed where it binds, by draw."""
    need = weighed.outcome.warp_m + weighed.outcome.weft_m
    return np.asarray(np.log(np.maximum(need + weighed.stock.slack_m, 1e-6) / need))


def _slope(forecast: Forecast, belief: Belief, log_margin: NDArray[np.float64]) -> NDArray[np.float64]:
    """How the log margin follows each unknown of the belief, (n,): least squares over the draws."""
    names = list(forecast.drawn)
    varied = [name for name in names if np.ptp(forecast.drawn[name]) > 0]
    columns = np.array([forecast.drawn[name] - forecast.drawn[name].mean() for name in varied]).T
    squares = columns.T @ columns
    squares[np.diag_indices_from(squares)] *= 1 + 1e-9
    fitted = np.linalg.solve(squares, columns.T @ (log_margin - log_margin.mean()))
    slope = np.zeros(len(belief.names))
    for name, value in zip(varied, fitted, strict=True):
        slope[belief.index[name]] = value
    return slope


def _told(
    trial: Trial, belief: Belief, slope: NDArray[np.float64], log_margin: NDArray[np.float64], trust: float
) -> ToMeasure:
    rows = np.array([belief.row(row.weights) for row in trial.rows])
    error = np.array([row.sd for row in trial.rows])
    cross = rows @ belief.covariance @ slope
    seen = rows @ belief.covariance @ rows.T + np.diag(error**2)
    explained = float(cross @ np.linalg.solve(seen, cross))
    chance = _settles(float(log_margin.mean()), float(log_margin.std()), explained, trust)
    return ToMeasure(trial.what, chance, trial.costs, trial.why)


def _settles(mean: float, spread: float, explained: float, trust: float) -> float:
    """Chance that the mean margin will lie beyond what the remaining spread asks for, either way."""
    explained = min(explained, spread**2 * 0.9999)
    if explained <= 0:
        return 0.0
    needed = _NORMAL.inv_cdf(trust) * math.sqrt(spread**2 - explained)
    moved = math.sqrt(explained)
    return _NORMAL.cdf((mean - needed) / moved) + _NORMAL.cdf((-mean - needed) / moved)


def _trials(weighed: WeighedUp, sample: SampleMeasured) -> Iterator[Trial]:
    job = weighed.job
    for lot in all_lots(job):
        yield from _yarn_trials(lot)
    yield _sample_trial(weighed, sample)
    yield from _loom_trials(job)


def _yarn_trials(lot: Lot) -> Iterator[Trial]:
    handspun = table()["yarn"]["mill" if lot.made == "mill" else "handspun"]
    spread = math.hypot(0.005, handspun["within_ten_metres"] / math.sqrt(3))
    rows = [
        Measurement({grist_unknown(lot): 1.0, ball_unknown(lot, number): 1.0}, 0.0, spread, "")
        for number, ball in enumerate(lot.balls)
        if ball.net_g is not None
    ]
    if rows:
        many = f"each of the {len(rows)} balls" if len(rows) > 1 else "the ball"
        yield Trial(
            f"Weigh 10 m of {lot.name} again, from three places of {many}, to 0.1 g",
            f"{5 * len(rows)} minutes, no yarn",
            "uneven yarn: a few metres tell only so much about the whole ball",
            rows,
        )
    if any(ball.core_unknown for ball in lot.balls):
        row = Measurement({core_unknown(lot): 1.0}, 0.0, 0.05, "")
        yield Trial(
            f"Weigh an empty core like that of {lot.name}", "1 minute, no yarn", "the scale weighed the core too", [row]
        )


def _trial_sample(weighed: WeighedUp) -> SampleMeasured:
    """A square of this yarn at this heddle, washed as the cloth will be, not yet woven."""
    job = weighed.job
    made = making(job.project, job.yarns, job.heddle.per_cm, key="trial")
    return SampleMeasured(
        making=made,
        width_in_heddle=_TRIAL_CM,
        width_on_loom=_TRIAL_CM,
        width_off_loom=_TRIAL_CM,
        width_finished=_TRIAL_CM,
        warp_used=_TRIAL_CM,
        length_on_loom=_TRIAL_CM,
        length_off_loom=_TRIAL_CM,
        length_finished=_TRIAL_CM,
        picks_count=_TRIAL_CM * job.heddle.per_cm,
        picks_over=_TRIAL_CM,
        weft_used_m=_TRIAL_CM**2 * job.heddle.per_cm / 100,
        weft_error_log=0.02,
    )


def _sample_trial(weighed: WeighedUp, sample: SampleMeasured) -> Trial:
    job = weighed.job
    ends = job.ends_for(_TRIAL_CM)
    warp = ends * (_TRIAL_CM + float(np.median(weighed.forecast.waste))) / 100
    weft = _TRIAL_CM**2 * float(np.median(weighed.forecast.picks_per_cm)) / 100
    return Trial(
        f"Weave a {_TRIAL_CM:.0f} cm square at {job.heddle.name}, measure it on and off the loom, wash it, measure again",
        f"an evening, about {warp + weft:.0f} m of yarn ({warp:.0f} m warp, {weft:.0f} m weft)",
        "width, length and picks of this yarn at this sett, finished this way",
        list(measured_rows(sample)),
    )


def _loom_trials(job: Job) -> Iterator[Trial]:
    made = making(job.project, job.yarns, job.heddle.per_cm)
    picks = Measurement({made.unknown(Step.PICKS): 1.0}, 0.0, 0.015, "")
    yield Trial(
        "Count the picks after the first 20 cm of the real cloth",
        "5 minutes, no yarn, once the warp is on",
        "a heavier beat takes more weft",
        [picks],
    )
    weft = {made.unknown(Step.PICKS): 1.0, made.unknown(Step.PICK_LENGTH): 1.0}
    yield Trial(
        "Weigh the weft before and after the first 20 cm of the real cloth",
        "5 minutes, no yarn, once the warp is on",
        "grams of weft per cm woven, picks and take-up together",
        [Measurement(weft, 0.0, 0.03, "")],
    )
    yield Trial(
        "Measure what this loom wastes on one warp: front tie-on and unwoven end",
        "5 minutes at the end of any warp, no yarn",
        "every end pays the waste once",
        [Measurement({WASTE: 1.0}, 0.0, 0.03, "")],
    )
