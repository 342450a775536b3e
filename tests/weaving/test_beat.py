"""The drifting beat, against walks drawn out and against Gaussian process regression on a fine grid."""

from __future__ import annotations

import math

import numpy as np
import pytest
from weaving.at_looms import tabard, weighed

from clothwright.project import Project, read_project
from clothwright.weaving import standing
from clothwright.weaving.beat import _Model, beaten, drawn_back, drift_table

TAU = 0.08


def test_the_mean_of_a_walk_between_two_marks_is_half_their_sum_give_or_take_a_twelfth() -> None:
    """Brownian bridge, any text on random walks: Var[mean − ½(a + b)] = τ² L ÷ 12. Twenty thousand walks of 400 steps."""
    random = np.random.default_rng(7)
    steps = random.normal(0.0, TAU / math.sqrt(400), (20_000, 400))
    walks = np.hstack([np.zeros((20_000, 1)), np.cumsum(steps, axis=1)])
    apart = walks.mean(axis=1) - (walks[:, 0] + walks[:, -1]) / 2
    assert np.mean(apart) == pytest.approx(0.0, abs=1e-3)
    assert np.var(apart) == pytest.approx(TAU**2 / 12, rel=0.03)


def test_a_walk_drawn_back_has_the_covariance_it_is_drawn_with() -> None:
    """Uhlenbeck and Ornstein (1930): steps of 1 cm, each drawing back by a two-hundredth; twenty thousand walks of 3 m."""
    random, back = np.random.default_rng(3), drift_table()["wander"]["back_over_m"]
    keeps = math.exp(-0.01 / back)
    walks, now = [], np.zeros(20_000)
    for _ in range(300):
        now = now * keeps + random.normal(0.0, math.sqrt(back / 2 * (1 - keeps**2)), now.shape)
        walks.append(now)
    places = np.array([0.3, 1.0, 3.0])
    drawn = np.cov([walks[round(place * 100) - 1] for place in places])
    assert drawn == pytest.approx(drawn_back(places), rel=0.04)


def test_the_rest_is_believed_as_gaussian_process_regression_believes_it() -> None:
    """Rasmussen and Williams (2006), eq. 2.23 and 2.24, on a grid of 2 mm: mean and spread of log grams per cm of the rest."""
    marks = [(0.0, 212.0), (60.0, 165.0), (150.0, 85.0)]
    model = _Model.of(standing(weighed(*marks)))
    mean, spread = model.belief(TAU).after.expected(model.rate_of_rest("weft"))

    grid = np.arange(0.1, 263.0, 0.2) / 100
    trend, mark = drift_table()["trend"]["per_metre"], drift_table()["mark"]["cm"]
    kernel = TAU**2 * drawn_back(grid) + trend**2 * np.outer(grid, grid)
    spans = [(0.0, 0.6), (0.6, 1.5), (1.5, 2.63)]
    means = np.array([(grid > a) & (grid <= b) for a, b in spans], dtype=float)
    means /= means.sum(axis=1, keepdims=True)
    level = 2 * drift_table()["unknown_rate"]["sd"] ** 2
    covariance = means @ kernel @ means.T + level
    used, lengths = np.array([47.0, 80.0]), np.array([60.0, 90.0])
    scale = (1 / math.sqrt(12)) ** 2
    noise = np.diag((math.sqrt(2) * mark / lengths) ** 2)
    noise += scale * np.array([[2 / used[0] ** 2, -1 / used[0] / used[1]], [-1 / used[0] / used[1], 2 / used[1] ** 2]])
    seen = np.log(used / lengths) - (math.log(4.0) + math.log(0.2))
    gain = covariance[2, :2] @ np.linalg.inv(covariance[:2, :2] + noise)
    assert mean == pytest.approx(math.log(0.8) + gain @ seen, abs=2e-3)
    assert spread == pytest.approx(
        math.sqrt(covariance[2, 2] - gain @ covariance[:2, 2]), rel=0.02
    )  # a bridge is taken as of a walk not drawn back


def spread_of_rest(project: Project) -> float:
    drawn = beaten(standing(project))
    return float(np.std(drawn.log_g_per_cm["weft"]))


def test_an_uneven_hand_is_believed_to_stay_uneven() -> None:
    """The same grams over the whole: a rate that jumped about leaves more doubt than one that kept even."""
    even = [(40.0 * n, 300 - 32.0 * n) for n in range(5)]
    uneven = [(0, 300), (40, 274), (80, 236), (120, 210), (160, 172)]
    assert spread_of_rest(weighed(*uneven)) > 1.4 * spread_of_rest(weighed(*even))


def test_a_slip_of_the_scale_is_shared_by_the_two_stretches_it_parts() -> None:
    """Three grams too little on a shaking scale make one stretch heavy and the next light; the end is believed the same."""
    middles = []
    for at_middle in ("165 ± 5 g", "162 ± 5 g"):
        marks = {"0 cm": "212 g", "60 cm": at_middle, "120 cm": "118 g"}
        log = [{"woven": cm, "weft_left": {"weft": left}} for cm, left in marks.items()]
        project = read_project({"on_loom": {"to_weave": "263 cm"}, "log": log})
        middles.append(float(np.median(beaten(standing(project)).log_g_per_cm["weft"])))
    assert abs(middles[0] - middles[1]) < 0.02


def test_with_a_plan_and_nothing_weighed_it_is_what_the_plan_believes() -> None:
    """Before the log says anything the rate is the plan's own: picks, yarn per pick, width and metres per gram."""
    tree = tabard(1)
    tree["log"] = [{"note": "warp on"}]
    stands = standing(read_project(tree))
    assert stands.warped is not None
    made = stands.warped.weighed.forecast
    planned = np.log(made.picks_per_cm * stands.warped.width_in_heddle_cm * made.pick_length / 100)
    grist = made.drawn["yarn eelgrass: grist"]
    drawn = beaten(stands).log_g_per_cm["eelgrass"]
    assert float(np.median(drawn)) == pytest.approx(float(np.median(planned - grist)), abs=0.01)
    assert float(np.std(drawn)) > float(np.std(planned - grist))


def test_picks_counted_closer_raise_what_is_needed() -> None:
    """The same weights; a count of ten per cent more picks at the last mark is heard."""
    tree, closer = tabard(2), tabard(2)
    tree["log"][1]["picks"] = {"count": 30, "over": "10 cm"}
    closer["log"][1]["picks"] = {"count": 33, "over": "10 cm"}
    rates = [float(np.median(beaten(standing(read_project(one))).log_g_per_cm["eelgrass"])) for one in (tree, closer)]
    assert 0.01 < rates[1] - rates[0] < 0.1


def test_the_same_log_gives_the_same_answer() -> None:
    one, other = (beaten(standing(weighed((0, 212), (60, 165), (150, 85)))) for _ in range(2))
    assert np.array_equal(one.log_g_per_cm["weft"], other.log_g_per_cm["weft"])
