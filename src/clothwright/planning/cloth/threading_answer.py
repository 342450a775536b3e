"""What a threading answers: every end with its yarn, shaft or hole and place, where the warp stands, the sheds, and check sums.

`as_json` is the result that scripts read: cm and minutes named in the keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from clothwright.cloth import Draft, Standing
from clothwright.planning.cloth.threading_time import TimeNeeded


@dataclass(frozen=True)
class EndThreaded:
    """An end, counted from 1: its yarn where known; its shafts (none for a floating selvedge) and what they are called here.

    `place`: the number of its slot, hole or dent, from the left edge of the heddle where it is known how many there are,
    else from the first one filled; None where the heddle tells no places.
    """

    number: int
    yarn: str | None
    shafts: frozenset[int]
    on: str
    short: str
    place: int | None


@dataclass(frozen=True)
class CheckSum:
    """A sum that must agree: what is counted, its parts in words and numbers, and the total they are held against."""

    what: str
    parts: tuple[tuple[str, int], ...]
    total: int

    @property
    def agrees(self) -> bool:
        """Whether the parts add up to the total."""
        return sum(number for _, number in self.parts) == self.total


@dataclass(frozen=True)
class ShedWoven:
    """What is done for a pick, in words, and the shafts that lie over the weft."""

    words: str
    raised: frozenset[int]


@dataclass(frozen=True)
class InHeddle:
    """Where the warp stands: heddle, how it is sleyed, and its places from the left edge.

    `word`: what a place is called, `count` how many the heddle has. `standing` is None where that is not known, or the
    heddle has too few. `first_kind` is what the first place is, `edge` what place 1 of a rigid heddle is. `middle` is the place in the middle, or the two on either side of it. `to_left`, `to_right`: filled
    places on either side of the middle. `sett_per_cm`: ends per cm by heddle and sleying, where it is one across the warp.
    """

    heddle: str
    sleying: str
    word: str
    places_cm: float
    used: int
    count: int | None
    standing: Standing | None
    first_kind: str
    edge: str
    middle: tuple[int, ...]
    to_left: int
    to_right: int
    width_cm: float
    sett_per_cm: float | None


@dataclass(frozen=True)
class ThreadingPlan:
    """The threading, told.

    `ends` are all, `floating` of them in no heddle. `draft` is of all ends and one repeat of picks; `shaft_words` what each
    of its shafts is called. `written` is the threading as it is written. `colours`: of each yarn that says one.
    """

    loom: str
    structure: str
    ends: int
    floating: int
    first_edge: str
    written: str
    threads: tuple[EndThreaded, ...]
    draft: Draft
    shaft_words: tuple[str, ...]
    sticks: tuple[tuple[str, str], ...]
    sheds: tuple[ShedWoven, ...]
    in_heddle: InHeddle
    ends_per_cm: float
    checks: tuple[CheckSum, ...]
    time: TimeNeeded
    notes: tuple[str, ...]
    colours: Mapping[str, str] = field(default_factory=dict)

    @property
    def counted(self) -> int:
        """Ends that stand in the heddle."""
        return self.ends - self.floating

    def on_shaft(self) -> tuple[int, ...]:
        """How many ends are on each shaft of the draft."""
        return tuple(sum(shaft in end.shafts for end in self.threads) for shaft in range(1, self.draft.shafts + 1))

    def as_json(self) -> dict[str, Any]:
        """The threading as plain data."""
        stands, where = self.in_heddle, self.in_heddle.standing
        minutes = self.time.minutes
        return {
            "loom": self.loom,
            "structure": self.structure,
            "heddle": stands.heddle,
            "sleying": stands.sleying,
            "ends": self.ends,
            "ends_in_heddle": self.counted,
            "floating_selvedges": self.floating,
            "first_end": self.first_edge,
            "threading": self.written,
            "width_in_heddle_cm": stands.width_cm,
            "ends_per_cm": self.ends_per_cm,
            "places": {
                "of": stands.word,
                "in_heddle": stands.count,
                "filled_from_first_to_last": stands.used,
                "first": where.first if where else None,
                "last": where.last if where else None,
                "first_is": stands.first_kind,
                "middle": list(stands.middle),
                "left_of_middle": stands.to_left,
                "right_of_middle": stands.to_right,
                "off_middle_cm": where.off_middle_cm if where else None,
            },
            "shafts": [
                {"shaft": number, "called": words, "ends": ends}
                for number, (words, ends) in enumerate(zip(self.shaft_words, self.on_shaft(), strict=True), 1)
            ],
            "sticks": [{"stick": name, "holds": holds} for name, holds in self.sticks],
            "threads": [
                {"end": end.number, "yarn": end.yarn, "shafts": sorted(end.shafts), "on": end.on, "place": end.place}
                for end in self.threads
            ],
            "picks": [
                {"pick": number, "does": shed.words, "over_weft": sorted(shed.raised)}
                for number, shed in enumerate(self.sheds, 1)
            ],
            "checks": [
                {"what": one.what, "parts": dict(one.parts), "total": one.total, "agrees": one.agrees}
                for one in self.checks
            ],
            "minutes": {"low": minutes.low, "expected": minutes.expected, "high": minutes.high},
            "own_times": self.time.own_times,
            "notes": list(self.notes),
        }
