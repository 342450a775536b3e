"""What stands behind each number of a plan: which rule of thumb, past cloths, figures typed and samples, and how far each moved it.

A figure is a weighted sum of the planned cloth's unknowns. It is followed from what was believed before anything was measured,
through the past cloths in the order woven, then what was typed, then this project's samples, to what the plan goes by:
the order in which the forecast takes them, so the last line is the plan's own. What moved a figure by next to nothing
is left out; of very many past cloths the earlier ones are taken together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import Final

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    WIDTH_STEPS,
    Belief,
    Making,
    Measurement,
    Past,
    SampleMeasured,
    Step,
    believed_before,
    joint,
    latest_warps,
    measured_rows,
    metres_of_balls,
    sample_unknowns,
    stock_belief,
    waste_believed,
)
from clothwright.measure import Z90, Estimate, Interval, Rung
from clothwright.planning.forecast import all_lots, typed_rows, waste_figure, waste_of, wastes_seen
from clothwright.planning.job import Job
from clothwright.planning.sums import Figures, figures
from clothwright.project.domain import loom_known_as, making, samples
from clothwright.yarn import Lot

#: Past cloths followed one by one; those before them are taken together.
_ONE_BY_ONE: Final = 8
#: What changes a figure by less than this share of its spread, and the spread by less, is left out.
_NEXT_TO_NOTHING: Final = 0.02
#: A figure stands on past projects where they take at least this share of its spread away.
_LEARNED: Final = 0.1
_NAMES_SAID: Final = 3
TYPED: Final = "typed"


@dataclass(frozen=True)
class Moved:
    """A figure after one more piece of evidence: what it was, the measurements in it, and where the figure lies then.

    `source` is the key of the cloth it is of, `typed` for what was typed with this project, empty for rules of thumb.
    """

    what: str
    rung: Rung
    after: Interval
    measurements: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True)
class Behind:
    """What stands behind a figure, from first to last; `key` names it in addresses."""

    key: str
    name: str
    unit: str
    stages: tuple[Moved, ...]


@dataclass(frozen=True)
class _Figure:
    """A figure of the cloth: its unknowns, and the side of a cloth whose sizes tell of it."""

    key: str
    name: str
    unit: str
    steps: tuple[Step, ...]
    side: str = ""
    known: str = ""


_FIGURES: Final = (
    _Figure("width", "Finished ÷ heddle width", "", WIDTH_STEPS, "width", "width_ratio"),
    _Figure("length", "Finished ÷ woven length", "", LENGTH_STEPS, "length", "length_ratio"),
    _Figure("take-up", "Woven ÷ warp used", "", (Step.TAKE_UP,), "length", "woven_of_warp"),
    _Figure("picks", "Picks per cm on the loom", "per cm", (Step.PICKS,), "", "picks_on_loom"),
    _Figure("pick-length", "Weft of a pick ÷ heddle width", "", (Step.PICK_LENGTH,), "", "pick_length"),
)
_WASTE: Final = "waste"
_OF_STEP: Final[Mapping[str, tuple[str, ...]]] = {
    "Finished ÷ heddle width": ("width",),
    "Ends": ("width",),
    "Width in heddle": ("width",),
    "Finished width at the same share": ("width",),
    "Finished width at the same loss": ("width",),
    "Finished width": ("width",),
    "Finished ÷ woven length": ("length",),
    "Weave to, on the loom under tension": ("length", "take-up"),
    "Woven ÷ warp used": ("take-up",),
    "Loom waste": (_WASTE,),
    "Warp length": ("length", "take-up", _WASTE),
    "Warp yarn": ("width", "length", "take-up", _WASTE),
    "Picks per cm on the loom": ("picks",),
    "Weft of one pick": ("pick-length",),
    "Weft yarn": ("picks", "pick-length", "length"),
    "Left over": ("width", "length", "picks", "pick-length", _WASTE),
}
#: How the lines of the working that are told of each yarn end, after its name.
_OF_A_YARN: Final = (" in hand", ", what folding leaves")


def rests_on(step: str) -> tuple[str, ...]:
    """The keys of the figures that a line of the working rests on; a yarn in hand on its own readings."""
    for ending in _OF_A_YARN:
        if step.endswith(ending):
            return (_yarn_key(step.removesuffix(ending)),)
    return _OF_STEP.get(step, ())


def _yarn_key(name: str) -> str:
    return f"yarn {name}"


def evidence_behind(job: Job, width_in_heddle_cm: float) -> tuple[Behind, ...]:
    """What stands behind every figure of a job, for a warp of that width."""
    made = making(job.project, job.yarns, job.heddle.per_cm)
    course = list(_course(job, made))
    cloth = (_followed(one, made, course, width_in_heddle_cm) for one in _FIGURES)
    return (*cloth, _waste(job), *(_yarn(lot) for lot in all_lots(job)))


@dataclass(frozen=True)
class _Stage:
    """Belief after one more piece of evidence, and the cloths or rows it was."""

    what: str
    rung: Rung
    belief: Belief
    cloths: tuple[SampleMeasured, ...] = ()
    typed: tuple[Measurement, ...] = ()


def _course(job: Job, made: Making) -> Iterator[_Stage]:
    """Belief about the planned cloth from the rule of thumb to all that is known."""
    of = job.yarns.fibre or "yarn of unknown fibre"
    usual = f"usual for {of}, {job.project.cloth.finish or 'washed gently'}, before anything was measured"
    yield _Stage(usual, Rung.RULE_OF_THUMB, believed_before([made]))
    past = job.history.past(made)
    yield from _through_past(past, made)
    known = samples(job.project, job.yarns, job.heddle.per_cm)
    belief = joint(
        [
            past.belief([made, *(one.making for one in known)]),
            stock_belief(all_lots(job)),
            *(sample_unknowns(one) for one in known),
        ]
    )
    for row in typed_rows(job.project, made):
        belief = belief.conditioned([row])
        yield _Stage(row.what, Rung.SAMPLED, belief, typed=(row,))
    for one in known:
        belief = belief.conditioned(list(measured_rows(one)))
        yield _Stage(one.name, Rung.SAMPLED, belief, (one,))


def _through_past(past: Past, made: Making) -> Iterator[_Stage]:
    together = max(0, len(past.cloths) - _ONE_BY_ONE)
    if together:
        said = f"{together} past cloths and samples, the earlier ones"
        yield _Stage(said, Rung.PAST_PROJECTS, past.belief([made], after=together), past.cloths[:together])
    for number in range(together, len(past.cloths)):
        one = past.cloths[number]
        yield _Stage(one.name, Rung.PAST_PROJECTS, past.belief([made], after=number + 1), (one,))


def _followed(figure: _Figure, made: Making, course: Sequence[_Stage], width_cm: float) -> Behind:
    weights = {made.unknown(step): 1.0 for step in figure.steps}
    if figure.side == "width":
        weights[EDGE] = 1 / width_cm
    stages: list[Moved] = []
    was: tuple[float, float] | None = None
    for stage in course:
        mean, sd = stage.belief.expected(weights)
        if was is None or _moves(was, (mean, sd)):
            source = TYPED if stage.typed else stage.cloths[0].making.key if len(stage.cloths) == 1 else ""
            said = _measurements(figure, stage)
            stages.append(Moved(stage.what, stage.rung, _interval(mean, sd), said, source))
            was = mean, sd
    return Behind(figure.key, figure.name, figure.unit, tuple(stages))


def _moves(was: tuple[float, float], now: tuple[float, float]) -> bool:
    nothing = _NEXT_TO_NOTHING * was[1]
    return abs(now[0] - was[0]) > nothing or abs(now[1] - was[1]) > nothing


def _interval(mean: float, sd: float) -> Interval:
    return Interval(*(math.exp(mean + z * sd) for z in (-Z90, 0.0, Z90)))


def _measurements(figure: _Figure, stage: _Stage) -> tuple[str, ...]:
    """The measurements of a stage that tell of a figure, in words; of cloths taken together only how many."""
    if len(stage.cloths) != 1:
        return ()
    (one,) = stage.cloths
    said = (row.what for row in measured_rows(one) if _tells(figure, one, row))
    return tuple(what.removeprefix(f"{one.name}: ") for what in said)


def _tells(figure: _Figure, one: SampleMeasured, row: Measurement) -> bool:
    """Whether a row is of the figure's unknowns, or of a size that another of that side is held against."""
    steps = {one.making.unknown(step) for step in Step}
    touched = steps & row.weights.keys()
    if touched & {one.making.unknown(step) for step in figure.steps}:
        return True
    return bool(figure.side) and not touched and any(name.endswith(figure.side) for name in row.weights)


def _waste(job: Job) -> Behind:
    """Loom waste: what is usual, her own figure, then the warps seen."""
    loom, kind = loom_known_as(job.project), job.loom.kind
    typed, seen = waste_figure(job), latest_warps(wastes_seen(job), kind)
    usual = waste_believed(loom, kind, [])
    stages = [Moved(f"usual for a {kind} loom", Rung.RULE_OF_THUMB, _interval(usual.mean, usual.sd))]
    together = max(0, len(seen) - _ONE_BY_ONE)
    for number in range(together or 1, len(seen) + 1):
        found, what = waste_believed(loom, kind, seen[:number]), seen[number - 1].what
        what = f"{together} warps, the earlier ones" if number == together else what
        stages.append(Moved(what, Rung.PAST_PROJECTS, _interval(found.mean, found.sd)))
    if job.loom.waste is not None:
        found = waste_of(job)
        after = _interval(found.mean, found.sd) if typed else Interval.exactly(0.0)
        stages.append(Moved(f"{job.loom.waste} as typed", Rung.SAMPLED, after, source=TYPED))
    return Behind(_WASTE, "Loom waste", "cm", tuple(stages))


def _yarn(lot: Lot) -> Behind:
    """Metres of a yarn: its balls as weighed and metered, by its readings."""
    metres = metres_of_balls(lot, stock_belief((lot,)).draws()).sum(axis=0)
    balls = f"{len(lot.balls)} {'ball' if len(lot.balls) == 1 else 'balls'}, {lot.grams:.0f} g, as weighed and metered"
    readings = [one.typed for one in lot.grist]
    readings += [f"ball {number}: {ball.grist.typed}" for number, ball in enumerate(lot.balls, 1) if ball.grist]
    stage = Moved(balls, Rung.CALCULATED, Interval.of_draws(metres), tuple(readings), TYPED)
    return Behind(_yarn_key(lot.name), f"{lot.name} in hand", "m", (stage,))


def known_figures(job: Job) -> Figures:
    """The ratios of a job by where they come from: those that past projects have sharpened say so."""
    known = figures(job)
    return replace(known, **_learned(job, known), waste_cm=_waste_known(job, known.waste_cm))


def _learned(job: Job, known: Figures) -> dict[str, Estimate]:
    """The figures of which past cloths take a good part of the spread away, with the latest cloths that tell of them."""
    if not job.history.cloths:
        return {}
    made = making(job.project, job.yarns, job.heddle.per_cm)
    past = job.history.past(made)
    before, after = believed_before([made]), past.belief([made])
    found = {}
    for figure in _FIGURES:
        weights = {made.unknown(step): 1.0 for step in figure.steps}
        told = list(islice(_names_told(figure, past), _NAMES_SAID + 1))
        if told and after.expected(weights)[1] <= (1 - _LEARNED) * before.expected(weights)[1]:
            found[figure.known] = _stands_on(getattr(known, figure.known), told)
    return found


def _names_told(figure: _Figure, past: Past) -> Iterator[str]:
    """The past cloths that tell of a figure, the latest first."""
    for one in reversed(past.cloths):
        if any(_tells(figure, one, row) for row in measured_rows(one)):
            yield one.name


def _stands_on(known: Estimate, told: Sequence[str]) -> Estimate:
    said = ", ".join(reversed(told[:_NAMES_SAID])) + (" and earlier ones" if len(told) > _NAMES_SAID else "")
    beside = "" if known.rung == Rung.RULE_OF_THUMB else f"{known.source}, and "
    return replace(known, rung=Rung.PAST_PROJECTS, source=f"{beside}{said}")


def _waste_known(job: Job, known: Estimate) -> Estimate:
    """Where the waste comes from, with how many warps were seen."""
    found = waste_of(job)
    if job.loom.waste is not None and job.loom.waste.cm == 0:
        return known
    warps = {"on this loom": found.on_this_loom, "on your other looms of the kind": found.on_others}
    if job.loom.waste is not None:
        warps.pop("on your other looms of the kind")
    said = [f"{count} {'warp' if count == 1 else 'warps'} {where}" for where, count in warps.items() if count]
    if not said:
        return known
    typed = f", and {job.loom.waste} as typed" if job.loom.waste is not None else ""
    return replace(known, rung=Rung.PAST_PROJECTS, source=f"loom waste of {' and '.join(said)}{typed}")
