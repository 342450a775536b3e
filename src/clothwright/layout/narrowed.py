"""How narrow the cloth may be for a layout as it lies: every copy slides across to the first selvedge, none along the cloth."""

from __future__ import annotations

from dataclasses import replace

from clothwright.layout.area import measured
from clothwright.layout.arrangement import Copy, Layout, turn
from clothwright.layout.contact import fall
from clothwright.layout.judge import faults
from clothwright.pattern import Ring


def narrowed(copies: tuple[Copy, ...], layout: Layout) -> Layout:
    """The layout on the narrowest cloth it holds on: as long, each copy as near the first selvedge as those before it allow.

    No copy changes its turn or its place along the cloth; the order across stays. Where the judge finds a fault with the
    outcome, the layout as it came.
    """
    outlines = {(copy.piece, copy.number): copy.outline for copy in copies}
    placed = sorted(layout.placed, key=lambda one: (one.y_cm, one.x_cm))
    rings = [turn(outlines[one.piece, one.copy], one.rotation_deg) for one in placed]
    across = fall([_on_its_side(ring) for ring in rings], [one.x_cm for one in placed], range(len(placed)))
    moved = tuple(replace(one, y_cm=y) for one, y in zip(placed, across, strict=True))
    needs = max((y + max(at for _, at in ring) for y, ring in zip(across, rings, strict=True)), default=0.0)
    found = measured(copies, min(needs, layout.width_cm), moved)
    return layout if needs > layout.width_cm or faults(copies, found) else found


def _on_its_side(ring: Ring) -> Ring:
    """The outline with along and across changed over."""
    return tuple((y, x) for x, y in ring)
