"""How thick a yarn is: ruler wraps and calculated diameters, two scales that must not be mixed.

A calculated diameter follows from grist and a constant k: threads that touch, per inch, = k·sqrt(yards per pound).
The constant is a statement about density. Wrapping a yarn round a ruler counts fewer, since the wraps are loose: about
0.7 of the calculated number by one teacher, 0.4 for a lofty handspun single. A wrap count is stored as what it is.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.measure import CM_PER_INCH, GRAMS_PER_POUND

_YARDS_PER_POUND_OF_M_PER_G: Final = GRAMS_PER_POUND / 0.9144
#: Wraps on a ruler per calculated diameter. *Source*: a teacher's published rule, half-wraps ÷ 0.7 = maximum sett.
RULER_WRAPS_PER_DIAMETER: Final = 0.7


@dataclass(frozen=True)
class DiameterRule:
    """One constant of the square-root rule, with where it comes from."""

    name: str
    k: float
    source: str

    def diameters_per_cm(self, m_per_g: float) -> float:
        """Threads that touch, per cm, for a yarn of so many metres per gram."""
        return self.k * math.sqrt(m_per_g * _YARDS_PER_POUND_OF_M_PER_G) / CM_PER_INCH

    def diameter_mm(self, m_per_g: float) -> float:
        """Diameter in mm."""
        return 10 / self.diameters_per_cm(m_per_g)


@cache
def diameter_rules() -> tuple[DiameterRule, ...]:
    """Every rule of the table."""
    table = tomllib.loads(resources.files(__package__).joinpath("diameter.toml").read_text(encoding="utf-8"))
    return tuple(DiameterRule(**row) for row in table["rule"])


def diameter_rule(fibre: str, made: str) -> DiameterRule:
    """The rule for a yarn: soft woollen for handspun wool, else firm. *Source*: common practice, no source."""
    soft, firm = diameter_rules()[1], diameter_rules()[0]
    return soft if made == "handspun" or "woollen" in fibre else firm


def ruler_wraps_per_cm(m_per_g: float, rule: DiameterRule) -> float:
    """Wraps on a ruler to expect of a yarn whose grist alone is known; a rule of thumb."""
    return RULER_WRAPS_PER_DIAMETER * rule.diameters_per_cm(m_per_g)
