"""What this weaver has measured outside the project being planned: cloths woven, samples, and what looms wasted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any, Final

from clothwright.evidence.cloths import Making, SampleMeasured
from clothwright.evidence.likeness import nearest
from clothwright.evidence.together import Past

#: Past cloths that enter one forecast; of more, those with most in common with the cloth planned.
MOST_PAST: Final = 200
_PASTS_KEPT: Final = 8


@dataclass(frozen=True)
class WasteSeen:
    """Warp that a loom wasted on one warp: cm cut off, by the loom's name and kind, and in words where it was seen."""

    loom: str
    kind: str
    waste_cm: float
    log_sd: float
    what: str


@dataclass(frozen=True)
class History:
    """Cloths measured, each with a making whose key is its own, in the order woven; wastes seen; what was not used, and why.

    Keep one history as long as nothing in it changes: what was reckoned from it is kept with it.
    """

    cloths: tuple[SampleMeasured, ...] = ()
    wastes: tuple[WasteSeen, ...] = ()
    notes: tuple[str, ...] = ()

    def __reduce__(self) -> tuple[type[History], tuple[Any, ...]]:
        """Sent to another process without what was reckoned from it."""
        return History, (self.cloths, self.wastes, self.notes)

    def past(self, making: Making, most: int = MOST_PAST) -> Past:
        """The cloths that tell of this one: all, or of very many those with most in common with it at whatever heddle.

        The heddle is left out of that, so that a plan which tries several goes by one past.
        """
        at_any_heddle = replace(making, key="", ends_per_cm=making.advised_ends_per_cm)
        return self._past_of(self._near(at_any_heddle, most))

    @cached_property
    def _near(self) -> Callable[[Making, int], tuple[int, ...]]:
        """Which cloths are nearest to one, the latest few answers kept."""
        makings = [one.making for one in self.cloths]
        return lru_cache(maxsize=_PASTS_KEPT)(lambda making, most: tuple(nearest(makings, making, most)))

    @cached_property
    def _past_of(self) -> Callable[[tuple[int, ...]], Past]:
        """The past of some of the cloths, the latest few kept; safe to ask from several threads."""
        return lru_cache(maxsize=_PASTS_KEPT)(lambda near: Past(tuple(self.cloths[i] for i in near)))


NO_HISTORY: Final = History()
