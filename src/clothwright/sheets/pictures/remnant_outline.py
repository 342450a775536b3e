"""The outline of a remnant to scale, with the largest rectangle along the grain dashed in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from clothwright.pattern import Point
from clothwright.project.parts.remnant_shape import largest_upright, outline_area
from clothwright.sheets.pictures.drawing import EDGE, FOAM, INK, TIDE, Drawing, path_of
from clothwright.sheets.wording import LENGTH, Rounding, literal

_MOST_HIGH: Final = 260.0


def remnant_outline_svg(name: str, corners: Sequence[Point], *, imperial: bool = False) -> str:
    """A remnant of corners (across, along) in cm, the grain up the picture."""
    found = largest_upright(corners)
    sides = " by ".join(
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.DOWN) for cm in (found.width_cm, found.length_cm)
    )
    said = f"{outline_area(corners):.0f} cm² (sq cm); the largest rectangle along the grain, dashed, is {sides}."
    drawing = Drawing(f"Remnant {literal(name)}", said, "remnant-outline")
    xs, ys = zip(*corners, strict=True)
    unit = min(drawing.room / (max(xs) - min(xs)), _MOST_HIGH / (max(ys) - min(ys)))
    high = (max(ys) - min(ys)) * unit

    def placed(x: float, y: float) -> Point:
        return EDGE + (x - min(xs)) * unit, EDGE + high - (y - min(ys)) * unit

    drawing.path("outline", path_of(placed(*one) for one in corners), fill=FOAM, stroke=INK, stroke_width=1.6)
    left, low = found.across_cm, found.along_cm
    right, top = left + found.width_cm, low + found.length_cm
    within = [placed(*one) for one in ((left, low), (right, low), (right, top), (left, top))]
    drawing.path("within", path_of(within), fill="none", stroke=TIDE, stroke_width=1.6, stroke_dasharray="7 4")
    drawing.height = EDGE + high + EDGE
    drawing.paragraph(f"{literal(name)}: {said}")
    return drawing.svg()
