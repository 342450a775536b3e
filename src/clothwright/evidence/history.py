"""What this weaver has measured outside the project being planned: cloths woven, samples, and what looms wasted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.evidence.cloths import SampleMeasured


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
    """Cloths measured, each with a making whose key is its own, in the order woven; and wastes seen."""

    cloths: tuple[SampleMeasured, ...] = ()
    wastes: tuple[WasteSeen, ...] = ()


NO_HISTORY: Final = History()
