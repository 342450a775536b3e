"""A sample's warp to scale: on a loom the sections one after another, on a card side by side with its notches."""

from __future__ import annotations

from typing import Final

from clothwright.planning import On, Section, SmallWarp
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    FOAM,
    KELP,
    PAPER,
    SAND,
    SMALL,
    TIDE,
    Drawing,
    fitting,
)
from clothwright.sheets.wording import LENGTH, Rounding

_HIGHEST: Final = 230.0
_MOST_ENDS_DRAWN: Final = 90
_LETTERS_PER_ROOM: Final = 1.2


def small_warp_svg(sample: SmallWarp, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """The small warp along the page, to scale: what is woven, its headings, and what cannot be woven."""
    where = "card" if sample.on == On.CARD else "warp"
    parts = "; ".join(_in_words(one, imperial) for one in sample.sections)
    long = LENGTH.text(sample.warp_cm, imperial=imperial, rounding=Rounding.UP)
    drawing = Drawing(f"The {where} for the sample", f"{sample.ends} ends of {long}. {parts}.", "small-warp", across)
    drawing.height = EDGE / 2
    scale = min(drawing.room / sample.warp_cm, _HIGHEST / _wide(sample))
    (_draw_card if sample.on == On.CARD else _draw_warp)(drawing, sample, scale)
    _dimension(drawing, EDGE, EDGE + sample.warp_cm * scale, f"{long} of warp")
    for letter, one in zip("ABC", sample.sections, strict=False):
        drawing.paragraph(f"{letter}: {_in_words(one, imperial)}")
    drawing.paragraph(
        "Woven and measured: light, framed. Headings: dark bands. Bare threads: cannot be woven.", size=SMALL
    )
    return drawing.svg()


def _in_words(one: Section, imperial: bool) -> str:
    width, woven = (LENGTH.text(size, imperial=imperial) for size in (one.width_in_heddle_cm, one.woven_cm))
    return f"{one.heddle}, {one.ends} ends, {width} wide in the heddle, {woven} woven, about {one.picks} picks"


def _wide(sample: SmallWarp) -> float:
    """How wide the whole of it is, cm."""
    widths = [one.width_in_heddle_cm for one in sample.sections]
    return sum(widths) + len(widths) - 1 if sample.on == On.CARD else max(widths)


def _draw_warp(drawing: Drawing, sample: SmallWarp, scale: float) -> None:
    """Half of the waste, then each section with its headings, room for the change between, then the rest of the warp."""
    top, widest = drawing.height, _wide(sample)
    _ends(drawing, EDGE, top, sample.warp_cm * scale, widest * scale, sample.ends)
    x = EDGE + sample.waste_cm / 2 * scale
    for letter, one in zip("ABC", sample.sections, strict=False):
        high = one.width_in_heddle_cm * scale
        x = _section(drawing, letter, one, x, top + (widest * scale - high) / 2, high, sample.heading_cm, scale)
        x += sample.change_cm * scale
    drawing.height = top + widest * scale


def _draw_card(drawing: Drawing, sample: SmallWarp, scale: float) -> None:
    """The sections one below the other, each with its notches at both ends of the card."""
    top, left, long = drawing.height, EDGE, sample.warp_cm * scale
    high = _wide(sample) * scale
    drawing.rect("card", left, top, long, high, fill=SAND, stroke=KELP, stroke_width=1.5)
    for letter, one in zip("ABC", sample.sections, strict=False):
        section_high = one.width_in_heddle_cm * scale
        _ends(drawing, left, top, long, section_high, one.ends)
        _notches(drawing, left, left + long, top, section_high, one.ends)
        x = left + sample.waste_cm / 2 * scale
        _section(drawing, letter, one, x, top, section_high, sample.heading_cm, scale)
        top += section_high + scale
    drawing.height += high


def _ends(drawing: Drawing, left: float, top: float, long: float, high: float, ends: int) -> None:
    """The warp as lines: each end, or where there are very many every few of them."""
    shown = min(ends, _MOST_ENDS_DRAWN)
    for number in range(shown):
        y = top + (number + 0.5) * high / shown
        drawing.line("end", (left, y), (left + long, y), stroke=FAINT, stroke_width=0.5)


def _notches(drawing: Drawing, left: float, right: float, top: float, high: float, ends: int) -> None:
    for number in range(ends):
        y = top + (number + 0.5) * high / ends
        drawing.line("notch", (left - 2, y), (left + 3, y), stroke=KELP, stroke_width=1.0)
        drawing.line("notch", (right - 3, y), (right + 2, y), stroke=KELP, stroke_width=1.0)


def _section(
    drawing: Drawing, letter: str, one: Section, x: float, top: float, high: float, heading_cm: float, scale: float
) -> float:
    """Heading, what is measured, heading; where it ends."""
    heading, woven = heading_cm * scale, one.woven_cm * scale
    drawing.rect("heading", x, top, heading, high, fill=TIDE)
    drawing.rect("woven", x + heading, top, woven, high, fill=FOAM, stroke=TIDE, stroke_width=1.5)
    drawing.rect("heading", x + heading + woven, top, heading, high, fill=TIDE)
    middle = x + heading + woven / 2
    drawing.rect("label", middle - 9, top + high / 2 - 9, 18, 18, fill=PAPER, stroke=TIDE, stroke_width=1.0)
    drawing.text(middle, top + high / 2 + 5, letter, css="letter", text_anchor="middle", font_weight="bold")
    return x + 2 * heading + woven


def _dimension(drawing: Drawing, left: float, right: float, words: str) -> None:
    y = drawing.height + 10
    drawing.dimension("long", (left, y), (right, y))
    room = drawing.room / SMALL / _LETTERS_PER_ROOM
    drawing.text(EDGE, y + 14, fitting(words, room), css="size", size=SMALL)
    drawing.height = y + 18
