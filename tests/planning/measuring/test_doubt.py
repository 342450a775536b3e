"""What contributes most to the doubt.

Sources: first-order variance index Var E[y | x] ÷ Var y, I. M. Sobol (1993); the reference here is brute force: cloths
drawn by numpy, sorted into bins of one unknown by scipy, and the variance of the bins' means.
"""

from __future__ import annotations

import numpy as np
import pytest
from planning.asking import changed, planned
from planning.jobs import SLATE, UNSAMPLED, job
from scipy import stats

from clothwright.evidence import EDGE, Step
from clothwright.planning.forecast import WASTE, Forecast
from clothwright.planning.measuring.doubt import doubts
from clothwright.planning.weighing_up import weigh_up

#: One unknown each, by its name in answers.
SINGLE = {
    "picks per cm": f"this cloth: {Step.PICKS}",
    "draw-in on the loom": f"this cloth: {Step.DRAW_IN}",
    "weft take-up": f"this cloth: {Step.PICK_LENGTH}",
    "warp take-up": f"this cloth: {Step.TAKE_UP}",
    "loom waste": WASTE,
    "what the edges lose": EDGE,
}


@pytest.mark.parametrize("given", [SLATE, UNSAMPLED], ids=["sampled once", "unsampled"])
def test_each_bar_is_the_share_of_the_variance_that_sorting_by_the_unknown_explains(given: dict) -> None:
    """60,000 fresh cloths in 60 bins of each unknown, correlations and all."""
    weighed = weigh_up(job(given))
    belief, size = weighed.forecast.belief, 60_000
    draws = np.random.default_rng(3).multivariate_normal(belief.mean, belief.covariance, size, check_valid="warn")
    drawn = {name: draws[:, i] for i, name in enumerate(belief.names)}
    forecast = Forecast(weighed.job, drawn, belief)
    outcome = forecast.outcome(weighed.decision)
    figures = (forecast.stock(weighed.decision, outcome).slack_m, outcome.finished_width, outcome.finished_length)
    told = {one.what: (one.margin_m, one.finished_width_cm, one.finished_length_cm) for one in doubts(weighed)}
    for what, unknown in SINGLE.items():
        if what not in told:
            continue
        for figure, swing in zip(figures, told[what], strict=True):
            edges = np.quantile(drawn[unknown], np.linspace(0, 1, 61))
            means = stats.binned_statistic(drawn[unknown], figure, "mean", edges).statistic
            assert swing.share == pytest.approx(np.var(means) / np.var(figure), abs=0.03), what


def test_spread_and_rest_come_to_the_whole_as_squares() -> None:
    """A bar and what would be left without it are the legs of a right angle whose long side is the interval."""
    answer = planned(UNSAMPLED)
    whole = answer.margin.m.high - answer.margin.m.low
    for one in answer.doubt:
        assert one.margin_m.spread**2 + one.margin_m.if_known**2 == pytest.approx(whole**2, rel=1e-6)


def test_what_is_vaguer_contributes_more() -> None:
    """Picks typed with more doubt have the longer bar, and become the first."""
    shares = []
    for picks in ("3.15 to 3.25/cm", "3.0 to 3.4/cm", "2.6 to 3.9/cm"):
        answer = planned(changed(SLATE, cloth__picks=picks))
        shares.append(next((one.margin_m.share for one in answer.doubt if one.what == "picks per cm"), 0.0))
    assert shares == sorted(shares)
    assert planned(changed(SLATE, cloth__picks="2.6 to 3.9/cm")).doubt[0].what == "picks per cm"


def test_what_is_known_exactly_contributes_nothing() -> None:
    answer = planned(changed(UNSAMPLED, loom__waste="0 cm"))
    assert "loom waste" not in {one.what for one in answer.doubt}


def test_yarn_is_set_aside_for_doubt_in_the_size_only() -> None:
    """How many metres a gram has does not make the cloth smaller; how it shrinks does."""
    aside = {one.what: one.sets_aside_m for one in planned(UNSAMPLED).doubt}
    assert aside["metres per gram of slate tide"] == pytest.approx(0, abs=0.5)
    assert aside["length lost off the loom and in finishing"] > 10


def test_a_plan_by_hand_has_no_doubt() -> None:
    assert planned(SLATE, by_hand=True).doubt == ()


def test_doubt_stands_beside_the_plan_in_json() -> None:
    first = planned(SLATE).as_json()["doubt"][0]
    assert set(first) == {"what", "margin_m", "finished_width_cm", "finished_length_cm", "sets_aside_m"}
    assert set(first["margin_m"]) == {"spread", "if_known", "share"}
