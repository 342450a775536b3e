"""Peirce's geometry of plain cloth: how wavy threads are, from their diameters and spacings.

Each thread is taken as arcs round the threads it crosses, joined by straight pieces. With D the sum of the two
diameters, p the spacing of the threads crossed, l the length of thread between two crossings, θ the steepest angle
and h the height of the wave, all of one set of threads:

    p = (l − Dθ)·cos θ + D·sin θ
    h = (l − Dθ)·sin θ + D·(1 − cos θ)
    crimp c = l/p − 1,       and the two sets touch:  h₁ + h₂ = D

*Source*: F. T. Peirce, The Geometry of Cloth Structure, J. Textile Inst. 28 (1937) T45-T96. Solved here exactly, since
the usual h = 4/3·p·√c is fitted to mill cloth and reads 7 to 11 % high in crimp for the open cloth of a handloom.

It holds for round, inextensible threads in plain weave; soft yarn flattens, so measure when you can.
"""

from __future__ import annotations

import math
from typing import Final

#: Of the wave, the warp's part on the loom, where tension pulls it straighter. Common practice, no source.
WARP_SHARE_UNDER_TENSION: Final = 0.35
_STEPS: Final = 80


def crimp(spacing: float, wave_height: float, diameters: float) -> float:
    """Crimp of a thread, as a share of the cloth's length: extra length over straight.

    `spacing` p of the threads crossed, `wave_height` h, `diameters` D, all in one unit. ValueError when the threads
    are jammed: no thread can wave so high in so short a spacing.
    """
    if wave_height <= 0:
        return 0.0
    angle = _steepest_angle(spacing / diameters, wave_height / diameters)
    straight = (spacing / diameters - math.sin(angle)) / math.cos(angle)
    return (straight + angle) / (spacing / diameters) - 1


def _steepest_angle(p: float, h: float) -> float:
    """θ for p, h in units of D, by halving: h(θ) = (p − sin θ)·tan θ + 1 − cos θ grows until the threads jam."""
    top = math.asin(min(1.0, p)) if p < 1 else math.pi / 2
    if p < 1 and 1 - math.cos(top) < h * (1 - 1e-6):
        raise ValueError(f"jammed: threads {p:.3f} of the two diameters apart cannot wave {h:.3f} of them high")
    low, high = 0.0, top
    for _ in range(_STEPS):
        middle = (low + high) / 2
        reached = (p - math.sin(middle)) * math.tan(middle) + 1 - math.cos(middle)
        low, high = (middle, high) if reached < h else (low, middle)
    return (low + high) / 2


def crimps(
    ends_per_cm: float, picks_per_cm: float, warp_mm: float, weft_mm: float, *, warp_share: float = 0.5
) -> tuple[float, float]:
    """Warp and weft crimp of plain cloth; `warp_share` of the height of the two waves together is the warp's.

    Diameters in mm. Where the cloth is too close for its threads, the crimp at the jam is given: it cannot be closer.
    """
    diameters = warp_mm + weft_mm
    return (
        _crimp_or_jam(10 / picks_per_cm, warp_share * diameters, diameters),
        _crimp_or_jam(10 / ends_per_cm, (1 - warp_share) * diameters, diameters),
    )


def _crimp_or_jam(spacing: float, height: float, diameters: float) -> float:
    try:
        return crimp(spacing, height, diameters)
    except ValueError:
        angle = math.acos(1 - height / diameters)
        return angle / math.sin(angle) - 1
