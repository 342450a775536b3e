"""Peirce's geometry of plain cloth: how wavy threads are, from their diameters and spacings.

Each thread is taken as arcs round the threads it crosses, joined by straight pieces. With D the sum of the two
diameters, p the spacing of the threads crossed, l the length of thread between two crossings, θ the steepest angle
and h the height of the wave, all of one set of threads:

    p = (l − Dθ)·cos θ + D·sin θ
    h = (l − Dθ)·sin θ + D·(1 − cos θ)
    crimp c = l/p − 1,       and the two sets touch:  h₁ + h₂ = D

Jammed, no straight piece is left: l = Dθ, p = D·sin θ. Cloth is as thick as the higher of its two waves with its thread.

*Source*: F. T. Peirce, The Geometry of Cloth Structure, J. Textile Inst. 28 (1937) T45-T96. Solved here exactly, since
the usual h = 4/3·p·√c is fitted to mill cloth and reads 7 to 11 % high in crimp for the open cloth of a handloom.

It holds for round, inextensible threads in plain weave; soft yarn flattens, so measure when you can.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

#: Of the wave, the warp's part on the loom, where tension pulls it straighter. Common practice, no source.
WARP_SHARE_UNDER_TENSION: Final = 0.35
_STEPS: Final = 80


@dataclass(frozen=True)
class PlainGeometry:
    """Plain cloth solved: spacings, diameters and wave heights in mm, crimps as shares, of warp and of weft."""

    end_spacing: float
    pick_spacing: float
    warp_mm: float
    weft_mm: float
    warp_height: float
    weft_height: float
    warp_crimp: float
    weft_crimp: float

    @property
    def thickness_mm(self) -> float:
        """Thickness under the waves alone: the larger of the two sums, wave and its own thread."""
        return thickness(self.warp_mm, self.weft_mm, self.warp_height)


def plain_geometry(
    ends_per_cm: float, picks_per_cm: float, warp_mm: float, weft_mm: float, *, warp_share: float = 0.5
) -> PlainGeometry:
    """The geometry of plain cloth when `warp_share` of the two waves' height is the warp's; at the jam where too close."""
    diameters = warp_mm + weft_mm
    warp_crimp, weft_crimp = crimps(ends_per_cm, picks_per_cm, warp_mm, weft_mm, warp_share=warp_share)
    heights = warp_share * diameters, (1 - warp_share) * diameters
    return PlainGeometry(10 / ends_per_cm, 10 / picks_per_cm, warp_mm, weft_mm, *heights, warp_crimp, weft_crimp)


def geometry_of_warp_crimp(
    ends_per_cm: float, picks_per_cm: float, warp_mm: float, weft_mm: float, warp_crimp: float
) -> PlainGeometry:
    """The geometry when the warp's crimp was measured: its wave follows, and the weft's is what is left of D."""
    diameters = warp_mm + weft_mm
    height = wave_height(10 / picks_per_cm, warp_crimp, diameters)
    return plain_geometry(ends_per_cm, picks_per_cm, warp_mm, weft_mm, warp_share=height / diameters)


def thickness(warp_mm: float, weft_mm: float, warp_height: float) -> float:
    """Thickness of plain cloth: the larger of h₁ + d₁ and h₂ + d₂, with h₁ + h₂ = d₁ + d₂. *Source*: Peirce 1937."""
    return max(warp_height + warp_mm, warp_mm + weft_mm - warp_height + weft_mm)


def jammed_spacing(other_spacing: float, diameters: float) -> float:
    """The least spacing of one set of threads when the other set stands so close: √(1 − (p₁/D)²) + √(1 − (p₂/D)²) = 1.

    None is least where the other set leaves room for a straight thread (spacing D or more): then it is 0.
    """
    used = 1 - math.sqrt(max(0.0, 1 - (other_spacing / diameters) ** 2))
    return diameters * math.sqrt(1 - used**2) if other_spacing < diameters else 0.0


def wave_height(spacing: float, crimp_share: float, diameters: float) -> float:
    """Height h of the wave that gives a crimp over a spacing; the inverse of `crimp`, by halving.

    ValueError when no wave up to D gives so much crimp.
    """
    low, high = 0.0, _highest_wave(spacing, diameters)
    if crimp(spacing, high, diameters) < crimp_share * (1 - 1e-4):
        raise ValueError(f"no wave gives a crimp of {crimp_share:.3f} here")
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if crimp(spacing, middle, diameters) < crimp_share else (low, middle)
    return (low + high) / 2


def _highest_wave(spacing: float, diameters: float) -> float:
    """The wave at the jam, or D where threads stand far enough apart for it."""
    if spacing >= diameters:
        return diameters
    return diameters * (1 - math.cos(math.asin(spacing / diameters)))


def take_up(crimp_share: float) -> float:
    """Take-up, the share of the yarn, from crimp, the share of the cloth: c/(1 + c). 12 % crimp is 10.7 % take-up."""
    return crimp_share / (1 + crimp_share)


def crimp_of_take_up(take_up_share: float) -> float:
    """Crimp, the share of the cloth, from take-up, the share of the yarn: t/(1 − t)."""
    return take_up_share / (1 - take_up_share)


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
