"""What measurements do to each other: their joint covariance factored, the far ones questioned, in any number at once.

Rows of measurements lie `off` from what was believed; their covariance before measuring is G, to which each adds its own
error: C = G + diag(sd²). With C = L·Lᵀ (Cholesky) the whitened residual e = L⁻¹·off is what each row says that the rows
before it had not said, in spreads. So one further than three spreads *from what was believed by then* is a row with
|e| > 3: it is kept, and its error widened until it lies at three, so that a slip of the tape cannot drag the plan away.

It stays widened until it is confirmed. When all rows are in, each questioned one is held against all the others (before
it and after): if it then lies within three spreads with its own error, they bear it out, and its error is restored.
Two odd measurements that agree are two witnesses, not two slips.

*Source*: whitened one-step-ahead residuals and leave-one-out residuals r_i = (C⁻¹·off)_i / √(C⁻¹)_ii of a Gaussian
model: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning (2006), ch. 5.4.2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]

QUESTIONED_BEYOND: Final = 3.0
#: A figure told as exact is known to this share of the doubt before it, so that one told twice is no contradiction.
_EXACT: Final = 1e-6
_HAIR: Final = 1e-9
#: Of questioned rows that the others do not bear out, those this near the farthest stay questioned first, for some rounds.
_AMONG_THE_FARTHEST: Final = 0.7
_ROUNDS: Final = 4
#: Rows solved at once; a triangle is solved block by block.
_BLOCK: Final = 64


class NotACovariance(ArithmeticError):
    """Rows whose covariance is not one: our fault, never the weaver's."""


@dataclass(frozen=True)
class Settled:
    """Rows after questioning: the factor L of their covariance (n, n), e = L⁻¹·off (n,), and who lies how far off."""

    factor: Matrix
    white: Vector
    questioned: tuple[tuple[int, float], ...]

    def forward(self, right: Matrix) -> Matrix:
        """L⁻¹ times a matrix (n, k)."""
        return _forward(self.factor, self._inverses, right)

    @cached_property
    def _inverses(self) -> list[Matrix]:
        return inverses_of(self.factor)

    def first(self, count: int) -> Settled:
        """The first so many rows alone, as they were settled before the others came."""
        return Settled(self.factor[:count, :count], self.white[:count], self.questioned)


def settle(before: Matrix, sd: Vector, off: Vector, *, looking_back: bool = True) -> Settled:
    """Rows with covariance `before` (n, n) without their errors, errors `sd` (n,) and residuals `off` (n,), questioned.

    `looking_back`, a questioned row that the others bear out has its own error again. NotACovariance where `before` is none.
    """
    own = np.maximum(sd, _EXACT * np.sqrt(np.diag(before)))
    factor, white, widened, spreads = _in_order(before, own, off)
    if not (spreads and looking_back):
        return Settled(factor, white, tuple(spreads.items()))
    questioned = list(spreads)
    confirmed = _confirmed(forward(factor, np.eye(len(off))[:, questioned]), white, (widened**2 - own**2)[questioned])
    if confirmed:
        borne_out = [questioned[one] for one in confirmed]
        widened[borne_out] = own[borne_out]
        _anew_from(min(borne_out), before + np.diag(widened**2), off, factor, white)
        spreads = {row: how for row, how in spreads.items() if row not in borne_out}
    return Settled(factor, white, tuple(spreads.items()))


def _in_order(before: Matrix, own: Vector, off: Vector) -> tuple[Matrix, Vector, Vector, dict[int, float]]:
    """Factor, whitened residual, errors as widened, and how far each questioned row lay when it came, block by block."""
    count = len(off)
    factor, white, widened, spreads = np.zeros((count, count)), np.zeros(count), own.copy(), dict[int, float]()
    inverses: list[Matrix] = []
    for start in range(0, count, _BLOCK):
        rows = slice(start, start + _BLOCK)
        told = _forward(factor, inverses, before[:start, rows]).T
        rest = before[rows, rows] - told @ told.T
        factor[rows, :start] = told
        found = _question(rest, own[rows], off[rows] - told @ white[:start])
        factor[rows, rows], white[rows], widened[rows], far = found
        inverses.append(np.asarray(np.linalg.inv(factor[rows, rows]), dtype=np.float64))
        spreads |= {start + row: how for row, how in far.items()}
    return factor, white, widened, spreads


def _question(rest: Matrix, own: Vector, off: Vector) -> tuple[Matrix, Vector, Vector, dict[int, float]]:
    """The same within one block, each row held against those before it, the errors of far ones widened in turn."""
    widened, spreads = own.copy(), dict[int, float]()
    while True:
        factor = cholesky(rest + np.diag(widened**2))
        white = np.asarray(np.linalg.solve(factor, off), dtype=np.float64)
        beyond = np.flatnonzero(np.abs(white) > QUESTIONED_BEYOND * (1 + _HAIR))
        if not len(beyond):
            return factor, white, widened, spreads
        row = int(beyond[0])
        spreads.setdefault(row, float(abs(white[row])))
        total = (factor[row, row] * white[row] / QUESTIONED_BEYOND) ** 2
        widened[row] = np.sqrt(total - factor[row, row] ** 2 + widened[row] ** 2)


def _anew_from(start: int, covariance: Matrix, off: Vector, factor: Matrix, white: Vector) -> None:
    """Factor and whitened residual anew from a row on; what came before it stands."""
    told = factor[start:, :start]
    factor[start:, start:] = cholesky(covariance[start:, start:] - told @ told.T)
    left = off[start:] - told @ white[:start]
    white[start:] = forward(factor[start:, start:], left[:, None])[:, 0]


def cholesky(covariance: Matrix) -> Matrix:
    """The lower factor; NotACovariance where there is none."""
    if not np.all(np.isfinite(covariance)):
        raise NotACovariance("a covariance holds something that is no number")
    try:
        return np.asarray(np.linalg.cholesky(covariance))
    except np.linalg.LinAlgError:
        raise NotACovariance(f"{len(covariance)} rows have a covariance that is not positive definite") from None


def forward(factor: Matrix, right: Matrix) -> Matrix:
    """L⁻¹·B for a lower triangle L (n, n) and B (n, k), block by block."""
    return _forward(factor, inverses_of(factor), right)


def inverses_of(factor: Matrix) -> list[Matrix]:
    """The inverses of a lower triangle's blocks on the diagonal."""
    starts = range(0, len(factor), _BLOCK)
    return [
        np.asarray(np.linalg.inv(factor[start : start + _BLOCK, start : start + _BLOCK]), dtype=np.float64)
        for start in starts
    ]


def _forward(factor: Matrix, inverses: Sequence[Matrix], right: Matrix) -> Matrix:
    """The same with the inverses of the diagonal's blocks at hand, for the first rows that B has."""
    solved = np.empty_like(right)
    for number, start in enumerate(range(0, len(right), _BLOCK)):
        block = slice(start, start + _BLOCK)
        solved[block] = inverses[number] @ (right[block] - factor[block, :start] @ solved[:start])
    return solved


def _confirmed(told: Matrix, white: Vector, widening: Vector) -> list[int]:
    """Which questioned rows all the others bear out, together, when each has its own error again.

    `told` is L⁻¹ of the questioned rows' unit vectors (n, q), `widening` what their variances were widened by (q,). With
    P = (C⁻¹) among the questioned, taking D off their variances gives (P⁻¹ − D)⁻¹, and C⁻¹·off becomes (I − P·D)⁻¹ of it.
    """
    inverse, pull = told.T @ told, told.T @ white
    candidates = np.arange(len(widening))
    for near in (*[_AMONG_THE_FARTHEST] * _ROUNDS, *[0.0] * len(widening)):
        narrowed = np.zeros_like(widening)
        narrowed[candidates] = widening[candidates]
        change = np.eye(len(widening)) - inverse * narrowed
        spread = np.sqrt(np.diag(np.linalg.solve(change, inverse)))
        apart = np.abs(np.linalg.solve(change, pull) / spread)[candidates]
        if not len(apart) or np.max(apart) <= QUESTIONED_BEYOND:
            break
        candidates = candidates[apart < max(QUESTIONED_BEYOND, near * np.max(apart))]
    return [int(one) for one in candidates]
