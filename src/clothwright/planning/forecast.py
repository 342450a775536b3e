"""The forecast: 4,096 equally likely cloths, and what a decision about the warp comes to in each of them.

A decision is three numbers: how many ends, how long a warp, and where to stop weaving. In one drawn cloth

    finished width   = width in heddle × exp(draw-in + release + finishing + edge ÷ width in heddle)
    could weave      = (warp − waste) × exp(take-up) − on-warp sample
    woven            = the lesser of that and where to stop
    finished length  = woven × exp(release + finishing)
    weft             = picks per cm × width in heddle × yarn per pick × (woven + on-warp sample)

The size is right in a cloth when it is wide enough and long enough. The decision taken is the one that needs least
yarn among those whose chance of the right size reaches the trust asked: for each number of ends and each stopping
place, the warp taken is the least that serves just the trusted share of the drawn cloths.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    METER,
    WIDTH_STEPS,
    Belief,
    Making,
    Measurement,
    SampleMeasured,
    Step,
    WasteBelieved,
    WasteSeen,
    independent,
    joint,
    measured_rows,
    metres_of_balls,
    picks_weights,
    sample_unknowns,
    stock_belief,
    table,
    waste_believed,
)
from clothwright.measure import Z90, Draws, Quantity, Share
from clothwright.planning.job import Job, Wanted
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.domain import loom_known_as, making, samples
from clothwright.project.record.past import sample_wastes
from clothwright.yarn import Lot, Use

WASTE: Final = "waste"
#: How wide a loom is taken to be when nobody said. Common practice, no source.
UNKNOWN_LOOM_CM: Final = 120.0
#: A waste of nothing, for its logarithm.
_NO_WASTE_CM: Final = 0.01
_STOPS: Final = 7
_MORE_ENDS: Final = 5


@dataclass(frozen=True)
class Decision:
    """What is put on the loom and where the weaving stops, cm."""

    ends: int
    warp_cm: float
    weave_to_cm: float


@dataclass(frozen=True)
class Outcome:
    """What a decision comes to in every drawn cloth; cm and m."""

    finished_width: Draws
    finished_length: Draws
    woven: Draws
    warp_m: Draws
    weft_m: Draws


@dataclass(frozen=True)
class Stock:
    """Metres that may go into the warp only, the weft only, or both, in every drawn cloth, and enough or not."""

    of_lot: dict[str, Draws]
    need_of_lot: dict[str, Draws]
    slack_m: Draws

    @property
    def chance_enough(self) -> float:
        """Share of drawn cloths in which the yarn lasts."""
        return float(np.mean(self.slack_m >= 0))


def measured_belief(job: Job, *, trials: tuple[SampleMeasured, ...] = ()) -> Belief:
    """Belief about the planned cloth, its yarn and its waste, after everything typed and measured.

    `trials` are samples not yet woven: their unknowns are carried along, their measurements are not used.
    """
    made = making(job.project, job.yarns, job.heddle.per_cm)
    known = samples(job.project, job.yarns, job.heddle.per_cm)
    makings = [made, *(sample.making for sample in (*known, *trials))]
    waste = waste_of(job)
    blocks = [
        job.history.past(made).belief(makings),
        stock_belief(all_lots(job)),
        replace(independent({WASTE: (waste.mean, waste.sd)}), questioned=waste.questioned),
    ]
    belief = joint([*blocks, *(sample_unknowns(sample) for sample in (*known, *trials))])
    sampled = (row for sample in known for row in measured_rows(sample))
    return belief.conditioned([*typed_rows(job.project, made), *sampled])


def none_fits(job: Job) -> str:
    """The sentence for a loom on which not one step of ends, a pair or a whole repeat, finds room."""
    return (
        f"“{job.loom.weaving_width}”: ends go in {job.end_step}s, {job.width_in_heddle(job.end_step):.1f} cm in the "
        f"{job.heddle.name} heddle, and not one such step fits; give a wider loom or a smaller repeat"
    )


def all_lots(job: Job) -> tuple[Lot, ...]:
    """Every lot of the job, once."""
    return tuple({lot.name: lot for lot in (*job.yarns.warp, *job.yarns.weft)}.values())


def wastes_seen(job: Job) -> tuple[WasteSeen, ...]:
    """Wastes seen on her looms: in past projects, and told with this project's samples."""
    return (*job.history.wastes, *sample_wastes(job.project))


def waste_of(job: Job) -> WasteBelieved:
    """Belief about the loom waste of this warp, log cm: her own figure and the warps seen; 0 cm typed stays none."""
    if job.loom.waste is not None and job.loom.waste.cm == 0:
        return WasteBelieved(math.log(_NO_WASTE_CM), 0.0)
    return waste_believed(loom_known_as(job.project), job.loom.kind, wastes_seen(job), waste_figure(job))


def waste_figure(job: Job) -> tuple[float, float] | None:
    """Her own figure for the waste, log cm, and its log spread; None where there is none, or nothing is wasted."""
    typed = job.loom.waste
    if typed is None or typed.cm == 0:
        return None
    return math.log(typed.cm), typed.log_sd or table()["waste"]["typed_log_sd"]


def typed_rows(project: Project, made: Making) -> Iterator[Measurement]:
    """What the weaver typed about this cloth, as measurements of it."""
    cloth = project.cloth
    if cloth.width_ratio:
        yield _typed(cloth.width_ratio, {made.unknown(step): 1.0 for step in WIDTH_STEPS})
    if cloth.length_ratio:
        yield _typed(cloth.length_ratio, {made.unknown(step): 1.0 for step in LENGTH_STEPS})
    if cloth.picks:
        yield _typed(cloth.picks, picks_weights(made, cloth.picks_counted))
    if share := cloth.warp_take_up:
        ratios = [take_up_ratio(end, share.of) for end in (share.high, share.expected, share.low)]
        yield _of_share(share, ratios, {made.unknown(Step.TAKE_UP): 1.0})
    if share := cloth.weft_take_up:
        ratios = [1 + end for end in (share.low, share.expected, share.high)]
        yield _of_share(share, ratios, {made.unknown(Step.PICK_LENGTH): 1.0})


def _of_share(share: Share, ratios: Sequence[float], weights: dict[str, float]) -> Measurement:
    """A row from a share typed, by the ratios its low, middle and high mean."""
    low, middle, high = ratios
    spread = math.log(high / low) / (2 * Z90) or _typed_sd()
    return Measurement(weights, math.log(middle), spread, f"take-up of {share} as typed")


def _typed(quantity: Quantity, weights: dict[str, float]) -> Measurement:
    return Measurement(weights, math.log(quantity.expected), quantity.log_sd or _typed_sd(), f"{quantity} as typed")


def _typed_sd() -> float:
    return float(table()["error"]["typed_ratio_log"])


def take_up_ratio(share: float, base: str | None) -> float:
    """Woven length over warp used, from a share of the warp, or of the woven length (which is crimp)."""
    return 1 / (1 + share) if base == "woven length" else 1 - share


class Forecast:
    """Drawn cloths for a job at its heddle. `drawn` may come from the same job asked for another size of cloth."""

    def __init__(self, job: Job, drawn: dict[str, Draws] | None = None, belief: Belief | None = None) -> None:
        self.job = job
        self._made = making(job.project, job.yarns, job.heddle.per_cm)
        self.belief = belief or measured_belief(job)
        names = [name for name in self.belief.names if _matters(name, self._made.key)]
        self.drawn = drawn or self.belief.kept(names).draws()

    def also_for(self, job: Job) -> Forecast:
        """The forecast for the same yarn and heddle, with another cloth asked for."""
        return Forecast(job, self.drawn, self.belief)

    def step(self, *steps: Step) -> Draws:
        """Sum of some unknown logarithms of the planned cloth."""
        return np.asarray(sum(self.drawn[self._made.unknown(step)] for step in steps))

    @cached_property
    def width_log(self) -> Draws:
        """Log finished width over width in heddle, without the edge."""
        return self.step(*WIDTH_STEPS)

    @cached_property
    def length_ratio(self) -> Draws:
        """Finished length over woven length on the loom."""
        return np.exp(self.step(*LENGTH_STEPS))

    @cached_property
    def take_up(self) -> Draws:
        """Woven length on the loom over warp used."""
        return np.exp(self.step(Step.TAKE_UP))

    @cached_property
    def picks_per_cm(self) -> Draws:
        """Picks per cm on the loom."""
        return np.exp(self.step(Step.PICKS))

    @cached_property
    def pick_length(self) -> Draws:
        """Weft yarn per pick over width in heddle."""
        return np.exp(self.step(Step.PICK_LENGTH))

    @cached_property
    def waste(self) -> Draws:
        """Warp that cannot be woven, cm."""
        return np.exp(self.drawn[WASTE])

    @cached_property
    def balls(self) -> dict[str, Draws]:
        """Metres on each ball of each lot, (balls, draws)."""
        return {lot.name: metres_of_balls(lot, self.drawn) for lot in all_lots(self.job)}

    def finished_width(self, ends: int) -> Draws:
        """Finished width of so many ends, cm."""
        width = self.job.width_in_heddle(ends)
        return width * np.exp(self.width_log + self.drawn[EDGE] / width)

    def outcome(self, decision: Decision) -> Outcome:
        """What a decision comes to."""
        woven = self._woven(decision)
        weft = self._weft_m(decision, woven)
        warp = np.full_like(weft, self._warp_m(decision))
        return Outcome(self.finished_width(decision.ends), woven * self.length_ratio, woven, warp, weft)

    def _woven(self, decision: Decision) -> Draws:
        """Length woven on the loom, cm: to the stop, or as far as the warp goes."""
        could = np.clip((decision.warp_cm - self.waste) * self.take_up - self.job.on_warp_sample_cm, 0.0, None)
        return np.minimum(could, decision.weave_to_cm)

    def _weft_m(self, decision: Decision, woven: Draws) -> Draws:
        width = self.job.width_in_heddle(decision.ends)
        return self.picks_per_cm * width * self.pick_length * (woven + self.job.on_warp_sample_cm) / 100

    def _warp_m(self, decision: Decision) -> float:
        return (decision.ends + self.job.extra_ends) * decision.warp_cm / 100

    def chance_size(self, outcome: Outcome, wanted: Wanted) -> float:
        """Share of drawn cloths both wide and long enough."""
        return float(
            np.mean(
                _reaches(outcome.finished_width, wanted.width_cm) & _reaches(outcome.finished_length, wanted.length_cm)
            )
        )

    def decide(self, wanted: Wanted, trust: float) -> Decision:
        """The decision of least yarn whose chance of the right size reaches the trust."""
        possible = list(self._decisions(wanted, trust))
        if not possible:
            raise ProblemsFound(Problem(("loom", "weaving_width"), self._too_wide(wanted)))
        return min(possible, key=self._expected_yarn)

    def _too_wide(self, wanted: Wanted) -> str:
        if self.most_ends == 0:
            return none_fits(self.job)
        needed = wanted.width_cm / self.typical_width_ratio(self.job.project.trust.size.expected)
        return (
            f"{wanted.width_cm:.1f} cm finished takes about {needed:.0f} cm in the {self.job.heddle.name} heddle, and the "
            f"loom weaves {self.job.loom.weaving_width}; ask for a narrower cloth, or weave it in panels"
        )

    def _decisions(self, wanted: Wanted, trust: float) -> Iterator[Decision]:
        needed = _draws_needed(trust, len(self.width_log))
        to_weave = wanted.length_cm / self.length_ratio
        warp_needed = self.waste + (to_weave + self.job.on_warp_sample_cm) / self.take_up
        stops = [math.ceil(stop) for stop in np.quantile(to_weave, np.linspace(trust, 0.997, _STOPS))]
        for ends in self._ends_worth_trying(wanted.width_cm, needed):
            wide = _reaches(self.finished_width(ends), wanted.width_cm)
            for stop in dict.fromkeys(stops):
                possible = warp_needed[wide & (to_weave <= stop)]
                if len(possible) >= needed:
                    warp = np.partition(possible, needed - 1)[needed - 1]
                    yield Decision(ends, float(math.ceil(warp)), float(stop))

    @cached_property
    def most_ends(self) -> int | None:
        """The most ends the loom takes; None where its weaving width is not known."""
        width = self.job.loom.weaving_width
        if width is None:
            return None
        steps = int(width.cm * self.job.heddle.per_cm / self.job.end_step + 1e-9)
        return steps * self.job.end_step

    def typical_width_ratio(self, trust: float) -> float:
        """Finished over heddle width that the trusted share of cloths reach, at a middling width."""
        return float(np.quantile(np.exp(self.width_log), 1 - trust))

    def widest_finished(self, trust: float) -> float:
        """The widest finished cloth the loom gives with somewhat more than the trust, cm."""
        if self.most_ends == 0:
            raise ProblemsFound(Problem(("loom", "weaving_width"), none_fits(self.job)))
        width = UNKNOWN_LOOM_CM if self.most_ends is None else self.job.width_in_heddle(self.most_ends)
        return float(np.quantile(width * np.exp(self.width_log + self.drawn[EDGE] / width), (1 - trust) * 0.7))

    def _ends_worth_trying(self, width_cm: float, needed: int) -> list[int]:
        """From the fewest ends that are wide enough often enough, a few more."""
        most = self.job.ends_for(2 * UNKNOWN_LOOM_CM) if self.most_ends is None else self.most_ends
        ends = self.job.ends_for(width_cm / float(np.exp(np.max(self.width_log)) * 1.1))
        while ends <= most and np.count_nonzero(_reaches(self.finished_width(ends), width_cm)) < needed:
            ends += self.job.end_step
        return [more for more in range(ends, ends + _MORE_ENDS * self.job.end_step, self.job.end_step) if more <= most]

    def _expected_yarn(self, decision: Decision) -> float:
        return self._warp_m(decision) + float(np.mean(self._weft_m(decision, self._woven(decision))))

    def stock(self, decision: Decision, outcome: Outcome) -> Stock:
        """Yarn in hand against what the decision takes, by lot and in all."""
        return share_out(self.job, self.balls, decision, outcome.warp_m, outcome.weft_m)


def _draws_needed(trust: float, draws: int) -> int:
    """How many drawn cloths must be right: the share trusted, and the sampling error of that share on top.

    The decision is the least that passes on these very draws, so without the allowance it would do a little worse
    on the cloths of tomorrow.
    """
    allowance = math.sqrt(trust * (1 - trust) / draws)
    return min(draws - 1, math.ceil((trust + allowance) * draws))


def _reaches(size: Draws, asked: float) -> NDArray[np.bool_]:
    return np.asarray(size >= asked - 1e-9)


def _matters(name: str, key: str) -> bool:
    """Whether an unknown enters the plan: those of samples do not, nor do samples' true sizes."""
    return name.startswith((f"{key}: ", "yarn ")) or name in (EDGE, WASTE, METER)


def share_out(job: Job, balls: dict[str, Draws], decision: Decision, warp_m: Draws, weft_m: Draws) -> Stock:
    """Which lot gives how much: yarn for one use goes there first, yarn for both fills what is left.

    A warp-only ball gives whole ends (pairs when wound direct); what is left of it cannot be used.
    """
    have = {name: np.sum(metres, axis=0) for name, metres in balls.items()}
    usable = {lot.name: _usable(job, lot, balls[lot.name], decision) for lot in all_lots(job)}
    pools = {use: [lot.name for lot in all_lots(job) if lot.use == use] for use in Use}
    size = {use: sum((usable[name] for name in names), np.zeros_like(warp_m)) for use, names in pools.items()}
    both = bool(pools[Use.BOTH])
    need = {
        Use.WARP: np.minimum(warp_m, size[Use.WARP]) if both else warp_m,
        Use.WEFT: np.minimum(weft_m, size[Use.WEFT]) if both else weft_m,
    }
    need[Use.BOTH] = warp_m + weft_m - need[Use.WARP] - need[Use.WEFT]
    if both:
        slack = size[Use.BOTH] - need[Use.BOTH]
    else:
        slack = np.minimum(size[Use.WARP] - warp_m, size[Use.WEFT] - weft_m)
    needed = {name: need[use] * _portion(usable[name], size[use]) for use, names in pools.items() for name in names}
    return Stock(have, needed, slack)


def _portion(part: Draws, whole: Draws) -> Draws:
    return np.asarray(part / np.maximum(whole, 1e-9))


def _usable(job: Job, lot: Lot, metres: Draws, decision: Decision) -> Draws:
    if lot.use != Use.WARP:
        return np.asarray(np.sum(metres, axis=0))
    turn = decision.warp_cm / 100 * (2 if job.loom.warping == "direct" else 1)
    return np.asarray(np.sum(np.floor(metres / turn + 1e-9) * turn, axis=0))
