"""Conditioning and draws, against independent sums."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats
from scipy.special import ndtr, ndtri
from scipy.stats import qmc

from clothwright.evidence import Belief, Measurement, independent, joint
from clothwright.evidence.belief import normal_draws
from clothwright.evidence.conditioning import QUESTIONED_BEYOND


def some_belief(rng: np.random.Generator, size: int) -> Belief:
    """A belief with everything correlated."""
    root = rng.normal(size=(size, size)) / math.sqrt(size)
    return Belief(tuple(f"x{i}" for i in range(size)), rng.normal(size=size), root @ root.T + 0.05 * np.eye(size))


def some_measurements(rng: np.random.Generator, belief: Belief, count: int) -> list[Measurement]:
    """Sums of the unknowns, measured with error, of truths drawn from the belief."""
    truth = rng.multivariate_normal(belief.mean, belief.covariance)
    rows = rng.normal(size=(count, len(belief.names)))
    errors = rng.uniform(0.05, 1.0, size=count)
    return [
        Measurement(
            dict(zip(belief.names, row, strict=True)), float(row @ truth + rng.normal() * error), error, "a sum"
        )
        for row, error in zip(rows, errors, strict=True)
    ]


seeds = st.integers(0, 2**32 - 1)


@given(seeds, st.integers(1, 9), st.integers(1, 6))
def test_conditioning_is_the_information_form(seed: int, size: int, count: int) -> None:
    """S' = (S⁻¹ + HᵀR⁻¹H)⁻¹ and m' = S'(S⁻¹m + HᵀR⁻¹y), another algebra for the same update, agree."""
    rng = np.random.default_rng(seed)
    belief = some_belief(rng, size)
    measured = some_measurements(rng, belief, count)
    ours = belief.conditioned(measured)
    assume(not ours.questioned)
    rows = np.array([list(one.weights.values()) for one in measured])
    weight = np.diag([one.sd**-2 for one in measured])
    values = np.array([one.value for one in measured])
    prior = np.linalg.inv(belief.covariance)
    covariance = np.linalg.inv(prior + rows.T @ weight @ rows)
    mean = covariance @ (prior @ belief.mean + rows.T @ weight @ values)
    assert ours.covariance == pytest.approx(covariance, rel=1e-6, abs=1e-9)
    assert ours.mean == pytest.approx(mean, rel=1e-6, abs=1e-8)


@given(seeds, st.integers(1, 6), st.integers(1, 4))
def test_conditioning_obeys_bayes_rule(seed: int, size: int, count: int) -> None:
    """log p(x | y) + log p(y) = log p(x) + log p(y | x) at any x, every density by scipy."""
    rng = np.random.default_rng(seed)
    belief = some_belief(rng, size)
    measured = some_measurements(rng, belief, count)
    ours = belief.conditioned(measured)
    assume(not ours.questioned)
    rows = np.array([list(one.weights.values()) for one in measured])
    values, error = np.array([one.value for one in measured]), np.diag([one.sd**2 for one in measured])
    at = rng.multivariate_normal(ours.mean, ours.covariance)
    normal = stats.multivariate_normal
    left = normal.logpdf(at, ours.mean, ours.covariance) + normal.logpdf(
        values, rows @ belief.mean, rows @ belief.covariance @ rows.T + error
    )
    right = normal.logpdf(at, belief.mean, belief.covariance) + normal.logpdf(values, rows @ at, error)
    assert left == pytest.approx(right, rel=1e-6, abs=1e-6)


@given(seeds, st.integers(1, 8), st.integers(2, 6))
def test_the_order_of_measurements_does_not_matter(seed: int, size: int, count: int) -> None:
    """Unless one is questioned, backwards is the same as forwards."""
    rng = np.random.default_rng(seed)
    belief = some_belief(rng, size)
    measured = some_measurements(rng, belief, count)
    forwards, backwards = belief.conditioned(measured), belief.conditioned(measured[::-1])
    assume(not forwards.questioned)
    assume(not backwards.questioned)
    assert forwards.mean == pytest.approx(backwards.mean, rel=1e-6, abs=1e-8)
    assert forwards.covariance == pytest.approx(backwards.covariance, rel=1e-6, abs=1e-9)


@given(seeds, st.integers(1, 8), st.integers(1, 6))
def test_measuring_never_widens_any_forecast(seed: int, size: int, count: int) -> None:
    """The variance of any sum of unknowns only falls, questioned or not."""
    rng = np.random.default_rng(seed)
    belief = some_belief(rng, size)
    measured = some_measurements(rng, belief, count)
    wild = [Measurement(one.weights, one.value + 50, one.sd, "a slip") for one in measured[:1]]
    ours = belief.conditioned([*measured, *wild])
    for _ in range(5):
        row = rng.normal(size=size)
        before, after = row @ belief.covariance @ row, row @ ours.covariance @ row
        assert -1e-12 <= after <= before * (1 + 1e-9)
    assert ours.covariance == pytest.approx(ours.covariance.T, abs=1e-12)


def test_a_measurement_repeated_narrows() -> None:
    """Two weighings with the same error leave 1/√2 of it, where little was known before."""
    belief = independent({"grist": (0.0, 100.0)})
    once = Measurement({"grist": 1.0}, 1.1, 0.03, "ten metres")
    spreads = [belief.conditioned([once] * count).expected({"grist": 1.0})[1] for count in (1, 2, 4)]
    assert spreads == pytest.approx([0.03, 0.03 / math.sqrt(2), 0.015], rel=1e-6)


@given(st.floats(0.01, 1), st.floats(0.001, 1), st.floats(-20, 20))
def test_a_measurement_beyond_three_spreads_is_questioned_and_kept(known: float, error: float, off: float) -> None:
    """It still pulls, as strongly as one at three spreads may, and in its own direction."""
    belief = independent({"ratio": (0.0, known)})
    total = math.hypot(known, error)
    assume(abs(abs(off) / total - QUESTIONED_BEYOND) > 1e-6)
    after = belief.conditioned([Measurement({"ratio": 1.0}, off, error, "the tape")])
    if abs(off) > QUESTIONED_BEYOND * total:
        assert [one.what for one in after.questioned] == ["the tape"]
        assert after.questioned[0].spreads == pytest.approx(abs(off) / total)
        assert abs(after.mean[0]) < abs(off) * known**2 / total**2
    else:
        assert not after.questioned
        assert after.mean[0] == pytest.approx(off * known**2 / total**2, rel=1e-9, abs=1e-12)
    assert after.mean[0] * off >= 0


def test_what_was_questioned_is_remembered() -> None:
    """Joining beliefs, keeping some unknowns and measuring on forget no question."""
    first = independent({"a": (0.0, 0.1)}).conditioned([Measurement({"a": 1.0}, 5.0, 0.1, "first slip")])
    both = joint([first, independent({"b": (0.0, 0.1)})])
    second = both.conditioned([Measurement({"b": 1.0}, 5.0, 0.1, "second slip")])
    assert [one.what for one in second.kept(["a"]).questioned] == ["first slip", "second slip"]


def test_two_exact_measurements_that_agree_are_one() -> None:
    """A figure known exactly takes a second look without a division by nothing; it is known to a millionth."""
    exact = Measurement({"a": 1.0}, 2.0, 0.0, "a figure")
    after = independent({"a": (0.0, 1.0)}).conditioned([exact, exact])
    assert after.expected({"a": 1.0}) == pytest.approx((2.0, 0.0), abs=1e-6)
    assert not after.questioned


def test_the_draws_are_a_net_in_every_coordinate() -> None:
    """Of 4,096 equal parts of the distribution each holds exactly one draw, in each of 32 dimensions."""
    draws = normal_draws(32)
    assert draws.shape == (4096, 32)
    bins = np.floor(ndtr(draws) * 4096).astype(int)
    for dimension in range(32):
        assert np.array_equal(np.sort(bins[:, dimension]), np.arange(4096))


def test_the_draws_are_scipys_sobol_net() -> None:
    """The table is scipy's scrambled Sobol generator, seed 1946, through the normal quantile function."""
    net = qmc.Sobol(32, scramble=True, rng=np.random.default_rng(1946)).random_base2(12)
    assert normal_draws(32) == pytest.approx(ndtri(net), abs=1e-6)


def test_draws_are_always_the_same() -> None:
    """The same plan gives the same answer, beyond 32 dimensions too."""
    assert np.array_equal(normal_draws(40), normal_draws(40))
    assert np.array_equal(normal_draws(40)[:, :32], normal_draws(32))


@given(seeds, st.integers(1, 32))
def test_draws_reproduce_mean_and_covariance(seed: int, size: int) -> None:
    """Means to 0.5 % of a spread, covariances to 3 % of two spreads, 5 and 95 % points to 12 % of a spread."""
    belief = some_belief(np.random.default_rng(seed), size)
    drawn = np.array(list(belief.draws().values()))
    spreads = np.sqrt(np.diag(belief.covariance))
    assert np.max(np.abs(drawn.mean(axis=1) - belief.mean) / spreads) < 0.005
    off = np.abs(np.cov(drawn) - belief.covariance) / np.outer(spreads, spreads)
    assert np.max(off) < 0.03
    points = (np.quantile(drawn, (0.05, 0.95), axis=1) - belief.mean) / spreads
    assert points == pytest.approx(np.array([[-1.644854] * size, [1.644854] * size]), abs=0.12)


@given(seeds)
def test_draws_of_very_many_unknowns_reproduce_them_too(seed: int) -> None:
    """Beyond 32 directions plain draws fill in: means to 8 % of a spread, covariances to 10 % of two."""
    belief = some_belief(np.random.default_rng(seed), 60)
    drawn = np.array(list(belief.draws().values()))
    spreads = np.sqrt(np.diag(belief.covariance))
    assert np.max(np.abs(drawn.mean(axis=1) - belief.mean) / spreads) < 0.08
    assert np.max(np.abs(np.cov(drawn) - belief.covariance) / np.outer(spreads, spreads)) < 0.10


def test_a_sum_without_spread_draws_without_spread() -> None:
    """x - x is exactly nothing in every draw."""
    belief = some_belief(np.random.default_rng(3), 4)
    draws = belief.draws()
    assert np.all(draws["x1"] - draws["x1"] == 0)
    assert belief.expected({"x1": 0.0}) == (0.0, 0.0)
