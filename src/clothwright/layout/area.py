"""Facts known before a layout is looked for: what does not fit, and how short it can never be."""

from __future__ import annotations

from collections.abc import Iterable

from shapely.geometry import Polygon

from clothwright.layout.arrangement import Copy, Layout, Placed, outline_in_place, turn

FIT_CM = 1e-6


class TooWide(ValueError):
    """Pieces wider than the cloth however they may be turned.

    `pieces`: each name with its least width across the grain, cm. `cloth_cm`: the usable width of the cloth.
    """

    def __init__(self, pieces: tuple[tuple[str, float], ...], cloth_cm: float) -> None:
        super().__init__(pieces, cloth_cm)
        self.pieces = pieces
        self.cloth_cm = cloth_cm

    def __str__(self) -> str:
        named = ", ".join(f"{name} ({width:.1f} cm)" for name, width in self.pieces)
        wider = "is wider" if len(self.pieces) == 1 else "are wider"
        return f"{named} {wider} than the cloth ({self.cloth_cm:.1f} cm): weave wider, or join panels"


def width_across_cm(copy: Copy) -> float:
    """The least width of a copy across the cloth, over the turns it may take, cm."""
    return min(max(y for _, y in turn(copy.outline, degrees)) for degrees in copy.turns_deg)


def narrowest_cm(copies: Iterable[Copy]) -> float:
    """The narrowest cloth on which every copy fits, cm: the width of the widest; 0 for no copies."""
    return max((width_across_cm(copy) for copy in copies), default=0.0)


def refuse_too_wide(copies: Iterable[Copy], width_cm: float) -> None:
    """Raise `TooWide`, naming every piece that does not fit on cloth of `width_cm`."""
    wide = {copy.piece: width_across_cm(copy) for copy in copies}
    over = tuple((name, width) for name, width in wide.items() if width > width_cm + FIT_CM)
    if over:
        raise TooWide(over, width_cm)


def area_cm2(copies: Iterable[Copy]) -> float:
    """The area of all copies together, cm²."""
    return float(sum(Polygon(copy.outline).area for copy in copies))


def least_length_cm(copies: Iterable[Copy], width_cm: float) -> float:
    """A length no layout on cloth of `width_cm` can beat, cm: area ÷ width."""
    return area_cm2(copies) / width_cm


def measured(copies: tuple[Copy, ...], width_cm: float, placed: tuple[Placed, ...]) -> Layout:
    """The layout of these placed copies, its far end and the share of the cloth it uses worked out."""
    by_name = {(copy.piece, copy.number): copy for copy in copies}
    rings = (outline_in_place(by_name[p.piece, p.copy], p) for p in placed)
    length = max((x for ring in rings for x, _ in ring), default=0.0)
    share = area_cm2(copies) / (width_cm * length) if length else 0.0
    return Layout(width_cm, length, share, placed)
