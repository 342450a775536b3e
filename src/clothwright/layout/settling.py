"""A layout made tight again after pieces were left out or made smaller: every copy slides toward the start."""

from __future__ import annotations

from dataclasses import replace

from clothwright.layout.area import measured
from clothwright.layout.arrangement import Copy, Layout, turn
from clothwright.layout.contact import fall


def settled(copies: tuple[Copy, ...], layout: Layout) -> Layout:
    """The layout of those of its copies that are still cut, each as near the start as those before it allow.

    No copy changes its turn or its distance from the selvedge; the order along the cloth stays.
    """
    outlines = {(copy.piece, copy.number): copy.outline for copy in copies}
    kept = sorted(
        ((one.x_cm, one.y_cm, one) for one in layout.placed if (one.piece, one.copy) in outlines), key=lambda o: o[:2]
    )
    placed = [one for _x, _y, one in kept]
    rings = [turn(outlines[one.piece, one.copy], one.rotation_deg) for one in placed]
    along = fall(rings, [one.y_cm for one in placed], range(len(placed)))
    moved = tuple(replace(one, x_cm=x) for one, x in zip(placed, along, strict=True))
    return measured(copies, layout.width_cm, moved)
