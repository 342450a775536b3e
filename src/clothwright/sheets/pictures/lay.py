"""The layout: the finished usable cloth with the pieces in place, as it lies on the cutting table.

The rulers start where the cloth has been squared; a row that ends in a zigzag goes on in the next. The cloth lies right
side up, the first woven end at the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import Final

from clothwright.layout import Flaw, Layout
from clothwright.measure import CM_PER_INCH
from clothwright.planning import PlacedOutline, Plan
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    INK,
    PAPER,
    SAND,
    SIGNAL,
    SMALL,
    Drawing,
    lines_of,
    width_of,
)
from clothwright.sheets.pictures.pieces import (
    NamedOutline,
    draw_pieces,
    draw_pieces_on_cloth,
    name_the_rest,
    named,
    named_outlines,
)
from clothwright.sheets.pictures.real_cloth import RealCloth
from clothwright.sheets.pictures.rows import Frame, Row, clear_cuts, in_rows, readable_rows, scale_of
from clothwright.sheets.pictures.strip import torn_ends
from clothwright.sheets.wording import LENGTH, Rounding, counted, percent

_LEAST_HEIGHT: Final = 110.0
_ABOVE: Final = 40.0
_BELOW: Final = 44.0
_LABEL_ROOM: Final = 36.0


@dataclass(frozen=True)
class Cloth:
    """The usable cloth: its size finished and its pieces, whose it is, and the share of it used, where there is a layout."""

    width: float
    length: float
    pieces: tuple[NamedOutline, ...]
    name: str = ""
    used_share: float | None = None
    flaws: tuple[Flaw, ...] = ()

    @property
    def cuts(self) -> list[float]:
        """Where it may be cut across without cutting a piece."""
        return clear_cuts((min(x for x, _ in one.outline), max(x for x, _ in one.outline)) for one in self.pieces)


def cloth_of(plan: Plan) -> Cloth:
    """The usable cloth of a plan; without a layout it is the cloth asked for."""
    if plan.layout is None:
        return Cloth(plan.cloth.asked_width_cm, plan.cloth.asked_length_cm, (), plan.name)
    return Cloth(plan.layout.width_cm, plan.layout.length_cm, named(plan), plan.name, plan.layout.used_share)


def cloth_laid(name: str, layout: Layout, outlines: Sequence[PlacedOutline]) -> Cloth:
    """The usable cloth of a layout by itself."""
    return Cloth(layout.width_cm, layout.length_cm, named_outlines(outlines), name, layout.used_share)


def layout_svg(
    plan: Plan, *, imperial: bool = False, across: float = DEFAULT_ACROSS, real: RealCloth | None = None
) -> str:
    """The layout drawn in proportion, in rows where the cloth is long; on the `real` cloth where that is given."""
    return cloth_laid_svg(cloth_of(plan), imperial=imperial, across=across, real=real)


def cloth_laid_svg(
    cloth: Cloth, *, imperial: bool = False, across: float = DEFAULT_ACROSS, real: RealCloth | None = None
) -> str:
    """The same of any usable cloth with its pieces."""
    room = across - 2 * EDGE
    rows = readable_rows(cloth.length, cloth.width, room, cloth.cuts, _LEAST_HEIGHT)
    return _draw(cloth, rows, scale_of(rows, room), imperial, across, real).svg()


def cloth_svg(name: str, real: RealCloth, desc: str, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """The whole of a real cloth in proportion, in rows where it is long, as it lies on the table."""
    cloth, room = Cloth(real.width_cm, real.length_cm, ()), across - 2 * EDGE
    rows = readable_rows(cloth.length, cloth.width, room, [], _LEAST_HEIGHT)
    drawing = Drawing(f"The whole cloth of {name}", desc, "whole-cloth", across)
    for row in rows:
        frame = Frame(row, EDGE, drawing.height + _ABOVE, scale_of(rows, room), cloth.width)
        _draw_row(drawing, cloth, frame, imperial, real)
    return drawing.svg()


def layout_at_scale(
    plan: Plan, *, units_per_cm: float, across: float, imperial: bool = False, flaws: Sequence[Flaw] = ()
) -> str:
    """The layout with one cm of cloth drawn as so many units, in as many rows as that takes; `flaws` of the whole cloth crossed."""
    cloth = replace(cloth_of(plan), flaws=tuple(_usable(plan, one) for one in flaws))
    return _draw(cloth, _rows_at_scale(cloth, units_per_cm, across), units_per_cm, imperial, across).svg()


def rows_high_at_scale(plan: Plan, *, units_per_cm: float, across: float) -> float:
    """How high the rows of such a layout with their rulers are, in units of the drawing."""
    cloth = cloth_of(plan)
    rows = _rows_at_scale(cloth, units_per_cm, across)
    return len(rows) * (cloth.width * units_per_cm + _ABOVE + _BELOW)


def _rows_at_scale(cloth: Cloth, units_per_cm: float, across: float) -> list[Row]:
    return rows_within((across - 2 * EDGE) / units_per_cm, cloth)


def _usable(plan: Plan, flaw: Flaw) -> Flaw:
    """A flaw of the whole cloth where the usable cloth begins."""
    return replace(flaw, x_cm=flaw.x_cm - plan.squaring_cm, y_cm=flaw.y_cm - plan.selvedge_trim_cm)


def rows_within(longest: float, cloth: Cloth) -> list[Row]:
    """The fewest rows none of which is longer."""
    for number in count(1):  # pragma: no branch
        rows = in_rows(cloth.length, number, cloth.cuts)
        if max(row.length for row in rows) <= longest + 1e-6:
            break
    return rows


def _draw(
    cloth: Cloth,
    rows: list[Row],
    scale: float,
    imperial: bool,
    across: float,
    real: RealCloth | None = None,
) -> Drawing:
    drawing = Drawing(f"The layout of {cloth.name}", _describe(cloth, imperial), "layout", across)
    drawing.paragraph(_heading(cloth, imperial))
    named_in_full = set[int]()
    for row in rows:
        frame = Frame(row, EDGE, drawing.height + _ABOVE, scale, cloth.width)
        named_in_full |= _draw_row(drawing, cloth, frame, imperial, real)
    name_the_rest(drawing, cloth.pieces, named_in_full)
    goes_on = " Zigzag: it goes on in the next row." if len(rows) > 1 else ""
    crossed = " Crossed: flaws." if cloth.flaws else ""
    drawing.paragraph(f"Thick lines: the selvedges (selvages). Dashed: the squared ends.{crossed}{goes_on}", size=SMALL)
    return drawing


def _heading(cloth: Cloth, imperial: bool) -> str:
    width, length = (LENGTH.text(one, imperial=imperial, rounding=Rounding.UP) for one in (cloth.width, cloth.length))
    size = f"{width} wide, {length} long"
    if cloth.used_share is None:
        return f"Finished cloth {size}"
    return f"Finished usable cloth {size}; {percent(round(cloth.used_share, 2))} of it used"


def _draw_row(drawing: Drawing, cloth: Cloth, frame: Frame, imperial: bool, real: RealCloth | None = None) -> set[int]:
    left, right = frame.x(frame.row.start), frame.x(frame.row.end)
    drawing.rect("cloth", left, frame.top, right - left, frame.bottom - frame.top, fill=SAND)
    if real is not None:
        real.draw(drawing, frame)
    draw = draw_pieces if real is None else draw_pieces_on_cloth
    written = draw(drawing, cloth.pieces, frame, say_mirrored=True)
    _flaws(drawing, cloth, frame)
    for y in (frame.top, frame.bottom):
        drawing.line("selvedge", (left, y), (right, y), stroke_width=3.0)
    for along in (0.0, cloth.length):
        if frame.row.holds(along):
            drawing.line("end", (frame.x(along), frame.top), (frame.x(along), frame.bottom), stroke_dasharray="5 3")
    torn_ends(drawing, cloth.length, frame)
    _rulers(drawing, frame, imperial)
    _grain(drawing, frame)
    drawing.height = frame.bottom + _BELOW
    return written


def _flaws(drawing: Drawing, cloth: Cloth, frame: Frame) -> None:
    """Places no piece may cover, crossed, as far as they lie in a row."""
    for flaw in cloth.flaws:
        low, high = (0.0, cloth.width) if flaw.width_cm is None else (flaw.y_cm, flaw.y_cm + flaw.width_cm)
        low, high = max(0.0, low), min(cloth.width, high)
        span = frame.span(max(0.0, flaw.x_cm), min(cloth.length, flaw.x_cm + flaw.length_cm))
        if span is None or high <= low:
            continue
        (left, right), top, bottom = span, frame.bottom - high * frame.scale, frame.bottom - low * frame.scale
        drawing.rect("flaw", left, top, right - left, bottom - top, fill=PAPER, stroke=SIGNAL, stroke_width=1.2)
        crossed = lines_of([((left, top), (right, bottom)), ((left, bottom), (right, top))])
        drawing.path("cross", crossed, stroke=SIGNAL, stroke_width=1.2)


def _rulers(drawing: Drawing, frame: Frame, imperial: bool) -> None:
    """Centimetres along one selvedge and inches along the other; the units chosen below."""
    below, above = (CM_PER_INCH, 1.0) if imperial else (1.0, CM_PER_INCH)
    _ruler(drawing, frame, below, frame.bottom + 1.5, down=1)
    _ruler(drawing, frame, above, frame.top - 1.5, down=-1)


def _ruler(drawing: Drawing, frame: Frame, unit: float, y: float, *, down: int) -> None:
    fine, numbered = (1.0, 5) if unit > 1 else (5.0, 2)
    if fine * unit * frame.scale < 4:
        fine, numbered = fine * 5, 2
    while fine * numbered * unit * frame.scale < _LABEL_ROOM:
        numbered *= 2
    name = " in" if unit > 1 else " cm"
    for mark in range(int(frame.row.end / unit / fine + 1e-9) + 1):
        if frame.row.holds(mark * fine * unit):
            number = f"{mark * fine:g}" if mark % numbered == 0 else ""
            _mark(drawing, frame.x(mark * fine * unit), y, number, name, down)
            name = "" if number else name


def _mark(drawing: Drawing, x: float, y: float, number: str, name: str, down: int) -> None:
    drawing.line("mark", (x, y), (x, y + down * (6 if number else 4)), stroke_width=1.0 if number else 0.6)
    if number:
        start = x - width_of(number, SMALL) / 2
        drawing.text(start, y + (17 if down > 0 else -9), number + name, "mark", SMALL)


def _grain(drawing: Drawing, frame: Frame) -> None:
    """The grain arrow, below the row."""
    y = frame.bottom + 32
    words = "grain, along the warp"
    start = frame.left + width_of(words, SMALL) + 4
    drawing.text(frame.left, y + 4, words, size=SMALL)
    end = min(start + 60, frame.left + drawing.room)
    drawing.line("grain", (start, y), (end - 6, y), stroke_width=1.5)
    arrow = f"M{end:.2f} {y:.2f}l-9 -4.5v9z"
    drawing.path("grain", arrow, fill=INK)


def _describe(cloth: Cloth, imperial: bool) -> str:
    said = f"{_heading(cloth, imperial)}. The grain runs along the warp; selvedges (selvages) lie along both sides."
    places = [
        f"{one.full_name}: from {_along(one, imperial)} along the cloth, {_from_selvedge(one, imperial)} from the selvedge"
        for one in cloth.pieces
    ]
    return f"{said} {counted(len(places), 'piece')}. {'; '.join(places)}." if places else said


def _along(piece: NamedOutline, imperial: bool) -> str:
    start, end = min(x for x, _ in piece.outline), max(x for x, _ in piece.outline)
    return f"{LENGTH.number(start, imperial=imperial)} to {LENGTH.short(end, imperial=imperial)}"


def _from_selvedge(piece: NamedOutline, imperial: bool) -> str:
    return LENGTH.short(min(y for _, y in piece.outline), imperial=imperial)
