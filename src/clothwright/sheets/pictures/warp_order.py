"""The order of the warp's colours as a strip across the warp, to scale, read from the first selvedge to the other.

Every run carries its yarn's letter below it, and the key names the letter in words, so that the picture can be read
without its colours. A wide warp is cut into rows, each as a line of text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    INK,
    SMALL,
    Drawing,
    coordinate,
    fitting,
    lines_of,
)
from clothwright.sheets.pictures.rows import Row, in_rows
from clothwright.sheets.wording import LENGTH, counted, literal

_HIGH: Final = 26.0
_LEAST_PER_PAIR: Final = 9.5
_MOST_ROWS: Final = 14
_LETTER_WIDE: Final = 7.0
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")
_NO_COLOUR: Final = "#ffffff"
LETTERS_OF_YARNS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class _Strip:
    """A run with the ends before it."""

    yarn: str
    start: int
    end: int


def yarn_letters(yarns: Sequence[str]) -> dict[str, str]:
    """A letter for each yarn, in the order they come; two letters after the alphabet."""
    many = len(LETTERS_OF_YARNS)
    return {
        yarn: LETTERS_OF_YARNS[n % many]
        if n < many
        else f"{LETTERS_OF_YARNS[n // many - 1]}{LETTERS_OF_YARNS[n % many]}"
        for n, yarn in enumerate(dict.fromkeys(yarns))
    }


@dataclass(frozen=True)
class _Way:
    """Which way threads lie: what the picture is called, where it begins, what a thread is, and where it is measured."""

    title: str
    begins: str
    thread: str
    css: str
    measured: str


_WARP: Final = _Way("The warp, from selvedge to selvedge", "the first selvedge", "end", "warp-order", "in the heddle")
_WEFT: Final = _Way("The weft, from the first pick to the last", "the first pick", "pick", "weft-order", "on the loom")


def weft_order_svg(
    runs: Sequence[tuple[str, int]],
    colours: Mapping[str, str],
    *,
    picks_per_cm: float | None = None,
    imperial: bool = False,
    across: float = DEFAULT_ACROSS,
) -> str:
    """The weft along the cloth, run by run (yarn, picks), each pick as long as every other, in rows as lines of text."""
    return _order_svg(_WEFT, runs, colours, picks_per_cm, imperial, across)


def warp_order_svg(
    runs: Sequence[tuple[str, int]],
    colours: Mapping[str, str],
    *,
    ends_per_cm: float | None = None,
    imperial: bool = False,
    across: float = DEFAULT_ACROSS,
) -> str:
    """The warp across, run by run (yarn, ends), each end as wide as every other; `colours` as #rrggbb where known."""
    return _order_svg(_WARP, runs, colours, ends_per_cm, imperial, across)


def _order_svg(
    way: _Way,
    runs: Sequence[tuple[str, int]],
    colours: Mapping[str, str],
    per_cm: float | None,
    imperial: bool,
    across: float,
) -> str:
    strips, letters = _strips(runs), yarn_letters([yarn for yarn, _ in runs])
    total = strips[-1].end if strips else 0
    drawing = Drawing(way.title, _in_words(way, strips), way.css, across)
    drawing.height = EDGE
    if not strips:
        return drawing.svg()
    rows = _rows(total, drawing.room)
    scale = drawing.room / max(row.length for row in rows)
    for number, row in enumerate(rows):
        _draw_row(drawing, strips, letters, colours, row, scale, last=number == len(rows) - 1)
    _key(drawing, way, strips, letters, colours)
    _scale_in_words(drawing, way, total, per_cm, imperial)
    return drawing.svg()


def _strips(runs: Sequence[tuple[str, int]]) -> list[_Strip]:
    found, start = [], 0
    for yarn, group in groupby(runs, key=lambda run: run[0]):
        end = start + sum(ends for _, ends in group)
        found.append(_Strip(yarn, start, end))
        start = end
    return found


def _in_words(way: _Way, strips: Sequence[_Strip]) -> str:
    return f"From {way.begins}: {', '.join(f'{one.end - one.start} {one.yarn}' for one in strips)}."


def _rows(total: int, room: float) -> list[Row]:
    """Rows of whole tens of ends, as many as leave room for a letter at each pair."""
    number = min(_MOST_ROWS, max(1, round(total / 2 * _LEAST_PER_PAIR / room + 0.5)))
    return in_rows(float(total), number, [float(ten) for ten in range(10, total, 10)])


def _draw_row(
    drawing: Drawing,
    strips: Sequence[_Strip],
    letters: Mapping[str, str],
    colours: Mapping[str, str],
    row: Row,
    scale: float,
    *,
    last: bool,
) -> None:
    top = drawing.height + 14
    for strip in strips:
        start, end = max(row.start, strip.start), min(row.end, strip.end)
        if start >= end:
            continue
        x, wide = EDGE + (start - row.start) * scale, (end - start) * scale
        drawing.rect("run", x, top, wide, _HIGH, fill=_fill(colours, strip.yarn), stroke=INK, stroke_width=0.8)
        drawing.text(x + wide / 2, top + _HIGH + 11, letters[strip.yarn], size=_letter_size(wide), text_anchor="middle")
    _ends_marked(drawing, row, scale, top, last=last)
    drawing.height = top + _HIGH + 16


def _letter_size(wide: float) -> float:
    return SMALL if wide >= _LETTER_WIDE + 1 else max(5.0, SMALL * wide / (_LETTER_WIDE + 1))


def _fill(colours: Mapping[str, str], yarn: str) -> str:
    colour = colours.get(yarn, "")
    return colour if _COLOUR.fullmatch(colour) else _NO_COLOUR


def _ends_marked(drawing: Drawing, row: Row, scale: float, top: float, *, last: bool) -> None:
    """A tick at every ten ends with its number, where there is room for it."""
    tens = [ten for ten in range(0, int(row.end) + 1, 10) if row.holds(ten)]
    step = 10 if 10 * scale >= 26 else 20 if 20 * scale >= 26 else 50
    ticks = [((EDGE + (ten - row.start) * scale, top - 5), (EDGE + (ten - row.start) * scale, top)) for ten in tens]
    drawing.path("tens", lines_of(ticks), stroke=FAINT, stroke_width=0.8)
    for ten in tens:
        if ten and ten % step == 0 and (last or ten < row.end):
            x = min(EDGE + (ten - row.start) * scale, drawing.across - EDGE)
            drawing.text(x, top - 7, coordinate(ten), css="count", size=SMALL, text_anchor="middle", fill=FAINT)


def _key(
    drawing: Drawing, way: _Way, strips: Sequence[_Strip], letters: Mapping[str, str], colours: Mapping[str, str]
) -> None:
    """Each letter with its yarn in words and its ends in all."""
    drawing.height += 6
    for yarn, letter in letters.items():
        drawing.height += 19
        y = drawing.height
        drawing.rect("key", EDGE, y - 11, 16, 13, fill=_fill(colours, yarn), stroke=INK, stroke_width=0.8)
        ends = sum(one.end - one.start for one in strips if one.yarn == yarn)
        colour = "" if _COLOUR.fullmatch(colours.get(yarn, "")) else ", colour not said"
        words = f"{letter}  {literal(yarn)}: {counted(ends, way.thread)}{colour}"
        drawing.text(EDGE + 24, y, fitting(words, (drawing.room - 24) / 13 / 1.2))


def _scale_in_words(drawing: Drawing, way: _Way, total: int, per_cm: float | None, imperial: bool) -> None:
    size = f", {LENGTH.text(total / per_cm, imperial=imperial)} {way.measured}" if per_cm else ""
    drawing.height += 4
    drawing.paragraph(
        f"{counted(total, way.thread)}{size}; ticks at every ten {way.thread}s, counted from {way.begins}.", size=SMALL
    )
