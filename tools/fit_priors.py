"""Fit what is believed before sampling to cloths whose makers reported them in public.

Run: python tools/fit_priors.py tests/published/cloths/records.csv > src/clothwright/evidence/ratios.toml
It needs scipy, which the tests install.

The model is the one that forecasts use. Six steps of each cloth (draw-in, release and finishing of the width; take-up less
what geometry explains, release and finishing of the length) have a mean

    step = common to all cloths (finishing: one for each finish) + what the fibre differs by,

both unknown and themselves Gaussian: the common part by middles stated below with their spread, the fibre's part with mean
nothing and spread TAU. They are integrated out in closed form. What is left to find are the spreads between cloths (one a
step, finishing times a factor for machine and for fulled), three correlations, and how much cloths of different weavers
share. They are found where the reported widths and lengths are likeliest, each held near a stated guess by a log-normal (or
Fisher-z) prior, since so few cloths cannot say everything. Where nothing was reported of a fibre or a finish, the table row
keeps the common middle and the doubt of the unknown part widens it: that is what the printed `sd` holds, the spread between
cloths and the doubt of the middle together.

*Method*: marginal likelihood of a Gaussian model with linear mean: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes
for Machine Learning (2006), ch. 2.7 and 5.4.1. The stated middles and guesses are common practice, no source.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from clothwright.evidence import (
    LENGTH_STEPS,
    WIDTH_STEPS,
    ClothRecord,
    SampleMeasured,
    Step,
    measured_rows,
    read_records,
)
from clothwright.evidence.cloths import UNMEASURED, first_sizes, true_size
from clothwright.evidence.likeness import Traits, geometry_of
from clothwright.evidence.priors import fibre_group, finish_group, table
from clothwright.evidence.trueness import measured_of

Array = NDArray[np.float64]

FITTED = (*WIDTH_STEPS, Step.TAKE_UP, *LENGTH_STEPS)
FINISHING = (Step.WIDTH_FINISHING, Step.LENGTH_FINISHING)
FIBRES = ("wool", "cotton", "silk", "linen")
FINISHES = ("gentle", "machine", "fulled")

#: Middle of each step common to all fibres, and its spread; for the steps of finishing by finish.
MIDDLES = {
    Step.DRAW_IN: (-0.065, 0.03),
    Step.WIDTH_RELEASE: (-0.03, 0.03),
    Step.TAKE_UP: (0.0, 0.02),
    Step.LENGTH_RELEASE: (-0.05, 0.03),
    (Step.WIDTH_FINISHING, "gentle"): (-0.05, 0.04),
    (Step.WIDTH_FINISHING, "machine"): (-0.08, 0.04),
    (Step.WIDTH_FINISHING, "fulled"): (-0.18, 0.06),
    (Step.LENGTH_FINISHING, "gentle"): (-0.06, 0.04),
    (Step.LENGTH_FINISHING, "machine"): (-0.10, 0.04),
    (Step.LENGTH_FINISHING, "fulled"): (-0.14, 0.06),
}
#: How far a fibre's middle may lie from the common one.
TAU = 0.025
#: Guesses of the spreads between cloths, how far each may be off (a log), and the same for the factors of a finish.
SPREADS = {
    Step.DRAW_IN: 0.045,
    Step.WIDTH_RELEASE: 0.035,
    Step.WIDTH_FINISHING: 0.045,
    Step.TAKE_UP: 0.035,
    Step.LENGTH_RELEASE: 0.045,
    Step.LENGTH_FINISHING: 0.05,
}
FACTORS = {
    (Step.WIDTH_FINISHING, "machine"): 1.2,
    (Step.WIDTH_FINISHING, "fulled"): 2.5,
    (Step.LENGTH_FINISHING, "machine"): 1.2,
    (Step.LENGTH_FINISHING, "fulled"): 2.0,
}
OFF = 0.3
CORRELATIONS = {
    ("width_release", "length_release"): 0.45,
    ("width_finishing", "length_finishing"): 0.6,
    ("draw_in", "take_up"): 0.2,
}
CORRELATIONS_OFF = 0.3
ACROSS_WEAVERS = (-1.0, 1.0)


@dataclass(frozen=True)
class Spreads:
    """What is searched for: spreads by step, factors by finish, correlations, and what is shared across weavers."""

    step: dict[Step, float]
    factor: dict[tuple[Step, str], float]
    correlation: dict[tuple[str, str], float]
    across_weavers: float

    @classmethod
    def of(cls, searched: Array) -> Spreads:
        """From how far each lies from its guess, in units of how far it may be off."""
        left = iter(searched)
        return cls(
            {step: guess * math.exp(OFF * next(left)) for step, guess in SPREADS.items()},
            {one: guess * math.exp(OFF * next(left)) for one, guess in FACTORS.items()},
            {
                pair: math.tanh(math.atanh(guess) + CORRELATIONS_OFF * next(left))
                for pair, guess in CORRELATIONS.items()
            },
            1 / (1 + math.exp(-(ACROSS_WEAVERS[0] + ACROSS_WEAVERS[1] * next(left)))),
        )

    def covariance(self, finish: str) -> Array:
        """Covariance of the six steps of one cloth, (6, 6)."""
        sd = np.array([self.step[step] * self.factor.get((step, finish), 1.0) for step in FITTED])
        correlation = np.eye(len(FITTED))
        for (one, other), r in self.correlation.items():
            i, j = FITTED.index(Step(one)), FITTED.index(Step(other))
            correlation[i, j] = correlation[j, i] = r
        return np.asarray(sd[:, None] * correlation * sd[None, :])


SEARCHED = len(SPREADS) + len(FACTORS) + len(CORRELATIONS) + 1


class Reports:
    """Reported cloths as one linear Gaussian model: rows of six steps, two true sizes and the edge."""

    def __init__(self, cloths: Sequence[SampleMeasured]) -> None:
        self.cloths = cloths
        rows = [(number, row) for number, one in enumerate(cloths) for row in measured_rows(one)]
        self.cloth = np.array([number for number, _ in rows])
        self.sd = np.array([row.sd for _, row in rows])
        self.weights = np.array(
            [[row.weights.get(cloths[n].making.unknown(step), 0.0) for step in FITTED] for n, row in rows]
        )
        self.sizes = np.array(
            [[row.weights.get(true_size(cloths[n], side), 0.0) for side in ("width", "length")] for n, row in rows]
        )
        self.edge = np.array([row.weights.get("edge", 0.0) for _, row in rows])
        known = np.array([[math.log(size or 1.0) for size in first_sizes(one)] for one in cloths])
        value = np.array([row.value for _, row in rows]) - (self.sizes * known[self.cloth]).sum(axis=1)
        self.value = value - (self.weights * np.array([geometry(one) for one in cloths])[self.cloth]).sum(axis=1)
        self.finish = [finish_group(one.making.finish) for one in cloths]

    @cached_property
    def design(self) -> Array:
        """How the rows follow the unknown middles, (rows, middles)."""
        of_cloth = np.array(
            [
                middles_of(fibre_group(one.making.fibre), finish)
                for one, finish in zip(self.cloths, self.finish, strict=True)
            ]
        )
        return np.einsum("rs,rsm->rm", self.weights, of_cloth[self.cloth])

    @cached_property
    def traits(self) -> Traits:
        """What the cloths have in common."""
        return Traits.of([one.making for one in self.cloths])

    def covariance(self, spreads: Spreads) -> Array:
        """Covariance of the rows about their middles."""
        table()["across_weavers"] = spreads.across_weavers
        roots = {finish: np.linalg.cholesky(spreads.covariance(finish)) for finish in FINISHES}
        rooted = np.einsum("rs,rsk->rk", self.weights, np.array([roots[finish] for finish in self.finish])[self.cloth])
        shared = (rooted @ rooted.T) * self.traits.in_common()[np.ix_(self.cloth, self.cloth)]
        same = self.cloth[:, None] == self.cloth[None, :]
        edge = table()["edge"]["sd"] * self.edge
        return np.asarray(
            shared + UNMEASURED**2 * (self.sizes @ self.sizes.T) * same + np.outer(edge, edge) + np.diag(self.sd**2)
        )

    def log_likelihood(self, spreads: Spreads) -> float:
        """Log density of what was reported, the middles integrated out."""
        prior, doubt = middles_before()
        factor = np.linalg.cholesky(self.covariance(spreads) + self.design @ np.diag(doubt**2) @ self.design.T)
        white = np.linalg.solve(factor, self.value - self.design @ prior)
        return float(-white @ white / 2 - np.log(np.diag(factor)).sum())

    def middles(self, spreads: Spreads) -> tuple[Array, Array]:
        """Mean and covariance of the middles after the reports."""
        prior, doubt = middles_before()
        gained = np.linalg.solve(
            self.covariance(spreads), np.column_stack([self.design, self.value - self.design @ prior])
        )
        covariance = np.linalg.inv(np.diag(doubt**-2) + self.design.T @ gained[:, :-1])
        return prior + covariance @ self.design.T @ gained[:, -1], covariance

    def fitted(self, start: Array | None = None) -> tuple[Spreads, Array]:
        """The likeliest spreads, and where they were found, to start another search from."""

        def cost(searched: Array) -> float:
            return float(searched @ searched / 2 - self.log_likelihood(Spreads.of(searched)))

        found = optimize.minimize(cost, np.zeros(SEARCHED) if start is None else start, method="L-BFGS-B")
        return Spreads.of(found.x), found.x


def geometry(one: SampleMeasured) -> Array:
    """What geometry and openness alone make of the six steps, (6,)."""
    added = geometry_of(one.making)
    return np.array([added.get(step, 0.0) for step in FITTED])


def middles_before() -> tuple[Array, Array]:
    """Prior mean and spread of the middles: the common ones, then what each fibre differs by."""
    mean, doubt = zip(*MIDDLES.values(), strict=True)
    fibres = len(FIBRES) * len(FITTED)
    return np.array([*mean, *[0.0] * fibres]), np.array([*doubt, *[TAU] * fibres])


def middles_of(fibre: str, finish: str) -> Array:
    """Which middles each step of a cloth sums, (6, middles)."""
    names = list(MIDDLES)
    picked = np.zeros((len(FITTED), len(names) + len(FIBRES) * len(FITTED)))
    for at, step in enumerate(FITTED):
        picked[at, names.index((step, finish) if step in FINISHING else step)] = 1.0
        if fibre in FIBRES:
            picked[at, len(names) + FIBRES.index(fibre) * len(FITTED) + at] = 1.0
        else:
            picked[at, len(names) + at :: len(FITTED)] = 1 / len(FIBRES)
    return picked


def rows_of(reports: Reports, spreads: Spreads) -> list[dict[str, object]]:
    """The table's rows: for every fibre and finish its middles, and spreads with the doubt of the middles in them."""
    mean, covariance = reports.middles(spreads)
    return [
        _row(reports, spreads, mean, covariance, fibre, finish) for fibre in (*FIBRES, "unknown") for finish in FINISHES
    ]


def _row(
    reports: Reports, spreads: Spreads, mean: Array, covariance: Array, fibre: str, finish: str
) -> dict[str, object]:
    picked = middles_of(fibre, finish)
    middle = picked @ mean
    doubt = np.diag(picked @ covariance @ picked.T)
    if fibre == "unknown":
        doubt = doubt + TAU**2
    sd = np.sqrt(np.diag(spreads.covariance(finish)) + doubt)
    told = {
        str(step): {"mean": round(float(m), 3), "sd": round(float(s), 3)}
        for step, m, s in zip(FITTED, middle, sd, strict=True)
    }
    return {"fibre": fibre, "finish": finish, **told, "source": _source(reports, fibre, finish)}


def _source(reports: Reports, fibre: str, finish: str) -> str:
    alike = [
        one
        for one, how in zip(reports.cloths, reports.finish, strict=True)
        if how == finish and fibre_group(one.making.fibre) == fibre
    ]
    sizes = sum(one.width_finished is not None for one in alike), sum(one.length_finished is not None for one in alike)
    return f"fitted to public reports: {len(alike)} of this fibre and finish, {sizes[0]} with finished width, {sizes[1]} with finished length"


def reports_of(records: Sequence[ClothRecord]) -> Reports:
    """Reported cloths that say something of a ratio and are not meant to move."""
    measured = [measured_of(record) for record in records if not record.moves]
    return Reports([one for one in measured if len(list(measured_rows(one))) > 1])


def as_toml(rows: Sequence[dict[str, object]], spreads: Spreads) -> str:
    """The table as a file."""
    head = [
        "# Made by tools/fit_priors.py from public reports; change the script, not this file.",
        "# Natural logarithms of ratios between neighbouring states: middle, and spread between cloths with the doubt of the middle.",
        "",
        f"across_weavers = {spreads.across_weavers:.2f}",
        "",
    ]
    body = []
    for row in rows:
        body += ["[[ratio]]", f'fibre = "{row["fibre"]}"', f'finish = "{row["finish"]}"']
        body += [f"{step} = {{ mean = {row[step]['mean']}, sd = {row[step]['sd']} }}" for step in map(str, FITTED)]  # type: ignore[index]
        body += [f'source = "{row["source"]}"', ""]
    for (one, other), r in spreads.correlation.items():
        body += [
            "[[correlation]]",
            f'of = ["{one}", "{other}"]',
            f"r = {r:.2f}",
            'source = "fitted to public reports"',
            "",
        ]
    return "\n".join([*head, *body])


def main(path: Path) -> None:
    """Print the table fitted to the records of a file."""
    records, bad = read_records(path.read_text(encoding="utf-8"))
    reports = reports_of(records)
    spreads, _ = reports.fitted()
    print(as_toml(rows_of(reports, spreads), spreads))
    print(f"{len(reports.cloths)} cloths, {len(bad)} rows left out; {spreads}", file=sys.stderr)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
