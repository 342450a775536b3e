"""A sample's outlines, before and after washing on one another, to one scale; told apart by dashes, not by colour alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from clothwright.pattern import Point
from clothwright.planning import TracedShape
from clothwright.sheets.pictures.drawing import EDGE, FAINT, FOAM, INK, SMALL, TIDE, Drawing, path_of
from clothwright.sheets.wording import LENGTH

#: How high the outlines may be drawn, in units.
_MOST_HIGH: Final = 330.0
_KEY_LINE: Final = 34.0


def outlines_svg(shapes: Sequence[TracedShape], *, imperial: bool = False, name: str = "") -> str:
    """The outlines of a sample laid on one another about their middles; empty where none was traced."""
    if not shapes:
        return ""
    drawing = Drawing(f"Outlines of {name or 'the sample'}", _in_words(shapes, imperial), "outlines")
    drawing.height = EDGE / 2
    middles = [_middled(one.corners_cm) for one in shapes]
    wide, high = _reach(middles)
    unit = min(drawing.room / wide, _MOST_HIGH / high)
    middle = (drawing.across / 2, drawing.height + high * unit / 2)
    for one, corners in zip(shapes, middles, strict=True):
        placed = [(middle[0] + x * unit, middle[1] - y * unit) for x, y in corners]
        drawing.path(f"outline-{_key(one)}", path_of(placed), **_look(one))
    drawing.height += high * unit + EDGE / 2
    _scale(drawing, unit, imperial)
    for one in shapes:
        _key_line(drawing, one, imperial)
    return drawing.svg()


def _key(one: TracedShape) -> str:
    return "finished" if one.state == "finished" else "before"


def _look(one: TracedShape) -> dict[str, float | str]:
    if one.state == "finished":
        return {"stroke": TIDE, "stroke_width": 2.2, "fill": FOAM, "fill_opacity": 0.5}
    return {"stroke": INK, "stroke_width": 1.4, "stroke_dasharray": "6 4"}


def _middled(corners: Iterable[Point]) -> list[Point]:
    """Corners about the middle of their box."""
    points = list(corners)
    xs, ys = zip(*points, strict=True)
    across, along = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    return [(x - across, y - along) for x, y in points]


def _reach(outlines: Sequence[Sequence[Point]]) -> tuple[float, float]:
    every = [point for outline in outlines for point in outline]
    return 2 * max(abs(x) for x, _ in every), 2 * max(abs(y) for _, y in every)


def _scale(drawing: Drawing, unit: float, imperial: bool) -> None:
    """A line of 5 cm, or of 2 in, at the scale of the outlines."""
    cm, words = (5.08, "2 in") if imperial else (5.0, "5 cm")
    y = drawing.height + EDGE / 2
    drawing.dimension("scale", (EDGE, y), (EDGE + cm * unit, y))
    drawing.text(EDGE + cm * unit + 6, y + 4, words, size=SMALL, fill=FAINT)
    drawing.height = y + EDGE / 2


def _key_line(drawing: Drawing, one: TracedShape, imperial: bool) -> None:
    """A piece of the line with what it stands for."""
    y = drawing.height + 12
    look = {name: value for name, value in _look(one).items() if name.startswith("stroke")}
    drawing.line("key", (EDGE, y), (EDGE + _KEY_LINE - 8, y), **look)
    drawing.height += 2
    drawing.paragraph(_said(one, imperial), indent=_KEY_LINE)


def _said(one: TracedShape, imperial: bool) -> str:
    width, least, length = (
        LENGTH.short(cm, imperial=imperial) for cm in (one.mean_width_cm, one.least_width_cm, one.mean_length_cm)
    )
    skew = f", skewed {abs(one.skew_deg):.0f}°" if abs(one.skew_deg) >= 0.5 else ""
    return f"{one.state}: {width} wide in the mean, {least} at its narrowest, {length} long{skew}"


def _in_words(shapes: Sequence[TracedShape], imperial: bool) -> str:
    return "; ".join(_said(one, imperial) for one in shapes) + "."
