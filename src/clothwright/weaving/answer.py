"""What the forecast at the loom answers, as frozen values; `as_json` is what scripts read: cm, g, shares from 0 to 1."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from enum import StrEnum
from typing import Any, Final

from clothwright.measure import Interval
from clothwright.planning import PlacedOutline, Verdict, WorkingLine
from clothwright.weaving.repeats import RepeatsTold

#: How many times likelier than before the first pick running out has to be for a warning, and the chance of lasting above which
#: there is none. Chosen on weavings drawn from the plan's belief and checked on others (`benchmarks/weaving.py`).
TIMES_LIKELIER: Final = 4.0
MOST_WARNED_BELOW: Final = 0.8

#: Pieces that lie end for end on the cloth: each by its name and the number of its copy.
Turned = frozenset[tuple[str, int]]


@dataclass(frozen=True)
class YarnAtLoom:
    """One weft: what is left of it against what the rest of the cloth takes.

    `left_g` as weighed last, with `weighed_at_cm` woven, from where `need_g` is reckoned to the end. `short_cm`: how much of the
    weaving it does not reach, as expected; 0 where it does. `ends_at_cm`: where it is used up, None where surely not before the
    end. By hand the low need is of the better rate and the high of the worse, `chance_enough` None.
    """

    name: str
    colour: str
    left_g: float
    weighed_at_cm: float
    need_g: Interval
    spare_g: Interval
    chance_enough: float | None
    short_cm: float
    ends_at_cm: Interval | None
    g_per_cm: Interval | None
    verdict: Verdict


@dataclass(frozen=True)
class WarpAtLoom:
    """The warp: how much more it can weave under tension, beside what is still to be woven, and the chance that it reaches."""

    could_weave_cm: Interval
    chance_enough: float | None
    ends_at_cm: Interval | None
    verdict: Verdict


@dataclass(frozen=True)
class Rate:
    """A stretch of the cloth and what was measured over it; g per cm, picks per cm or cm."""

    what: str
    from_cm: float
    to_cm: float
    value: float
    unit: str


@dataclass(frozen=True)
class Trend:
    """How a figure moves along the cloth: its stretches, the last against those before as a share, and that in words."""

    what: str
    rates: tuple[Rate, ...]
    change: float
    words: str


@dataclass(frozen=True)
class StopLine:
    """With less than `grams` of a yarn at a mark, it will not last as surely as is trusted: do then what is said.

    `begins_at_cm`: where another yarn is to begin, and `pieces` what it falls on; None and nothing where there is no band to start.
    """

    yarn: str
    at_cm: float
    grams: float
    then: str
    begins_at_cm: float | None = None
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sessions:
    """The time it has taken and will take: minutes left, and in how many sittings of how many minutes."""

    minutes_left: float
    sessions_left: int
    minutes_a_session: float


@dataclass(frozen=True)
class SoFar:
    """The finished size of what is woven so far, cm."""

    width_cm: Interval
    length_cm: Interval


@dataclass(frozen=True)
class FirstPlan:
    """The plan the warp was put on by, for comparison; `kept`: as it was kept then, else as the project now stands."""

    kept: bool
    weave_to_cm: float
    verdict: str
    picks_per_cm: float | None
    finished_width_cm: float | None
    finished_length_cm: float | None
    weft_g_per_cm: float | None = None


#: With so little left the cloth is woven. Common practice, no source.
WOVEN_WITHIN_CM: Final = 5.0


@dataclass(frozen=True)
class WayThrough:
    """A way to finish well from here, planned anew: what to do, what it changes, what it costs, the chance then.

    `stop_at_cm`: where the weaving ends then. `spare_g` of the yarn that is short. `bands`: stretches of the cloth, from and to
    under tension, woven in another yarn, and `falls_on` the pieces they cross. `layout` tells pieces laid anew, finished, `outlines`
    where they lie on the loom. `another_yarn`: whether it takes one. `other_cloth`: the pieces that come from another cloth,
    `of_pattern` what else the pattern has to say then, by its fields; `turned` the pieces laid end for end.
    """

    what: str
    change: str
    costs: str
    chance_enough: float | None
    spare_g: float
    stop_at_cm: float
    bands: tuple[tuple[float, float], ...] = ()
    layout: Mapping[str, Any] | None = None
    outlines: tuple[PlacedOutline, ...] = ()
    falls_on: tuple[str, ...] = ()
    another_yarn: bool = False
    other_cloth: tuple[str, ...] = ()
    of_pattern: Mapping[str, str] = field(default_factory=dict)
    turned: Turned = frozenset()


@dataclass(frozen=True)
class LoomForecast:
    """The whole answer."""

    name: str
    by_hand: bool
    verdict: Verdict
    chance_enough: float | None
    trust: float
    woven_cm: float
    to_weave_cm: float
    still_to_weave_cm: float
    yarns: tuple[YarnAtLoom, ...]
    warp: WarpAtLoom | None
    trends: tuple[Trend, ...]
    so_far: SoFar | None
    weigh_next_at_cm: float | None
    stop_lines: tuple[StopLine, ...]
    sessions: Sessions | None
    repeats: RepeatsTold | None
    first_plan: FirstPlan | None
    ways_out: tuple[WayThrough, ...]
    working: tuple[WorkingLine, ...]
    asked: tuple[str, ...]
    notes: tuple[str, ...]
    marks_cm: tuple[float, ...] = ()
    #: Ends on the loom; None without a plan.
    ends: int | None = None
    #: Stretches that are to be woven in another yarn, from and to under tension.
    bands: tuple[tuple[float, float], ...] = ()
    #: Where the pieces lie on the loom under tension, cm from the first pick and from the first selvedge, on cloth so wide.
    outlines: tuple[PlacedOutline, ...] = ()
    width_cm: float = 0.0
    turned: Turned = frozenset()
    #: The chance as it was before the first pick; None where nothing was known then, or where it is not in doubt now.
    chance_at_first: float | None = None

    @property
    def is_woven(self) -> bool:
        """Whether the cloth is woven, or nearly."""
        return self.still_to_weave_cm <= WOVEN_WITHIN_CM

    @property
    def warned(self) -> bool:
        """Whether to take a way out now; by hand, whether a weft is expected to be short.

        With chances: the verdict is *not enough*, or the log has made running out so much likelier than it was before the first
        pick that of cloths that last few are ever warned of. Without a chance from before, whether it is more likely to run out.
        """
        if self.chance_enough is None:
            return any(one.spare_g.expected < 0 for one in self.yarns)
        return self.verdict is Verdict.NOT_ENOUGH or self.chance_enough < self.warned_below

    @property
    def warned_below(self) -> float:
        """The chance below which to warn.

        Where the odds of lasting are so many times less than before the first pick, and at most `MOST_WARNED_BELOW`.

        *Source*: that of cloths that last no more than one in so many ever falls so far is Ville's inequality (1939) for the
        ratio of the two likelihoods, any text on sequential tests; how many times is chosen by `benchmarks/weaving.py`.
        """
        if self.chance_at_first is None:
            return 0.5
        odds = self.chance_at_first / max(1.0 - self.chance_at_first, 1e-9) / TIMES_LIKELIER
        return min(MOST_WARNED_BELOW, odds / (1.0 + odds))

    def as_json(self) -> dict[str, Any]:
        """The answer as plain data, by the keys of the contract."""
        found = {one.name: _data(getattr(self, one.name)) for one in fields(self)}
        del found["outlines"], found["turned"]
        found["warned"], found["warned_below"] = self.warned, round(self.warned_below, 6)
        found["working"] = [line.as_json() for line in self.working]
        found["ways_out"] = [_way(one) for one in self.ways_out]
        return found


def _way(one: WayThrough) -> dict[str, Any]:
    told = {name: _data(getattr(one, name)) for name in ("what", "change", "costs", "chance_enough", "spare_g")}
    changed = {"other_cloth": list(one.other_cloth), "of_pattern": dict(one.of_pattern)}
    return {
        **told,
        "stop_at_cm": one.stop_at_cm,
        "bands_cm": [list(band) for band in one.bands],
        "layout": one.layout,
        **changed,
    }


def _data(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: _data(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, tuple | list):
        return [_data(one) for one in value]
    if isinstance(value, float):
        return round(value, 6)
    return str(value) if isinstance(value, StrEnum) else value
