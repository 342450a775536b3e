"""The staircase of widths: which steps there are, how likely the cloth is to hold each, and the advice that follows.

The theory. A layout found for one width holds on any cloth as wide as its pieces reach when they are slid together across it
(`needs_cm`). The length falls where one more piece fits beside another; what falls by more than `STEP_SHARE` from one width
tried to the next is a step, since a search of seconds is not more exact than that.

Cloth that comes out narrower than the layout needs is not lost: the pieces are laid on it in the shortest way that it does
hold, which is longer. How likely that is comes from the drawn cloths of the forecast: the share of them that finish narrower.
What it costs is the length more, and the yarn that so much more cloth of this warp takes.

A step is *certain* where the bound proves that no layout on narrower cloth is as short. Otherwise it is what was found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from clothwright.layout import Layout, Step, TooWide, lower_bound, narrowed
from clothwright.measure import Draws
from clothwright.planning.answer import LeastLength, WidthAdvice, WidthStep
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import Fitted
from clothwright.planning.pieces.selvedges import selvedge_edges

#: What counts as a step: length that falls by more than so much of it from one width to the next.
STEP_SHARE: Final = 0.05
#: How far beyond a step to finish where nothing says how the cloth draws in. Common practice, no source.
_BEYOND_CM: Final = 0.5
_HAIR_CM: Final = 0.005


@dataclass(frozen=True)
class Aimed:
    """Cloth that a warp is to give: the finished width to aim for, what may come (draws, cm) and yarn, m, per finished cm."""

    width_cm: float
    finished_width: Draws | None = None
    m_per_cm: float | None = None


@dataclass(frozen=True)
class WidthsTold:
    """The staircase with its steps told, what follows from it, and how short a layout could be at most."""

    staircase: tuple[WidthStep, ...]
    advice: WidthAdvice
    least: LeastLength


def tell_widths(garment: Garment, fitted: Fitted, aimed: Aimed) -> WidthsTold:
    """The widths tried for a garment, told for the layout taken and for cloth aimed at so."""
    stairs = _told(garment, fitted.steps, aimed)
    return WidthsTold(stairs, _advice(garment, fitted.layout, stairs, aimed), least_length(garment, fitted.layout))


def least_length(garment: Garment, layout: Layout) -> LeastLength:
    """The length that no layout of the garment on cloth so wide can beat, and why."""
    bound = lower_bound(garment.copies, layout.width_cm)
    return LeastLength(min(bound.length_cm, layout.length_cm), bound.because)


def _told(garment: Garment, steps: Sequence[Step], aimed: Aimed) -> tuple[WidthStep, ...]:
    """Every width tried, with what its layout needs, the chance that the cloth gives it, and how far the length falls there."""
    found: list[WidthStep] = []
    for step in sorted(steps, key=lambda one: one.width_cm):
        needs = needs_cm(garment, step.layout)
        length = step.layout.length_cm
        falls = found[-1].length_cm - length if found else 0.0
        told = WidthStep(step.width_cm, length, step.yarn_m)
        found.append(
            replace(
                told,
                needs_cm=needs,
                chance=_chance(garment, needs, aimed),
                falls_cm=falls if found and falls > STEP_SHARE * length else 0.0,
            )
        )
    return tuple(found)


def needs_cm(garment: Garment, layout: Layout) -> float:
    """The usable width a layout needs, cm: all of it where edges have to lie on both selvedges."""
    if any(map(selvedge_edges, garment.pieces)):
        return layout.width_cm
    return narrowed(garment.copies, layout).width_cm


def _chance(garment: Garment, usable_cm: float, aimed: Aimed) -> float | None:
    """The share of drawn cloths that have so much usable width."""
    if aimed.finished_width is None:
        return None
    return float(np.mean(aimed.finished_width >= usable_cm + 2 * garment.trim_cm - _HAIR_CM))


def _advice(garment: Garment, layout: Layout, stairs: Sequence[WidthStep], aimed: Aimed) -> WidthAdvice:
    """What a narrower cloth would cost, how likely it is, and where to aim."""
    holds = _holds_cm(garment, layout, stairs)
    below = [step for step in stairs if step.length_cm > layout.length_cm * (1 + STEP_SHARE)]
    falls_to = max((s for s in below if s.width_cm < holds - _HAIR_CM), key=lambda s: s.width_cm, default=None)
    longer = falls_to.length_cm - layout.length_cm if falls_to else None
    chance = _chance(garment, holds, aimed)
    return WidthAdvice(
        needs_cm=holds + 2 * garment.trim_cm,
        aim_cm=_aim(garment, holds, aimed),
        length_cm=layout.length_cm,
        chance_narrower=None if chance is None else 1 - chance,
        longer_cm=longer,
        more_m=longer * aimed.m_per_cm if longer is not None and aimed.m_per_cm is not None else None,
        certain=_certain(garment, holds, layout.length_cm),
        **_wider(garment, layout, stairs),
    )


def _holds_cm(garment: Garment, layout: Layout, stairs: Sequence[WidthStep]) -> float:
    """The narrowest usable width on which the pieces lie as they do, or nearly as short."""
    alike = (
        s.needs_cm for s in stairs if s.length_cm <= layout.length_cm * (1 + STEP_SHARE) and s.needs_cm is not None
    )
    return min((*alike, needs_cm(garment, layout)))


def _aim(garment: Garment, holds_cm: float, aimed: Aimed) -> float:
    """The finished width to aim for: what the warp was reckoned to give; else a whole cm safely beyond the step."""
    needs = holds_cm + 2 * garment.trim_cm
    if aimed.width_cm > needs + _BEYOND_CM:
        return aimed.width_cm
    return math.ceil(needs + _BEYOND_CM - _HAIR_CM)


def _certain(garment: Garment, holds_cm: float, length_cm: float) -> bool:
    """Whether no layout on cloth narrower by a hair's breadth more than the judge forgives can be as short."""
    try:
        narrower = lower_bound(garment.copies, holds_cm - 0.1)
    except TooWide:
        return True
    return narrower.length_cm > length_cm * (1 + STEP_SHARE)


def _wider(garment: Garment, layout: Layout, stairs: Sequence[WidthStep]) -> dict[str, Any]:
    """The next step beyond the width taken that saves length, and by how much."""
    up = (s for s in stairs if s.width_cm > layout.width_cm and s.length_cm * (1 + STEP_SHARE) < layout.length_cm)
    step = min(up, key=lambda s: s.width_cm, default=None)
    if step is None or step.needs_cm is None:
        return {}
    return {"wider_cm": step.needs_cm + 2 * garment.trim_cm, "shorter_by_cm": layout.length_cm - step.length_cm}
