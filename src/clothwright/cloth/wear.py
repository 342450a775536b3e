"""What cloth of a mass is like to wear, and the question to ask where it may burn quickly.

Nothing here says that a cloth is safe, exempt or lawful: rules differ by country, and are asked, not computed.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any


@dataclass(frozen=True)
class Weight:
    """A band of mass: its word, and the season and garments it is for."""

    name: str
    least_g_per_m2: float
    season: str
    source: str


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("wear.toml").read_text(encoding="utf-8"))


@cache
def weights() -> tuple[Weight, ...]:
    """The bands, lightest first."""
    return tuple(Weight(**row) for row in _table()["weight"])


def weight_of(g_per_m2: float) -> Weight:
    """The band of a mass."""
    return next(band for band in reversed(weights()) if g_per_m2 >= band.least_g_per_m2)


def weight_words(low_g_per_m2: float, expected_g_per_m2: float, high_g_per_m2: float) -> tuple[str, str]:
    """The word for a mass known between two ends, as light or light to middling, and the season of the expected one."""
    low, high = weight_of(low_g_per_m2), weight_of(high_g_per_m2)
    return low.name if low == high else f"{low.name} to {high.name}", weight_of(expected_g_per_m2).season


def burning_question(fibre: str, finish: str, low_g_per_m2: float | None) -> str | None:
    """What to ask about cloth of plant fibre that is light, raised or of unknown mass; None where it is not called for.

    `low_g_per_m2` is the low end of what the mass may be. That nothing is asked does not say that a cloth may be sold.
    """
    facts = _table()["burning"]
    if not any(word in fibre.lower() for word in facts["plant_words"]):
        return None
    raised = any(word in finish.lower() for word in facts["raised_words"])
    light = low_g_per_m2 is None or low_g_per_m2 < facts["light_g_per_m2"]
    if not (raised or light):
        return None
    why = "brushed or fringed" if raised else ("of unknown mass" if low_g_per_m2 is None else "light")
    return (
        f"Plant fibre, {why}: such cloth can burn quickly. Ask what the rules are where you live before it is sold or made "
        "for a child."
    )
