"""Many rows factored and questioned together, against plainer algebra."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import linalg, stats

from clothwright.evidence import Measurement, NotACovariance, independent
from clothwright.evidence.conditioning import QUESTIONED_BEYOND, cholesky, forward, settle


def some_rows(seed: int, count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A covariance of some rows, their errors, and residuals drawn from it."""
    rng = np.random.default_rng(seed)
    root = rng.normal(size=(count, 5))
    before, sd = root @ root.T, rng.uniform(0.1, 1.0, count)
    return before, sd, rng.multivariate_normal(np.zeros(count), before + np.diag(sd**2))


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 200))
def test_a_triangle_is_solved_as_scipy_solves_it(seed: int, count: int) -> None:
    """Block by block or at once, L⁻¹·B is the same (scipy.linalg.solve_triangular)."""
    before, sd, off = some_rows(seed, count)
    factor = cholesky(before + np.diag(sd**2))
    assert forward(factor, off[:, None])[:, 0] == pytest.approx(
        linalg.solve_triangular(factor, off, lower=True), rel=1e-8, abs=1e-9
    )


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 150))
def test_rows_settled_have_the_density_scipy_gives(seed: int, count: int) -> None:
    """Where nothing is questioned, −e²/2 − Σ log L_ii is the log density of the residuals (scipy.stats)."""
    before, sd, off = some_rows(seed, count)
    settled = settle(before, sd, off)
    if settled.questioned:
        return
    ours = -settled.white @ settled.white / 2 - np.log(np.diag(settled.factor)).sum() - count * np.log(2 * np.pi) / 2
    assert ours == pytest.approx(stats.multivariate_normal(cov=before + np.diag(sd**2)).logpdf(off), rel=1e-8)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 150), st.integers(1, 4))
def test_no_row_is_left_beyond_three_spreads_of_those_before_it(seed: int, count: int, slips: int) -> None:
    """However many slips, each is widened until it lies at three."""
    before, sd, off = some_rows(seed, count)
    off[:: max(1, count // slips)] += 40
    settled = settle(before, sd, off, looking_back=False)
    assert settled.questioned
    assert np.max(np.abs(settled.white)) <= QUESTIONED_BEYOND * (1 + 1e-6)
    assert all(spreads > QUESTIONED_BEYOND for _, spreads in settled.questioned)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 120), st.data())
def test_the_first_rows_are_settled_as_if_alone(seed: int, count: int, data: st.DataObject) -> None:
    """What comes later changes nothing of what was believed before it came."""
    before, sd, off = some_rows(seed, count)
    off[0] += 30
    first = data.draw(st.integers(1, count))
    every = settle(before, sd, off, looking_back=False).first(first)
    alone = settle(before[:first, :first], sd[:first], off[:first], looking_back=False)
    assert every.factor == pytest.approx(alone.factor, rel=1e-6, abs=1e-9)
    assert every.white == pytest.approx(alone.white, rel=1e-6, abs=1e-7)


def test_two_odd_measurements_that_agree_are_two_witnesses() -> None:
    """One ratio five spreads off is questioned; told again by another measurement, both are taken at their word."""
    belief = independent({"ratio": (0.0, 0.05)})
    odd = [Measurement({"ratio": 1.0}, 0.28, 0.01, name) for name in ("first", "second")]
    once, twice = belief.conditioned(odd[:1]), belief.conditioned(odd)
    assert [one.what for one in once.questioned] == ["first"]
    assert once.mean[0] < 0.15
    assert not twice.questioned
    assert twice.mean[0] == pytest.approx(0.28 * 2 / (2 + (0.01 / 0.05) ** 2), rel=1e-9)


def test_two_odd_measurements_that_disagree_stay_questioned() -> None:
    """One far above and one far below bear each other out in nothing."""
    belief = independent({"ratio": (0.0, 0.05)})
    odd = [Measurement({"ratio": 1.0}, value, 0.01, f"{value}") for value in (0.4, -0.4)]
    assert len(belief.conditioned(odd).questioned) == 2


def test_an_odd_measurement_is_borne_out_by_later_ordinary_ones() -> None:
    """Three spreads beyond the table, and then four samples that say the same: the first was no slip."""
    belief = independent({"ratio": (0.0, 0.05)})
    rows = [Measurement({"ratio": 1.0}, value, 0.03, str(value)) for value in (0.18, 0.14, 0.15, 0.14, 0.15)]
    assert belief.conditioned(rows[:1]).questioned
    assert not belief.conditioned(rows).questioned


def test_what_is_no_covariance_is_our_fault_in_one_sentence() -> None:
    with pytest.raises(NotACovariance, match="2 rows"):
        cholesky(np.array([[1.0, 2.0], [2.0, 1.0]]))
    with pytest.raises(NotACovariance, match="no number"):
        cholesky(np.array([[np.nan]]))
