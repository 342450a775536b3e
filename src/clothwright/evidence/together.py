"""Many cloths in one belief: everything this weaver has measured before, conditioned on in milliseconds.

A measurement of a past cloth is a weighted sum of its unknowns, of its true sizes, and of the edge. The covariance of two
such sums i and j is

    (A_i · A_j) · c_ij  +  (N_i · N_j) · [same cloth]  +  B_i · B_j

with A the weights of the eight steps times the root of the cloth's covariance, c what the two cloths have in common
(`likeness`), N the weights of the true sizes (and of a card's doubts) and B that of the edge, each times its spread. So the covariances of
measurements with each other, and with the few unknowns that a plan asks about, are taken straight from these; those of
hundreds of past cloths' unknowns are never written out. The cost is one Cholesky factor of as many rows as there are
measurements, made once for a past and kept with it; what a plan then adds is a few small sums.

It is the same model as a dense `Belief` of every cloth conditioned on the same rows; a test holds the two together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from clothwright.evidence.belief import Belief, Measurement, Questioned
from clothwright.evidence.cloths import (
    EDGE,
    SIDES,
    UNMEASURED,
    Making,
    SampleMeasured,
    card_doubt,
    card_spreads,
    first_sizes,
    measured_rows,
    true_size,
)
from clothwright.evidence.conditioning import Matrix, Settled, Vector, settle
from clothwright.evidence.likeness import Codes, Traits, mean_of, root_of
from clothwright.evidence.priors import STEPS, table

#: Spread of each unknown that is a past cloth's alone: its true sizes, and what a card did otherwise where it was woven on one.
_OWN: Final = (*(UNMEASURED for _ in SIDES), *card_spreads().values())


@dataclass(frozen=True)
class _Sums:
    """Weighted sums of unknowns: of which cloth (n,), A (n, 8), N (n, 5), B (n,) and their prior means (n,)."""

    cloth: Codes
    steps: Matrix
    sizes: Matrix
    edge: Vector
    mean: Vector


@dataclass(frozen=True)
class Past:
    """Cloths measured before, each of its own key, in the order woven.

    Measurements are questioned in that order; `looking_back`, one that later ones bear out is taken at its word again.
    """

    cloths: tuple[SampleMeasured, ...] = ()
    looking_back: bool = True

    def __post_init__(self) -> None:
        """Check once that every cloth has a key of its own."""
        if len({one.making.key for one in self.cloths}) != len(self.cloths):
            raise ValueError("two past cloths have one key")

    def belief(self, makings: Sequence[Making], *, after: int | None = None) -> Belief:
        """Belief about some cloths and the edge, after all of the past or its first so many cloths."""
        asked = _unknowns(makings)
        among = Traits.of([*makings, *(one.making for one in self.cloths)])
        before = Belief(
            _names(makings), asked.mean, _covariance(asked, asked, among.in_common()[: len(makings), : len(makings)])
        )
        known = sum(map(len, self._rows[:after]))
        if not known:
            return before
        shared = among.in_common(slice(0, len(makings)))[:, len(makings) :]
        cross = _covariance(asked, self._sums, shared)[:, :known]
        return before.told(cross, self.settled.first(known))

    @cached_property
    def questioned(self) -> tuple[Questioned, ...]:
        """The measurements of the past that lay far from what was believed when they came."""
        rows = [row for rows in self._rows for row in rows]
        return tuple(Questioned(rows[at].what, spreads) for at, spreads in self.settled.questioned)

    @cached_property
    def _rows(self) -> list[list[Measurement]]:
        return [list(measured_rows(one)) for one in self.cloths]

    @cached_property
    def _sums(self) -> _Sums:
        return _measured(self.cloths, self._rows)

    @cached_property
    def settled(self) -> Settled:
        """All measurements of the past, questioned and factored."""
        rows = [row for rows in self._rows for row in rows]
        common = Traits.of([one.making for one in self.cloths]).in_common()
        sd = np.array([row.sd for row in rows])
        off = np.array([row.value for row in rows]) - self._sums.mean
        return settle(_covariance(self._sums, self._sums, common), sd, off, looking_back=self.looking_back)


def believed_before(makings: Sequence[Making]) -> Belief:
    """Prior belief about some cloths together, and the edge, with no past."""
    return Past().belief(makings)


def _names(makings: Sequence[Making]) -> tuple[str, ...]:
    return (*(one.unknown(step) for one in makings for step in STEPS), EDGE)


def _unknowns(makings: Sequence[Making]) -> _Sums:
    """Every unknown of some cloths, and the edge, as sums with one weight."""
    roots = np.array([root_of(one) for one in makings]).reshape(-1, len(STEPS))
    edge = table()["edge"]
    return _Sums(
        cloth=np.append(np.repeat(np.arange(len(makings)), len(STEPS)), 0),
        steps=np.vstack([roots, np.zeros(len(STEPS))]),
        sizes=np.zeros((len(roots) + 1, len(_OWN))),
        edge=np.append(np.zeros(len(roots)), edge["sd"]),
        mean=np.concatenate([*(mean_of(one) for one in makings), [edge["mean"]]]),
    )


def _measured(cloths: Sequence[SampleMeasured], rows: Sequence[Sequence[Measurement]]) -> _Sums:
    """The measurements of some cloths as sums; KeyError for one of an unknown that is not its cloth's own."""
    cloth = np.repeat(np.arange(len(cloths)), [len(of_one) for of_one in rows])
    written = [row for one, of_one in zip(cloths, rows, strict=True) for row in _written_out(one, of_one)]
    weights = np.array(written).reshape(-1, len(STEPS) + len(_OWN) + 1)
    steps, sizes, edge = weights[:, : len(STEPS)], weights[:, len(STEPS) : -1], weights[:, -1]
    roots, means = (np.array([of(one.making) for one in cloths]) for of in (root_of, mean_of))
    true = np.array([[math.log(size or 1.0) for size in first_sizes(one)] for one in cloths])
    mean = (
        (steps * means[cloth]).sum(axis=1)
        + (sizes[:, : len(SIDES)] * true[cloth]).sum(axis=1)
        + edge * table()["edge"]["mean"]
    )
    rooted = np.einsum("ns,nsk->nk", steps, roots[cloth])
    return _Sums(cloth, rooted, sizes * _OWN, table()["edge"]["sd"] * edge, mean)


def _written_out(one: SampleMeasured, rows: Sequence[Measurement]) -> list[list[float]]:
    """The weights of each row: of the cloth's eight steps, its two true sizes, the doubts of a card and the edge."""
    own = (*(true_size(one, side) for side in SIDES), *(card_doubt(one, what) for what in card_spreads()))
    names = (*(one.making.unknown(step) for step in STEPS), *own, EDGE)
    return [_weights(row.weights, names) for row in rows]


def _weights(weights: Mapping[str, float], names: Sequence[str]) -> list[float]:
    if not weights.keys() <= set(names):
        raise KeyError(f"a past cloth is measured by itself, not by {', '.join(weights.keys() - set(names))}")
    return [weights.get(name, 0.0) for name in names]


def _covariance(one: _Sums, other: _Sums, in_common: Matrix) -> Matrix:
    """Covariance of two lists of sums, (n, m), given what their cloths have in common.

    True sizes are unknowns of past cloths only, so two lists that both have them are of the same cloths.
    """
    total = (one.steps @ other.steps.T) * in_common[np.ix_(one.cloth, other.cloth)]
    total += (one.sizes @ other.sizes.T) * (one.cloth[:, None] == other.cloth[None, :])
    return np.asarray(total + np.outer(one.edge, other.edge))
