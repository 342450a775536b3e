"""The yarn as bars: what there is against what the plan takes, per yarn and in all, on one scale.

A bar is solid up to the low end of its interval and feathered out to the high end, with a mark at what is expected.
In all, what the yarns hold is taken as independent from yarn to yarn, so that its ends lie closer than the sums of the
ends; what they need hangs on the one cloth, so that its ends are the sums of the ends.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from clothwright.measure import CM_PER_YARD, Interval
from clothwright.planning import Plan, YarnLine
from clothwright.sheets.pictures.drawing import (
    DEFAULT_ACROSS,
    EDGE,
    INK,
    KELP,
    LETTERS,
    PAPER,
    SMALL,
    TIDE,
    Drawing,
    lines_of,
)
from clothwright.sheets.wording import WEIGHT, YARN, Rounding, chances, literal, margin_sentence, shortened, spare_range

_BAR: Final = 14.0
_LEGEND: Final = (
    "Solid: up to the low end. Feathered: from the low to the high end, nine times in ten. Upright mark: expected."
)
_LEGEND_BY_HAND: Final = "Solid: the lowest sum. Feathered: up to the highest. Upright mark: expected."
_SHORTEST_AXIS_M: Final = 1.0
_LONGEST_NAME: Final = 40
_WORD: Final = 38.0
_FEATHER: Final = 3.0
_COLOUR: Final = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")


@dataclass(frozen=True)
class Balance:
    """One pair of bars, what stands below it, and what is said of the rest where there is room."""

    name: str
    colour: str
    have: Interval
    need: Interval
    amounts: tuple[str, ...]
    rest: str
    lasts: str = ""

    @property
    def furthest(self) -> float:
        """Where the longer bar ends."""
        return max(self.have.high, self.need.high)

    @property
    def says(self) -> tuple[str, ...]:
        """Everything in words."""
        return (*self.amounts, *filter(None, (self.lasts,)), self.rest)


def yarn_bars_svg(plan: Plan, *, imperial: bool = False, across: float = DEFAULT_ACROSS) -> str:
    """Need against have, per yarn and in all, as bars on one scale with the numbers in words."""
    balances = balances_of(plan, imperial)
    desc = " ".join(f"{one.name}: {' '.join(one.says)}" for one in balances)
    drawing = Drawing(f"Yarn for {plan.name}: need against have", desc, "bars", across)
    longest = max([_SHORTEST_AXIS_M, *(one.furthest for one in balances)])
    scale = (drawing.room - _WORD) / longest
    for balance in balances:
        _draw(drawing, balance, scale)
    _axis(drawing, longest, scale, imperial)
    drawing.paragraph(_LEGEND_BY_HAND if plan.by_hand else _LEGEND, size=SMALL)
    return drawing.svg()


def balances_of(plan: Plan, imperial: bool) -> list[Balance]:
    """Every yarn, and all together where there are several."""
    each = [_of_yarn(yarn, plan.by_hand, imperial) for yarn in plan.yarns]
    return [*each, _in_all(plan, imperial)] if len(each) > 1 else each


def _of_yarn(yarn: YarnLine, by_hand: bool, imperial: bool) -> Balance:
    weight = WEIGHT.text(yarn.have_g, imperial=imperial, rounding=Rounding.DOWN)
    amounts = [f"Have {_amount(yarn.have_m, imperial, Rounding.DOWN)}, {weight}."]
    amounts.append(f"Need {_amount(yarn.need_m, imperial, Rounding.UP)}.")
    rest = f"{_capital(spare_range(yarn.spare_m, YARN, imperial=imperial, by_hand=by_hand))}."
    return Balance(
        f"{shortened(literal(yarn.name), _LONGEST_NAME)} ({yarn.use})",
        yarn.colour,
        yarn.have_m,
        yarn.need_m,
        tuple(amounts),
        rest,
        "" if by_hand else f"{_capital(chances(yarn.chance_enough))} that it lasts.",
    )


def _in_all(plan: Plan, imperial: bool) -> Balance:
    have = together([yarn.have_m for yarn in plan.yarns])
    low, expected, high = (sum(getattr(yarn.need_m, end) for yarn in plan.yarns) for end in ("low", "expected", "high"))
    need = Interval(low, expected, high)
    amounts = (
        f"Have {_amount(have, imperial, Rounding.DOWN)}.",
        f"Need {_amount(need, imperial, Rounding.UP)}.",
    )
    return Balance("All yarn", "", have, need, amounts, margin_sentence(plan.margin, imperial=imperial))


def together(intervals: list[Interval]) -> Interval:
    """The sum of independent quantities: spreads add as squares."""
    expected = sum(one.expected for one in intervals)
    below = math.hypot(*(one.expected - one.low for one in intervals))
    above = math.hypot(*(one.high - one.expected for one in intervals))
    return Interval(expected - below, expected, expected + above)


def _amount(interval: Interval, imperial: bool, rounding: Rounding) -> str:
    expected = YARN.text(interval.expected, imperial=imperial, rounding=rounding)
    if interval.low == interval.high:
        return expected
    return f"{expected}, from {YARN.range(interval, imperial=imperial)}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _draw(drawing: Drawing, balance: Balance, scale: float) -> None:
    sure = f": {balance.lasts[:1].lower()}{balance.lasts[1:-1]}" if drawing.wide and balance.lasts else ""
    drawing.one_line(f"{balance.name}{sure}", bold=True, indent=20.0 if _swatch(drawing, balance) else 0.0)
    drawing.height += 4
    _bar(drawing, "have", balance.have, scale)
    _bar(drawing, "need", balance.need, scale)
    if drawing.wide:
        drawing.paragraph(" ".join(balance.amounts), size=SMALL)
    else:
        for sentence in balance.says:
            drawing.paragraph(sentence)
    drawing.height += 6


def _swatch(drawing: Drawing, balance: Balance) -> bool:
    """The yarn's own colour, where it is given as one."""
    known = _COLOUR.fullmatch(balance.colour)
    if known:
        drawing.rect("swatch", EDGE, drawing.height + 5, 14.0, 14.0, fill=balance.colour, stroke=INK)
    return known is not None


def _bar(drawing: Drawing, word: str, interval: Interval, scale: float) -> None:
    top, left = drawing.height, EDGE + _WORD
    low, expected, high = (left + end * scale for end in (interval.low, interval.expected, interval.high))
    drawing.text(EDGE, top + _BAR - 3, word, css="word", size=LETTERS)
    if word == "have":
        drawing.rect(word, left, top, max(0.0, low - left), _BAR, fill=TIDE)
    else:
        drawing.rect(word, left, top, max(0.0, low - left), _BAR, fill=PAPER, stroke=KELP, stroke_width=1.0)
        drawing.path("hatch", _hatch(left, low, top), stroke=KELP, stroke_width=1.2)
    _feather(drawing, low, high, top, TIDE if word == "have" else KELP)
    drawing.line("expected", (expected, top - 2), (expected, top + _BAR + 2), stroke_width=2.0)
    drawing.height += _BAR + 4


def _hatch(left: float, right: float, top: float) -> str:
    count = max(0, int((right - left - _BAR) / 7))
    return lines_of(((left + n * 7.0, top + _BAR), (left + n * 7.0 + _BAR, top)) for n in range(count + 1))


def _feather(drawing: Drawing, low: float, high: float, top: float, colour: str) -> None:
    """Upright strokes, ever thinner from the low end to the high end."""
    count = int((high - low) / _FEATHER)
    for n in range(1, count + 1):
        x = low + n * _FEATHER
        thin = 2.4 - 2.0 * n / count
        drawing.line("feather", (x, top), (x, top + _BAR), stroke=colour, stroke_width=thin)


def _axis(drawing: Drawing, longest: float, scale: float, imperial: bool) -> None:
    unit = CM_PER_YARD / 100 if imperial else 1.0
    step = axis_step(longest / unit)
    y = drawing.height + 2
    for mark in range(int(longest / unit / step) + 1):
        x = EDGE + _WORD + mark * step * unit * scale
        drawing.line("mark", (x, y), (x, y + 5), stroke_width=1.0)
        drawing.text(x, y + 16, f"{mark * step:g}", css="mark", size=SMALL, text_anchor="middle")
    drawing.line("axis", (EDGE + _WORD, y), (EDGE + drawing.room, y), stroke_width=1.0)
    drawing.text(EDGE, y + 16, "yd" if imperial else "m", css="unit", size=SMALL)
    drawing.height = y + 18


def axis_step(longest: float) -> float:
    """A round step that marks a length about five times."""
    power = 10.0 ** math.floor(math.log10(longest / 5))
    return next(one * power for one in (1, 2, 2.5, 5, 10) if one * power >= longest / 5)
