"""The staircase drawn: how long the cloth must be, against how wide it is, its steps named and the width taken marked.

Two panels over one another share the widths: length above, yarn below where it is known. A layout for a width holds up to the
next one, so the line runs level from each width to the next and drops there. Steps are marked by a triangle and words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from clothwright.measure import Interval
from clothwright.pattern import Point
from clothwright.planning import WidthAdvice, WidthStep
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    INK,
    KELP,
    SAND,
    SIGNAL,
    SMALL,
    TIDE,
    Drawing,
    path_of,
    width_of,
)
from clothwright.sheets.wording import LENGTH, YARN, Kind, Rounding

_HIGH: Final = 120.0
_MARKS: Final = 4
_APART: Final = 4.0


def staircase_svg(
    stairs: Sequence[WidthStep],
    advice: WidthAdvice,
    taken_cm: float,
    *,
    trim_cm: float = 0.0,
    imperial: bool = False,
    yarn: bool = True,
    across: float = DEFAULT_ACROSS,
) -> str:
    """Length (and yarn) against usable width; `taken_cm` is the width the plan takes, the advice's widths are of whole cloth."""
    drawing = Drawing("Length and yarn against the width of the cloth", _in_words(stairs, imperial), "stairs", across)
    scale = _Scale(drawing, stairs, advice, trim_cm)
    drawing.height = EDGE
    _panel(drawing, scale, "Length of cloth", [(s.width_cm, s.length_cm) for s in stairs], LENGTH, imperial)
    _steps(drawing, scale, stairs, imperial)
    if yarn:
        _panel(drawing, scale, "Yarn", [(s.width_cm, s.yarn_m) for s in stairs], YARN, imperial)
    _widths(drawing, scale, stairs, imperial)
    _told(drawing, stairs, advice, taken_cm, imperial)
    return drawing.svg()


class _Scale:
    """Widths to places across the drawing."""

    def __init__(self, drawing: Drawing, stairs: Sequence[WidthStep], advice: WidthAdvice, trim_cm: float) -> None:
        self.least = min(step.width_cm for step in stairs)
        self.most = max(max(step.width_cm for step in stairs), advice.aim_cm - 2 * trim_cm)
        self.needs_cm, self.aim_cm = advice.needs_cm - 2 * trim_cm, advice.aim_cm - 2 * trim_cm
        self._left, self._room = EDGE + 4, drawing.room - 8
        if self.most - self.least < 1:
            self.most = self.least + 1
        self.top = self.bottom = 0.0

    def x(self, width_cm: float) -> float:
        """Where a width lies."""
        within = min(max(width_cm, self.least), self.most)
        return self._left + self._room * (within - self.least) / (self.most - self.least)


def _panel(
    drawing: Drawing, scale: _Scale, name: str, points: list[tuple[float, float]], kind: Kind, imperial: bool
) -> None:
    """One panel: its name with the range it spans, the line of steps, and the two widths of the advice."""
    values = [value for _, value in points]
    low, high = min(values), max(values)
    spanned = f"{name}, lowest to top: {kind.range(Interval(low, (low + high) / 2, high), imperial=imperial)}"
    drawing.one_line(spanned, size=SMALL, bold=True)
    top, bottom = drawing.height + 28, drawing.height + 28 + _HIGH
    drawing.rect("ground", scale.x(scale.least), top, scale.x(scale.most) - scale.x(scale.least), _HIGH, fill=SAND)
    drawing.path(
        "stair",
        path_of(_stairs(points, scale, _upwards(low, high, top, bottom)), closed=False),
        stroke=INK,
        stroke_width=2.2,
    )
    for css, width_cm, dashes, colour in (("needs", scale.needs_cm, "2 3", SIGNAL), ("aim", scale.aim_cm, "7 3", TIDE)):
        at = scale.x(width_cm)
        drawing.line(css, (at, top - 4), (at, bottom), stroke=colour, stroke_width=1.6, stroke_dasharray=dashes)
    scale.top, scale.bottom = top, bottom
    drawing.height = bottom + 6


def _upwards(low: float, high: float, top: float, bottom: float) -> Callable[[float], float]:
    span = max(high - low, 1e-9)
    return lambda value: bottom - 8 - (bottom - top - 16) * (value - low) / span


def _stairs(points: Sequence[tuple[float, float]], scale: _Scale, y: Callable[[float], float]) -> list[Point]:
    """Level from each width to the next, then up or down there."""
    found: list[Point] = []
    for number, (width, value) in enumerate(points):
        end = points[number + 1][0] if number + 1 < len(points) else scale.most
        found += [(scale.x(width), y(value)), (scale.x(end), y(value))]
    return found


def _steps(drawing: Drawing, scale: _Scale, stairs: Sequence[WidthStep], imperial: bool) -> None:
    """A triangle at each step, and how much length falls there where the words have room."""
    free = 0.0
    for step in stairs:
        if not step.falls_cm:
            continue
        x = scale.x(step.width_cm)
        drawing.path("step", path_of([(x - 4, scale.top - 8), (x + 4, scale.top - 8), (x, scale.top - 1)]), fill=KELP)
        said = f"−{LENGTH.short(step.falls_cm, imperial=imperial, rounding=Rounding.DOWN)}"
        half = width_of(said, SMALL) / 2
        at = min(max(x, EDGE + half), drawing.across - EDGE - half)
        if at - half > free:
            drawing.text(at, scale.top - 11, said, css="falls", size=SMALL, text_anchor="middle", fill=KELP)
            free = at + half + _APART


def _widths(drawing: Drawing, scale: _Scale, stairs: Sequence[WidthStep], imperial: bool) -> None:
    """Widths below the last panel: the first, those at steps, the last, as far as there is room."""
    base, free = drawing.height + SMALL, 0.0
    marked = [step.width_cm for step in stairs if step.falls_cm]
    for width in sorted({scale.least, *marked, scale.most}):
        said = LENGTH.short(width, imperial=imperial)
        half = width_of(said, SMALL) / 2
        at = min(max(scale.x(width), EDGE + half), drawing.across - EDGE - half)
        if at - half > free:
            drawing.text(at, base, said, css="width", size=SMALL, text_anchor="middle", fill=FAINT)
            free = at + half + _APART
    drawing.height = base + 4


def _told(drawing: Drawing, stairs: Sequence[WidthStep], advice: WidthAdvice, taken_cm: float, imperial: bool) -> None:
    """What the marks mean."""
    needs, aim, taken = (LENGTH.text(cm, imperial=imperial) for cm in (advice.needs_cm, advice.aim_cm, taken_cm))
    drawing.paragraph(f"Across: usable width. Laid on {taken}.", size=SMALL)
    drawing.paragraph(f"Dots: the width the pieces need, {needs} of finished cloth.", size=SMALL)
    drawing.paragraph(f"Dashes: the width to finish at, {aim}.", size=SMALL)
    if any(step.falls_cm for step in stairs):
        drawing.paragraph(
            "Triangles: steps, where one more piece fits beside another, and the length that falls there.", size=SMALL
        )


def _in_words(stairs: Sequence[WidthStep], imperial: bool) -> str:
    def said(step: WidthStep) -> str:
        width, length = (LENGTH.text(cm, imperial=imperial) for cm in (step.width_cm, step.length_cm))
        return f"{width} wide: {length} long"

    steps = [step for step in stairs if step.falls_cm] or list(stairs[:_MARKS])
    return f"{said(stairs[0])}. Steps: {'; '.join(map(said, steps))}."
