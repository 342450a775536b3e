"""How much of the face threads cover, and what diameter, density and thickness say of each other.

Fractional cover is threads per cm × diameter: 1 when they lie side by side. Two sets of threads cover a + b − a·b. The
trade's cover factor K = threads per inch ÷ √Ne puts the diameter aside: cotton touches at K = 28, because Peirce took
d = 1 ÷ (28·√Ne) in. A constant of the square-root rule, a density and a diameter are one statement.

*Source*: F. T. Peirce, J. Textile Inst. 28 (1937) T45-T96, as used in GATE textile papers 2007 TF-85 and 2010 TF-51.
"""

from __future__ import annotations

import math
from typing import Final

from clothwright.measure import CM_PER_INCH, GRAMS_PER_POUND

#: tex of cotton count 1: 840 yards to the pound.
_TEX_OF_NE: Final = 1000 * GRAMS_PER_POUND / (840 * 0.9144)
_YARDS_PER_CM: Final = 1 / 91.44


def fractional_cover(threads_per_cm: float, diameter_mm: float) -> float:
    """Share of the face that one set of threads covers; above 1 they would have to lie over each other."""
    return threads_per_cm * diameter_mm / 10


def cloth_cover(warp_cover: float, weft_cover: float) -> float:
    """Share of the face that warp and weft cover together: a + b − a·b, each no more than the whole."""
    warp, weft = min(1.0, warp_cover), min(1.0, weft_cover)
    return warp + weft - warp * weft


def cover_factor(threads_per_cm: float, tex: float) -> float:
    """Peirce's K: threads per inch ÷ √(cotton count)."""
    return threads_per_cm * CM_PER_INCH / math.sqrt(_TEX_OF_NE / tex)


def metric_cover_factor(threads_per_cm: float, tex: float) -> float:
    """The SI form: threads per cm × √tex ÷ 10; 26.8 where cotton touches."""
    return threads_per_cm * math.sqrt(tex) / 10


def specific_volume(k: float) -> float:
    """cm³ per gram of yarn that a constant k of diameters per inch = k·√(yards per pound) states.

    A round thread of one diameter per inch ÷ k at 1 yd/lb: v = π/4·d²·length ÷ mass. By arithmetic.
    """
    return math.pi / 4 * (CM_PER_INCH / k) ** 2 / _YARDS_PER_CM / GRAMS_PER_POUND


def diameter_mm(tex: float, specific_volume_cm3_per_g: float) -> float:
    """Diameter of a round yarn from its number and its cm³ per gram: mass per cm × volume = area."""
    return 20 * math.sqrt(tex * 1e-5 * specific_volume_cm3_per_g / math.pi)


def cloth_specific_volume(thickness_mm: float, grams_per_m2: float) -> float:
    """cm³ that a gram of cloth fills, the air in it counted: thickness ÷ mass."""
    return 1000 * thickness_mm / grams_per_m2
