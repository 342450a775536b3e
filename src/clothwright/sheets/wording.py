"""How numbers and verdicts are said: on pages, in pictures and on paper alike.

A measure is shown in the units chosen with the other beside it, `346 cm (136¼ in)`. What is needed rounds up and what
there is rounds down, each unit from the exact value, so that a reader in inches is as safe as one in centimetres.
A chance rounds down and never reads 0 or 100.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final
from unicodedata import category

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, GRAMS_PER_OUNCE, GRAMS_PER_POUND, Interval
from clothwright.planning import Margin, Plan, Shortfall, Verdict
from clothwright.sheets.translating import to_say


class Rounding(StrEnum):
    """Which way a shown number may differ from the exact one."""

    UP = "up"
    DOWN = "down"
    NEAREST = "nearest"


_SLACK: Final = 1e-6  # what floating point may add to a whole number of steps
_EIGHTHS: Final = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")
_NO_BREAK: Final = "\u00a0"


def rounded(value: float, step: float, rounding: Rounding) -> float:
    """The multiple of `step` above, below or nearest to the value."""
    steps = value / step
    whole = {
        Rounding.UP: math.ceil(steps - _SLACK),
        Rounding.DOWN: math.floor(steps + _SLACK),
        Rounding.NEAREST: math.floor(steps + 0.5),
    }[rounding]
    return whole * step


@dataclass(frozen=True)
class Unit:
    """A unit to show: `size` in the base unit, the step it is read to (`fine` below `coarse_from`, `coarse` above)."""

    name: str
    size: float
    fine: float
    coarse: float
    coarse_from: float
    fractions: bool = False

    def number(self, value: float, rounding: Rounding) -> str:
        """The value, given in the base unit, as a number in this unit."""
        mine = value / self.size
        step = self.coarse if abs(mine) >= self.coarse_from else self.fine
        shown = rounded(mine, step, rounding)
        return _with_fraction(shown) if self.fractions else _with_decimals(shown, step)


def _with_fraction(value: float) -> str:
    whole, eighths = divmod(round(abs(value) * 8), 8)
    sign = "−" if value < 0 else ""
    return f"{sign}{_in_thousands(str(whole)) if whole else ''}{_EIGHTHS[eighths]}" if whole or eighths else "0"


def _with_decimals(value: float, step: float) -> str:
    decimals = max(0, math.ceil(-math.log10(step) - _SLACK))
    text = f"{abs(value):.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return ("−" if value < 0 and text != "0" else "") + _in_thousands(text)


def _in_thousands(text: str) -> str:
    whole, point, rest = text.partition(".")
    return f"{int(whole):,}".replace(",", _NO_BREAK) + point + rest if len(whole) > 4 else text


@dataclass(frozen=True)
class Kind:
    """A kind of measure with its metric and its imperial unit."""

    metric: Unit
    imperial: Unit

    def text(self, value: float, *, imperial: bool = False, rounding: Rounding = Rounding.NEAREST) -> str:
        """The value in the units chosen, the other beside it: `346 cm (136¼ in)`."""
        first, second = self._in_order(imperial)
        return f"{_one(first, value, rounding)} ({_one(second, value, rounding)})"

    def short(self, value: float, *, imperial: bool = False, rounding: Rounding = Rounding.NEAREST) -> str:
        """The value in the units chosen alone, for where there is no room."""
        return _one(self._in_order(imperial)[0], value, rounding)

    def range(self, interval: Interval, *, imperial: bool = False) -> str:
        """From the low end, rounded down, to the high end, rounded up; one value where there is no spread."""
        if interval.low == interval.high:
            return self.text(interval.expected, imperial=imperial)
        first, second = self._in_order(imperial)
        return f"{_span(first, interval)} ({_span(second, interval)})"

    def unit(self, imperial: bool) -> str:
        """The name of the unit chosen."""
        return self._in_order(imperial)[0].name

    def number(self, value: float, *, imperial: bool = False, rounding: Rounding = Rounding.NEAREST) -> str:
        """The number alone, in the units chosen."""
        return self._in_order(imperial)[0].number(value, rounding)

    def _in_order(self, imperial: bool) -> tuple[Unit, Unit]:
        return (self.imperial, self.metric) if imperial else (self.metric, self.imperial)


def _one(unit: Unit, value: float, rounding: Rounding) -> str:
    return f"{unit.number(value, rounding)}{_NO_BREAK}{unit.name}"


def _span(unit: Unit, interval: Interval) -> str:
    low, high = unit.number(interval.low, Rounding.DOWN), unit.number(interval.high, Rounding.UP)
    return f"{low} to {high}{_NO_BREAK}{unit.name}"


_NEVER: Final = math.inf
#: Lengths of cloth and warp, given in cm; inches to the nearest ⅛, from 10 in the nearest ¼.
LENGTH: Final = Kind(Unit("cm", 1, 0.1, 1, 100), Unit("in", CM_PER_INCH, 1 / 8, 1 / 4, 10, fractions=True))
#: Lengths of yarn, given in m.
YARN: Final = Kind(Unit("m", 1, 0.1, 1, 10), Unit("yd", CM_PER_YARD / 100, 1 / 4, 1, 10, fractions=True))
#: Weights, given in g.
WEIGHT: Final = Kind(Unit("g", 1, 0.1, 1, 10), Unit("oz", GRAMS_PER_OUNCE, 0.1, 0.1, _NEVER))
#: Weight of cloth, given in g/m².
CLOTH_WEIGHT: Final = Kind(
    Unit("g/m²", 1, 1, 1, _NEVER), Unit("oz/yd²", GRAMS_PER_OUNCE / (CM_PER_YARD / 100) ** 2, 0.1, 0.1, _NEVER)
)
#: Length per weight of a yarn, given in m/g.
GRIST: Final = Kind(
    Unit("m/100 g", 0.01, 1, 1, _NEVER), Unit("yd/lb", CM_PER_YARD / 100 / GRAMS_PER_POUND, 1, 1, _NEVER)
)
#: Ends or picks, given per cm.
THREADS: Final = Kind(Unit("per cm", 1, 0.01, 0.01, _NEVER), Unit("per in", 1 / CM_PER_INCH, 0.01, 0.01, _NEVER))

#: What a 90 % interval is called in words.
NINE_IN_TEN: Final = to_say("nine times in ten")


def behind_figure(unit: str, one: Interval, *, imperial: bool = False) -> str:
    """A figure of the evidence, expected and nine times in ten; a ratio, which has no unit, to three places."""
    kind = {"cm": LENGTH, "m": YARN, "per cm": THREADS}.get(unit)
    if kind is None:
        return f"{one.expected:.3f}, {NINE_IN_TEN} {one.low:.3f} to {one.high:.3f}"
    return f"{kind.text(one.expected, imperial=imperial)}, {NINE_IN_TEN} {kind.range(one, imperial=imperial)}"


def in_hundred(share: float) -> int:
    """A share as whole chances in 100, rounded down, from 0 (less than 1) to 99."""
    return min(99, math.floor(share * 100 + _SLACK))


def chances(share: float) -> str:
    """A chance in words: `71 chances in 100`; never none and never certain."""
    number = in_hundred(share)
    if number < 1:
        return "less than 1 chance in 100"
    if share > 0.99 + _SLACK:
        return "more than 99 chances in 100"
    return f"{number} chance{'s' if number > 1 else ''} in 100"


def percent(share: float) -> str:
    """A share as a percentage, to one decimal where it has one: `12.5 %`."""
    return f"{_with_decimals(share * 100, 0.1)}{_NO_BREAK}%"


VERDICTS: Final = {
    Verdict.ENOUGH: to_say("Enough"),
    Verdict.TOO_CLOSE: to_say("Too close to call"),
    Verdict.NOT_ENOUGH: to_say("Not enough"),
}
_BY_HAND: Final = {
    Verdict.ENOUGH: "the yarn covers the highest sum",
    Verdict.TOO_CLOSE: "the yarn covers the lowest sum, but not the highest",
    Verdict.NOT_ENOUGH: "the yarn does not cover the lowest sum",
}


def verdict_sentence(plan: Plan) -> str:
    """Whether the yarn lasts, how sure that is, and what was asked."""
    return f"{VERDICTS[plan.verdict]}: {_reason(plan)}"


def reason_sentence(plan: Plan) -> str:
    """How sure the verdict is and what was asked, for under the verdict's own words."""
    reason = _reason(plan)
    return reason[0].upper() + reason[1:]


def _reason(plan: Plan) -> str:
    if plan.chance_enough is None:
        return f"reckoned by hand, {_BY_HAND[plan.verdict]}."
    return f"{chances(plan.chance_enough)} that the yarn lasts; you asked for {in_hundred(plan.trust_yarn)}."


def pattern_sentence(plan: Plan) -> str:
    """Which state of the pattern the plan was made from; empty for a cloth wanted."""
    return f"Made from {plan.pattern_state.words}." if plan.pattern_state else ""


def size_sentence(plan: Plan) -> str:
    """How sure it is that the finished cloth comes out large enough; empty for a plan by hand."""
    if plan.chance_size is None:
        return ""
    asked = in_hundred(plan.trust_size)
    return f"{chances(plan.chance_size).capitalize()} that the cloth is large enough; you asked for {asked}."


def spare(value: float, kind: Kind, *, imperial: bool = False) -> str:
    """What is left over, or missing, rounded to the safe side: `6 m (6 yd) to spare`, `23 m (25¼ yd) missing`."""
    if abs(value) < _SLACK:
        return "nothing to spare"
    if value < 0:
        return f"{kind.text(-value, imperial=imperial, rounding=Rounding.UP)} missing"
    return f"{kind.text(value, imperial=imperial, rounding=Rounding.DOWN)} to spare"


def spare_range(interval: Interval, kind: Kind, *, imperial: bool = False, by_hand: bool = False) -> str:
    """What is left over, expected, and the ends of the interval; by hand the ends are the worst and the best sum."""
    expected = spare(interval.expected, kind, imperial=imperial)
    if interval.low == interval.high:
        return expected
    low, high = (spare(end, kind, imperial=imperial) for end in (interval.low, interval.high))
    if by_hand:
        return f"{expected}; at worst {low}, at best {high}"
    if interval.low >= 0:
        return f"{expected}; {NINE_IN_TEN} {kind.range(interval, imperial=imperial)}"
    return f"{expected}; {NINE_IN_TEN} between {low} and {high}"


def margin_sentence(margin: Margin, *, imperial: bool = False) -> str:
    """What is expected to be left over or missing: as yarn, as weight and as finished cloth."""
    yarn = spare(margin.m.expected, YARN, imperial=imperial)
    weight = spare(margin.g.expected, WEIGHT, imperial=imperial)
    cloth = spare(margin.finished_cm.expected, LENGTH, imperial=imperial)
    return f"Expected: {yarn}, that is {weight}, or {cloth} of finished cloth."


def margin_range_sentence(margin: Margin, *, imperial: bool = False, by_hand: bool = False) -> str:
    """How far the margin may lie from what is expected; empty where there is no spread."""
    if margin.m.low == margin.m.high:
        return ""
    low, high = (spare(end, YARN, imperial=imperial) for end in (margin.m.low, margin.m.high))
    return f"At worst {low}, at best {high}." if by_hand else f"{NINE_IN_TEN.capitalize()} between {low} and {high}."


def shortfall_sentence(shortfall: Shortfall, *, imperial: bool = False, by_hand: bool = False) -> str:
    """What would have to be added for the chance asked, or by hand for the highest sum, rounded up."""
    yarn, weight, cloth = (
        kind.text(value, imperial=imperial, rounding=Rounding.UP)
        for kind, value in ((YARN, shortfall.m), (WEIGHT, shortfall.g), (LENGTH, shortfall.finished_cm))
    )
    what_for = "the highest sum" if by_hand else "the chance you asked"
    return f"Missing for {what_for}: {yarn}, that is {weight}, or {cloth} of finished cloth."


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: `1 piece`, `8 pieces`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def plain_number(value: float) -> str:
    """A number of the working: as it is where it has at most three decimals, else to four figures."""
    if abs(value - round(value, 3)) < _SLACK:
        return _with_decimals(value, 0.001)
    decimals = max(0, 3 - math.floor(math.log10(abs(value))))
    return _with_decimals(value, 10.0**-decimals)


_UNPRINTABLE: Final = {"Cc", "Cs", "Co", "Cn", "Zl", "Zp"}
_TURNING: Final = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def literal(text: str) -> str:
    """Typed text as it can be shown: without control characters and without marks that turn the text around."""
    if not text.isprintable():  # which nearly all text is
        text = "".join(" " if category(c) in _UNPRINTABLE or c in _TURNING else c for c in text)
    return " ".join(part for part in text.split(" ") if part)


def shortened(text: str, longest: int) -> str:
    """Text of at most so many characters, with … where it was cut."""
    return text if len(text) <= longest else text[: max(0, longest - 1)].rstrip() + "…"
