"""Drawings that help to measure: wraps on a ruler, a heddle, a warp with its waste, a sample, grain, a core, picks, take-up.

Lines only, each with its words beside it, so that it can be read on a page, on paper, and by who hears what it shows. The figures in
them are examples that add up.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import dist, pi, sin
from typing import Final

from clothwright.sheets.pictures.drawing import EDGE, FAINT, FOAM, INK, PAPER, SAND, SMALL, TIDE, Drawing, path_of

_LINE: Final = 1.4
_CM: Final = 46.0
#: How far an end bends out of the middle of the cloth.
_BOW: Final = 13.0


def _named(name: str, title: str, desc: str) -> Drawing:
    drawing = Drawing(title, desc, f"help-{name}")
    drawing.height = EDGE
    return drawing


def _ruler(drawing: Drawing, left: float, top: float, cm: int, *, scale: float = _CM, numbered: bool = True) -> None:
    """A ruler of whole centimetres, its ticks at the upper edge."""
    drawing.rect("ruler", left, top, cm * scale, 34, fill=SAND, stroke=INK, stroke_width=_LINE)
    for number in range(cm + 1):
        x = left + number * scale
        drawing.line("tick", (x, top), (x, top + 10))
        if 0 < number < cm:
            drawing.text(x, top + 25, str(number) if numbered else "", size=SMALL, text_anchor="middle")
            drawing.line("tick", (x - scale / 2, top), (x - scale / 2, top + 6))


def wraps() -> Drawing:
    """Yarn wound round a ruler, thread beside thread: 30 wraps on 5 cm."""
    count, over = 30, 5
    drawing = _named(
        "wraps",
        "Counting wraps",
        f"Yarn wound round a ruler, each turn just touching the next, neither pulled nor pushed: {count} wraps on {over} cm are {count // over} to the centimetre.",
    )
    top, left = 44.0, EDGE
    _ruler(drawing, left, top, 8, numbered=False)
    start, wide = left + _CM, over * _CM / count
    for number in range(count):
        drawing.rect(
            "wrap", start + number * wide, top - 9, wide, 52, rx=wide / 2, fill=PAPER, stroke=INK, stroke_width=1.0
        )
    drawing.path("end", f"M{start + wide / 2} {top + 43}q-14 18 -40 14", stroke=INK, stroke_width=_LINE)
    end = start + over * _CM
    drawing.path("end", f"M{end - wide / 2} {top - 9}q16 -20 44 -12", stroke=INK, stroke_width=_LINE)
    drawing.dimension("over", (start, top - 20), (end, top - 20))
    drawing.text((start + end) / 2, top - 26, "5 cm (2 in)", text_anchor="middle")
    drawing.height = top + 62
    drawing.paragraph("Just touching: not pulled thin, not pushed together.")
    drawing.paragraph(f"{count} wraps on {over} cm = {count // over} to the cm, about 15 to the inch.")
    return drawing


def heddle() -> Drawing:
    """A rigid heddle from the front: holes and slots, an end in each; what a dent is in a reed."""
    per_cm, cm, wide = 3, 6, 20.0
    drawing = _named(
        "heddle",
        "Ends in the heddle",
        f"A rigid heddle seen from the front: slats with a hole in each, slots between them, one end in every hole and every slot; {per_cm} ends to each centimetre. In a reed the room between two wires is a dent.",
    )
    left, top, high = EDGE + 6, EDGE + 4, 96.0
    drawing.rect("rail", left - 6, top - 8, cm * per_cm * wide + 12, 8, fill=SAND, stroke=INK, stroke_width=_LINE)
    drawing.rect("rail", left - 6, top + high, cm * per_cm * wide + 12, 8, fill=SAND, stroke=INK, stroke_width=_LINE)
    middle = top + high / 2
    for number in range(cm * per_cm):
        x = left + (number + 0.5) * wide
        if number % 2 == 0:
            drawing.rect("slat", x - 9, top, 18, high, fill=PAPER, stroke=INK, stroke_width=1.0)
            drawing.add("circle", "hole", {"cx": x, "cy": middle, "r": 5.5, "fill": PAPER, "stroke": INK})
        drawing.add("circle", "end", {"cx": x, "cy": middle, "r": 3.4, "fill": TIDE, "stroke": INK})
    below = top + high + 22
    drawing.dimension("cm", (left, below), (left + per_cm * wide, below))
    drawing.text(left + per_cm * wide + 8, below + 4, f"1 cm: {per_cm} ends, so it is a 30/10 cm heddle")
    drawing.height = below + 12
    drawing.paragraph("Dots are ends: one in each hole, one in each slot.")
    drawing.paragraph("In a reed the room between two wires is a dent; one or more ends go through it.")
    return drawing


def warp() -> Drawing:
    """A warp on the loom from above: waste at both ends, the heddle, and the cloth narrower at the fell than in the heddle."""
    drawing = _named(
        "warp",
        "Draw-in and loom waste",
        "A warp on the loom from above. At both ends is warp that can never be woven, the loom waste. Between the fell, where the last pick lies, and the heddle the cloth draws in: it is narrower than the warp in the heddle.",
    )
    top, high, ends = EDGE + 18, 112.0, 15
    front, begun, fell, at, back, last = EDGE, EDGE + 58, EDGE + 190, EDGE + 234, EDGE + 312, EDGE + 372
    inset = 11.0
    for number in range(ends):
        share = number / (ends - 1)
        y, drawn = top + share * high, top + inset + share * (high - 2 * inset)
        line = [(front, drawn), (fell, drawn), (at, y), (last, y)]
        drawing.path("warp-end", path_of(line, closed=False), stroke=FAINT, stroke_width=1.0)
    drawing.rect("cloth", begun, top + inset, fell - begun, high - 2 * inset, fill=FOAM, stroke=INK, stroke_width=_LINE)
    for number in range(1, 22):
        x = begun + number * (fell - begun) / 22
        drawing.line("pick", (x, top + inset), (x, top + high - inset), stroke=FAINT, stroke_width=0.6)
    drawing.rect("heddle", at - 4, top - 7, 8, high + 14, fill=SAND, stroke=INK, stroke_width=_LINE)
    drawing.line("fell", (fell, top + inset - 4), (fell, top + high - inset + 4), stroke_width=3.0)
    for x in (front, last):
        drawing.line("bar", (x, top - 6), (x, top + high + 6), stroke_width=4.0)
    drawing.dimension("width", (at + 18, top), (at + 18, top + high))
    drawing.dimension("width", (fell - 24, top + inset), (fell - 24, top + high - inset))
    for x, word in ((at, "heddle"), (fell - 10, "fell")):
        drawing.text(x, top - 12, word, size=SMALL, text_anchor="middle")
    below = top + high + 18
    for start, end, word in ((front, begun, "waste"), (begun, fell, "woven"), (back, last, "waste")):
        drawing.dimension("along", (start, below), (end, below))
        drawing.text((start + end) / 2, below + 15, word, size=SMALL, text_anchor="middle")
    drawing.height = below + 24
    drawing.paragraph("Draw-in: the width in the heddle less the width at the fell.")
    drawing.paragraph(
        "Loom waste: what is tied on in front and what is left behind the heddle, together, once for each warp."
    )
    return drawing


def sample() -> Drawing:
    """A sample before and after it is washed: width at three places, length at two, on a flat table."""
    drawing = _named(
        "sample",
        "Measuring a sample",
        "Two outlines of one sample: before washing, larger and dashed, and after, smaller. Its width is measured at three places, its length at two, lying flat and not pulled.",
    )
    left, top, wide, long = EDGE + 24, EDGE + 30, 190.0, 150.0
    inner = (left + 9, top + 9, wide - 18, long - 18)
    drawing.rect("before", left, top, wide, long, fill="none", stroke=INK, stroke_width=_LINE, stroke_dasharray="7 4")
    drawing.rect("after", *inner, fill=FOAM, stroke=INK, stroke_width=_LINE)
    for share in (0.15, 0.5, 0.85):
        y = inner[1] + share * inner[3]
        drawing.dimension("across", (inner[0], y), (inner[0] + inner[2], y))
    for share in (0.25, 0.75):
        x = inner[0] + share * inner[2]
        drawing.dimension("along", (x, inner[1]), (x, inner[1] + inner[3]))
    drawing.text(left + wide / 2, top - 10, "width ↔", size=SMALL, text_anchor="middle")
    drawing.text(left - 6, top + long + 16, "length ↕ along the warp", size=SMALL)
    right = left + wide + 14
    for y, word in (
        (top + 14, "dashed: off the loom,"),
        (top + 30, "rested, not washed"),
        (top + 62, "full: washed, dry,"),
        (top + 78, "pressed: finished"),
    ):
        drawing.text(right, y, word, size=SMALL)
    drawing.height = top + long + 24
    drawing.paragraph("Flat on a table, not pulled; from selvedge to selvedge (selvage), and from first pick to last.")
    drawing.paragraph("Finished ÷ before is what washing did: wash it as the cloth will be washed.")
    return drawing


def grain() -> Drawing:
    """Cloth with its selvedges, the warp running along it, and a piece whose grain line runs with the warp."""
    drawing = _named(
        "grain",
        "Grain and selvedge",
        "A length of cloth with a selvedge along each side. The grain runs along the warp, beside the selvedge; the piece lies with its grain line along it.",
    )
    left, top, long, wide = EDGE + 4, EDGE + 14, 364.0, 136.0
    drawing.rect("cloth", left, top, long, wide, fill=PAPER, stroke=FAINT, stroke_width=1.0)
    for number in range(1, 34):
        drawing.line("end", (left, top + number * 4), (left + long, top + number * 4), stroke=FOAM, stroke_width=1.0)
    for y in (top, top + wide):
        drawing.line("selvedge", (left, y), (left + long, y), stroke_width=4.5)
    x, y = left + 70, top + 24
    shape = [(x, y), (x + 190, y), (x + 216, y + 30), (x + 196, y + 56), (x + 206, y + 88), (x, y + 88)]
    drawing.path("piece", path_of(shape), fill=SAND, stroke=INK, stroke_width=_LINE)
    middle = y + 50
    drawing.line("grain", (x + 26, middle), (x + 160, middle), stroke_width=2.0)
    for tip, step in ((x + 26, 9), (x + 160, -9)):
        arrow = [(tip + step, middle - 5), (tip, middle), (tip + step, middle + 5)]
        drawing.path("arrow", path_of(arrow, closed=False), stroke=INK, stroke_width=2.0)
    drawing.text(x + 93, middle - 8, "grain line", size=SMALL, text_anchor="middle")
    drawing.text(left, top - 8, "selvedge (selvage)", size=SMALL)
    drawing.text(
        left + long, top + wide + 18, "warp ends run this way: along the cloth ↔", size=SMALL, text_anchor="end"
    )
    drawing.height = top + wide + 26
    drawing.paragraph("The grain runs with the warp, beside the selvedge. A piece is never turned off it unasked.")
    return drawing


def tare() -> Drawing:
    """A ball weighed with its core, the core weighed empty, and what is left is yarn: 48 g less 7 g are 41 g."""
    gross, core = 48, 7
    drawing = _named(
        "tare",
        "Weighing a ball on its core",
        f"A cone of yarn on a scale shows {gross} g; its empty core shows {core} g; so the yarn weighs {gross - core} g.",
    )
    top = EDGE + 4
    for middle, shown, full in ((EDGE + 80, gross, True), (EDGE + 230, core, False)):
        _on_scale(drawing, middle, top, shown, full=full)
    drawing.text(EDGE + 155, top + 62, "−", size=30, text_anchor="middle")
    drawing.text(EDGE + 305, top + 62, f"= {gross - core} g", size=19)
    drawing.height = top + 138
    drawing.paragraph("Weigh the empty core once and write its weight inside it; cores of one kind weigh alike.")
    drawing.paragraph("A core that was not weighed makes the yarn a band, not a figure.")
    return drawing


def _on_scale(drawing: Drawing, middle: float, top: float, shown: int, *, full: bool) -> None:
    """A core, with or without yarn on it, on a scale that shows grams."""
    core = [(middle - 9, top), (middle + 9, top), (middle + 17, top + 84), (middle - 17, top + 84)]
    if full:
        yarn = [(middle - 26, top + 12), (middle + 26, top + 12), (middle + 40, top + 76), (middle - 40, top + 76)]
        drawing.path("yarn", path_of(yarn), fill=FOAM, stroke=INK, stroke_width=_LINE)
        for number in range(1, 9):
            y, half = top + 12 + number * 7.1, 26 + number * 1.55
            drawing.line("turn", (middle - half, y + 2), (middle + half, y - 2), stroke=FAINT, stroke_width=0.9)
        drawing.path("core", path_of([core[0], core[1], (middle + 10, top + 12), (middle - 10, top + 12)]), stroke=INK)
    else:
        drawing.path("core", path_of(core), fill=SAND, stroke=INK, stroke_width=_LINE)
    drawing.line("pan", (middle - 52, top + 86), (middle + 52, top + 86), stroke_width=3.0)
    drawing.rect("scale", middle - 40, top + 90, 80, 34, fill=PAPER, stroke=INK, stroke_width=_LINE)
    drawing.text(middle, top + 113, f"{shown} g", size=17, text_anchor="middle")


def picks() -> Drawing:
    """Cloth with a ruler beside it and a pin at each end of 5 cm: 16 picks."""
    count, over, scale = 16, 5, 60.0
    drawing = _named(
        "picks",
        "Counting picks",
        f"Cloth beside a ruler, the picks running across it, a pin at the first and at the last one counted: {count} picks on {over} cm are {count / over:g} to the centimetre.",
    )
    left, top = EDGE + 10, EDGE + 12
    step = over * scale / count
    wide, high = (over + 1) * scale, 74.0
    drawing.rect("cloth", left, top, wide, high, fill=PAPER, stroke=FAINT, stroke_width=1.0)
    for number in range(int(wide / step)):
        counted = 1 <= number <= count
        drawing.rect(
            "pick",
            left + number * step + 2,
            top,
            step - 4,
            high,
            rx=4,
            fill=FOAM if counted else PAPER,
            stroke=INK if counted else FAINT,
        )
    start = left + step
    end = start + over * scale
    for x in (start, end):
        drawing.line("pin", (x, top - 10), (x, top + high + 4), stroke_width=2.4)
        drawing.add("circle", "pin-head", {"cx": x, "cy": top - 11, "r": 4.5, "fill": INK})
    _ruler(drawing, start, top + high + 8, over, scale=scale)
    drawing.height = top + high + 50
    drawing.paragraph(
        f"{count} picks between the pins, on {over} cm = {count / over:g} to the cm, about 8 to the inch."
    )
    drawing.paragraph(
        "Say where you counted: on the loom under tension, off the loom, or finished. Each is another number."
    )
    return drawing


def take_up() -> Drawing:
    """An end on its way over and under the picks, and the same end drawn out straight: longer than the cloth."""
    drawing = _named(
        "take-up",
        "Take-up",
        "An end that bends over and under the picks, seen from the side, and below it the same end drawn out straight: it is longer than the cloth. The difference is the take-up.",
    )
    left, middle, step, count = EDGE + 6, EDGE + 26, 26.0, 9
    for number in range(count):
        x = left + (number + 0.5) * step
        drawing.add("circle", "pick", {"cx": x, "cy": middle, "r": 5.2, "fill": SAND, "stroke": INK})
    way = [
        (left + step * share / 8, middle - _BOW * sin(pi * share / 8)) for share in range(8 * count + 1)
    ]  # over one pick and under the next
    drawing.path("end", path_of(way, closed=False), stroke=INK, stroke_width=3.0)
    long, drawn_out = count * step, sum(dist(*pair) for pair in pairwise(way))
    drawing.dimension("cloth", (left, middle + 30), (left + long, middle + 30))
    drawing.text(left + long / 2, middle + 46, "cloth", text_anchor="middle")
    straight = middle + 74
    drawing.line("end", (left, straight), (left + drawn_out, straight), stroke_width=3.0)
    drawing.dimension("end", (left, straight + 14), (left + drawn_out, straight + 14))
    drawing.text(left + drawn_out / 2, straight + 30, "the same end, drawn out straight", text_anchor="middle")
    drawing.height = straight + 38
    drawing.paragraph(
        "Take-up: straight less cloth. As a share it is always of something: here of the warp, that is of the straight end."
    )
    return drawing


#: The drawings by name: the name of the file in `docs/pictures/`.
HELP_PICTURES: Final[dict[str, Callable[[], Drawing]]] = {
    "wraps": wraps,
    "heddle": heddle,
    "warp": warp,
    "sample": sample,
    "grain": grain,
    "tare": tare,
    "picks": picks,
    "take-up": take_up,
}
