"""Finished cloth in hand drawn to scale: its pieces in place, its flaws crossed, the grain along the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from clothwright.layout import Flaw
from clothwright.planning import CutFrom
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FOAM,
    INK,
    PAPER,
    SAND,
    SIGNAL,
    SMALL,
    Drawing,
    fitting,
    lines_of,
    path_of,
)
from clothwright.sheets.wording import LENGTH

_MOST_HIGH: Final = 260.0
_ROOM_FOR_NAME: Final = 1.3


def remnant_svg(
    cut: CutFrom,
    *,
    trim_cm: float = 0.0,
    squaring_cm: float = 0.0,
    imperial: bool = False,
    across: float = DEFAULT_ACROSS,
    beyond: Sequence[Flaw] = (),
) -> str:
    """One cloth with what is cut from it; pieces lie within its trims and squared ends. `beyond`: where it does not reach."""
    cloth = cut.cloth
    size = " by ".join(LENGTH.text(cm, imperial=imperial) for cm in (cloth.width_cm, cloth.length_cm))
    names = ", ".join(f"{one.piece} {one.copy}" for one in cut.outlines) or "no piece"
    flaws = "".join(
        f" A {flaw.what} at {LENGTH.text(flaw.x_cm + flaw.length_cm / 2, imperial=imperial)}." for flaw in cloth.flaws
    )
    drawing = Drawing(f"{cloth.name}, {size}", f"Cut from it: {names}.{flaws}", "remnant", across)
    drawing.height = EDGE / 2
    drawing.one_line(f"{cloth.name}, {size}", bold=True)
    scale = min(drawing.room / cloth.length_cm, _MOST_HIGH / cloth.width_cm)
    left, top = EDGE, drawing.height + 6

    def at(x: float, y: float) -> tuple[float, float]:
        return left + x * scale, top + (cloth.width_cm - y) * scale

    drawing.rect(
        "cloth", left, top, cloth.length_cm * scale, cloth.width_cm * scale, fill=SAND, stroke=INK, stroke_width=1.2
    )
    for strip in beyond:
        left_x, top_y = at(strip.x_cm, strip.y_cm + (strip.width_cm or cloth.width_cm))
        high = (strip.width_cm or cloth.width_cm) * scale
        drawing.rect("beyond", left_x, top_y, strip.length_cm * scale, high, fill=PAPER, stroke=PAPER)
    for one in cut.outlines:
        ring = [at(x + squaring_cm, y + trim_cm) for x, y in one.outline]
        drawing.path("piece", path_of(ring), fill=FOAM, stroke=INK, stroke_width=1.4)
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        name = fitting(f"{one.piece} {one.copy}", (max(xs) - min(xs) - 6) / SMALL / _ROOM_FOR_NAME)
        drawing.text(sum(xs) / len(xs), sum(ys) / len(ys) + 4, name, css="name", size=SMALL, text_anchor="middle")
    for flaw in cloth.flaws:
        low, high = (0.0, cloth.width_cm) if flaw.width_cm is None else (flaw.y_cm, flaw.y_cm + flaw.width_cm)
        x0, y0 = at(flaw.x_cm, high)
        x1, y1 = at(flaw.x_cm + flaw.length_cm, low)
        drawing.rect("flaw", x0, y0, x1 - x0, y1 - y0, fill=PAPER, stroke=SIGNAL, stroke_width=1.2)
        drawing.path("cross", lines_of([((x0, y0), (x1, y1)), ((x0, y1), (x1, y0))]), stroke=SIGNAL, stroke_width=1.2)
    drawing.height = top + cloth.width_cm * scale + 4
    crossed = " Crossed: flaws." if cloth.flaws else ""
    drawing.paragraph(f"Right side up, grain along the drawing; the left selvedge is above.{crossed}", size=SMALL)
    return drawing.svg()
