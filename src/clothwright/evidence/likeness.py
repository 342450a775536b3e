"""What is believed of a cloth before measuring, and how much one cloth tells of another.

A cloth's eight unknowns have a mean from the table by fibre and finish, from Peirce's geometry for take-up and weft crimp
(less where a structure crosses less often), and from how open it is set. Between two cloths i and j the covariance is

    S_ij = c_ij · L_i · L_jᵀ,      c_ij = Σ shared part × how much the two cloths have in common of it

where L is the root of a cloth's own covariance and the shared parts are those of the weaver, her loom, the yarn, the fibre
and finish, the structure and relative sett, and of each cloth alone. What finish and structure do is shared by one weaver's
cloths, and to a part by everybody's. A sample of the same yarn at the same heddle, finished
the same way, tells nearly all; a sample of another heddle or finish tells less; and nothing measured is thrown away.

Each part's likeness is a kernel (equal or not; alike by how far apart), so their weighted sum c is one too, and by Schur's
product theorem S is a covariance whatever cloths there are. It never has to be written out: with A the rows H·L of all
measurements, the covariance of measurements is A·Aᵀ times c, entry by entry (`together`).
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from clothwright.cloth import WARP_SHARE_UNDER_TENSION, crimps, structure
from clothwright.evidence.cloths import Making
from clothwright.evidence.conditioning import Matrix, Vector, cholesky
from clothwright.evidence.priors import STEPS, Step, fibre_group, finish_group, ratio_prior, step_covariance, table

#: Setts further apart than this factor (as a log) have little in common.
_SETT_REACH: Final = 0.2
#: Recipes of one kind in other words have this much in common. Common practice, no source.
_OTHER_RECIPE: Final = 0.7

Codes = NDArray[np.int64]


@lru_cache(maxsize=4096)
def mean_of(making: Making) -> Vector:
    """Prior means of one cloth's unknowns, (8,): the table's row and what geometry adds to it."""
    row, added = ratio_prior(making.fibre, making.finish).mean, geometry_of(making)
    mean = {step: row.get(step, 0.0) + added.get(step, 0.0) for step in STEPS}
    mean[Step.PICK_LENGTH] += mean[Step.DRAW_IN]
    return np.array([mean[step] for step in STEPS])


def geometry_of(making: Making) -> dict[Step, float]:
    """What a cloth's threads and sett add to the table's row: crimp of warp and weft, picks, and how open it is set."""
    data = table()
    picks = data["picks"]["mean"] + math.log(making.ends_per_cm)
    warp_crimp, weft_crimp = crimps(
        making.ends_per_cm,
        math.exp(picks),
        making.warp_mm,
        making.weft_mm,
        warp_share=WARP_SHARE_UNDER_TENSION,
    )
    weave = structure(making.structure)
    openness = data["relative_sett"]["slope"] * max(-1.0, min(1.0, math.log(making.relative_sett)))
    return {
        Step.WIDTH_FINISHING: openness,
        Step.TAKE_UP: -math.log1p(weave.warp_crossing_share * warp_crimp),
        Step.LENGTH_FINISHING: openness,
        Step.PICKS: picks,
        Step.PICK_LENGTH: math.log1p(weave.crossing_share * weft_crimp),
    }


def root_of(making: Making) -> Matrix:
    """Root of one cloth's covariance, (8, 8): the geometric mixture of two cloths' is one root times the other's."""
    return _root(making.fibre, making.finish)


@lru_cache(maxsize=4096)
def _root(fibre: str, finish: str) -> Matrix:
    return cholesky(step_covariance(ratio_prior(fibre, finish)))


@dataclass(frozen=True)
class Traits:
    """What cloths may have in common, as codes that are equal where they have, (n,) each; `sett` is log relative sett.

    The structure of a cloth whose sett is not known is its own.
    """

    key: Codes
    weaver: Codes
    loom: Codes
    warp: Codes
    weft: Codes
    finish: Codes
    recipe: Codes
    structure: Codes
    sett: Vector

    @classmethod
    def of(cls, makings: Sequence[Making]) -> Traits:
        """The traits of some cloths, in their order."""
        groups = [(fibre_group(one.fibre), finish_group(one.finish)) for one in makings]
        recipes = [(*group, one.finish.strip().lower()) for group, one in zip(groups, makings, strict=True)]
        return cls(
            key=_codes(one.key for one in makings),
            weaver=_codes(one.weaver for one in makings),
            loom=_codes((one.weaver, one.loom) for one in makings),
            warp=_codes(one.warp for one in makings),
            weft=_codes(one.weft for one in makings),
            finish=_codes(groups),
            recipe=_codes(recipes),
            structure=_codes((one.structure, "" if one.sett_known else one.key) for one in makings),
            sett=np.array([math.log(one.relative_sett) for one in makings]),
        )

    def in_common(self, rows: slice = slice(None)) -> Matrix:
        """How much of its unknowns' variance each of some cloths shares with every cloth, (rows, n)."""
        shared = table()["shared"]

        def same(codes: Codes) -> NDArray[np.bool_]:
            return np.asarray(codes[rows, None] == codes[None, :])

        everybodys = table()["across_weavers"]
        hers = everybodys + (1 - everybodys) * same(self.weaver)
        near = np.exp(-(((self.sett[rows, None] - self.sett[None, :]) / _SETT_REACH) ** 2) / 2)
        recipe = _OTHER_RECIPE * same(self.finish) + (1 - _OTHER_RECIPE) * same(self.recipe)
        parts = (
            shared["weaver"] * same(self.weaver),
            shared["loom"] * same(self.loom),
            shared["yarn"] * (same(self.warp).astype(float) + same(self.weft)) / 2,
            shared["fibre_and_finish"] * hers * recipe,
            shared["structure_and_sett"] * hers * same(self.structure) * near,
            shared["own"] * same(self.key),
        )
        return np.asarray(sum(parts))


def _codes(values: Iterable[Hashable]) -> Codes:
    """Equal whole numbers for equal values."""
    seen: dict[Hashable, int] = {}
    return np.array([seen.setdefault(value, len(seen)) for value in values], dtype=np.int64)


def nearest(makings: Sequence[Making], planned: Making, most: int) -> list[int]:
    """Which of some cloths have most in common with the planned one, at most so many, in their order.

    Of cloths equally near the later ones are taken.
    """
    if len(makings) <= most:
        return list(range(len(makings)))
    common = Traits.of([planned, *makings]).in_common(slice(0, 1))[0, 1:]
    order = np.lexsort((np.arange(len(makings)), common))
    return sorted(int(one) for one in order[-most:])
