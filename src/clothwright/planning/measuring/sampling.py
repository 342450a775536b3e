"""The smallest sample that settles the question: how wide, how long, at which heddles, on one small warp or on a card.

What a sample of any size would tell is known before it is woven (`narrowing`), so every size of a small table is tried:
wider tells more of a wide cloth, since what is lost at the edges weighs less; longer is measured better; both cost yarn
that comes out of the same stock. The smallest is taken that reaches most of what the best would.

What counts is the share of the doubt that goes: of what is left over, of the finished width and of the finished length;
and, where the verdict is too close to call, the chance that it is definite afterwards. A sample reaches most of the gain
where it comes near to the best of each of these, leaving out those that no sample has a say in.

Several heddles go on one warp: on a loom one after another, so that the loom waste is paid once; on a card side by side,
with notches as far apart as each heddle's ends. A card stands in for a loom. What is woven on it differs from the loom's
cloth by unknowns of its own, shared by all that is measured of it (`card.error` of the table).
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache, cached_property, partial
from importlib import resources
from operator import itemgetter
from typing import Any, Final

import numpy as np

from clothwright.evidence import Belief, Making, Measurement, SampleMeasured, Step, independent, joint, measured_rows
from clothwright.planning.answer import Verdict
from clothwright.planning.forecast import measured_belief
from clothwright.planning.job import Heddle, Job, round_up
from clothwright.planning.measuring.narrowing import Narrowing, Of, Told
from clothwright.planning.weighing_up import WeighedUp
from clothwright.project.domain import making

#: A chance or a share below this is no gain.
LITTLE: Final = 0.05
_PLAINLY_MORE: Final = 0.04


class On(StrEnum):
    """What a sample is woven on."""

    LOOM = "loom"
    CARD = "card"


@dataclass(frozen=True)
class Section:
    """A part of a sample at one heddle; cm. `woven_cm` is what is measured, without the headings."""

    heddle: str
    ends_per_cm: float
    ends: int
    width_in_heddle_cm: float
    woven_cm: float
    picks: int


@dataclass(frozen=True)
class SmallWarp:
    """A sample to make: its sections, the warp that carries them, the yarn and the time it costs.

    On a loom the sections follow one another along `warp_cm`, every end through all of them; on a card they lie side
    by side. `warp_cm` includes `waste_cm` that cannot be woven.
    """

    on: On
    sections: tuple[Section, ...]
    ends: int
    warp_cm: float
    waste_cm: float
    heading_cm: float
    change_cm: float
    warp_m: float
    weft_m: float
    warp_g: float
    weft_g: float
    minutes: int

    @property
    def metres(self) -> float:
        """Yarn in all."""
        return self.warp_m + self.weft_m

    @property
    def grams(self) -> float:
        """Yarn in all, by weight."""
        return self.warp_g + self.weft_g

    @property
    def first(self) -> Section:
        """The section at the planned heddle."""
        return self.sections[0]


@dataclass(frozen=True)
class SampleChoice:
    """A sample and what it would tell.

    `settles`: chance that the verdict is definite afterwards. `narrows_…`: share of the spread that goes. `saves_m`:
    metres the surer plan takes less, on average, at the same trust.
    """

    sample: SmallWarp
    settles: float
    narrows_margin: float
    narrows_width: float
    narrows_length: float
    saves_m: float


@dataclass(frozen=True)
class Tried:
    """A size, what it would tell, and each gain that counts by its name: shares of doubt, and where the verdict is open what it settles."""

    sample: SmallWarp
    told: Told
    gains: Mapping[str, float]


@dataclass(frozen=True)
class _Middle:
    """What is expected of the planned cloth: woven ÷ warp, loom waste, picks to an end, weft per pick ÷ width."""

    take_up: float
    waste_cm: float
    picks_per_end: float
    pick_length: float


@cache
def sampling_table() -> Mapping[str, Any]:
    """The table of costs, sizes and errors."""
    return tomllib.loads(resources.files(__package__).joinpath("sampling.toml").read_text(encoding="utf-8"))


class SampleSearch:
    """What samples at some heddles, the planned one first, would tell of a job weighed up."""

    def __init__(self, weighed: WeighedUp, heddles: Sequence[Heddle] = ()) -> None:
        self.weighed = weighed
        self.heddles = tuple(heddles) or (weighed.job.heddle,)
        self._tried: dict[On, tuple[Tried, ...]] = {}
        self._makings: dict[str, Making] = {}

    def smallest(self, on: On) -> SampleChoice:
        """The sample of least yarn among those that tell most."""
        reached = self._reached(on)
        most = sampling_table()["choice"]["most_of_the_gain"]
        enough = [one for one, reach in reached if reach >= most]
        return self._chosen(min(enough or [max(reached, key=itemgetter(1))[0]], key=_metres))

    def frontier(self, on: On) -> tuple[SampleChoice, ...]:
        """Samples that tell plainly more than every smaller one, least yarn first."""
        best, found = 0.0, list[Tried]()
        for one, reach in sorted(self._reached(on), key=lambda each: _metres(each[0])):
            if reach > best + _PLAINLY_MORE or not found:
                best = reach
                found.append(one)
        return tuple(map(self._chosen, found))

    def _reached(self, on: On) -> list[tuple[Tried, float]]:
        """Every size affordable, and how near it comes to the best of each gain, 0 to 1, where it comes least near."""
        among = self.affordable(on)
        best = {gain: most for gain in among[0].gains if (most := max(one.gains[gain] for one in among)) >= LITTLE}
        return [(one, min((one.gains[gain] / most for gain, most in best.items()), default=1.0)) for one in among]

    def affordable(self, on: On) -> tuple[Tried, ...]:
        """Every size that leaves enough yarn; where none does, the one of least yarn."""
        most = sampling_table()["choice"]["most_of_the_yarn"] * self._in_hand_m
        every = self._every_size(on)
        return tuple(one for one in every if _metres(one) <= most) or (min(every, key=_metres),)

    @cached_property
    def _in_hand_m(self) -> float:
        return float(sum(np.median(have) for have in self.weighed.stock.of_lot.values()))

    def _every_size(self, on: On) -> tuple[Tried, ...]:
        if on not in self._tried:
            self._tried[on] = tuple(map(self._try, self._sizes(on)))
        return self._tried[on]

    def _try(self, sample: SmallWarp) -> Tried:
        told = self.narrowing.told_by(self.rows(sample))
        gains = narrows(told)
        if self.weighed.verdict == Verdict.TOO_CLOSE:
            gains["settles"] = _settles(sample, self.narrowing, told)
        return Tried(sample, told, gains)

    def choice(self, sample: SmallWarp) -> SampleChoice:
        """What one sample would tell of the job."""
        return self._chosen(self._try(sample))

    def _chosen(self, tried: Tried) -> SampleChoice:
        return choice_of(tried.sample, self.narrowing, tried.told)

    def _sizes(self, on: On) -> Iterator[SmallWarp]:
        table = sampling_table()
        widest, longest = _most(self.weighed, on, len(self.heddles))
        widths = [width for width in table["sizes"]["widths"] if width <= widest] or [widest]
        lengths = [length for length in table["sizes"]["lengths"] if length <= longest]
        for width in widths:
            for length in lengths:
                yield self.small_warp(on, width, length)

    def small_warp(self, on: On, width_cm: float, woven_cm: float) -> SmallWarp:
        """The warp for sections so wide at the first heddle and so long, with what it costs.

        On a loom every section has the ends of the first; on a card each is as wide as the first.
        """
        job, first = self.weighed.job, self.heddles[0]
        ends = job.ends_for(width_cm) if first == job.heddle else round_up(width_cm * first.per_cm)
        sections = []
        for one in self.heddles:
            section_ends = ends if on == On.LOOM else round_up(width_cm * one.per_cm)
            picks = round(woven_cm * one.per_cm * self._middle.picks_per_end)
            width = section_ends / one.per_cm
            sections.append(Section(one.name, one.per_cm, section_ends, width, woven_cm, picks))
        return self._costed(on, tuple(sections))

    def _costed(self, on: On, sections: tuple[Section, ...]) -> SmallWarp:
        job, table = self.weighed.job, sampling_table()
        heading, (waste, change) = table[on]["heading_cm"], self._lost(on)
        lengths = [(one.woven_cm + 2 * heading) / self._middle.take_up for one in sections]
        if on == On.LOOM:
            ends, woven = sections[0].ends, sum(lengths) + change * (len(sections) - 1)
        else:
            ends, woven = sum(one.ends for one in sections), max(lengths)
        warp_cm = math.ceil(woven + waste)
        warp_m, weft_m = ends * warp_cm / 100, sum(self._weft_m(one, heading) for one in sections)
        return SmallWarp(
            on=on,
            sections=sections,
            ends=ends,
            warp_cm=warp_cm,
            waste_cm=waste,
            heading_cm=heading,
            change_cm=change if len(sections) > 1 else 0.0,
            warp_m=warp_m,
            weft_m=weft_m,
            warp_g=warp_m / job.yarns.warp[0].m_per_g,
            weft_g=weft_m / job.yarns.weft[0].m_per_g,
            minutes=_minutes(on, ends, sections),
        )

    def _lost(self, on: On) -> tuple[float, float]:
        """Warp that cannot be woven, and what a change of heddle loses, cm."""
        table = sampling_table()
        if on == On.CARD:
            return table["card"]["unwoven_cm"], 0.0
        return self._middle.waste_cm, table["loom"]["change_cm"]

    def _weft_m(self, section: Section, heading_cm: float) -> float:
        """Weft of a section with its headings."""
        picks = section.picks * (1 + 2 * heading_cm / section.woven_cm)
        return picks * section.width_in_heddle_cm * self._middle.pick_length / 100

    @cached_property
    def _middle(self) -> _Middle:
        forecast = self.weighed.forecast
        return _Middle(
            take_up=float(np.median(forecast.take_up)),
            waste_cm=float(np.median(forecast.waste)),
            picks_per_end=float(np.median(forecast.picks_per_cm)) / self.weighed.job.heddle.per_cm,
            pick_length=float(np.median(forecast.pick_length)),
        )

    def rows(self, sample: SmallWarp) -> list[Measurement]:
        """The rows a sample would give; their values do not matter."""
        return [row for section in sample.sections for row in _section_rows(self._made(section), sample.on, section)]

    @cached_property
    def narrowing(self) -> Narrowing:
        """The job's quantities, over a belief that knows of the samples not yet woven."""
        return Narrowing(self.weighed, self.belief_for(self.weighed.job))

    def belief_for(self, job: Job) -> Belief:
        """Belief for a job at any heddle that knows of cloths at the heddles sampled, and of the card."""
        sections = (Section(one.name, one.per_cm, 30, 10.0, 10.0, 30) for one in self.heddles)
        trials = tuple(_nominal(self._made(section), section) for section in sections)
        card = independent({_card_unknown(step): (0.0, sd) for step, sd in _card_error().items()})
        return joint([measured_belief(job, trials=trials), card])

    def _made(self, section: Section) -> Making:
        """The cloth of a section: the job's yarns, finish and weave at the section's heddle."""
        if section.heddle not in self._makings:
            job, key = self.weighed.job, f"trial at {section.heddle}"
            self._makings[section.heddle] = making(job.project, job.yarns, section.ends_per_cm, key=key)
        return self._makings[section.heddle]


def choice_of(sample: SmallWarp, narrowing: Narrowing, told: Told) -> SampleChoice:
    """What a sample that tells so much would do."""
    settles = _settles(sample, narrowing, told)
    return SampleChoice(sample, settles=settles, saves_m=narrowing.saves_m(told), **narrows(told))


def _settles(sample: SmallWarp, narrowing: Narrowing, told: Told) -> float:
    costs = narrowing.costs_log(sample.warp_m, sample.weft_m)
    return narrowing.settles(told, before_warping=True, costs_log=costs)


def _metres(tried: Tried) -> float:
    return tried.sample.metres


def narrows(told: Told) -> dict[str, float]:
    """The shares of spread that go, by their names in answers."""
    return {
        "narrows_margin": told.narrows(Of.SPARE),
        "narrows_width": told.narrows(Of.WIDTH),
        "narrows_length": told.narrows(Of.LENGTH),
    }


def _most(weighed: WeighedUp, on: On, heddles: int) -> tuple[float, float]:
    """The widest and longest section; cm."""
    job = weighed.job
    if on == On.CARD:
        card = sampling_table()["card"]
        return card["widest_cm"] / heddles, card["longest_cm"] - 2 * card["heading_cm"]
    loom = job.loom.weaving_width.cm if job.loom.weaving_width else math.inf
    return min(loom, job.width_in_heddle(weighed.decision.ends)), math.inf


def _minutes(on: On, ends: int, sections: Sequence[Section]) -> int:
    """Minutes of work; resting and drying not counted."""
    each = sampling_table()["minutes"][on]
    picks = sum(one.picks for one in sections)
    work = each["set_up"] + each["an_end"] * ends + picks / each["picks_a_minute"]
    return int(work + each["a_change"] * (len(sections) - 1) + each["measure"] + each["wash"])


def _section_rows(made: Making, on: On, section: Section) -> Iterator[Measurement]:
    """The rows of a section; on a card each also sums by how much the card's cloth differs from the loom's."""
    rows = measured_rows(_nominal(made, section))
    return rows if on == On.LOOM else map(partial(_on_card, made), rows)


def _on_card(made: Making, row: Measurement) -> Measurement:
    differs = {_card_unknown(step): row.weights.get(made.unknown(step), 0.0) for step in _card_error()}
    return replace(row, weights=dict(row.weights) | {name: weight for name, weight in differs.items() if weight})


@cache
def _card_error() -> Mapping[Step, float]:
    """The spread of the log by which each step on a card differs from the loom's."""
    return {Step(step): sd for step, sd in sampling_table()["card"]["error"].items() if step != "source"}


def _card_unknown(step: Step) -> str:
    """Name of the log by which a step on a card differs from the loom's."""
    return f"card: {step}"


def _nominal(made: Making, section: Section) -> SampleMeasured:
    """A section as if measured through all its states; only the sizes of the errors matter."""
    width, long = section.width_in_heddle_cm, section.woven_cm
    weft_m, table = section.picks * width / 100, sampling_table()["weft"]
    return SampleMeasured(
        making=made,
        width_in_heddle=width,
        width_on_loom=width,
        width_off_loom=width,
        width_finished=width,
        warp_used=long,
        length_on_loom=long,
        length_off_loom=long,
        length_finished=long,
        picks_count=max(section.picks, 1),
        picks_over=long,
        weft_used_m=weft_m,
        weft_error_log=math.hypot(table["share"], table["ends_m"] / weft_m),
    )
