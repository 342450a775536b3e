"""What contributes most to the doubt, as bars about a middle: in what is left over, in finished width, in finished length.

The uppermost bar of each is the whole doubt, nine times in ten; each below it how far one unknown moves the figure, what
goes along with it going along. All bars of a figure have one scale and one middle line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from clothwright.measure import Interval
from clothwright.planning import Doubt, Plan, Swing
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    KELP,
    PAPER,
    SMALL,
    TIDE,
    Drawing,
    fitting,
    lines_of,
)
from clothwright.sheets.wording import LENGTH, NINE_IN_TEN, YARN, Kind

_BAR: Final = 11.0
_MOST_BARS: Final = 6
_DRAWN: Final = 0.005
_LETTERS_PER_ROOM: Final = 1.2


@dataclass(frozen=True)
class _Figure:
    """A figure in doubt: its name, how far its ends lie apart, its unit, and each unknown's part."""

    name: str
    whole: Interval
    kind: Kind
    swing: Callable[[Doubt], Swing]


def doubt_svg(plan: Plan, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """The unknowns of a plan as bars, longest first, one set for each figure in doubt."""
    figures = [one for one in _figures(plan) if one.whole.high > one.whole.low]
    said = " ".join(_in_words(figure, plan, imperial) for figure in figures)
    drawing = Drawing(f"What makes {plan.name} unsure", said, "doubt", across)
    for figure in figures:
        _draw(drawing, figure, plan, imperial)
    drawing.paragraph(
        f"Hatched: from the low to the high end, {NINE_IN_TEN}. Solid: how far one unknown moves it, and what goes along with it.",
        size=SMALL,
    )
    return drawing.svg()


def _figures(plan: Plan) -> tuple[_Figure, ...]:
    return (
        _Figure("What is left over", plan.margin.m, YARN, lambda one: one.margin_m),
        _Figure("Finished width", plan.cloth.finished_width_cm, LENGTH, lambda one: one.finished_width_cm),
        _Figure("Finished length", plan.cloth.finished_length_cm, LENGTH, lambda one: one.finished_length_cm),
    )


def longest_first(doubts: tuple[Doubt, ...], swing: Callable[[Doubt], Swing]) -> list[tuple[str, float]]:
    """The unknowns that move a figure, by name, with how far."""
    worth = [one for one in doubts if swing(one).share >= _DRAWN]
    return [(one.what, swing(one).spread) for one in sorted(worth, key=lambda one: -swing(one).spread)[:_MOST_BARS]]


def _in_words(figure: _Figure, plan: Plan, imperial: bool) -> str:
    whole = figure.kind.text(figure.whole.high - figure.whole.low, imperial=imperial)
    each = ", ".join(
        f"{what} {figure.kind.text(spread, imperial=imperial)}"
        for what, spread in longest_first(plan.doubt, figure.swing)
    )
    return f"{figure.name}: {whole} from low to high. {each}.".replace(". .", ".")


def _draw(drawing: Drawing, figure: _Figure, plan: Plan, imperial: bool) -> None:
    whole = figure.whole.high - figure.whole.low
    bars = longest_first(plan.doubt, figure.swing)
    longest = max([whole, *(spread for _, spread in bars)])
    drawing.one_line(figure.name, bold=True)
    drawing.height += 3
    everything = [("all together", whole), *bars]
    for number, (what, spread) in enumerate(everything):
        _bar(drawing, what, spread / longest, figure.kind.text(spread, imperial=imperial), hatched=number == 0)
    drawing.height += 6


def _room(drawing: Drawing) -> tuple[float, float]:
    """Where bars begin and how much room they have: beside their names on paper, below them on a screen."""
    left = EDGE + (drawing.room * 0.55 if drawing.wide else 0.0)
    return left, EDGE + drawing.room - left


def _bar(drawing: Drawing, what: str, share: float, much: str, *, hatched: bool) -> None:
    left, room = _room(drawing)
    words_room = (left - EDGE if drawing.wide else drawing.room) / SMALL / _LETTERS_PER_ROOM
    drawing.height += SMALL * 1.35
    drawing.text(EDGE, drawing.height, fitting(f"{what}: {much}", words_room), css="unknown", size=SMALL)
    if drawing.wide:
        top = drawing.height - _BAR + 1
        drawing.height += 4
    else:
        top = drawing.height + 4
        drawing.height = top + _BAR + 3
    width = max(share * room, 1.5)
    start = left + (room - width) / 2
    _shaded(drawing, start, top, width, hatched=hatched)
    middle = left + room / 2
    drawing.line("middle", (middle, top - 2), (middle, top + _BAR + 2), stroke_width=1.5)


def _shaded(drawing: Drawing, start: float, top: float, width: float, *, hatched: bool) -> None:
    if not hatched:
        drawing.rect("swing", start, top, width, _BAR, fill=TIDE)
        return
    drawing.rect("whole", start, top, width, _BAR, fill=PAPER, stroke=KELP, stroke_width=1.0)
    count = max(0, int((width - _BAR) / 7))
    hatch = lines_of(((start + n * 7.0, top + _BAR), (start + n * 7.0 + _BAR, top)) for n in range(count + 1))
    drawing.path("hatch", hatch, stroke=KELP, stroke_width=1.2)
