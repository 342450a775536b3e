"""How good the evidence is: figures to reach, beside baselines, in one run.

Four parts, each printed with what is asked of it:

1. *Simulated weavers.* A weaver's cloths (some past projects, perhaps a sample, and the one planned) are drawn together
   from the stated belief, measured with the stated errors, and the planned one is forecast from the rest. 90 % intervals
   should hold 0.88 to 0.92, 50 % ones 0.46 to 0.54. And whoever is told that the yarn lasts with some chance should find
   that it does about that often: in every tenth of the chances, the share that ran out within 3 points of what was told.
2. *Public records*, each weaver left out in turn: the prior is fitted to the other weavers (tools/fit_priors.py) and
   forecasts this one's cloths. The 95 % binomial interval of the 90 % coverage should hold 0.90, and the log score be
   better than that of one pooled Gaussian, fitted to the same other weavers' cloths without regard to fibre, finish or
   which states were measured. The median error stands beside the rule of thumb of 10 % and 10 %.
3. *What measuring is worth.* The spread of the finished width after one washed 20 cm sample (at least 40 % less), and after
   three past projects of the same yarn and loom (at least 60 % less).
4. *Time.* Conditioning and 4,096 draws with 50 past cloths (under 20 ms), a plan with 2,000 past cloths (under 0.5 s).

Run: python benchmarks/evidence.py [plans simulated, 20000 if not said]
"""

from __future__ import annotations

import importlib.util
import math
import statistics
import sys
import time
import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from clothwright.cli.planned import demo_file
from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    STEPS,
    WIDTH_STEPS,
    Belief,
    ClothRecord,
    History,
    Making,
    Past,
    SampleMeasured,
    Step,
    Told,
    believed_before,
    joint,
    measured_rows,
    priors,
    read_records,
    replay,
    sample_unknowns,
    trueness,
)
from clothwright.evidence.likeness import Traits, mean_of, root_of
from clothwright.library.files import read_project_file
from clothwright.planning import plan
from clothwright.project import read_project

HERE = Path(__file__).resolve().parent
RECORDS = HERE.parent / "tests" / "published" / "cloths" / "records.csv"
PLANS, SEED = 20_000, 1793
TENTHS = 10

Array = NDArray[np.float64]


def load(name: str, path: Path) -> ModuleType:
    """A script beside this one, or under tools/, as a module."""
    spec = importlib.util.spec_from_file_location(name, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


coverage = load("coverage", HERE / "coverage.py")
fitting = load("fit_priors", HERE.parent / "tools" / "fit_priors.py")


# --- 1. simulated weavers


@dataclass(frozen=True)
class Simulated:
    """One plan that came true: whether the intervals held, and the chance told of running out beside what happened."""

    within_90: tuple[bool, ...]
    within_50: tuple[bool, ...]
    chance_out: float
    ran_out: bool


def simulated(rng: np.random.Generator) -> Simulated:
    """One weaver's cloths woven in truth, and the last forecast from those measured before it."""
    planned, width_cm = coverage.some_making(rng, "this cloth"), float(rng.uniform(25, 70))
    before = [coverage.sized(rng, coverage.like(rng, planned, f"earlier {n}")) for n in range(rng.integers(0, 5))]
    every = joint([believed_before([planned, *(one.making for one in before)]), *map(sample_unknowns, before)])
    truth = dict(zip(every.names, coverage.drawn(rng, every), strict=True))
    rows = [coverage.seen(rng, row, truth) for one in before for row in measured_rows(one)]
    after = every.conditioned(rows)
    drawn = after.kept([*(planned.unknown(step) for step in Step), EDGE]).draws()
    held: list[tuple[bool, bool]] = []
    for _, weights, _ in coverage.forecasts(planned, width_cm):
        told = sum((weight * drawn[name] for name, weight in weights.items()), np.zeros(1))
        true = coverage.summed(weights, truth)
        held.append(
            tuple(
                low <= true <= high for low, high in (np.quantile(told, ends) for ends in ((0.05, 0.95), (0.25, 0.75)))
            )
        )
    chance, out = running_out(rng, planned, width_cm, drawn, truth)
    return Simulated(tuple(one[0] for one in held), tuple(one[1] for one in held), chance, out)


def running_out(
    rng: np.random.Generator, planned: Making, width_cm: float, drawn: dict[str, Array], truth: dict[str, float]
) -> tuple[float, bool]:
    """Chance told that warp and weft of a 200 cm cloth take more than there is, and whether they did.

    What there is lies anywhere about what is needed, so that every chance comes up.
    """

    def need(of: Callable[[str], Any]) -> Any:
        woven = 200 / np.exp(sum(of(planned.unknown(step)) for step in LENGTH_STEPS))
        warp = planned.ends_per_cm * width_cm * (woven / np.exp(of(planned.unknown(Step.TAKE_UP))) + 55)
        weft = np.exp(of(planned.unknown(Step.PICKS)) + of(planned.unknown(Step.PICK_LENGTH))) * width_cm * woven
        return (warp + weft) / 100

    needed = need(lambda name: drawn[name])
    have = float(np.quantile(needed, rng.uniform(0, 1)))
    return float(np.mean(needed > have)), bool(need(lambda name: truth[name]) > have)


def simulated_weavers(plans: int) -> bool:
    """Part 1."""
    rng, started = np.random.default_rng(SEED), time.perf_counter()
    found = [simulated(rng) for _ in range(plans)]
    print(f"\n1. {plans} plans of simulated weavers, {time.perf_counter() - started:.0f} s")
    print(f"{'':18}{'90 % held':>11}{'50 % held':>11}")
    right = True
    for at, name in enumerate(coverage.FORECASTS):
        wide, narrow = (
            float(np.mean([getattr(one, field)[at] for one in found])) for field in ("within_90", "within_50")
        )
        right &= 0.88 <= wide <= 0.92 and 0.46 <= narrow <= 0.54
        print(f"{name:18}{wide:>11.3f}{narrow:>11.3f}")
    chances, out = np.array([one.chance_out for one in found]), np.array([one.ran_out for one in found])
    print("chance told of running out, and the share that did:")
    for low in np.arange(TENTHS) / TENTHS:
        inside = (chances >= low) & (chances < low + 1 / TENTHS + (low > 0.85))
        told, came = float(chances[inside].mean()), float(out[inside].mean())
        right &= abs(told - came) <= 0.03
        print(f"  {low:.1f} to {low + 0.1:.1f}: told {told:.3f}, came {came:.3f}  ({inside.sum()} plans)")
    return verdict(right, "0.88 to 0.92, 0.46 to 0.54, and within 3 points in every tenth")


# --- 2. public records


@dataclass(frozen=True)
class Scored:
    """Log densities of what came, by our forecast and by the pooled one."""

    size: str
    ours: float
    pooled: float


@dataclass(frozen=True)
class Pooled:
    """One Gaussian for all cloths: log of finished over first measured size."""

    mean: float
    sd: float

    def score(self, told: Told) -> float:
        """Log density of what came."""
        return float(stats.norm.logpdf(told.actual, told.first + self.mean, self.sd))


def left_out(records: Sequence[ClothRecord]) -> Iterator[tuple[list[Told], list[Told]]]:
    """For each weaver: forecasts of their cloths by a prior fitted to the others, and the others' own for the pooled one."""
    kept = {name: priors.table()[name] for name in ("across_weavers", "ratio", "correlation")}
    try:
        for weaver in dict.fromkeys(record.weaver for record in records):
            others = fitting.reports_of([record for record in records if record.weaver != weaver])
            spreads, _ = others.fitted()
            table = tomllib.loads(fitting.as_toml(fitting.rows_of(others, spreads), spreads))
            priors.table().update(table)
            forget_table()
            hers = list(replay([record for record in records if record.weaver == weaver]))
            yield hers, list(replay([record for record in records if record.weaver != weaver]))
    finally:
        priors.table().update(kept)
        forget_table()


def forget_table() -> None:
    """What was reckoned from the table is reckoned anew."""
    for reckoned in (priors.ratio_prior, priors.step_correlation, mean_of, root_of, root_of.__globals__["_root"]):
        getattr(reckoned, "cache_clear", lambda: None)()


def public_records() -> bool:
    """Part 2."""
    every_record, _ = read_records(RECORDS.read_text(encoding="utf-8"))
    records = [record for record in every_record if not record.moves]
    started = time.perf_counter()
    scores: list[Scored] = []
    every: list[Told] = []
    for hers, others in left_out(records):
        for told in hers:
            ratios = [one.actual - one.first for one in others if one.size == told.size]
            pooled = Pooled(statistics.fmean(ratios), statistics.stdev(ratios))
            ours = float(stats.norm.logpdf(told.actual, told.mean, told.sd))
            scores.append(Scored(told.size, ours, pooled.score(told)))
        every += hers
    print(f"\n2. {len(records)} public records, weavers left out in turn, {time.perf_counter() - started:.0f} s")
    right = True
    for size in dict.fromkeys(one.size for one in every):
        right &= of_size(size, [one for one in every if one.size == size], scores)
    ours, theirs = sum(one.ours for one in scores), sum(one.pooled for one in scores)
    print(f"  both sizes: log score {ours:.1f}, one pooled Gaussian {theirs:.1f}")
    return verdict(
        right and ours > theirs, "0.90 inside the binomial interval, and a better log score than the pooled one"
    )


def of_size(size: str, told: Sequence[Told], scores: Sequence[Scored]) -> bool:
    """Coverage and scores of the forecasts of one size."""
    found = trueness(told)
    assert found is not None
    held = round(found.coverage_90 * found.n)
    interval = stats.binomtest(held, found.n, 0.9).proportion_ci(0.95)
    alike = [one for one in scores if one.size == size]
    ours, theirs = sum(one.ours for one in alike), sum(one.pooled for one in alike)
    print(
        f"  {size}: {held} of {found.n} at 90 % (95 % interval {interval.low:.2f} to {interval.high:.2f}), "
        f"{found.coverage_50:.2f} at 50 %; log score {ours:.1f}, pooled {theirs:.1f}; "
        f"median error {found.median_error:.1%}, rule of thumb {found.rule_of_thumb_median_error:.1%}"
    )
    return bool(interval.low <= 0.9 <= interval.high)


# --- 3. what measuring is worth

GREY = Making(
    key="this cloth", warp="grey", weft="grey", fibre="wool", finish="hand wash, dried flat", structure="plain",
    ends_per_cm=3.0, advised_ends_per_cm=2.95, warp_mm=0.77, weft_mm=0.77,
)  # fmt: skip


def cloth_of(key: str, width: float, length: float) -> SampleMeasured:
    """A cloth as the planned one is made, measured in the heddle, on the loom and finished."""
    return SampleMeasured(
        making=replace(GREY, key=key), name=key, width_in_heddle=width, width_on_loom=0.95 * width, width_finished=0.88 * width,
        warp_used=1.02 * length, length_on_loom=length, length_finished=0.9 * length, picks_count=3 * length, picks_over=length,
    )  # fmt: skip


def worth() -> bool:
    """Part 3."""
    print("\n3. Spread left of the finished width of a 50 cm cloth, against none measured")
    weights = {GREY.unknown(step): 1.0 for step in WIDTH_STEPS} | {EDGE: 1 / 50}
    none = believed_before([GREY]).expected(weights)[1]
    right = True
    for what, cloths, most in (
        ("one washed 20 cm sample", [cloth_of("square", 20, 20)], 0.6),
        ("three past projects", [cloth_of(f"project {n}", 50, 220) for n in range(3)], 0.4),
    ):
        left = Past(tuple(cloths)).belief([GREY]).expected(weights)[1] / none
        right &= left <= most
        print(f"  {what}: {left:.2f} of it (asked: at most {most})")
    return verdict(right, "at least 40 % and 60 % narrower")


# --- 4. time


def history_of(count: int, rng: np.random.Generator) -> tuple[Making, History]:
    """A planned cloth and so many past ones, drawn together and measured as they came out."""
    planned = coverage.some_making(rng, "this cloth")
    past = [coverage.sized(rng, coverage.like(rng, planned, f"past {number}")) for number in range(count)]
    common = Traits.of([one.making for one in past]).in_common()
    shared = np.linalg.cholesky(common + 1e-9 * np.eye(count)) @ rng.standard_normal((count, len(STEPS)))
    return planned, History(tuple(as_came(one, own, rng) for one, own in zip(past, shared, strict=True)))


#: Fields of a measured cloth in the order of their rows, and what each is of the row's exponential.
FIELDS: dict[str, Callable[[SampleMeasured, float], float]] = {
    **{f"width_{state}": lambda _, size: size for state in ("in_heddle", "on_loom", "off_loom", "finished")},
    "warp_used": lambda _, size: size,
    **{f"length_{state}": lambda _, size: size for state in ("on_loom", "off_loom", "finished")},
    "picks_count": lambda one, per_cm: per_cm * (one.picks_over or 0.0),
    "weft_used_m": lambda _, cm: cm / 100,
}


def as_came(one: SampleMeasured, own: Array, rng: np.random.Generator) -> SampleMeasured:
    """The cloth measured as it would come out of its unknowns, in units of their root, with errors of their stated size."""
    steps = mean_of(one.making) + root_of(one.making) @ own
    truth = {one.making.unknown(step): float(value) for step, value in zip(STEPS, steps, strict=True)} | {EDGE: 0.0}
    sizes = dict(zip(sample_unknowns(one).names, sample_unknowns(one).mean, strict=True))
    rows = [coverage.seen(rng, row, truth | sizes) for row in measured_rows(one)]
    present = [field for field in FIELDS if getattr(one, field) is not None]
    came = {field: FIELDS[field](one, math.exp(row.value)) for field, row in zip(present, rows, strict=True)}
    return replace(one, **came)  # type: ignore[arg-type]


def quickest(what: Callable[[], object], times: int = 7) -> float:
    """The quickest of some runs, s: other work on the machine only slows."""

    def timed() -> float:
        started = time.perf_counter()
        what()
        return time.perf_counter() - started

    return min(timed() for _ in range(times))


def times() -> bool:
    """Part 4."""
    print("\n4. Time, the quickest of seven")
    rng = np.random.default_rng(SEED)
    planned, fifty = history_of(50, rng)
    anew = quickest(lambda: History(fifty.cloths).past(planned).belief([planned]).draws())
    known = quickest(lambda: fifty.past(planned).belief([planned]).draws())
    dense = quickest(lambda: written_out(planned, fifty.cloths), 2)
    print(
        f"  50 past cloths, conditioning and 4,096 draws: {1e3 * anew:.1f} ms anew, {1e3 * known:.1f} ms when kept; the dense belief takes {anew and dense / anew:.0f} times as long"
    )
    tree, drawings = read_project_file(demo_file())
    project = read_project(tree)
    _, many = history_of(2000, rng)
    alone = quickest(lambda: plan(project, drawings=drawings), 3)
    first = quickest(lambda: plan(project, drawings=drawings, history=History(many.cloths)), 3)
    again = quickest(lambda: plan(project, drawings=drawings, history=many), 3)
    print(f"  the demo's plan: {alone:.2f} s; with 2,000 past cloths {first:.2f} s the first time, {again:.2f} s after")
    return verdict(anew < 0.02 and first < 0.5, "under 20 ms, and under 0.5 s")


def written_out(planned: Making, past: Sequence[SampleMeasured]) -> Belief:
    """The same belief with every covariance written out."""
    before = joint([believed_before([planned, *(one.making for one in past)]), *map(sample_unknowns, past)])
    return before.conditioned([row for one in past for row in measured_rows(one)])


def verdict(right: bool, asked: str) -> bool:
    print(f"  {'reached' if right else 'NOT reached'}: {asked}")
    return right


def main(plans: int = PLANS) -> int:
    """Run all four parts; 0 when every figure is reached."""
    parts = [worth(), times(), public_records(), simulated_weavers(plans)]
    return 0 if all(parts) else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else PLANS))
