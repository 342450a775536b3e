"""Yarn and spacing at true size: the threads of 3 cm of plain cloth, and a line of 5 cm to hold a ruler to.

These drawings carry their size in mm, so that a browser or a printer that scales nothing shows them as large as they are.
"""

from __future__ import annotations

from typing import Final

from clothwright.sheets.pictures.drawing import EDGE, FAINT, INK, PAPER, SMALL, Drawing

#: A unit of these drawings in mm, so that letters are as large as in the pictures of a sheet.
UNIT_MM: Final = 0.275
ACROSS_MM: Final = 30.0
HIGH_MM: Final = 20.0
CHECK_MM: Final = 50.0
_WARP: Final = "#c9b48f"
_WEFT: Final = "#8fa9ad"
#: The outline of a thread: so thick, but no more than this share of the thread on either side.
_OUTLINE_MM, _OUTLINE_SHARE = 0.13, 0.16


def sett_svg(
    ends_per_cm: float,
    *,
    warp_mm: float,
    weft_mm: float | None = None,
    picks_per_cm: float | None = None,
    name: str = "",
) -> str:
    """Plain weave of 3 cm by 2 cm at true size, `ends_per_cm` apart; as many picks, of the same yarn, where left out."""
    weft_mm, picks_per_cm = weft_mm or warp_mm, picks_per_cm or ends_per_cm
    drawing = Drawing(
        f"Threads at {name or 'this spacing'}, at true size",
        f"3 cm of plain weave with {ends_per_cm:.3g} ends and {picks_per_cm:.3g} picks to the cm; "
        f"the warp is {warp_mm:.2f} mm thick, the weft {weft_mm:.2f} mm.",
        "sett",
        ACROSS_MM / UNIT_MM + 2 * EDGE,
        unit_mm=UNIT_MM,
    )
    drawing.height = EDGE / 2
    _weave(drawing, 10 / ends_per_cm, 10 / picks_per_cm, warp_mm, weft_mm)
    _scale(drawing, ACROSS_MM, "3 cm")
    return drawing.svg()


def check_line_svg() -> str:
    """A line of 5 cm with a mark at each cm, to hold a ruler to."""
    drawing = Drawing("A line of 5 cm", "Hold a ruler to it.", "check", CHECK_MM / UNIT_MM + 2 * EDGE, unit_mm=UNIT_MM)
    drawing.height = EDGE / 2
    _scale(drawing, CHECK_MM, "5 cm")
    return drawing.svg()


def _weave(drawing: Drawing, end_mm: float, pick_mm: float, warp_mm: float, weft_mm: float) -> None:
    """Weft, then warp over it, then the weft once more where it lies on top."""
    top = drawing.height
    left, right, bottom = EDGE, EDGE + ACROSS_MM / UNIT_MM, top + HIGH_MM / UNIT_MM
    drawing.rect("ground", left, top, right - left, bottom - top, fill=PAPER)
    picks = _places(HIGH_MM, pick_mm)
    ends = _places(ACROSS_MM, end_mm)
    rows = [(top + y / UNIT_MM, number) for number, y in enumerate(picks)]
    for y, _ in rows:
        _thread(drawing, "weft", (left, y), (right, y), weft_mm, _WEFT)
    for x in ends:
        at = left + x / UNIT_MM
        _thread(drawing, "warp", (at, top), (at, bottom), warp_mm, _WARP)
    dash = end_mm / UNIT_MM
    for y, number in rows:
        first = left + (number % 2) * dash
        _over(drawing, first, right, y, weft_mm, dash)
    drawing.height = bottom


def _places(room_mm: float, step_mm: float) -> list[float]:
    """Where threads lie: the first half a spacing in, so that as many are shown as there are in the room."""
    count = max(1, round(room_mm / step_mm))
    return [step_mm * (number + 0.5) for number in range(count) if step_mm * (number + 0.5) < room_mm]


def _thread(
    drawing: Drawing, css: str, start: tuple[float, float], end: tuple[float, float], thick_mm: float, colour: str
) -> None:
    """A thread as a dark line with a paler one upon it."""
    drawing.line(css, start, end, stroke=INK, stroke_width=thick_mm / UNIT_MM)
    inner = _inner(thick_mm)
    drawing.line(f"{css}-light", start, end, stroke=colour, stroke_width=inner)


def _inner(thick_mm: float) -> float:
    """How wide a thread is within its outline, in units."""
    return (thick_mm - 2 * min(_OUTLINE_MM, _OUTLINE_SHARE * thick_mm)) / UNIT_MM


def _over(drawing: Drawing, first: float, right: float, y: float, thick_mm: float, dash: float) -> None:
    """The stretches of a pick that lie over an end: dashes as long as the spacing, every other one."""
    inner = _inner(thick_mm)
    for css, colour, width in (("over", INK, thick_mm / UNIT_MM), ("over-light", _WEFT, inner)):
        dashes = f"{dash:.4f} {dash:.4f}"
        drawing.line(css, (first, y), (right, y), stroke=colour, stroke_width=width, stroke_dasharray=dashes)


def _scale(drawing: Drawing, long_mm: float, words: str) -> None:
    """A line of a length, marks at each cm, and what it is."""
    top, long = drawing.height + 6, long_mm / UNIT_MM
    drawing.line("true", (EDGE, top + 9), (EDGE + long, top + 9), stroke_width=1.2)
    for mark in range(round(long_mm / 10) + 1):
        high = 9 if mark * 10 in (0, round(long_mm)) else 5
        x = EDGE + mark * 10 / UNIT_MM
        x += {0: 0.6, round(long_mm / 10): -0.6}.get(mark, 0.0)
        drawing.line("mark", (x, top + 9 - high), (x, top + 9), stroke_width=1.2)
    drawing.text(EDGE + long / 2, top + 21, words, css="size", size=SMALL, text_anchor="middle", fill=FAINT)
    drawing.height = top + 22
