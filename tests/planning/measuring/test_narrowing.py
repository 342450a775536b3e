"""What a measurement will leave of the doubt is known before it is made: closed form against drawn outcomes.

Sources: Gaussian conditioning and the law of total variance, any text on probability; the check is brute force, with
numpy's own normal sampler, ordinary least squares, and the plan made anew for every outcome.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from planning.by_brute_force import planned_anew, spread_of
from planning.jobs import SLATE, UNSAMPLED, job
from scipy import stats

from clothwright.planning import Verdict
from clothwright.planning.forecast import WASTE, Forecast
from clothwright.planning.measuring.measure_next import NOW, possible_trials
from clothwright.planning.measuring.narrowing import Narrowing, Of, Told
from clothwright.planning.measuring.sampling import On, SampleSearch
from clothwright.planning.weighing_up import weigh_up


def test_the_part_that_goes_is_what_a_regression_on_simulated_readings_explains() -> None:
    """R² of a figure on readings, over cloths drawn afresh by numpy, is the share of its variance that goes."""
    weighed = weigh_up(job(UNSAMPLED))
    search = SampleSearch(weighed)
    narrowing, belief = search.narrowing, search.narrowing.belief
    random = np.random.default_rng(7)
    draws = random.multivariate_normal(belief.mean, belief.covariance, 20_000, check_valid="warn")
    drawn = {name: draws[:, i] for i, name in enumerate(belief.names)}
    outcome = Forecast(weighed.job, drawn, belief).outcome(weighed.decision)
    figures = {Of.WIDTH: outcome.finished_width, Of.LENGTH: outcome.finished_length}
    for trial in possible_trials(weighed, search):
        weights = np.array([belief.row(row.weights) for row in trial.rows])
        readings = draws @ weights.T + random.normal(0, [row.sd for row in trial.rows], (len(draws), len(trial.rows)))
        design = np.column_stack([np.ones(len(draws)), readings])
        told = narrowing.told_by(trial.rows)
        for what, figure in figures.items():
            fitted = design @ np.linalg.lstsq(design, figure, rcond=None)[0]
            assert told.part[what] == pytest.approx(np.var(fitted) / np.var(figure), abs=0.03), (trial.what, what)


@pytest.mark.parametrize("given", [SLATE, UNSAMPLED], ids=["sampled once", "unsampled"])
def test_the_verdict_is_definite_as_often_as_said_when_every_outcome_is_planned_anew(given: dict) -> None:
    """Outcomes of every measurement drawn; those before warping change the warp too, those on the loom do not."""
    weighed = weigh_up(job(given))
    search = SampleSearch(weighed)
    narrowing = search.narrowing
    assert weighed.verdict == Verdict.TOO_CLOSE
    for trial in possible_trials(weighed, search):
        told, before = narrowing.told_by(trial.rows), trial.when == NOW
        if max(told.part.values()) < 0.05:
            continue
        costs = narrowing.costs_log(trial.warp_m, trial.weft_m) if trial.metres else 0.0
        said = narrowing.settles(told, before_warping=before, costs_log=costs)
        used = (trial.warp_m, trial.weft_m)
        found = planned_anew(weighed, narrowing.belief, trial.rows, before_warping=before, used_m=used, outcomes=100)
        assert said == pytest.approx(found.definite, abs=0.09), trial.what


def test_intervals_after_a_sample_are_as_narrow_as_said() -> None:
    """Mean widths of the new intervals over drawn outcomes, against the share of the spread said to go."""
    weighed = weigh_up(job(UNSAMPLED))
    search = SampleSearch(weighed)
    choice = search.smallest(On.LOOM)
    # At the decision made before: the share is of the cloth as planned now.
    found = planned_anew(
        weighed, search.narrowing.belief, search.rows(choice.sample), before_warping=False, outcomes=60
    )
    now = weighed.outcome
    assert 1 - found.width_spread_cm / spread_of(now.finished_width) == pytest.approx(choice.narrows_width, abs=0.03)
    assert 1 - found.length_spread_cm / spread_of(now.finished_length) == pytest.approx(choice.narrows_length, abs=0.06)
    assert 1 - found.spare_spread_m / spread_of(weighed.stock.slack_m) == pytest.approx(choice.narrows_margin, abs=0.06)


@pytest.mark.parametrize("given", [SLATE, UNSAMPLED], ids=["sampled once", "unsampled"])
def test_a_surer_plan_saves_as_much_yarn_as_said(given: dict) -> None:
    """Average yarn of plans made anew at the same trust, over 200 outcomes, within three of its own errors."""
    weighed = weigh_up(job(given))
    search = SampleSearch(weighed)
    choice = search.smallest(On.LOOM)
    found = planned_anew(weighed, search.narrowing.belief, search.rows(choice.sample), outcomes=200)
    takes = float(np.mean(weighed.outcome.warp_m) + np.mean(weighed.outcome.weft_m))
    assert choice.saves_m > 3
    assert takes - found.takes_m == pytest.approx(choice.saves_m, abs=3 * found.takes_error_m)


def test_the_chance_is_that_of_a_normal_middle_beyond_what_the_rest_asks() -> None:
    """Against scipy's normal: half of the variance of the margin told, none of it before warping."""
    narrowing = Narrowing(weighed := weigh_up(job(SLATE)), weighed.forecast.belief)
    mean, spread = narrowing.mean[Of.AS_DECIDED], narrowing.spread[Of.AS_DECIDED]
    told = Told(dict.fromkeys(Of, 0.0) | {Of.AS_DECIDED: 0.5})
    bound = stats.norm.ppf(weighed.trust) * spread * math.sqrt(0.5)
    middle = stats.norm(mean, spread * math.sqrt(0.5))
    assert narrowing.settles(told, before_warping=False) == pytest.approx(
        middle.sf(bound) + middle.cdf(-bound), abs=1e-12
    )


def test_yarn_used_for_a_sample_never_helps_the_verdict() -> None:
    """A sample cannot settle a question by eating the yarn."""
    search = SampleSearch(weigh_up(job(UNSAMPLED)))
    narrowing, choice = search.narrowing, search.smallest(On.LOOM)
    told = narrowing.told_by(search.rows(choice.sample))
    costs = [narrowing.costs_log(metres, metres) for metres in (0.0, 10.0, 50.0, 300.0)]
    settles = [narrowing.settles(told, before_warping=True, costs_log=cost) for cost in costs]
    assert costs == sorted(costs)
    assert settles == sorted(settles, reverse=True)


def test_knowing_what_is_known_tells_nothing() -> None:
    """A loom without waste, said exactly, leaves nothing to be known of it."""
    given = job({**UNSAMPLED, "loom": {**UNSAMPLED["loom"], "waste": "0 cm"}})
    narrowing = Narrowing(weighed := weigh_up(given), weighed.forecast.belief)
    assert set(narrowing.told_by_knowing([WASTE]).part.values()) == {0.0}
