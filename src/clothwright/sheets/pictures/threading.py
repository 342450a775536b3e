"""The threading as a picture: one column for each end, a line for each shaft, or for holes and slots, with the yarn and place below.

Every mark carries its own word: a shaft its number, a hole a ring, a slot a bar, a slot on a stick the stick's letter. The
yarn is told by its letter, the same as in the picture of the colour order, so that nothing hangs on colour. Ends are in rows
of twenty, or forty on paper, ticked every ten. The first end of a row is the first in the list, on the left.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.planning.cloth.threading_answer import EndThreaded, ThreadingPlan
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    FAINT,
    INK,
    PAPER,
    SMALL,
    WIDE_FROM,
    Drawing,
    lines_of,
)
from clothwright.sheets.pictures.warp_order import yarn_letters
from clothwright.sheets.wording import counted, literal

MOST_DRAWN: Final = 400
_LABELS: Final = 52.0
_LINE: Final = 15.0
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True)
class _Grid:
    """A row of ends on the paper: where it begins, how wide a column is, and where its lines lie."""

    top: float
    column: float
    lines: int

    def x(self, column: int) -> float:
        return EDGE + _LABELS + column * self.column

    def y(self, line: int) -> float:
        """The top of a line, 1 lowest."""
        return self.top + (self.lines - line) * _LINE


def threading_svg(answer: ThreadingPlan, *, across: float = DEFAULT_ACROSS) -> str:
    """The ends of a threading, the first four hundred of them, in rows."""
    drawing = Drawing("The threading, end by end", _in_words(answer), "threading", across)
    drawing.height = EDGE
    letters = yarn_letters([end.yarn for end in answer.threads if end.yarn is not None])
    shown, in_row = answer.threads[:MOST_DRAWN], 40 if across >= WIDE_FROM else 20
    column = (drawing.room - _LABELS) / in_row
    for start in range(0, len(shown), in_row):
        _row(drawing, answer, shown[start : start + in_row], letters, column)
    _key(drawing, answer, letters)
    if len(answer.threads) > MOST_DRAWN:
        drawing.paragraph(
            f"Drawn are the first {MOST_DRAWN} of {counted(len(answer.threads), 'end')}; the list has all.", size=SMALL
        )
    return drawing.svg()


def _in_words(answer: ThreadingPlan) -> str:
    where = ", ".join(f"{ends} on {words}" for words, ends in zip(answer.shaft_words, answer.on_shaft(), strict=True))
    return f"{counted(answer.ends, 'end')}: {where}. From the first end: {answer.written}."


def _row(
    drawing: Drawing,
    answer: ThreadingPlan,
    ends: Sequence[EndThreaded],
    letters: Mapping[str, str],
    column: float,
) -> None:
    grid = _Grid(drawing.height + 18, column, answer.draft.shafts)
    right = grid.x(len(ends))
    rules = [((EDGE + _LABELS, grid.y(line)), (right, grid.y(line))) for line in range(grid.lines + 1)]
    drawing.path("rules", lines_of(rules), stroke=FAINT, stroke_width=0.6)
    for shaft, words in enumerate(answer.shaft_words, 1):
        drawing.text(EDGE, grid.y(shaft) + _LINE - 4, _label(words), size=SMALL)
    for number, end in enumerate(ends):
        for shaft in sorted(end.shafts):
            _mark(drawing, answer, grid, number, shaft)
        if end.number % 10 == 0 or number == 0:
            drawing.text(
                grid.x(number) + column / 2,
                grid.top - 5,
                str(end.number),
                css="count",
                size=SMALL,
                text_anchor="middle",
                fill=FAINT,
            )
    bottom = grid.y(0)
    drawing.height = bottom + 4
    if letters:
        _yarns(drawing, answer, grid, ends, letters, bottom + 4)
    _places(drawing, answer, grid, ends, drawing.height)
    drawing.height += 20


def _label(words: str) -> str:
    return words.replace("hole of heddle ", "hole ").replace("slot, on stick ", "slot ").replace(" and stick ", "")


def _mark(drawing: Drawing, answer: ThreadingPlan, grid: _Grid, number: int, shaft: int) -> None:
    """An end on its line: a number on a dark square for a shaft, a ring for a hole, a bar or a letter for a slot."""
    x, y, wide = grid.x(number), grid.y(shaft), grid.column
    words = answer.shaft_words[shaft - 1]
    if words.startswith("hole"):
        radius = min(wide, _LINE) / 2 - 2
        drawing.add(
            "circle",
            "hole",
            {"cx": x + wide / 2, "cy": y + _LINE / 2, "r": radius, "fill": PAPER, "stroke": INK, "stroke_width": 1.8},
        )
        return
    if words == "slot":
        drawing.rect("slot", x + wide / 2 - 1.6, y + 1.5, 3.2, _LINE - 3, fill=INK)
        return
    drawing.rect("on", x + 0.8, y + 0.8, wide - 1.6, _LINE - 1.6, fill=INK)
    said = str(shaft) if words.startswith("shaft") else _label(words).removeprefix("slot ")
    drawing.text(
        x + wide / 2,
        y + _LINE - 4,
        said,
        css="number",
        size=SMALL if len(said) < 3 else 8.0,
        text_anchor="middle",
        fill=PAPER,
    )


def _yarns(
    drawing: Drawing,
    answer: ThreadingPlan,
    grid: _Grid,
    ends: Sequence[EndThreaded],
    letters: Mapping[str, str],
    top: float,
) -> None:
    drawing.text(EDGE, top + 11, "yarn", size=SMALL)
    for number, end in enumerate(ends):
        colour = answer.colours.get(end.yarn or "", "")
        fill = colour if _COLOUR.fullmatch(colour) else PAPER
        drawing.rect("yarn", grid.x(number), top, grid.column, 6, fill=fill, stroke=INK, stroke_width=0.5)
        if end.yarn is not None:
            letter = letters[end.yarn]
            drawing.text(
                grid.x(number) + grid.column / 2,
                top + 16,
                letter,
                size=SMALL if len(letter) < 2 else 8.0,
                text_anchor="middle",
            )
    drawing.height = top + 20


def _places(drawing: Drawing, answer: ThreadingPlan, grid: _Grid, ends: Sequence[EndThreaded], top: float) -> None:
    """A bracket under the ends of one place, numbered where the tens of ends begin."""
    if any(end.place is None for end in ends):
        return
    drawing.text(EDGE, top + 13, answer.in_heddle.word, size=SMALL)
    brackets, start = [], 0
    for number in range(1, len(ends) + 1):
        if number < len(ends) and ends[number].place == ends[start].place:
            continue
        left, right = grid.x(start) + 2, grid.x(number) - 2
        brackets += [
            ((left, top), (left, top + 4)),
            ((left, top + 4), (right, top + 4)),
            ((right, top + 4), (right, top)),
        ]
        start = number
    drawing.path("places", lines_of(brackets), stroke=INK, stroke_width=0.9)
    for number, end in enumerate(ends):
        if end.number % 10 == 0 or number == 0:
            drawing.text(
                grid.x(number) + grid.column / 2,
                top + 15,
                str(end.place),
                css="count",
                size=SMALL,
                text_anchor="middle",
            )
    drawing.height = top + 16


def _key(drawing: Drawing, answer: ThreadingPlan, letters: Mapping[str, str]) -> None:
    if letters:
        drawing.paragraph("; ".join(f"{letter} {literal(yarn)}" for yarn, letter in letters.items()) + ".", size=SMALL)
    marks = (
        "Numbers are shafts."
        if answer.loom == "shaft"
        else "A ring is a hole, a bar a slot, a letter a slot on that stick."
    )
    drawing.paragraph(f"{marks} Numbers above count ends, numbers below count {answer.in_heddle.word}s.", size=SMALL)
