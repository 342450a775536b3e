"""What a weft order answers: run by run with where each begins, the joins, each ball, and which balls to keep for the weft.

`as_json` is the result that scripts read: cm, m, shares from 0 to 1, named in the keys.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from clothwright.colours import Repeats
from clothwright.measure import Draws, Interval


@dataclass(frozen=True, eq=False)
class Wefted:
    """The weft to be woven: `picks` to where the weaving stops, `metres` they take and `sample_m` of an on-warp sample, drawn.

    `picks_per_cm` on the loom, and `finished_share`, finished over woven length, where they are known; `finished_cm`: what
    the cloth is to finish at.
    """

    picks: int
    metres: Draws
    sample_m: Draws
    picks_per_cm: float | None = None
    finished_share: float | None = None
    finished_cm: float | None = None

    @property
    def pick_m(self) -> float:
        """The metres a pick takes, as expected."""
        return float(np.median(self.metres)) / self.picks

    def loom_cm(self, picks: float) -> float | None:
        """How far so many picks reach on the loom under tension; None where picks per cm are not known."""
        return picks / self.picks_per_cm if self.picks_per_cm else None

    def finished_cm_of(self, picks: float) -> float | None:
        """How long so many picks finish; None where that is not known."""
        on_loom = self.loom_cm(picks)
        return on_loom * self.finished_share if on_loom is not None and self.finished_share else None

    @property
    def picks_per_finished_cm(self) -> float | None:
        """Picks to a centimetre of the finished cloth; None where they are not known."""
        return self.picks_per_cm / self.finished_share if self.picks_per_cm and self.finished_share else None


@dataclass(frozen=True)
class WeftRunLine:
    """Picks of one ball: `first` of them from 1, where they begin on the loom and finished, and what is done after them.

    `after`: “join” where the ball has run out, “carry” up the side, “cut”, or “end”.
    """

    yarn: str
    ball: int
    picks: int
    first: int
    begins_on_loom_cm: float | None
    begins_finished_cm: float | None
    after: str
    held: bool = False

    @property
    def last(self) -> int:
        """The last of its picks."""
        return self.first + self.picks - 1


@dataclass(frozen=True)
class JoinLine:
    """Where a ball runs out: after `pick` picks, on the loom and finished, and the yarn and ball that go on.

    `between_on_loom_cm`: where nine times in ten it comes, by what is known of the ball; None where two shuttles share a yarn.
    """

    pick: int
    on_loom_cm: float | None
    finished_cm: float | None
    yarn: str
    ball: int
    next_yarn: str
    next_ball: int
    between_on_loom_cm: tuple[float, float] | None = None


@dataclass(frozen=True)
class WeftBallLine:
    """A ball in the weft: what the warp leaves on it, picks woven from it, what they take, what is over; `runs_out` on the way.

    `chance_lasts`: that its yarn lasts to the end of its picks.
    """

    yarn: str
    number: int
    have_m: Interval
    picks: int
    need_m: float
    left_m: float
    runs_out: bool
    chance_lasts: float


@dataclass(frozen=True)
class WeftStripeLine:
    """A stripe of the repeat in whole picks: what was drawn, the picks that would be, those it has, what it finishes at."""

    yarn: str
    drawn_cm: float
    exact_picks: float
    picks: int
    finished_cm: float


@dataclass(frozen=True)
class EachWay:
    """A ball that may go into warp or weft: turns and metres in the warp with what is over, or picks in the weft.

    `keep`: whether it is best kept for the weft.
    """

    yarn: str
    ball: int
    have_m: float
    warp_turns: int
    warp_m: float
    warp_over_m: float
    weft_picks: int
    keep: bool


@dataclass(frozen=True)
class Keeping:
    """Which balls to keep for the weft: what the weft still wants, every ball each way, and what the warp then leaves over."""

    weft_wants_m: float
    kept_m: float
    balls: tuple[EachWay, ...]
    over_m: float
    over_if_kept_m: float


@dataclass(frozen=True)
class WeftAnswer:
    """The weft order, told.

    `turn_picks`: picks that come together at least; `short_picks`: of each yarn that does not reach; `repeat` and `even`:
    of stripes; `woven_from`: the order as yarn and picks, ready to be kept.
    """

    seed: int
    turn_picks: int
    wefted: Wefted
    order: tuple[WeftRunLine, ...]
    joins: tuple[JoinLine, ...]
    balls: tuple[WeftBallLine, ...]
    lies: str
    drawn: bool
    rules: tuple[str, ...]
    broken: tuple[str, ...]
    chance_balls_last: float
    notes: tuple[str, ...]
    stripes: tuple[WeftStripeLine, ...] = ()
    repeat: Repeats | None = None
    even: bool | None = None
    short_picks: dict[str, int] = field(default_factory=dict)
    keeping: Keeping | None = None
    woven_from: tuple[tuple[str, int, bool], ...] = ()
    #: In which drawn cloths each yarn lasts.
    lasting: dict[str, Draws] = field(default_factory=dict, compare=False, repr=False)

    @property
    def can_be_kept(self) -> bool:
        """Whether it is an order that is not yet the project's, and not made of stripes."""
        return self.lies not in ("kept", "stripes")

    def as_typed(self) -> list[dict[str, Any]]:
        """The order as a project holds it."""
        return [
            {"yarn": yarn, "picks": picks} | ({"held": True} if held else {}) for yarn, picks, held in self.woven_from
        ]

    def as_json(self) -> dict[str, Any]:
        """The order as plain data."""
        wefted = self.wefted
        return {
            "seed": self.seed,
            "lies": self.lies,
            "picks": wefted.picks,
            "picks_in_a_turn": self.turn_picks,
            "picks_per_cm_on_loom": wefted.picks_per_cm,
            "metres_of_a_pick": wefted.pick_m,
            "order": [_plain(run) | {"last": run.last} for run in self.order],
            "joins": [_plain(join) for join in self.joins],
            "balls": [_plain(line) for line in self.balls],
            "left_m": _summed(self.balls),
            "stripes": [_plain(stripe) for stripe in self.stripes],
            "repeat": _plain(self.repeat) | {"all_finish_cm": self.repeat.all_finish_cm} if self.repeat else None,
            "even": self.even,
            "rules": list(self.rules),
            "rules_kept": not self.broken,
            "rules_broken": list(self.broken),
            "short_picks": self.short_picks,
            "chance_balls_last": self.chance_balls_last,
            "keep_for_weft": _plain(self.keeping) if self.keeping else None,
            "drawn": self.drawn,
            "notes": list(self.notes),
        }


def _summed(balls: tuple[WeftBallLine, ...]) -> dict[str, float]:
    left: dict[str, float] = {}
    for line in balls:
        left[line.yarn] = left.get(line.yarn, 0.0) + line.left_m
    return left


def _plain(value: Any) -> dict[str, Any]:
    from clothwright.planning.answer import plain_data

    return dict(plain_data(value))
