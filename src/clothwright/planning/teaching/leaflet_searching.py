"""The task of one layout: the least length at a finished width, searched for in the process that is asked.

Drafted curves of hundreds of corners are searched with by outlines of fewer, which hold them, and judged as they are.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Final

from shapely import Polygon
from shapely.geometry.polygon import orient

from clothwright.layout import (
    HALF_TURN,
    NO_EFFORT,
    NO_RULES,
    Copy,
    Effort,
    Layout,
    Placed,
    Rules,
    Step,
    faults,
    measured,
    solve,
    turn,
)
from clothwright.layout.rounds import one_round
from clothwright.layout.search import limit
from clothwright.pattern import Ring
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import LayoutSearch, YarnFor, fit, quick_layouts, rough_layouts
from clothwright.planning.teaching.leaflet_working import Answer
from clothwright.project import ProblemsFound

#: Outlines of more corners than this in all are searched with by outlines of fewer, which hold them.
_MANY_CORNERS: Final = 300
_SPARE_CM: Final = 0.02


def lay(garment: Garment, width_cm: float, effort: Effort, seed: int) -> Answer:
    """The task: a layout of least length at a finished width, as plain data."""
    try:
        fitted = fit(garment, width_cm, length_alone, _searched_here(effort, seed), only_widest=True)
    except ProblemsFound as refused:
        why = "; ".join(problem.sentence for problem in refused.problems)
        return {"layout": None, "told": [], "refused": why, "seconds": effort.seconds}
    return {"layout": asdict(fitted.layout), "told": list(fitted.told), "refused": "", "seconds": effort.seconds}


def length_alone(_width_cm: float, length_cm: float) -> float:
    """What a layout is judged by here: its length, whatever the width."""
    return length_cm


def _searched_here(effort: Effort, seed: int) -> LayoutSearch:
    """A search in this very process: a first guess, hasty where more follows, and what the solver finds in the time or the rounds."""

    def search(
        copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        guess = quick_layouts if effort == NO_EFFORT or rules != NO_RULES else rough_layouts
        steps = guess(copies, widths_cm, yarn_for, rules)
        return tuple(_better(copies, step, yarn_for, rules, effort, seed) for step in steps)

    return search


def _better(copies: tuple[Copy, ...], step: Step, yarn_for: YarnFor, rules: Rules, effort: Effort, seed: int) -> Step:
    """The step, or a shorter layout; where rules go beyond shapes, the one that keeps them."""
    found = [one_round(copies, step.width_cm, rules, seed + number) for number in range(effort.rounds)]
    if effort.seconds > 0 and not effort.rounds:
        found = [_solved(copies, step.width_cm, limit(effort.seconds, len(copies)), seed, rules)]
    layouts = [one for one in found if one is not None]
    if not rules.more_than_shapes or not layouts:
        layouts.append(step.layout)
    layout = min(layouts, key=lambda one: one.length_cm)
    return Step(step.width_cm, layout, yarn_for(step.width_cm, layout.length_cm))


def _solved(copies: tuple[Copy, ...], width_cm: float, seconds: float, seed: int, rules: Rules) -> Layout | None:
    """What the solver finds; drafted curves of hundreds of corners go by outlines of fewer, where nothing else is asked."""
    if rules != NO_RULES or sum(len(copy.outline) for copy in copies) <= _MANY_CORNERS:
        return solve(copies, width_cm, seconds, seed, 1, rules)
    simple = tuple(replace(copy, outline=_fewer_corners(copy.outline)) for copy in copies)
    found = solve(simple, width_cm, seconds, seed, 1)
    if found is None:
        return None
    by_key = {(copy.piece, copy.number): copy for copy in copies}
    placed = tuple(_within(by_key[one.piece, one.copy].outline, one) for one in found.placed)
    layout = measured(copies, width_cm, placed)
    return None if faults(copies, layout) else layout


def _expanded(ring: Ring) -> Ring:
    """The ring with fewer corners, grown by as much as they may stand inside it; where it lies, not moved to a corner."""
    grown = Polygon(ring).simplify(_SPARE_CM).buffer(_SPARE_CM, join_style="mitre")
    return tuple((float(x), float(y)) for x, y in list(orient(grown).exterior.coords)[:-1])


def _fewer_corners(ring: Ring) -> Ring:
    return turn(_expanded(ring), 0.0)


def _within(ring: Ring, placed: Placed) -> Placed:
    """Where the ring itself lies when the one grown from it is placed so: its box begins a hair further in."""
    (low_x, low_y), (wide_x, wide_y) = (_corner(one, placed.rotation_deg) for one in (ring, _expanded(ring)))
    return replace(placed, x_cm=placed.x_cm + low_x - wide_x, y_cm=placed.y_cm + low_y - wide_y)


def _corner(ring: Ring, degrees: float) -> tuple[float, float]:
    """The low corner of the box of a ring turned about its origin, by none or by half a turn."""
    sign = -1.0 if degrees % 360 == HALF_TURN else 1.0
    return min(sign * x for x, _ in ring), min(sign * y for _, y in ring)
