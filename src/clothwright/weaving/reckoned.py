"""What stands on the loom as reckoned one way or the other: by hand, or in drawn cloths."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from clothwright.measure import Draws, Interval
from clothwright.planning import WorkingLine
from clothwright.weaving.answer import SoFar, WarpAtLoom, YarnAtLoom
from clothwright.weaving.beat import Beaten
from clothwright.weaving.standing import Standing


@dataclass(frozen=True)
class ClothNow:
    """The cloth of the plan as it is now believed, in every drawn cloth; by hand in one. Cm."""

    length_ratio: Draws
    finished_width: Draws
    could_weave: Draws


@dataclass(frozen=True)
class Reckoned:
    """Every yarn and the warp as reckoned one way or the other, and what it rests on.

    `g_per_cm_at_trust`: what a cm is reckoned to take at most, by yarn, for stop lines. `drawn`: None by hand.
    """

    by_hand: bool
    yarns: tuple[YarnAtLoom, ...]
    chance_enough: float | None
    warp: WarpAtLoom | None
    so_far: SoFar | None
    g_per_cm_at_trust: Mapping[str, float]
    picks_per_cm: float | None
    length_ratio: float | None
    off_loom_ratio: Interval | None
    working: tuple[WorkingLine, ...]
    asked: tuple[str, ...] = ()
    drawn: Beaten | None = None
    cloth: ClothNow | None = None


def colour_of(stands: Standing, name: str) -> str:
    """The colour of a yarn as typed; nothing where none is."""
    return next((part.colour for part in stands.project.yarn if part.name == name), "")


def nothing_weighed() -> Reckoned:
    """Nothing to reckon of the yarn: no weft was weighed, and no plan knows one."""
    return Reckoned(
        by_hand=False,
        yarns=(),
        chance_enough=None,
        warp=None,
        so_far=None,
        g_per_cm_at_trust={},
        picks_per_cm=None,
        length_ratio=None,
        off_loom_ratio=None,
        working=(),
        asked=("Nothing has been weighed yet, so whether the weft lasts is not known; weigh it at the next mark.",),
    )
