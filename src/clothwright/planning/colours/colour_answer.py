"""What a colour order answers: the order run by run, each ball, what had to change, and the rules.

`as_json` is the result that scripts read: cm, m, shares from 0 to 1, named in the keys.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from clothwright.colours import LengthTried
from clothwright.measure import Interval
from clothwright.planning.colours.weft_answer import WeftAnswer


@dataclass(frozen=True)
class Warped:
    """The warp to be wound: `ends` of `warp_cm` each; how wide the cloth finishes, and the sett, where they are known."""

    ends: int
    warp_cm: float
    finished_width_cm: float | None = None
    ends_per_cm: float | None = None
    #: Warp that cannot be woven, where it is known.
    waste_cm: float | None = None

    @property
    def width_in_heddle_cm(self) -> float | None:
        """How wide the ends stand in the heddle, where the sett is known."""
        return self.ends / self.ends_per_cm if self.ends_per_cm else None


@dataclass(frozen=True)
class BallLine:
    """A ball: `capacity` turns by its expected metres, `sure` at the chance asked, `used` by the order, what is `left_m`."""

    yarn: str
    number: int
    have_m: Interval
    capacity: int
    sure: int
    used: int
    left_m: float
    chance_lasts: float

    def as_json(self) -> dict[str, Any]:
        """The ball as plain data."""
        return {
            "yarn": self.yarn,
            "ball": self.number,
            "have_m": {"low": self.have_m.low, "expected": self.have_m.expected, "high": self.have_m.high},
            "capacity": self.capacity,
            "sure": self.sure,
            "used": self.used,
            "left_m": self.left_m,
            "chance_lasts": self.chance_lasts,
        }


@dataclass(frozen=True)
class Run:
    """Ends of one yarn side by side; `balls`: ends from each of its balls, by number, in order."""

    yarn: str
    ends: int
    balls: tuple[tuple[int, int], ...]
    held: bool


@dataclass(frozen=True)
class StripeLine:
    """A stripe of the repeat in whole ends: what was drawn, and what it finishes at."""

    yarn: str
    drawn_cm: float
    ends: int
    finished_cm: float

    def as_json(self) -> dict[str, Any]:
        """The stripe as plain data."""
        return {"yarn": self.yarn, "drawn_cm": self.drawn_cm, "ends": self.ends, "finished_cm": self.finished_cm}


@dataclass(frozen=True)
class Change:
    """A turn of an order that had to become another: ends `first` to `last`, counted from 1."""

    first: int
    last: int
    was: str
    now: str


@dataclass(frozen=True)
class ColourPlan:
    """The colour order, told.

    `turn_ends`: 2 where ends are wound in pairs. `stood`: rules that the order kept in the project broke before it was
    mended. `colours`: of each yarn that says one, as #rrggbb.
    """

    seed: int
    turn_ends: int
    warp: Warped
    balls: tuple[BallLine, ...]
    order: tuple[Run, ...]
    stripes: tuple[StripeLine, ...]
    changes: tuple[Change, ...]
    drawn: bool
    rules: tuple[str, ...]
    broken: tuple[str, ...]
    chance_balls_last: float
    lengths: tuple[LengthTried, ...]
    notes: tuple[str, ...]
    stood: tuple[str, ...] = ()
    colours: Mapping[str, str] = field(default_factory=dict)
    #: The weft's order, where picks and what they take are known.
    weft: WeftAnswer | None = None
    #: The same cloth from one warp, two and three, where the loom waste is known.
    parted: tuple[LengthTried, ...] = ()

    def as_typed(self) -> list[dict[str, Any]]:
        """The order as a project holds it: run by run and ball by ball, the ball said where a yarn has several."""
        several = {line.yarn for line in self.balls if line.number > 1}
        return [
            {"yarn": run.yarn, "ends": ends}
            | ({"ball": ball} if run.yarn in several else {})
            | ({"held": True} if run.held else {})
            for run in self.order
            for ball, ends in run.balls
        ]

    def capacity(self) -> dict[str, int]:
        """Whole turns of each yarn, by its expected metres."""
        return summed((line.yarn, line.capacity) for line in self.balls)

    def left_m(self) -> dict[str, float]:
        """Metres left of each yarn."""
        return summed((line.yarn, line.left_m) for line in self.balls)

    def as_json(self) -> dict[str, Any]:
        """The order as plain data, by the keys of the contract."""
        return {
            "seed": self.seed,
            "ends": self.warp.ends,
            "warp_length_cm": self.warp.warp_cm,
            "ends_in_a_turn": self.turn_ends,
            "capacity": self.capacity(),
            "order": [
                {
                    "yarn": run.yarn,
                    "ends": run.ends,
                    "balls": [{"ball": b, "ends": n} for b, n in run.balls],
                    "held": run.held,
                }
                for run in self.order
            ],
            "left_m": self.left_m(),
            "rules_kept": not self.broken,
            "rules": list(self.rules),
            "chance_balls_last": self.chance_balls_last,
            "balls": [line.as_json() for line in self.balls],
            "stripes": [stripe.as_json() for stripe in self.stripes],
            "order_kept_broke": list(self.stood),
            "changes": [
                {"first_end": one.first, "last_end": one.last, "was": one.was, "now": one.now} for one in self.changes
            ],
            "drawn": self.drawn,
            "warp_lengths": [_tried(one) for one in self.lengths],
            "warps": [_tried(one) | {"warps": one.warps} for one in self.parted],
            "notes": list(self.notes),
            "weft": self.weft.as_json() if self.weft else None,
        }


def _tried(one: LengthTried) -> dict[str, Any]:
    return {
        "warp_length_cm": one.warp_cm,
        "turns": one.turns,
        "turns_needed": one.needed,
        "enough": one.enough,
        "left_m": one.left_m,
    }


def summed(parts: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """Numbers added up by name, in the order the names come."""
    found: dict[str, Any] = {}
    for name, much in parts:
        found[name] = found.get(name, 0) + much
    return found
