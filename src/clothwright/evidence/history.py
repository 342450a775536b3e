"""What this weaver has measured outside the project being planned: cloths woven, samples, and what looms wasted."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

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

    def past(self, making: Making, most: int = MOST_PAST) -> Past:
        """The cloths that tell of this one: all, or of very many those with most in common with it."""
        near = tuple(nearest([one.making for one in self.cloths], making, most))
        if near not in self._pasts:
            while len(self._pasts) >= _PASTS_KEPT:
                del self._pasts[next(iter(self._pasts))]
            self._pasts[near] = Past(tuple(self.cloths[i] for i in near))
        return self._pasts[near]

    @cached_property
    def _pasts(self) -> dict[tuple[int, ...], Past]:
        return {}


NO_HISTORY: Final = History()
