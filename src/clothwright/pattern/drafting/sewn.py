"""What every garment is made with: its parts put together, how far sleeves reach, and a length that must be enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.pattern.drafting.asking import DraftRefused, Where
from clothwright.pattern.drafting.drafted import Finished
from clothwright.pattern.drafting.shaping import Part

#: How far down the arm a sleeve reaches, as a share of its length. Common practice, no source.
_SHARES: Final = {"short": 0.45, "elbow": 0.6, "long": 1.0}
#: A binding lies double over an edge: its width as it is sewn, and what is turned in at each side, cm. Common practice, no source.
BINDING_CM: Final = 2.5
BINDING_TURNED_CM: Final = 0.75


@dataclass(frozen=True)
class Garment:
    """The parts of a garment, upright, its finished measures, and what there is to know of it."""

    parts: tuple[Part, ...]
    finished: tuple[Finished, ...]
    notes: tuple[str, ...] = ()


def arm_share(sleeve: str) -> float:
    """How much of the arm's length a sleeve covers."""
    return _SHARES[sleeve]


def allowed(where: Where, what: str, cm: float, least_cm: float, why: str) -> None:
    """DraftRefused where a length is less than the least that can be sewn."""
    if cm < least_cm:
        raise DraftRefused.at(where, f"{what} comes to {cm:.1f} cm; it must be {least_cm:.1f} cm or more, {why}")
