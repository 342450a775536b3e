"""Belief: jointly Gaussian unknowns, and how a measurement changes them.

All unknowns are logarithms of positive quantities (and a few plain lengths), with mean m and covariance S. A measurement
is a row: y = H·x + e, with e of known spread. Conditioning is closed and exact:

    K = S Hᵀ (H S Hᵀ + R)⁻¹,   m' = m + K (y − H m),   S' = S − K H S

by Cholesky's factor of H S Hᵀ + R, in which far measurements are questioned (see `conditioning`). This belief is dense:
every covariance is written out. `together` does the same for hundreds of cloths without writing them all out.

Draws. A forecast is 4,096 fixed quasi-random draws (a scrambled Sobol net) carried through the plan's arithmetic, so
that correlations are kept and the same plan gives the same answer. The net has 32 dimensions, given to the directions
in which belief is widest; the few directions beyond take plain seeded draws.

*Source*: Gaussian conditioning, any text on linear Gaussian models; Sobol net after Joe and Kuo (2008), as in scipy.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from importlib import resources

import numpy as np

from clothwright.evidence.conditioning import Matrix, Settled, Vector, settle
from clothwright.measure import Draws, Rung


@dataclass(frozen=True)
class Measurement:
    """One row: `weights` of the unknowns it sums, the `value` seen, its spread `sd`, and in words what it was."""

    weights: Mapping[str, float]
    value: float
    sd: float
    what: str
    rung: Rung = Rung.SAMPLED


@dataclass(frozen=True)
class Questioned:
    """A measurement that lies far from belief: how many spreads away, and what it was."""

    what: str
    spreads: float


@dataclass(frozen=True)
class Belief:
    """Named unknowns with mean (n,) and covariance (n, n)."""

    names: tuple[str, ...]
    mean: Vector
    covariance: Matrix
    questioned: tuple[Questioned, ...] = ()

    @cached_property
    def index(self) -> dict[str, int]:
        """Where each unknown stands."""
        return {name: i for i, name in enumerate(self.names)}

    def row(self, weights: Mapping[str, float]) -> Vector:
        """The row of H for these weights."""
        row = np.zeros(len(self.names))
        for name, weight in weights.items():
            row[self.index[name]] = weight
        return row

    def expected(self, weights: Mapping[str, float]) -> tuple[float, float]:
        """Mean and standard deviation of a weighted sum of unknowns."""
        row = self.row(weights)
        return float(row @ self.mean), math.sqrt(max(0.0, float(row @ self.covariance @ row)))

    def conditioned(self, measurements: Sequence[Measurement]) -> Belief:
        """Belief after the measurements, in their order; far ones questioned and their error widened."""
        if not measurements:
            return self
        rows = np.array([self.row(one.weights) for one in measurements])
        cross = self.covariance @ rows.T
        off = np.array([one.value for one in measurements]) - rows @ self.mean
        settled = settle(rows @ cross, np.array([one.sd for one in measurements]), off)
        far = tuple(Questioned(measurements[row].what, spreads) for row, spreads in settled.questioned)
        return replace(self.told(cross, settled), questioned=self.questioned + far)

    def told(self, cross: Matrix, settled: Settled) -> Belief:
        """Belief after rows that have been settled, whose covariance with the unknowns was `cross` (n, k)."""
        learned = settled.forward(cross.T)
        covariance = self.covariance - learned.T @ learned
        mean = self.mean + learned.T @ settled.white
        return replace(self, mean=mean, covariance=(covariance + covariance.T) / 2)

    def kept(self, names: Sequence[str]) -> Belief:
        """Belief about some of the unknowns only."""
        where = [self.index[name] for name in names]
        return Belief(tuple(names), self.mean[where], self.covariance[np.ix_(where, where)], self.questioned)

    def draws(self) -> dict[str, Draws]:
        """4,096 draws of every unknown, by name."""
        values, directions = np.linalg.eigh(self.covariance)
        order = np.argsort(values)[::-1]
        scale = directions[:, order] * np.sqrt(np.clip(values[order], 0.0, None))
        drawn = self.mean[:, None] + scale @ normal_draws(len(self.names)).T
        return dict(zip(self.names, drawn, strict=True))


def normal_draws(dimensions: int) -> Matrix:
    """Standard normal draws, (4096, dimensions), always the same."""
    net = _net()
    if dimensions <= net.shape[1]:
        return net[:, :dimensions]
    beyond = np.random.default_rng(net.shape[1]).standard_normal((len(net), dimensions - net.shape[1]))
    return np.hstack([net, beyond])


@cache
def _net() -> Matrix:
    with resources.files(__package__).joinpath("sobol_normal.npz").open("rb") as file:
        return np.asarray(np.load(file)["draws"], dtype=np.float64)


def joint(blocks: Sequence[Belief]) -> Belief:
    """Independent beliefs side by side, with what either questioned."""
    names = tuple(name for block in blocks for name in block.names)
    covariance = np.zeros((len(names), len(names)))
    at = 0
    for block in blocks:
        size = len(block.names)
        covariance[at : at + size, at : at + size] = block.covariance
        at += size
    questioned = tuple(one for block in blocks for one in block.questioned)
    return Belief(names, np.concatenate([block.mean for block in blocks]), covariance, questioned)


def independent(means_and_spreads: Mapping[str, tuple[float, float]]) -> Belief:
    """Unknowns believed apart from each other, each with mean and standard deviation."""
    means = np.array([mean for mean, _ in means_and_spreads.values()])
    spreads = np.array([sd for _, sd in means_and_spreads.values()])
    return Belief(tuple(means_and_spreads), means, np.diag(spreads**2))
