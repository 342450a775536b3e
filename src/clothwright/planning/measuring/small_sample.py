"""A sample first: the small warp to make before the real one, what it would tell, and how each heddle would fare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History
from clothwright.layout import TooWide
from clothwright.measure import Interval, Rung
from clothwright.planning.answer import Verdict, plain_data
from clothwright.planning.job import Heddle, Job, job_of, sett_candidates
from clothwright.planning.measuring.narrowing import Narrowing
from clothwright.planning.measuring.sampling import On, SampleChoice, SampleSearch, choice_of, sampling_table
from clothwright.planning.pieces.fitting import LayoutSearch
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.planning.working import WorkingLine
from clothwright.project import Problem, ProblemsFound, Project

_NO_DRAWINGS: Mapping[str, bytes] = MappingProxyType({})
_SHOWN: Final = 5
_LITTLE_MORE: Final = 0.2


@dataclass(frozen=True)
class HeddleFares:
    """The whole project planned at one heddle: ends, warp and yarn at the same trust, the chance, and what the sample tells."""

    heddle: str
    ends_per_cm: float
    sampled: bool
    planned: bool
    ends: int
    warp_cm: float
    yarn_m: float
    chance_enough: float
    verdict: Verdict
    settles: float
    narrows_width: float


@dataclass(frozen=True)
class Doubtful:
    """What is in doubt, now or as far as a sample would leave it: nine times in ten, metres and cm."""

    margin_m: Interval
    finished_width_cm: Interval
    finished_length_cm: Interval


@dataclass(frozen=True)
class SampleFirst:
    """The smallest sample that tells most, others beside it (least yarn first), and the heddles side by side.

    `after` is as wide as the doubt will be, about the same middles: where they will lie is what the sample tells.
    """

    name: str
    verdict: Verdict
    chance_enough: float
    trust_yarn: float
    choice: SampleChoice
    beside: tuple[SampleChoice, ...]
    now: Doubtful
    after: Doubtful
    heddles: tuple[HeddleFares, ...]
    working: tuple[WorkingLine, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data."""
        data: dict[str, Any] = plain_data(self)
        return data | {"working": [line.as_json() for line in self.working]}


def sample_first(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    loom: bool = True,
    heddles: Sequence[str] = (),
    layouts: LayoutSearch | None = None,
    history: History = NO_HISTORY,
) -> SampleFirst:
    """The smallest sample for a project that settles most, on its loom or without one.

    `layouts` searches for layouts, first guesses where it is left out; `history` is what was measured elsewhere.

    `heddles` names those to sample, as printed on them; left out, the planned one, and where the project states none
    also the next that comes near. ProblemsFound when the project cannot be planned, or a heddle is not owned.
    """
    job = job_of(project, drawings, history)
    sampled = _named(job, heddles) if heddles else _worth_sampling(job)
    weighed = weigh_up(job, layouts)
    search = SampleSearch(weighed, sampled)
    on = On.LOOM if loom else On.CARD
    choice = search.smallest(on)
    fares, refused = _fares(weighed, search, choice)
    return SampleFirst(
        name=project.name,
        verdict=weighed.verdict,
        chance_enough=weighed.chance_enough,
        trust_yarn=weighed.trust,
        choice=choice,
        beside=_beside(search, on, choice),
        now=_now(weighed),
        after=_after(weighed, choice),
        heddles=fares,
        working=tuple(_working(weighed, choice)),
        notes=(*_notes(weighed, search, choice), *refused),
    )


def _owned(job: Job) -> tuple[Heddle, ...]:
    """The planned heddle, then the others owned, nearest to what the yarn asks for first."""
    others = (heddle for heddle, _ in sett_candidates(job.as_typed, job.yarns))
    return (job.heddle, *(one for one in others if one.name != job.heddle.name))


def _worth_sampling(job: Job) -> tuple[Heddle, ...]:
    """The planned heddle alone where the project states one; else the next that come near as well."""
    if job.project.cloth.heddle is not None:
        return (job.heddle,)
    choice = sampling_table()["choice"]
    near = [
        one
        for one in _owned(job)
        if 1 / choice["heddle_reach"] <= one.per_cm / job.heddle.per_cm <= choice["heddle_reach"]
    ]
    return tuple(near[: choice["heddles"]])


def _named(job: Job, names: Sequence[str]) -> tuple[Heddle, ...]:
    """The heddles named, the planned one first; ProblemsFound for one that is not owned."""
    owned = {"".join(one.name.split()).lower(): one for one in _owned(job)}
    found, problems = [], []
    for name in names:
        one = owned.get("".join(name.split()).lower())
        if one is None:
            have = ", ".join(heddle.name for heddle in owned.values())
            problems.append(
                Problem(("loom", "heddles"), f"“{name}” is not among the heddles owned; write one of {have}")
            )
        elif one not in found:
            found.append(one)
    if problems:
        raise ProblemsFound(*problems)
    return tuple(sorted(found, key=lambda one: one != job.heddle))


def _beside(search: SampleSearch, on: On, taken: SampleChoice) -> tuple[SampleChoice, ...]:
    """Smaller and larger samples, and the one on a card where there is a loom."""
    others = [one for one in search.frontier(on) if one.sample != taken.sample]
    step = max(1, -(-len(others) // _SHOWN))
    card = [search.smallest(On.CARD)] if on == On.LOOM else []
    return tuple(sorted([*others[::step], *card], key=lambda one: one.sample.metres))


def _now(weighed: WeighedUp) -> Doubtful:
    outcome = weighed.outcome
    every = (weighed.stock.slack_m, outcome.finished_width, outcome.finished_length)
    return Doubtful(*map(Interval.of_draws, every))


def _after(weighed: WeighedUp, choice: SampleChoice) -> Doubtful:
    now = _now(weighed)
    return Doubtful(
        _narrower(now.margin_m, choice.narrows_margin),
        _narrower(now.finished_width_cm, choice.narrows_width),
        _narrower(now.finished_length_cm, choice.narrows_length),
    )


def _narrower(one: Interval, narrows: float) -> Interval:
    """The interval with a share of its spread gone, about the same middle."""
    left = 1 - narrows
    return Interval(
        one.expected - left * (one.expected - one.low), one.expected, one.expected + left * (one.high - one.expected)
    )


def _fares(
    weighed: WeighedUp, search: SampleSearch, choice: SampleChoice
) -> tuple[tuple[HeddleFares, ...], tuple[str, ...]]:
    """The project at each heddle owned, and in a sentence why it cannot be planned at some."""
    found, refused = [], []
    for heddle in _owned(weighed.job):
        try:
            found.append(_fare(heddle, weighed, search, choice))
        except (ProblemsFound, TooWide) as no:
            why = no.problems[0].sentence if isinstance(no, ProblemsFound) else str(no)
            refused.append(f"At {heddle.name} the project cannot be woven: {why}.")
    return tuple(sorted(found, key=lambda one: one.ends_per_cm)), tuple(refused)


def _fare(heddle: Heddle, planned: WeighedUp, search: SampleSearch, choice: SampleChoice) -> HeddleFares:
    """The whole decision (ends, warp, where to stop, layout) at a heddle, and what the sample would tell of it."""
    same = heddle == planned.job.heddle
    weighed = planned if same else weigh_up(planned.job.at(heddle), like=planned)
    narrowing = search.narrowing if same else Narrowing(weighed, search.belief_for(weighed.job))
    told = choice_of(choice.sample, narrowing, narrowing.told_by(search.rows(choice.sample)))
    return HeddleFares(
        heddle=heddle.name,
        ends_per_cm=heddle.per_cm,
        sampled=heddle in search.heddles,
        planned=same,
        ends=weighed.decision.ends + weighed.job.extra_ends,
        warp_cm=weighed.decision.warp_cm,
        yarn_m=float(np.mean(weighed.outcome.warp_m + weighed.outcome.weft_m)),
        chance_enough=weighed.chance_enough,
        verdict=weighed.verdict,
        settles=told.settles,
        narrows_width=told.narrows_width,
    )


def _working(weighed: WeighedUp, choice: SampleChoice) -> Iterator[WorkingLine]:
    """The sums of the sample's yarn."""
    sample = choice.sample
    take_up = float(np.median(weighed.forecast.take_up))
    parts = [f"({one.woven_cm:g} + 2 × {sample.heading_cm:g}) cm ÷ {take_up:.3f}" for one in sample.sections]
    parts = parts if sample.on == On.LOOM else parts[:1]
    lost = [f"{sample.change_cm:g} cm for the change of heddle"] * (len(parts) - 1)
    waste = f"{sample.waste_cm:.0f} cm " + ("loom waste" if sample.on == On.LOOM else "lost at the notches")
    warp = " + ".join([*parts, *lost, waste])
    yield WorkingLine("Warp length", f"{warp}, rounded up", sample.warp_cm, "cm", Rung.CALCULATED, "the plan's figures")
    ends = f"{sample.ends} ends × {sample.warp_cm:g} cm ÷ 100"
    yield WorkingLine("Warp yarn", ends, round(sample.warp_m, 2), "m", Rung.CALCULATED, "the lines above")
    pick = float(np.median(weighed.forecast.pick_length))
    for one in sample.sections:
        picks = one.picks * (1 + 2 * sample.heading_cm / one.woven_cm)
        weft = picks * one.width_in_heddle_cm * pick / 100
        said = f"{picks:.0f} picks × {one.width_in_heddle_cm:.1f} cm × {pick:.3f} ÷ 100, headings included"
        yield WorkingLine(
            f"Weft yarn at {one.heddle}", said, round(weft, 2), "m", Rung.CALCULATED, "the plan's figures"
        )


def _notes(weighed: WeighedUp, search: SampleSearch, choice: SampleChoice) -> Iterator[str]:
    in_hand = float(sum(np.median(have) for have in weighed.stock.of_lot.values()))
    if choice.sample.metres > in_hand:
        yield "There is not even yarn for this, the smallest sample there is. Try it on a card, or in another yarn like it."
    else:
        share = choice.sample.metres / in_hand
        yield f"The sample takes {share * 100:.1f} % of the yarn in hand; its chance counts that this yarn is gone."
        if share > sampling_table()["choice"]["most_of_the_yarn"]:
            yield "That is more than a tenth of it: the smallest sample there is. Think of a card, or of another yarn like it."
    if max(choice.narrows_margin, choice.narrows_width, choice.narrows_length) < _LITTLE_MORE:
        yield (
            "What has been measured already tells most of what a sample can: this one would take away less than a fifth of "
            "any doubt. Look at what to measure next before weaving it."
        )
    if choice.saves_m < choice.sample.metres:
        yield "It uses up more yarn than the surer plan would save: weave it for the verdict and the hand, not to save yarn."
    if choice.sample.on == On.CARD:
        yield (
            "Cloth woven with a needle on a card is beaten and stretched otherwise than on a loom. How far is taken as "
            "2.5 % of width, 1.5 % of take-up and 6 % of picks, one standard deviation: common practice, no source."
        )
    if len(search.heddles) > 1:
        yield (
            "The heddle is not chosen for least yarn: a more open one always takes less, and makes another cloth. The hand "
            "of the washed sample decides; below stands what each would take at the same trust."
        )
    yield "Sizes tried are a table, not every centimetre; a sample a little wider or longer does no harm."
