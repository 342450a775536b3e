"""The strip: the whole warp drawn to scale along its length, as it passes over the loom.

From the knots at the front: loom waste, the on-warp sample, the cloth with its pieces in place, what is left for
take-up, loom waste at the back. Together they are as long as the warp. The woven parts are drawn as long as they are on the
loom under tension, so a piece lies where the weaver will meet it; the ruler counts from the first pick of the cloth.
Which part of the waste is at the front is not known: half of it is drawn at each end.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from clothwright.measure import CM_PER_INCH
from clothwright.pattern import Ring
from clothwright.planning import Plan
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    FOAM,
    INK,
    LETTERS,
    PAPER,
    SAND,
    SIGNAL,
    SMALL,
    Drawing,
    lines_of,
    width_of,
)
from clothwright.sheets.pictures.pieces import NamedOutline, draw_pieces, name_the_rest, named
from clothwright.sheets.pictures.rows import MOST_ROWS, Frame, clear_cuts, readable_rows, scale_of
from clothwright.sheets.wording import LENGTH, Rounding, counted, literal

_LEAST_HEIGHT: Final = 84.0
_LEAST_HEIGHT_ON_PAPER: Final = 60.0
_MOST_ROWS_ON_PAPER: Final = 3
_BRACKET: Final = 25.0
_RULER: Final = 36.0
_LABEL_ROOM: Final = 32.0
_LEAST_RESERVE_CM: Final = 0.5


@dataclass(frozen=True)
class Section:
    """A stretch of the warp, in cm from the knots at the front; `says` is its line in the key."""

    kind: str
    letter: str
    start: float
    end: float
    says: str

    @property
    def length(self) -> float:
        """How long it is."""
        return self.end - self.start


@dataclass(frozen=True)
class Strip:
    """The warp as it will be drawn."""

    sections: tuple[Section, ...]
    pieces: tuple[NamedOutline, ...]
    width: float

    @property
    def total(self) -> float:
        """Its whole length, cm."""
        return self.sections[-1].end

    @property
    def cloth(self) -> Section:
        """The cloth among the sections."""
        return next(one for one in self.sections if one.kind == "cloth")


def strip_of(plan: Plan) -> Strip:
    """The sections and pieces of a plan along its warp."""
    sections = _sections(plan)
    cloth = next(one for one in sections if one.kind == "cloth")
    return Strip(sections, _on_loom(plan, cloth), plan.warp.width_in_heddle_cm)


def _sections(plan: Plan) -> tuple[Section, ...]:
    waste = plan.warp.waste_cm.expected
    sample, weave_to = plan.warp.on_warp_sample_cm, plan.weft.weave_to_cm
    reserve = plan.warp.length_cm - waste - sample - weave_to
    stretches = [
        ("waste", waste / 2, "loom waste at the front"),
        ("sample", sample, "on-warp sample, woven first"),
        ("cloth", weave_to, "the cloth, woven under tension"),
        ("reserve", reserve if reserve >= _LEAST_RESERVE_CM else 0.0, "for take-up and in reserve"),
        ("waste", waste / 2, "loom waste at the back"),
    ]
    found: list[Section] = []
    for kind, length, says in stretches:
        start = found[-1].end if found else 0.0
        if length > 0:
            found.append(Section(kind, "ABCDE"[len(found)], start, start + length, says))
    return tuple(found)


def _on_loom(plan: Plan, cloth: Section) -> tuple[NamedOutline, ...]:
    """The pieces moved from the finished cloth to where they lie on the loom."""
    if plan.layout is None:
        return ()
    along = cloth.length / max(plan.cloth.asked_length_cm, plan.layout.length_cm + 2 * plan.squaring_cm)
    full_width = max(plan.cloth.asked_width_cm, plan.layout.width_cm + 2 * plan.selvedge_trim_cm)
    across = plan.warp.width_in_heddle_cm / full_width

    def moved(ring: Ring) -> Ring:
        return tuple(
            (cloth.start + (x + plan.squaring_cm) * along, (y + plan.selvedge_trim_cm) * across) for x, y in ring
        )

    return tuple(NamedOutline(one.key, one.name, one.mirrored, moved(one.outline)) for one in named(plan))


def squaring_spans(plan: Plan, cloth: Section) -> list[tuple[float, float]]:
    """The stretches lost in squaring, at each end of the cloth on the loom."""
    if plan.layout is None or plan.squaring_cm <= 0:
        return []
    lost = (
        plan.squaring_cm * cloth.length / max(plan.cloth.asked_length_cm, plan.layout.length_cm + 2 * plan.squaring_cm)
    )
    return [(cloth.start, cloth.start + lost), (cloth.end - lost, cloth.end)]


def strip_svg(plan: Plan, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """The warp as a strip drawn to scale, in rows where it is long; `across` is the width of the drawing in its units."""
    strip = strip_of(plan)
    drawing = Drawing(f"The warp of {plan.name}, to scale", describe(plan, strip, imperial), "strip", across)
    if not drawing.wide:  # on paper the table above says it
        drawing.paragraph(_heading(plan, imperial))
    least, most = (_LEAST_HEIGHT_ON_PAPER, _MOST_ROWS_ON_PAPER) if drawing.wide else (_LEAST_HEIGHT, MOST_ROWS)
    rows = readable_rows(strip.total, strip.width, drawing.room, clear_cuts(_spans(strip)), least, most)
    scale = scale_of(rows, drawing.room)
    named_in_full = set[int]()
    for row in rows:
        frame = Frame(row, EDGE, drawing.height + _BRACKET, scale, strip.width)
        named_in_full |= _draw_row(drawing, plan, strip, frame, imperial)
    _key(drawing, plan, strip, imperial)
    name_the_rest(drawing, strip.pieces, named_in_full)
    scale_bar(drawing, scale, imperial)
    return drawing.svg()


def _spans(strip: Strip) -> list[tuple[float, float]]:
    """Stretches that should stay in one row: every piece, and every section but the cloth."""
    pieces = [(min(x for x, _ in one.outline), max(x for x, _ in one.outline)) for one in strip.pieces]
    return pieces + [(one.start, one.end) for one in strip.sections if one.kind != "cloth"]


def _heading(plan: Plan, imperial: bool) -> str:
    warp = LENGTH.text(plan.warp.length_cm, imperial=imperial, rounding=Rounding.UP)
    width = LENGTH.text(plan.warp.width_in_heddle_cm, imperial=imperial)
    return f"Warp {warp} long; {plan.warp.ends} ends, {width} wide in the heddle"


def _draw_row(drawing: Drawing, plan: Plan, strip: Strip, frame: Frame, imperial: bool) -> set[int]:
    for section in strip.sections:
        if span := frame.span(section.start, section.end):
            _GROUNDS[section.kind](drawing, span, frame)
            _bracket(drawing, section, span, frame)
    for start, end in squaring_spans(plan, strip.cloth):
        if span := frame.span(start, end):
            _hatched(drawing, span, frame)
    written = draw_pieces(drawing, strip.pieces, frame, say_mirrored=False)
    if frame.row.start == 0:
        _width(drawing, strip, frame, imperial)
    _ruler(drawing, strip.cloth, frame, imperial)
    _stop(drawing, strip.cloth, frame, imperial)
    torn_ends(drawing, strip.total, frame)
    drawing.height = frame.bottom + _RULER
    return written


def _width(drawing: Drawing, strip: Strip, frame: Frame, imperial: bool) -> None:
    """The width in the heddle, written across the loom waste at the front."""
    x, middle = frame.left + 10, (frame.top + frame.bottom) / 2
    words = LENGTH.short(strip.width, imperial=imperial)
    half = width_of(words, SMALL) / 2
    if frame.x(strip.sections[0].end) < x + SMALL or 2 * half > frame.bottom - frame.top - 8:
        return
    drawing.dimension("width", (x, frame.top), (x, frame.bottom))
    drawing.rect("paper", x - SMALL / 2 - 1, middle - half, SMALL + 2, 2 * half, fill=PAPER)
    drawing.text(
        x + SMALL * 0.35, middle, words, css="width", size=SMALL, text_anchor="middle",
        transform=f"rotate(-90 {x + SMALL * 0.35:.2f} {middle:.2f})",
    )  # fmt: skip


def _unwoven(drawing: Drawing, span: tuple[float, float], frame: Frame, dashes: str = "none") -> None:
    count = 9
    ys = [frame.top + (frame.bottom - frame.top) * (n + 0.5) / count for n in range(count)]
    drawing.rect("waste", span[0], frame.top, span[1] - span[0], frame.bottom - frame.top, fill=PAPER)
    data = lines_of(((span[0], y), (span[1], y)) for y in ys)
    drawing.path("threads", data, stroke=FAINT, stroke_width=1.0, stroke_dasharray=dashes)


def _reserve(drawing: Drawing, span: tuple[float, float], frame: Frame) -> None:
    _unwoven(drawing, span, frame, dashes="2 4")


def _sample(drawing: Drawing, span: tuple[float, float], frame: Frame) -> None:
    drawing.rect("sample", span[0], frame.top, span[1] - span[0], frame.bottom - frame.top, fill=FOAM, stroke=INK)
    step = 7.0
    down = [((x, frame.top), (x, frame.bottom)) for x in _steps(*span, step)]
    along = [((span[0], y), (span[1], y)) for y in _steps(frame.top, frame.bottom, step)]
    drawing.path("threads", lines_of(down + along), stroke=FAINT, stroke_width=0.6)


def _cloth(drawing: Drawing, span: tuple[float, float], frame: Frame) -> None:
    drawing.rect("cloth", span[0], frame.top, span[1] - span[0], frame.bottom - frame.top, fill=SAND, stroke=INK)


_GROUNDS: Final = {"waste": _unwoven, "reserve": _reserve, "sample": _sample, "cloth": _cloth}


def _steps(start: float, end: float, step: float) -> list[float]:
    return [start + step * n for n in range(1, int((end - start) / step) + 1)]


def _hatched(drawing: Drawing, span: tuple[float, float], frame: Frame) -> None:
    left, right = span
    width = right - left
    slants = [((left, y), (right, y - width)) for y in _steps(frame.top + width - 6, frame.bottom, 6.0)]
    drawing.rect("squaring", left, frame.top, width, frame.bottom - frame.top, fill=PAPER, stroke=INK, stroke_width=0.8)
    drawing.path("hatch", lines_of(slants), stroke=INK, stroke_width=0.8)


def _bracket(drawing: Drawing, section: Section, span: tuple[float, float], frame: Frame) -> None:
    y = frame.top - 5
    drawing.dimension("bracket", (span[0] + 1, y), (span[1] - 1, y))
    drawing.text((span[0] + span[1]) / 2, y - 4, section.letter, css="letter", text_anchor="middle", font_weight="bold")


def ruler_step(scale: float, imperial: bool) -> tuple[float, int]:
    """What the ruler marks, in the units chosen, and every how many marks there is room for a number."""
    unit = CM_PER_INCH if imperial else 1.0
    step = 10.0 if imperial or 10 * scale >= _LABEL_ROOM else 25.0
    numbered = next(n for n in (1, 2, 4, 10, 20, 100) if n * step * unit * scale >= _LABEL_ROOM or n == 100)
    return step, numbered


def _ruler(drawing: Drawing, cloth: Section, frame: Frame, imperial: bool) -> None:
    unit = CM_PER_INCH if imperial else 1.0
    step, numbered = ruler_step(frame.scale, imperial)
    for mark in range(int(cloth.length / unit / step + 1e-9) + 1):
        along = cloth.start + mark * step * unit
        if frame.row.holds(along):
            number = f"{mark * step:g}" if mark % numbered == 0 else ""
            near_the_stop = (cloth.end - along) * frame.scale < _LABEL_ROOM / 2
            _mark(drawing, frame.x(along), frame.bottom, "" if near_the_stop else number)


def _mark(drawing: Drawing, x: float, y: float, number: str) -> None:
    drawing.line("mark", (x, y), (x, y + (7 if number else 4)), stroke_width=1.2 if number else 0.8)
    if number:
        drawing.text(x, y + 18, number, css="mark", size=SMALL, text_anchor="middle")


def _stop(drawing: Drawing, cloth: Section, frame: Frame, imperial: bool) -> None:
    if not frame.row.start < cloth.end <= frame.row.end + 1e-6:
        return
    x, bottom = frame.x(cloth.end), frame.bottom
    drawing.line("stop", (x, frame.top - 2), (x, bottom + 12), stroke=SIGNAL, stroke_width=3.0)
    drawing.triangle("stop", x, bottom + 12, 12.0, fill=SIGNAL)
    words = f"weave to {LENGTH.text(cloth.length, imperial=imperial, rounding=Rounding.UP)}"
    at, anchor = (x - 10, "end") if x > width_of(words, LETTERS) + 10 else (x + 10, "start")
    drawing.text(at, bottom + 33, words, "stop", text_anchor=anchor, font_weight="bold", fill=SIGNAL)


def torn_ends(drawing: Drawing, total: float, frame: Frame) -> None:
    """Zigzags where the strip goes on in another row."""
    inner = [x for x in (frame.row.start, frame.row.end) if 0 < x < total - 1e-6]
    for along in inner:
        drawing.zigzag(frame.x(along), frame.top - 2, frame.bottom + 2)


def _key(drawing: Drawing, plan: Plan, strip: Strip, imperial: bool) -> None:
    drawing.height += 4
    says = [f"{section.letter}: {_length_says(section, imperial)}" for section in strip.sections]
    if squaring_spans(plan, strip.cloth):
        lost = LENGTH.text(plan.squaring_cm, imperial=imperial)
        says.append(f"Slanting lines: squaring, {lost} at each end, finished")
    unit = "inches" if imperial else "cm"
    drawing.columns([*says, f"Ruler: {unit} woven under tension from the first pick"])


def _length_says(section: Section, imperial: bool) -> str:
    up = Rounding.UP if section.kind == "cloth" else Rounding.NEAREST
    return f"{section.says}, {LENGTH.text(section.length, imperial=imperial, rounding=up)}"


def scale_bar(drawing: Drawing, scale: float, imperial: bool) -> None:
    """A line of known length, at the scale of the drawing."""
    length = 10 * CM_PER_INCH if imperial else 25.0
    drawing.height += 18
    y, end = drawing.height - 4, EDGE + length * scale
    drawing.dimension("scale", (EDGE, y), (end, y), butts=4.0, stroke_width=1.5)
    drawing.text(end + 6, y + 4, f"{LENGTH.text(length, imperial=imperial)}, along and across alike", size=SMALL)


def describe(plan: Plan, strip: Strip, imperial: bool) -> str:
    """The strip in words, for who does not see it."""
    parts = "; ".join(_length_says(one, imperial) for one in strip.sections)
    stop = LENGTH.text(plan.weft.weave_to_cm, imperial=imperial, rounding=Rounding.UP)
    said = f"{_heading(plan, imperial)}. From front to back: {parts}. Weave to {stop} on the loom under tension."
    if not strip.pieces:
        return said
    order = sorted(strip.pieces, key=lambda one: min(x for x, _ in one.outline))
    names = ", ".join(literal(one.full_name) for one in order)
    return f"{said} {counted(len(order), 'piece')} in the order of weaving: {names}."
