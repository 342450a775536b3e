"""The cloth on the loom drawn to scale along its length: what is woven, the marks, the pieces, where yarn would end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from clothwright.measure import CM_PER_INCH
from clothwright.planning import PlacedOutline
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    FOAM,
    INK,
    PAPER,
    SAND,
    SIGNAL,
    SMALL,
    TIDE,
    Drawing,
    fitting,
    lines_of,
    path_of,
)
from clothwright.sheets.wording import LENGTH, counted, literal
from clothwright.weaving import Happened, LoomForecast, WayThrough

_HIGH: Final = 84.0
_PLAIN_HIGH: Final = 46.0
_ROOM_FOR_NAME: Final = 1.3
_LABEL_ROOM: Final = 34.0


def loom_strip_svg(
    told: LoomForecast,
    *,
    way: WayThrough | None = None,
    weighed_cm: Sequence[float] = (),
    flaws: Sequence[Happened] = (),
    imperial: bool = False,
    across: float = DEFAULT_ACROSS,
) -> str:
    """The cloth from its first pick to where it is to stop; for a way out, as it would then be."""
    end = max(told.to_weave_cm, told.woven_cm, 1.0)
    stop = way.stop_at_cm if way else told.to_weave_cm
    outlines = way.outlines if way and way.outlines else told.outlines
    drawing = Drawing(_title(told, way, imperial), _says(told, way, outlines, imperial), "loom-strip", across)
    drawing.height = EDGE / 2
    high = _HIGH if outlines else _PLAIN_HIGH
    strip = _Strip(drawing, EDGE, drawing.height + 16, drawing.room / end, high)
    strip.rect("unwoven", 0, end, fill=PAPER, stroke=FAINT, stroke_width=1.0, stroke_dasharray="3 3")
    strip.rect("to-weave", 0, stop, fill=SAND, stroke=INK, stroke_width=1.2)
    _woven(strip, told.woven_cm)
    for start, to in (*told.bands, *(way.bands if way else ())):
        _band(strip, start, to)
    _pieces(strip, outlines, told.width_cm)
    _flaws(strip, flaws, told)
    _ends(strip, told, end)
    _marks(strip, told, weighed_cm, end, imperial)
    strip.upright("stop", stop, stroke=SIGNAL, stroke_width=3.0)
    drawing.height = strip.top + high + 26
    drawing.paragraph(_key(told, way, flaws, imperial), size=SMALL)
    return drawing.svg()


class _Strip:
    """The cloth in the units of its drawing."""

    def __init__(self, drawing: Drawing, left: float, top: float, scale: float, high: float) -> None:
        self.drawing, self.left, self.top, self.scale, self.high = drawing, left, top, scale, high

    def x(self, cm: float) -> float:
        """Where a place along the cloth is drawn."""
        return self.left + cm * self.scale

    def rect(self, css: str, start: float, end: float, **looks: float | str) -> None:
        """A stretch of the cloth over its whole width."""
        self.drawing.rect(css, self.x(start), self.top, max(0.0, end - start) * self.scale, self.high, **looks)

    def upright(self, css: str, cm: float, **looks: float | str) -> None:
        """A line across the cloth."""
        self.drawing.line(css, (self.x(cm), self.top - 3), (self.x(cm), self.top + self.high + 3), **looks)


def _woven(strip: _Strip, woven: float) -> None:
    """What is woven, drawn as picks, so that it is not told by colour alone."""
    strip.rect("woven", 0, woven, fill=FOAM, stroke=INK, stroke_width=1.2)
    count = int(woven * strip.scale / 4)
    xs = [strip.left + 4.0 * (number + 1) for number in range(count)]
    strip.drawing.path(
        "picks", lines_of(((x, strip.top), (x, strip.top + strip.high)) for x in xs), stroke=FAINT, stroke_width=0.5
    )


def _band(strip: _Strip, start: float, end: float) -> None:
    strip.rect("band", start, end, fill=PAPER, stroke=TIDE, stroke_width=1.4)
    rows = [strip.top + 5 * number for number in range(1, int(strip.high / 5))]
    strip.drawing.path(
        "band", lines_of(((strip.x(start), y), (strip.x(end), y)) for y in rows), stroke=TIDE, stroke_width=1.2
    )


def _pieces(strip: _Strip, outlines: Sequence[PlacedOutline], width_cm: float) -> None:
    across = strip.high / width_cm if width_cm else 1.0
    for one in outlines:
        ring = [(strip.x(x), strip.top + strip.high - y * across) for x, y in one.outline]
        strip.drawing.path("piece", path_of(ring), stroke=INK, stroke_width=1.2)
        xs, ys = [x for x, _ in ring], [y for _, y in ring]
        name = fitting(literal(f"{one.piece} {one.copy}"), (max(xs) - min(xs) - 4) / SMALL / _ROOM_FOR_NAME)
        middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2 + 4
        strip.drawing.text(
            *middle,
            name,
            css="name",
            size=SMALL,
            text_anchor="middle",
            stroke=PAPER,
            stroke_width=3.0,
            paint_order="stroke",
        )


def _flaws(strip: _Strip, flaws: Sequence[Happened], told: LoomForecast) -> None:
    """A cross where something is to be kept clear of; across the whole cloth where only its place along is known."""
    for one in flaws:
        part = one.part
        share = part.end / told.ends if part.end and told.ends else None
        if part.from_selvedge and told.width_cm:
            share = part.from_selvedge.cm / told.width_cm
        x, ys = (
            strip.x(one.at_cm),
            [strip.top + share * strip.high] if share is not None else [strip.top, strip.top + strip.high],
        )
        for y in ys:
            cross = [((x - 4, y - 4), (x + 4, y + 4)), ((x - 4, y + 4), (x + 4, y - 4))]
            strip.drawing.path("flaw", lines_of(cross), stroke=SIGNAL, stroke_width=2.0)


def _ends(strip: _Strip, told: LoomForecast, end: float) -> None:
    """Where the first weft to end would end: from the earliest to the latest, as a bracket above."""
    found = [one.ends_at_cm for one in told.yarns if one.ends_at_cm]
    if not found:
        return
    first = min(found, key=lambda one: one.expected)
    y = strip.top - 8
    strip.drawing.dimension(
        "ends", (strip.x(min(first.low, end)), y), (strip.x(min(first.high, end)), y), butts=3.0, stroke_width=2.0
    )


def _marks(strip: _Strip, told: LoomForecast, weighed: Sequence[float], end: float, imperial: bool) -> None:
    below = strip.top + strip.high
    for cm in weighed:
        strip.drawing.add("circle", "weighed", {"cx": strip.x(cm), "cy": below + 5, "r": 2.6, "fill": INK})
    for cm in told.marks_cm:
        if cm > told.woven_cm:
            strip.drawing.line("own-mark", (strip.x(cm), below), (strip.x(cm), below + 6), stroke_width=1.0)
    if told.weigh_next_at_cm is not None:
        strip.drawing.triangle("next", strip.x(told.weigh_next_at_cm), below + 1, 9.0, fill=TIDE)
    unit = CM_PER_INCH if imperial else 1.0
    step = next(s for s in (10, 25, 50, 100, 200, 500, 1000, 10000) if s * unit * strip.scale >= _LABEL_ROOM)
    for number in range(int(end / unit / step + 1e-9) + 1):
        x = strip.x(number * step * unit)
        strip.drawing.text(x, below + 22, f"{number * step:g}", css="mark", size=SMALL, text_anchor="middle")


def _title(told: LoomForecast, way: WayThrough | None, imperial: bool) -> str:
    if way:
        return f"{way.what}: the cloth as it would be, to scale"
    return f"{told.name} on the loom, {LENGTH.text(told.woven_cm, imperial=imperial)} woven, to scale"


def _says(told: LoomForecast, way: WayThrough | None, outlines: Sequence[PlacedOutline], imperial: bool) -> str:
    woven, stop = (
        LENGTH.text(cm, imperial=imperial) for cm in (told.woven_cm, way.stop_at_cm if way else told.to_weave_cm)
    )
    order = sorted(outlines, key=lambda one: min(x for x, _ in one.outline))
    names = ", ".join(f"{one.piece} {one.copy}" for one in order)
    pieces = f" {counted(len(order), 'piece')} in the order of weaving: {names}." if order else ""
    bands = "".join(
        f" Another yarn from {LENGTH.text(start, imperial=imperial)} to {LENGTH.text(end, imperial=imperial)}."
        for start, end in (*told.bands, *(way.bands if way else ()))
    )
    return f"{woven} woven; the weaving stops at {stop}.{bands}{pieces}"


def _key(told: LoomForecast, way: WayThrough | None, flaws: Sequence[Happened], imperial: bool) -> str:
    unit = "inches" if imperial else "cm"
    parts = [f"Ruler: {unit} under tension from the first pick. Lined across: woven. Dots: weighed"]
    if flaws:
        parts.append("crosses: knots, breaks, floats")
    if told.weigh_next_at_cm is not None:
        parts.append("triangle: weigh next")
    if any(one.ends_at_cm for one in told.yarns):
        parts.append(
            "bracket above: where the weft would end, nine times in ten"
            if not told.by_hand
            else "bracket above: where the weft would end"
        )
    if told.bands or (way and way.bands):
        parts.append("lined along: another yarn")
    return "; ".join([*parts, "thick line: stop"]) + "."
