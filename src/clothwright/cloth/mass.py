"""What a square metre of cloth weighs, from its threads; and the other way, from the yarn that went in."""

from __future__ import annotations

from clothwright.measure import Draws


def grams_per_m2(
    *,
    ends_per_cm: float | Draws,
    picks_per_cm: float | Draws,
    warp_tex: float | Draws,
    weft_tex: float | Draws,
    warp_crimp: float | Draws,
    weft_crimp: float | Draws,
) -> float | Draws:
    """Mass in g/m²: Σ threads per cm × tex × (1 + crimp) ÷ 10, all of the same state of cloth.

    *Source*: W = Σ n·tex·(1 + c)/10, as in GATE textile papers 2009 TF-37 and 2017 TF-43.
    """
    return (ends_per_cm * warp_tex * (1 + warp_crimp) + picks_per_cm * weft_tex * (1 + weft_crimp)) / 10
