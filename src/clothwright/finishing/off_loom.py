"""The cloth measured off the loom: its sizes state by state, and whether they agree with the log.

A measuring is of one state; of several of a state the latest counts, side by side: one may have the widths and another the weight.
What the record of the project holds of the same size is the same fact in another place; where the two do not agree it is asked.

"Missed a mark?" The log has the woven length under tension. Cut off, the cloth relaxes; how much is believed from what was sampled
and seen before. So the length off the loom is held against the log's by what the release is believed to leave. More than 3 % away it
is asked; and where the difference is about one step of the marks, that is said, since a mark forgotten or counted twice is a whole
step. *Source of the 3 %*: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from statistics import fmean
from typing import Any, Final

import numpy as np

from clothwright.evidence import NO_HISTORY, History, Step
from clothwright.measure import Interval, Length
from clothwright.planning.forecast import Forecast
from clothwright.planning.job import job_of
from clothwright.project import ProblemsFound, Project
from clothwright.project.parts.finishing_parts import STATES_OFF, OffLoomMeasuredPart
from clothwright.weaving import logged

OFF, RESTED, FINISHED = STATES_OFF
#: A length off the loom further from the log's than this is asked about. Common practice, no source.
_ASKED_FROM: Final = 0.03
#: A difference this near to a whole step of the marks is taken for one.
_NEAR_A_STEP: Final = 0.35
_SAME_CM: Final = 0.1


@dataclass(frozen=True)
class Sizes:
    """The cloth in one state: its widths from start to end, its length, cm, and its weight, g; None where not measured.

    `rested`, `when`: as typed with the latest measuring. `of_record`: whether a size comes from the record.
    """

    state: str
    widths_cm: tuple[float, ...] = ()
    length_cm: float | None = None
    weight_g: float | None = None
    rested: str = ""
    when: str = ""
    of_record: bool = False

    @property
    def width_cm(self) -> float | None:
        """The mean of its widths."""
        return fmean(self.widths_cm) if self.widths_cm else None

    @property
    def least_width_cm(self) -> float | None:
        """The least of its widths, which is what can be used."""
        return min(self.widths_cm, default=None)

    def as_json(self) -> dict[str, Any]:
        """The sizes as plain data."""
        return {
            "state": self.state,
            "widths_cm": list(self.widths_cm),
            "least_width_cm": self.least_width_cm,
            "length_cm": self.length_cm,
            "weight_g": self.weight_g,
            "rested": self.rested,
            "when": self.when,
        }


@dataclass(frozen=True)
class MissedMark:
    """A length off the loom that disagrees with the log: what was woven under tension, what should be left of it, what is.

    `steps`: so many marks the difference is about; 0 where it is no whole number. `likely`: whether it lies within what nine in
    ten such cloths do off the loom.
    """

    woven_cm: float
    expected_cm: Interval
    measured_cm: float
    state: str
    step_cm: float | None
    steps: int
    likely: bool

    @property
    def share(self) -> float:
        """How far it is from what is expected, as a share of it: above zero it is longer."""
        return self.measured_cm / self.expected_cm.expected - 1

    def as_json(self) -> dict[str, Any]:
        """The question as plain data."""
        return {
            "woven_on_loom_cm": self.woven_cm,
            "expected_off_loom_cm": {
                "low": self.expected_cm.low,
                "expected": self.expected_cm.expected,
                "high": self.expected_cm.high,
            },
            "measured_cm": self.measured_cm,
            "state": self.state,
            "differs_by": self.share,
            "marks_every_cm": self.step_cm,
            "about_so_many_marks": self.steps,
            "within_nine_in_ten": self.likely,
        }


@dataclass(frozen=True)
class OffLoom:
    """What was measured, by state, and what is asked about it."""

    sizes: Mapping[str, Sizes]
    missed: MissedMark | None = None
    asked: tuple[str, ...] = ()
    #: What the finished cloth is expected to measure, from what is off the loom: width and length, cm; None where nothing tells.
    expected_width_cm: Interval | None = None
    expected_length_cm: Interval | None = None

    def of(self, state: str) -> Sizes:
        """The sizes in a state; blank where nothing was measured."""
        return self.sizes.get(state, Sizes(state))

    @property
    def before_washing(self) -> Sizes:
        """The sizes rested, else those just off the loom."""
        return self.of(RESTED) if _told(self.of(RESTED)) else self.of(OFF)


def _told(sizes: Sizes) -> bool:
    return bool(sizes.widths_cm or sizes.length_cm)


def off_loom(project: Project, *, drawings: Mapping[str, bytes], history: History = NO_HISTORY) -> OffLoom:
    """What was measured of a project's cloth, and how it agrees with its log and with what is believed of it."""
    sizes = sizes_off_loom(project)
    asked = tuple(_asked(project, sizes))
    found = OffLoom(sizes, asked=asked)
    try:
        forecast = Forecast(job_of(project, drawings, history))
    except ProblemsFound:
        return found
    before = found.before_washing
    return OffLoom(
        sizes,
        _missed(project, found, forecast),
        asked,
        _finished(before.least_width_cm, forecast, Step.WIDTH_FINISHING),
        _finished(before.length_cm, forecast, Step.LENGTH_FINISHING),
    )


def sizes_off_loom(project: Project) -> dict[str, Sizes]:
    """What was measured of a project's cloth, by state, as it is typed in measurings, record and log."""
    return {state: found for state in STATES_OFF if _any(found := _sizes(project, state))}


def _any(sizes: Sizes) -> bool:
    return bool(sizes.widths_cm or sizes.length_cm or sizes.weight_g)


def _finished(cm: float | None, forecast: Forecast, step: Step) -> Interval | None:
    return None if cm is None else Interval.of_draws(cm * np.exp(forecast.step(step)))


# --- the sizes ----------------------------------------------------------------------------------------------------


def _sizes(project: Project, state: str) -> Sizes:
    """The latest of each size in a state; what no measuring has is taken from the record, or for off the loom from the log."""
    parts = [one for one in project.off_loom if one.state == state]
    widths = _latest(parts, lambda one: one.width.lengths) or ()
    length = _latest(parts, lambda one: one.length)
    weight = _latest(parts, lambda one: one.weight)
    recorded_widths, recorded_length = _recorded(project, state)
    last = parts[-1] if parts else None
    used = (not widths and recorded_widths) or (not length and recorded_length)
    return Sizes(
        state,
        tuple(one.cm for one in widths or recorded_widths),
        (length or recorded_length).cm if (length or recorded_length) else None,  # type: ignore[union-attr]
        weight.grams if weight else None,
        last.rested if last else "",
        last.when if last else "",
        bool(used),
    )


def _latest(parts: list[OffLoomMeasuredPart], size: Callable[[OffLoomMeasuredPart], Any]) -> Any:
    """The last measuring that has a size; a later place of the list is later."""
    return next((found for one in reversed(parts) if (found := size(one))), None)


def _recorded(project: Project, state: str) -> tuple[tuple[Length, ...], Length | None]:
    """The widths and the length that the record, or the log, has of a state."""
    record = project.record
    if state == FINISHED and record:
        return record.width.finished.lengths, record.length.finished
    if state == OFF:
        width, length = (record.width.off_loom, record.length.off_loom) if record else (None, None)
        cut_off = [one.part.off_loom for one in logged(project).in_order if one.part.off_loom]
        width = width or next((one.width for one in reversed(cut_off) if one.width), None)
        length = length or next((one.length for one in reversed(cut_off) if one.length), None)
        return ((width,) if width else ()), length
    return (), None


def _asked(project: Project, sizes: Mapping[str, Sizes]) -> Iterator[str]:
    """Sizes that stand in two places and differ, and sizes that grew where cloth only draws together."""
    finished = sizes.get(FINISHED)
    if finished and not finished.of_record and project.record:
        widths, length = _recorded(project, FINISHED)
        if (
            widths
            and abs(min(one.cm for one in widths) - (finished.least_width_cm or 0)) > _SAME_CM
            and finished.widths_cm
        ):
            yield _two_places("width", min(one.cm for one in widths), finished.least_width_cm or 0)
        if length and finished.length_cm and abs(length.cm - finished.length_cm) > _SAME_CM:
            yield _two_places("length", length.cm, finished.length_cm)
    off, rested = sizes.get(OFF), sizes.get(RESTED)
    if off and rested and off.length_cm and rested.length_cm and rested.length_cm > off.length_cm * (1 + _ASKED_FROM):
        yield (
            f"rested it is {rested.length_cm:g} cm long and was {off.length_cm:g} cm at once: cloth that rests grows shorter. Was one "
            "measured while it was stretched?"
        )


def _two_places(what: str, recorded: float, measured: float) -> str:
    return f"the record has a finished {what} of {recorded:g} cm and the measuring {measured:g} cm: which is right? The measuring is gone by here"


# --- missed a mark? -----------------------------------------------------------------------------------------------


def woven_cm(project: Project) -> float | None:
    """What was woven of the cloth under tension, a sample before it not counted; None where nothing says."""
    if project.record and project.record.length.on_loom:
        return project.record.length.on_loom.cm
    found = logged(project).woven_cm - counted_before_cm(project)
    return found if found > 0 else None


def counted_before_cm(project: Project) -> float:
    """How far along the log the cloth begins: after the sample, where the log counts from that."""
    told, sample = project.on_loom, project.cloth.on_warp_sample
    return sample.cm if told and told.counted_from == "sample" and sample else 0.0


def _missed(project: Project, found: OffLoom, forecast: Forecast) -> MissedMark | None:
    sizes, woven = found.before_washing, woven_cm(project)
    if sizes.length_cm is None or woven is None:
        return None
    expected = Interval.of_draws(woven * np.exp(forecast.step(Step.LENGTH_RELEASE)))
    if abs(sizes.length_cm / expected.expected - 1) <= _ASKED_FROM:
        return None
    every = project.on_loom.marks_every if project.on_loom else None
    step = every.cm if every else None
    likely = expected.low <= sizes.length_cm <= expected.high
    return MissedMark(
        woven, expected, sizes.length_cm, sizes.state, step, _steps(sizes.length_cm, woven, expected, step), likely
    )


def _steps(measured: float, woven: float, expected: Interval, step: float | None) -> int:
    """How many marks the difference is about; 0 where it is not near a whole number of them."""
    if not step:
        return 0
    difference = abs(measured * woven / expected.expected - woven) / step
    nearest = math.floor(difference + 0.5)
    return nearest if nearest and abs(difference - nearest) <= _NEAR_A_STEP else 0
