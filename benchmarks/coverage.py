"""Do forecasts hold? Cloths are simulated from the stated prior, sampled with the stated errors, forecast, and compared.

For each simulated cloth the true unknowns of it and of a few earlier cloths (squares, or whole projects; of the same
yarn, sett and finish or of others) are drawn from the prior together. Each earlier cloth is measured through the rows
that a real measurement gives, with errors of their stated size. Belief is conditioned on those, as for a real plan, and
the 90 % intervals of finished width, finished length and weft per cm woven are taken from the draws. Nine truths in ten
must lie within: 88 to 92 % is allowed for 2,000 cloths, three standard errors.

Beside it stands the rule of thumb: a tenth lost of width and of length, as many picks as ends, and 5 % more weft than
the width in the heddle (common practice, no source). It has no interval; its error is shown against the forecast's.

This checks the engine against its own prior: that sums, conditioning, questions and draws are right. Whether the prior
fits real cloth is the question of `trueness`, on real records. Run: PYTHONPATH=src python benchmarks/coverage.py
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    WIDTH_STEPS,
    Belief,
    Making,
    Measurement,
    SampleMeasured,
    Step,
    believed_before,
    joint,
    measured_rows,
    sample_unknowns,
)
from clothwright.measure import Interval

CLOTHS, SEED = 2000, 1793
ALLOWED = (0.88, 0.92)
FORECASTS = ("finished width", "finished length", "weft per cm")

Weights = Mapping[str, float]


@dataclass(frozen=True)
class Outcome:
    """Of one forecast: whether the truth lay in the 90 % interval, and how far off, as logs, ours and the rule's."""

    within: bool
    ours_off: float
    rule_off: float


def main(cloths: int = CLOTHS) -> int:
    started, rng = time.perf_counter(), np.random.default_rng(SEED)
    outcomes = [simulated(rng) for _ in range(cloths)]
    print(f"{cloths} simulated cloths, {time.perf_counter() - started:.0f} s")
    print(f"{'':16}{'in 90 % interval':>18}{'median error':>14}{'rule of thumb':>15}")
    right = True
    for name in FORECASTS:
        found = [one[name] for one in outcomes]
        coverage = float(np.mean([one.within for one in found]))
        ours, rule = (
            100 * float(np.median(off)) for off in zip(*((o.ours_off, o.rule_off) for o in found), strict=True)
        )
        print(f"{name:16}{coverage:>17.1%} {ours:>12.1f} %{rule:>13.1f} %")
        right = right and ALLOWED[0] <= coverage <= ALLOWED[1]
    print("the intervals hold" if right else f"outside {ALLOWED[0]:.0%} to {ALLOWED[1]:.0%}")
    return 0 if right else 1


def simulated(rng: np.random.Generator) -> dict[str, Outcome]:
    """One cloth planned, woven in truth, and forecast from what was sampled before."""
    planned, width_cm = some_making(rng, "this cloth"), float(rng.uniform(25, 70))
    earlier = [sized(rng, like(rng, planned, f"earlier {number}")) for number in range(rng.integers(0, 4))]
    before = joint(
        [believed_before([planned, *(one.making for one in earlier)]), *(sample_unknowns(one) for one in earlier)]
    )
    truth = dict(zip(before.names, drawn(rng, before), strict=True))
    rows = [seen(rng, row, truth) for one in earlier for row in measured_rows(one)]
    after = before.conditioned(rows)
    draws = after.draws()
    outcomes = {}
    for name, weights, rule in forecasts(planned, width_cm):
        true = summed(weights, truth)
        interval = Interval.of_draws(sum((weight * draws[key] for key, weight in weights.items()), np.zeros(1)))
        outcomes[name] = Outcome(
            interval.low <= true <= interval.high, abs(interval.expected - true), abs(math.log(rule) - true)
        )
    return outcomes


def forecasts(planned: Making, width_cm: float) -> tuple[tuple[str, Weights, float], ...]:
    """What is forecast, as sums of logs: finished ÷ in heddle, finished ÷ warp used, weft per cm ÷ width; and the rule."""
    width = {planned.unknown(step): 1.0 for step in WIDTH_STEPS} | {EDGE: 1 / width_cm}
    length = {planned.unknown(step): 1.0 for step in (Step.TAKE_UP, *LENGTH_STEPS)}
    weft = {planned.unknown(Step.PICKS): 1.0, planned.unknown(Step.PICK_LENGTH): 1.0}
    rules = (0.9, 0.9, 1.05 * planned.ends_per_cm)
    return tuple(zip(FORECASTS, (width, length, weft), rules, strict=True))


def some_making(rng: np.random.Generator, key: str) -> Making:
    """A handspun or mill cloth within what a rigid heddle loom weaves."""
    ends = float(rng.choice([2.0, 3.0, 4.0, 5.0]))
    diameter = float(rng.uniform(1.2, 3.0)) / ends
    return Making(
        key=key,
        warp=str(rng.choice(["grey", "moss"])),
        weft=str(rng.choice(["grey", "moss"])),
        fibre=str(rng.choice(["wool", "cotton", "silk", "linen", ""])),
        finish=str(rng.choice(["hand wash", "machine, fulled"])),
        structure=str(rng.choice(["plain", "plain", "twill 2/2"])),
        ends_per_cm=ends,
        advised_ends_per_cm=ends * float(rng.uniform(0.75, 1.3)),
        warp_mm=diameter,
        weft_mm=diameter,
    )


def like(rng: np.random.Generator, planned: Making, key: str) -> Making:
    """An earlier cloth: most often as the planned one, else of another making."""
    return replace(planned, key=key) if rng.random() < 0.6 else some_making(rng, key)


def sized(rng: np.random.Generator, making: Making) -> SampleMeasured:
    """What is measured of an earlier cloth, a square or a project; some states are left out."""
    width, length = (20.0, 20.0) if rng.random() < 0.6 else (45.0, 200.0)

    def perhaps(size: float) -> float | None:
        return size if rng.random() < 0.7 else None

    return SampleMeasured(
        making=making,
        name=making.key,
        width_in_heddle=width,
        width_on_loom=perhaps(0.95 * width),
        width_off_loom=perhaps(0.92 * width),
        width_finished=0.9 * width,
        warp_used=perhaps(1.03 * length),
        length_on_loom=length,
        length_off_loom=perhaps(0.95 * length),
        length_finished=0.9 * length,
        picks_count=making.ends_per_cm * 10,
        picks_over=10.0,
        picks_where=str(rng.choice(["on loom", "finished"])),
        weft_used_m=perhaps(making.ends_per_cm * length * width / 100),
    )


def drawn(rng: np.random.Generator, belief: Belief) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """One truth from a belief, by Cholesky's root: not the way the forecast draws."""
    root = np.linalg.cholesky(belief.covariance)
    return np.asarray(belief.mean + root @ rng.standard_normal(len(belief.names)))


def seen(rng: np.random.Generator, row: Measurement, truth: Weights) -> Measurement:
    """The row as it would be measured of this truth, with an error of its stated size."""
    return replace(row, value=summed(row.weights, truth) + row.sd * float(rng.standard_normal()))


def summed(weights: Weights, truth: Weights) -> float:
    return sum(weight * truth[name] for name, weight in weights.items())


if __name__ == "__main__":
    sys.exit(main())
