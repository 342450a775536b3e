"""A plan as the page shows it: figures in words, in the units chosen, with the other units beside them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final
from urllib.parse import urlencode

from clothwright.library.models import Revision
from clothwright.measure import Interval
from clothwright.planning import Plan, Verdict, YarnLine, rests_on
from clothwright.sheets import doubt_svg, layout_svg, staircase_svg, strip_svg, yarn_bars_svg
from clothwright.sheets.colours.ball_words import BALLS_IN_PLAN_HEAD, by_ball_rows, by_ball_sentence
from clothwright.sheets.doubts import (
    DOUBT_HEAD,
    WHAT_A_BAR_MEANS,
    costs_words,
    doubt_rows,
    doubt_sentence,
    tells_words,
)
from clothwright.sheets.widths import STAIRS_HEAD, advice_sentences, bound_sentence, stairs_rows
from clothwright.sheets.wording import (
    CLOTH_WEIGHT,
    LENGTH,
    THREADS,
    VERDICTS,
    WEIGHT,
    YARN,
    Kind,
    Rounding,
    chances,
    margin_range_sentence,
    pattern_sentence,
    percent,
    plain_number,
    reason_sentence,
    shortfall_sentence,
    size_sentence,
    spare,
)
from clothwright.web.planned import Answer
from clothwright.web.samples import ShownForecast, shown_forecast

_KEYS: Final = {Verdict.ENOUGH: "enough", Verdict.TOO_CLOSE: "close", Verdict.NOT_ENOUGH: "short"}


@dataclass(frozen=True)
class Figure:
    """A figure with its name."""

    name: str
    text: str


@dataclass(frozen=True)
class ShownStairs:
    """The staircase of widths: what follows from it, its picture, and its rows, each with whether it is the one taken."""

    sentences: list[str]
    picture: str
    head: list[str]
    rows: list[tuple[list[str], bool]]


@dataclass(frozen=True)
class ShownBalls:
    """The verdict ball by ball: in a sentence, by its key, and each ball."""

    sentence: str
    key: str
    head: list[str]
    rows: list[list[str]]


@dataclass(frozen=True)
class ShownLine:
    """A line of the working; `figures` are the keys of those it rests on."""

    step: str
    result: str
    sum: str
    rung: str
    source: str
    figures: tuple[str, ...] = ()

    @property
    def of(self) -> str:
        """The figures it rests on, as a query asks for them."""
        return urlencode([("of", key) for key in self.figures])

    @property
    def anchor(self) -> str:
        """Where the first of them stands on the page of evidence."""
        return self.figures[0].replace(" ", "-") if self.figures else ""


@dataclass(frozen=True)
class ShownDoubt:
    """What contributes most to the doubt: in a sentence, drawn, and as a table with what its figures mean."""

    sentence: str
    picture: str
    head: tuple[str, ...]
    rows: list[list[str]]
    meaning: str


class ShownPlan:
    """The plan of an answer in the words and units of the page; nothing is worked out before it is asked for, nor twice."""

    def __init__(self, answer: Answer, *, imperial: bool) -> None:
        assert answer.plan is not None  # shown only where there is a plan
        self.plan: Plan = answer.plan
        self.imperial = imperial

    @cached_property
    def key(self) -> str:
        """Which shape stands for the verdict."""
        return _KEYS[self.plan.verdict]

    @cached_property
    def word(self) -> str:
        """The verdict in a word or two."""
        return VERDICTS[self.plan.verdict]

    @cached_property
    def sentences(self) -> list[str]:
        """Verdict, size, how far the margin may lie, and what is missing, each as a sentence."""
        plan, imperial = self.plan, self.imperial
        missing = shortfall_sentence(plan.shortfall, imperial=imperial) if plan.shortfall else ""
        said = (
            reason_sentence(plan),
            plan.provisional_because,
            size_sentence(plan),
            margin_range_sentence(plan.margin, imperial=imperial),
            missing,
            pattern_sentence(plan),
        )
        return [one for one in said if one]

    @cached_property
    def margin(self) -> list[Figure]:
        """What is expected to be left over, three ways."""
        margin = self.plan.margin
        return [
            Figure("Yarn", self._spare(margin.m, YARN)),
            Figure("Weight", self._spare(margin.g, WEIGHT)),
            Figure("Finished cloth", self._spare(margin.finished_cm, LENGTH)),
        ]

    @cached_property
    def slim(self) -> str:
        """Verdict and margin in one short line."""
        return f"{self.word} · {self._spare(self.plan.margin.m, YARN)}"

    @cached_property
    def width_forecasts(self) -> list[ShownForecast]:
        """What each sample supports for the finished width, two ways and fused."""
        return [shown_forecast(one, imperial=self.imperial) for one in self.plan.width_forecasts]

    @cached_property
    def strip(self) -> str:
        """The strip to scale."""
        return strip_svg(self.plan, imperial=self.imperial)

    @cached_property
    def layout(self) -> str:
        """The pieces on the cloth; empty without pieces."""
        return layout_svg(self.plan, imperial=self.imperial) if self.plan.layout else ""

    @cached_property
    def bars(self) -> str:
        """Need against have."""
        return yarn_bars_svg(self.plan, imperial=self.imperial)

    @cached_property
    def at_the_loom(self) -> list[Figure]:
        """What to warp and weave."""
        warp, weft = self.plan.warp, self.plan.weft
        return [
            Figure("Heddle", f"{warp.heddle}, {THREADS.text(warp.ends_per_cm, imperial=self.imperial)}"),
            Figure("Ends", str(warp.ends)),
            Figure("Width in the heddle ↔", self._length(warp.width_in_heddle_cm)),
            Figure("Warp length ↕", self._length(warp.length_cm, Rounding.UP)),
            Figure("Weave to, under tension ↕", self._length(weft.weave_to_cm, Rounding.UP)),
            Figure("Picks on the loom", THREADS.range(weft.picks_per_cm_on_loom, imperial=self.imperial)),
            Figure("Yarn in the warp", YARN.range(warp.yarn_m, imperial=self.imperial)),
            Figure("Yarn in the weft", YARN.range(weft.yarn_m, imperial=self.imperial)),
        ]

    @cached_property
    def finished(self) -> list[Figure]:
        """The cloth that comes of it."""
        cloth = self.plan.cloth
        figures = [
            Figure("Width wanted ↔", self._length(cloth.asked_width_cm, Rounding.UP)),
            Figure("Width forecast ↔", LENGTH.range(cloth.finished_width_cm, imperial=self.imperial)),
            Figure("Length wanted ↕", self._length(cloth.asked_length_cm, Rounding.UP)),
            Figure("Length forecast ↕", LENGTH.range(cloth.finished_length_cm, imperial=self.imperial)),
        ]
        if cloth.g_per_m2:
            figures.append(Figure("Weight of the cloth", CLOTH_WEIGHT.range(cloth.g_per_m2, imperial=self.imperial)))
        return figures

    @cached_property
    def by_ball(self) -> ShownBalls | None:
        """The verdict ball by ball, where the project has rules of colours."""
        found = self.plan.by_ball
        if found is None:
            return None
        rows = by_ball_rows(found, imperial=self.imperial)
        return ShownBalls(by_ball_sentence(found), _KEYS[found.verdict], BALLS_IN_PLAN_HEAD, rows)

    @cached_property
    def yarns(self) -> list[tuple[YarnLine, list[Figure]]]:
        """Each yarn with need, have and what is left of it."""
        return [(yarn, self._yarn(yarn)) for yarn in self.plan.yarns]

    @cached_property
    def working(self) -> list[ShownLine]:
        """Every line of the sum."""
        return [
            ShownLine(
                one.step,
                f"{plain_number(one.value)} {one.unit}".strip(),
                one.sum,
                str(one.rung),
                one.source,
                rests_on(one.step),
            )
            for one in self.plan.working
        ]

    @cached_property
    def ways_out(self) -> list[tuple[str, str, str]]:
        """What could be done, what it changes, and what comes of it."""
        return [
            (
                way.what,
                way.change,
                f"{chances(way.chance_enough).capitalize()}; {spare(way.spare_m, YARN, imperial=self.imperial)}.",
            )
            for way in self.plan.ways_out
        ]

    @cached_property
    def measure_next(self) -> list[tuple[str, str, str]]:
        """What could be measured, what it settles and costs, and why."""
        return [
            (
                one.what,
                f"{tells_words(one, imperial=self.imperial)} Costs {costs_words(one, imperial=self.imperial)}.",
                f"{one.why}.",
            )
            for one in self.plan.measure_next
        ]

    @cached_property
    def doubt(self) -> ShownDoubt | None:
        """What contributes most to the doubt; None where there is none, as by hand."""
        plan, imperial = self.plan, self.imperial
        if not plan.doubt:
            return None
        rows = doubt_rows(plan, imperial=imperial)
        return ShownDoubt(doubt_sentence(plan), doubt_svg(plan, imperial=imperial), DOUBT_HEAD, rows, WHAT_A_BAR_MEANS)

    @cached_property
    def staircase(self) -> ShownStairs | None:
        """Every width tried, drawn and in rows, with the advice that follows; None without pieces."""
        plan, imperial = self.plan, self.imperial
        if plan.layout is None or plan.width_advice is None:
            return None
        taken = plan.layout.width_cm
        return ShownStairs(
            advice_sentences(plan.width_advice, imperial=imperial),
            staircase_svg(plan.staircase, plan.width_advice, taken, trim_cm=plan.selvedge_trim_cm, imperial=imperial),
            STAIRS_HEAD,
            [
                (row, step.width_cm == taken)
                for row, step in zip(stairs_rows(plan.staircase, taken, imperial=imperial), plan.staircase, strict=True)
            ],
        )

    @cached_property
    def bound(self) -> str:
        """How short the layout could be at most."""
        plan = self.plan
        if plan.layout is None or plan.least_length is None:
            return ""
        return bound_sentence(plan.layout, plan.least_length, imperial=self.imperial)

    @cached_property
    def used_share(self) -> str:
        """How much of the cloth the pieces use."""
        return percent(self.plan.layout.used_share) if self.plan.layout else ""

    def _yarn(self, yarn: YarnLine) -> list[Figure]:
        need = YARN.range(yarn.need_m, imperial=self.imperial)
        have = YARN.range(yarn.have_m, imperial=self.imperial)
        weight = WEIGHT.text(yarn.have_g, imperial=self.imperial, rounding=Rounding.DOWN)
        return [
            Figure("Needs", need),
            Figure("Have", f"{have}, {weight}"),
            Figure("Left", self._spare(yarn.spare_m, YARN)),
            Figure("Lasts", chances(yarn.chance_enough)),
        ]

    def _length(self, value_cm: float, rounding: Rounding = Rounding.NEAREST) -> str:
        return LENGTH.text(value_cm, imperial=self.imperial, rounding=rounding)

    def _spare(self, interval: Interval, kind: Kind) -> str:
        return spare(interval.expected, kind, imperial=self.imperial)


def shown_plan(answer: Answer, revision: Revision) -> ShownPlan | None:
    """The plan of an answer as the page shows it, drawn once for each system of units; None where there is no plan."""
    if answer.plan is None:
        return None
    imperial = is_imperial(revision)
    shown: ShownPlan = answer.beside.setdefault(("shown", imperial), ShownPlan(answer, imperial=imperial))
    return shown


def is_imperial(revision: Revision) -> bool:
    """Whether a revision asks for inches and yards first."""
    return bool(revision.tree.get("units") == "imperial")
