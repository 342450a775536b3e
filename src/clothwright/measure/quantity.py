"""Quantities as typed: a length, a weight, threads per length, a grist, a share, each with its text and its spread.

A quantity keeps the text a person typed and three numbers in the base unit of its kind: `low`, `expected`, `high`.
Without a spread the three are equal. A spread is read as what holds nine times in ten:

    24 ± 0.3 cm       low 23.7, high 24.3
    3.0 to 3.4/cm     low 3.0, high 3.4, expected the middle
    about 24 cm       5 % to either side

Nothing is guessed: a bare number has no unit and is refused, with an accepted form in the sentence.
Exact factors: 1 in = 2.54 cm, 1 yd = 0.9144 m, 1 lb = 453.59237 g = 7000 grains (international yard and pound, 1959).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import ClassVar, Final, Self

from clothwright.measure.numbers import (
    NUMBER,
    PLAIN,
    SPACE,
    VULGAR,
    Ask,
    NotThisKind,
    NumberError,
    plainly,
    read_number,
)

CM_PER_INCH: Final = 2.54
CM_PER_YARD: Final = 91.44
GRAMS_PER_POUND: Final = 453.59237
GRAMS_PER_OUNCE: Final = GRAMS_PER_POUND / 16
GRAINS_PER_POUND: Final = 7000

#: Half the width of a 90 % interval of the normal distribution, in standard deviations.
Z90: Final = 1.6448536269514722
ABOUT: Final = 0.05
#: Finished width over width in the heddle, and the like: above this a per cent sign has been left out.
_LARGEST_RATIO: Final = 2.0

_LENGTHS: Final = {
    "mm": 0.1, "cm": 1.0, "dm": 10.0, "m": 100.0, "km": 100_000.0,
    "in": CM_PER_INCH, "inch": CM_PER_INCH, "inches": CM_PER_INCH, '"': CM_PER_INCH, "″": CM_PER_INCH, "”": CM_PER_INCH,
    "ft": 12 * CM_PER_INCH, "foot": 12 * CM_PER_INCH, "feet": 12 * CM_PER_INCH, "'": 12 * CM_PER_INCH, "′": 12 * CM_PER_INCH,
    "yd": CM_PER_YARD, "yds": CM_PER_YARD, "yard": CM_PER_YARD, "yards": CM_PER_YARD,
    "metre": 100.0, "metres": 100.0, "meter": 100.0, "meters": 100.0,
    "centimetre": 1.0, "centimetres": 1.0, "centimeter": 1.0, "centimeters": 1.0,
    "millimetre": 0.1, "millimetres": 0.1, "millimeter": 0.1, "millimeters": 0.1,
}  # fmt: skip
_WEIGHTS: Final = {
    "mg": 0.001, "g": 1.0, "kg": 1000.0, "gram": 1.0, "grams": 1.0,
    "oz": GRAMS_PER_OUNCE, "ounce": GRAMS_PER_OUNCE, "ounces": GRAMS_PER_OUNCE,
    "lb": GRAMS_PER_POUND, "lbs": GRAMS_PER_POUND, "pound": GRAMS_PER_POUND, "pounds": GRAMS_PER_POUND,
    "gr": GRAMS_PER_POUND / GRAINS_PER_POUND, "grain": GRAMS_PER_POUND / GRAINS_PER_POUND, "grains": GRAMS_PER_POUND / GRAINS_PER_POUND,
}  # fmt: skip
#: Written for grams on many a label and for grains in many a book: fifteen times apart.
_GRAMS_OR_GRAINS: Final = "gr"
#: What stands between a length and its weight.
_BETWEEN: Final = r"\s*(?:/|\bper\b|=|≈|:|\bfor\b|\bweighs?\b)\s*"
_PER_INCH_WORDS: Final = ("epi", "ppi", "dpi", "wpi")
_PER_CM_WORDS: Final = ("epc", "ppc", "wpc")


class QuantityError(ValueError):
    """Text that is no quantity of its kind. `came` is the text, `accepted` shows a form that is understood.

    `other_kind`: the text has not this kind's form at all, and may have another's.
    """

    def __init__(self, came: str, why: str, accepted: str) -> None:
        self.came, self.why, self.accepted, self.other_kind = came, why, accepted, False
        super().__init__(f"“{came}”: {why}; write it as {accepted}")

    @classmethod
    def because(cls, came: str, reason: NumberError, accepted: str) -> QuantityError:
        """The error for a text that could not be read; a question shows the accepted forms itself."""
        error = cls(came, str(reason), accepted)
        error.other_kind = isinstance(reason, NotThisKind)
        if isinstance(reason, Ask):
            error.args = (f"“{came}”: {reason}",)
        return error


@dataclass(frozen=True)
class Quantity:
    """A quantity in the base unit of its kind, with the text it was typed as."""

    typed: str
    low: float
    expected: float
    high: float

    accepted: ClassVar[str] = ""
    may_be_zero: ClassVar[bool] = False
    #: Whether per cent is this kind's unit, so that 12 ± 2 % is 10 to 14 % and not 2 % of the 12.
    in_percent: ClassVar[bool] = False

    @classmethod
    def read(cls, text: str, *, bare_unit: str | None = None) -> Self:
        """The quantity a person wrote; `bare_unit` is the unit a page shows beside a field that holds a bare number."""
        text = str(text).strip()
        if not text:
            raise QuantityError("", "nothing came", cls.accepted)
        if text[0] in "-−":
            raise QuantityError(text, "it must be more than nothing", cls.accepted)
        try:
            low, expected, high = _spread(text, lambda part: cls._value(part, bare_unit), in_percent=cls.in_percent)
        except NumberError as error:
            raise QuantityError.because(text, error, cls.accepted) from None
        return cls._checked(text, low, expected, high)

    @classmethod
    def exactly(cls, value: float, typed: str) -> Self:
        """A quantity from a number in the base unit, with the text to show for it."""
        return cls._checked(typed, value, value, value)

    @classmethod
    def _checked(cls, text: str, low: float, expected: float, high: float) -> Self:
        if not all(map(math.isfinite, (low, expected, high))):
            raise QuantityError(text, "it is too large to be measured", cls.accepted)
        if low < 0 or (low == 0 and not cls.may_be_zero):
            raise QuantityError(text, "it must be more than nothing", cls.accepted)
        if low > high:
            raise QuantityError(text, "the low end is above the high end", cls.accepted)
        return cls(text, low, expected, high)

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        raise NotImplementedError

    @property
    def step(self) -> float:
        """The last decimal place of the text, in the base unit: what the ruler or scale could tell apart."""
        stated = _SPREAD_MARK.split(self.typed)[0]
        numbers = list(re.finditer(PLAIN, stated))
        if not numbers or any(mark in self.typed for mark in VULGAR) or "/" in self.typed:
            return 0.0
        last = numbers[-1]
        decimals = len(re.split("[.,]", last[0])[1]) if re.search("[.,]", last[0]) else 0
        if len(numbers) > 1:
            return self._value("1" + stated[last.end() :], None) * 10.0**-decimals
        number = read_number(last[0])
        return self.expected / number * 10.0**-decimals if number else 0.0

    @property
    def has_spread(self) -> bool:
        """Whether the person gave a spread."""
        return self.high > self.low

    @property
    def log_sd(self) -> float:
        """Standard deviation of the logarithm, the spread read as a 90 % interval."""
        return math.log(self.high / self.low) / (2 * Z90) if self.has_spread and self.low > 0 else 0.0

    def __str__(self) -> str:
        return self.typed


class Length(Quantity):
    """A length, in cm."""

    accepted = "24 cm, 240 mm, 2.4 m, 7 1/2 in or 1 yd 9 in"
    may_be_zero = True

    @property
    def cm(self) -> float:
        """The expected length in cm."""
        return self.expected

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        return _compound(part, _LENGTHS, bare_unit, (" cm", " in"))


class Weight(Quantity):
    """A weight, in g."""

    accepted = "112 g, 0.35 kg, 4 oz or 1 lb 2 oz"
    may_be_zero = True

    @property
    def grams(self) -> float:
        """The expected weight in g."""
        return self.expected

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        return _compound(part, _WEIGHTS, bare_unit, (" g", " oz"))


class ThreadsPerLength(Quantity):
    """Ends, picks, dents or wraps per length, per cm."""

    accepted = "7.5/in, 7.5 epi, 30/10 cm or 3/cm"

    @property
    def per_cm(self) -> float:
        """The expected count per cm."""
        return self.expected

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        return _threads(part, bare_unit)


class Grist(Quantity):
    """Length per weight of a yarn, in metres per gram."""

    accepted = "220 m/100 g, 6.77 m/g or 1700 yd/lb"

    @classmethod
    def read(cls, text: str, *, bare_unit: str | None = None) -> Self:
        """The grist a person wrote, or a label prints with the weight first: 50 g = ca. 170 m."""
        typed = str(text).strip()
        about = re.fullmatch(rf"(.+?{_BETWEEN})(?:about|around|ca\.?|~|≈)\s*(.+)", typed, re.IGNORECASE)
        if about:
            with suppress(QuantityError):  # refused below in the words that came
                return replace(super().read(f"about {about[1]}{about[2]}", bare_unit=bare_unit), typed=typed)
        return super().read(typed, bare_unit=bare_unit)

    @classmethod
    def _checked(cls, text: str, low: float, expected: float, high: float) -> Self:
        """The heavier end of a range of weights is the lower grist: 3.0 to 3.4 g/10 m."""
        weight_first = re.fullmatch(rf".*\d\s*(?:{_any_of(_WEIGHTS)}){_BETWEEN}.*", text, re.IGNORECASE)
        low, high = sorted((low, high)) if weight_first else (low, high)
        return super()._checked(text, low, expected, high)

    @property
    def m_per_g(self) -> float:
        """The expected metres per gram."""
        return self.expected

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        return _length_per_weight(part, bare_unit)


@dataclass(frozen=True)
class Share(Quantity):
    """A share from 0 to 1, with what it is a share of (`of`), as typed, or None."""

    of: str | None = None

    accepted: ClassVar[str] = "12.5 %, with what it is a share of: 3 % of warp"
    may_be_zero: ClassVar[bool] = True
    in_percent: ClassVar[bool] = True

    @classmethod
    def read(cls, text: str, *, bare_unit: str | None = None) -> Self:
        """The share a person wrote, as 12.5 % or 3 % of warp."""
        amount, _, base = str(text).strip().partition(" of ")
        plain = super().read(amount, bare_unit=bare_unit)
        if plain.high > 1:
            raise QuantityError(str(text).strip(), "that is more than the whole", cls.accepted)
        return cls(str(text).strip(), plain.low, plain.expected, plain.high, base.strip().lower() or None)

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        found = re.fullmatch(rf"({NUMBER})\s*(%|per ?cent|percent)?", part)
        if not found or not (found[2] or bare_unit):
            raise _bare_share(part) if found else NumberError(f"{part} is not a share")
        return read_number(found[1]) / 100


def _bare_share(part: str) -> NumberError:
    """The question to ask of a share without its sign: 0.95 may be 95 % or less than one."""
    number = read_number(part)
    if 0 < number < 1:
        return Ask(f"is that {plainly(number * 100, 4)} % or {part} %? Write it with its sign")
    return _bare(part, " %")


class Ratio(Quantity):
    """A plain ratio of two lengths, as 0.90 or 90 %."""

    accepted = "0.90 or 90 %"

    @classmethod
    def _value(cls, part: str, bare_unit: str | None) -> float:
        found = re.fullmatch(rf"({NUMBER})\s*(%)?", part)
        if not found:
            raise NumberError(f"{part} is not a ratio")
        ratio = read_number(found[1]) / (100 if found[2] or bare_unit == "%" else 1)
        if ratio > _LARGEST_RATIO:
            raise Ask(f"is that {found[1]} %? A ratio of two lengths of one cloth lies near 1; write 0.90 or 90 %")
        return ratio


_RANGE_MARK: Final = r"\s+to\s+|\s*[–—]\s*|(?<=[\d½¼¾])\s*-\s*(?=[\d½¼¾])"
_SPREAD_MARK: Final = re.compile(rf"±|\+/-|\+-|{_RANGE_MARK}")


def _spread(text: str, value: Callable[[str], float], *, in_percent: bool) -> tuple[float, float, float]:
    """Low, expected and high of a text that may hold a spread."""
    if about := re.fullmatch(r"(?:about|around|ca\.?|~|≈)\s*(.+)", text, re.IGNORECASE):
        middle = value(about[1])
        return middle * (1 - ABOUT), middle, middle * (1 + ABOUT)
    if give_or_take := re.fullmatch(r"(.+?)\s*(?:±|\+/-|\+-)\s*(.+)", text):
        return _give_or_take(give_or_take[1], give_or_take[2], value, in_percent)
    hyphened = re.match(r"([1-9]\d*)-((\d+)/(\d+))", text)
    if hyphened and float(hyphened[3]) < float(hyphened[4]):
        raise Ask(f"is that {hyphened[1]} {hyphened[2]}? Write it with a space; write a range with “to”")
    if ends := re.fullmatch(rf"(.+?)(?:{_RANGE_MARK})(.+)", text):
        low, high = value(_with_unit(ends[1], ends[2], value)), value(ends[2])
        return low, (low + high) / 2, high
    middle = value(text)
    return middle, middle, middle


def _give_or_take(
    middle_text: str, spread_text: str, value: Callable[[str], float], in_percent: bool
) -> tuple[float, float, float]:
    """A spread in per cent is a share of the middle, unless the middle itself is in per cent: then it is points."""
    share = re.fullmatch(rf"({NUMBER})\s*%", spread_text)
    if share and not in_percent and "%" not in middle_text:
        middle = value(middle_text)
        half = middle * read_number(share[1]) / 100
    else:
        middle = value(_with_unit(middle_text, spread_text, value))
        half = value(_with_unit(spread_text, middle_text, value))
    return middle - half, middle, middle + half


def _with_unit(part: str, other: str, value: Callable[[str], float]) -> str:
    """The part with the other part's unit, if it has none of its own."""
    part = part.strip()
    if not re.fullmatch(NUMBER, part):
        return part
    with_units = [f"{part} {unit}".strip() for unit in _units_of(other.strip())]
    return next((one for one in with_units if _is_read(one, value)), with_units[-1] if with_units else part)


def _units_of(text: str) -> list[str]:
    """What may be the unit of a text: after 7 1/2 in plainly in; after 30/10 cm first /10 cm, then cm."""
    if mixed := re.match(rf"\d+{SPACE}+\d+/\d+", text):
        return [text[mixed.end() :].strip()]
    found = (re.match(number, text) for number in (PLAIN, r"\d+/\d+"))
    return [text[one.end() :].strip() for one in found if one]


def _is_read(text: str, value: Callable[[str], float]) -> bool:
    try:
        value(text)
    except NumberError:
        return False
    return True


def _compound(part: str, units: dict[str, float], bare_unit: str | None, examples: tuple[str, str]) -> float:
    """A value of one or more units, each smaller than the one before, as 1 yd 9 in."""
    one = rf"({NUMBER})\s*({_any_of(units)})(?![A-Za-z])"
    found = re.findall(one, part, re.IGNORECASE)
    if found and re.fullmatch(rf"(?:{one}\s*(?:and\s+|,\s*)?)+", part, re.IGNORECASE):
        return _sum([(read_number(number), _factor(unit, units)) for number, unit in found], part)
    if re.fullmatch(NUMBER, part):
        if bare_unit is None:
            raise _bare(part, *examples)
        return read_number(part) * units[bare_unit]
    raise NumberError(f"{part} has no unit that is known here" if re.match(NUMBER, part) else "it is not a measure")


def _any_of(units: dict[str, float]) -> str:
    """A pattern for any of the units, the longest first."""
    return "|".join(sorted(map(re.escape, units), key=len, reverse=True))


def _factor(unit: str, units: dict[str, float]) -> float:
    if unit.lower() == _GRAMS_OR_GRAINS:
        raise Ask("gr is written for grams and for grains; write 112 g or 112 grains")
    if unit.lower() not in units:
        raise NumberError(f"{unit} is no unit that is known here")
    return units[unit.lower()]


def _sum(parts: list[tuple[float, float]], text: str) -> float:
    factors = [factor for _, factor in parts]
    if any(later >= earlier for earlier, later in pairwise(factors)):
        raise NumberError(f"{text} holds more than one measure; write one, or its sum")
    return sum(number * factor for number, factor in parts)


def _bare(part: str, *units: str) -> NumberError:
    """The question to ask of a number without a unit."""
    return Ask(f"{part} what? Write {' or '.join(part + unit for unit in units)}")


def _threads(part: str, bare_unit: str | None) -> float:
    per = rf"(?:/|per)\s*({PLAIN})?\s*(cm|centimetres?|in|inch|inches|\")"
    for number in (PLAIN, NUMBER):
        if found := re.fullmatch(rf"({number})\s*(?:ends|picks|dents|wraps)?\s*{per}", part, re.IGNORECASE):
            return _over(read_number(found[1]), read_number(found[2] or "1") * _LENGTHS[_unit_name(found[3])])
    if found := re.fullmatch(rf"({NUMBER})\s*([a-z]+)", part, re.IGNORECASE):
        return read_number(found[1]) / _thread_word(found[2].lower(), found[1])
    if re.fullmatch(NUMBER, part):
        return _bare_threads(part, bare_unit)
    raise NumberError("it is not a count of threads")


def _over(count: float, length_cm: float) -> float:
    if length_cm == 0:
        raise NumberError("a count over no length says nothing")
    return count / length_cm


def _unit_name(unit: str) -> str:
    return "cm" if unit.lower().startswith("c") else "in"


def _thread_word(word: str, number: str) -> float:
    if word in _PER_INCH_WORDS:
        return CM_PER_INCH
    if word in _PER_CM_WORDS:
        return 1.0
    if word in ("dent", "dents"):
        raise Ask(f"is that per inch or per 10 cm? Both are sold; write {number}/in or {number}/10 cm")
    raise NumberError(f"{word} is not a count of threads")


def _bare_threads(part: str, bare_unit: str | None) -> float:
    if re.fullmatch(rf"{PLAIN}\s*/\s*10", part):
        raise _bare(part, " cm")
    if bare_unit is None:
        raise _bare(part, "/in", "/10 cm")
    return _threads(f"{part}{bare_unit}", None)


def _length_per_weight(part: str, bare_unit: str | None) -> float:
    if both := length_and_weight(part):
        metres, grams = both
        if grams == 0:
            raise NumberError("a length of no weight says nothing")
        return metres / grams
    if re.fullmatch(NUMBER, part):
        if bare_unit is None:
            raise NotThisKind(f"{part} what? A count needs its system, a ratio its units")
        return _length_per_weight(f"{part} {bare_unit}", None)
    raise NotThisKind("it is not a length per weight")


def length_and_weight(text: str) -> tuple[float, float] | None:
    """Metres and grams of a length per weight, or of a label with the weight first: 50 g = 170 m. None if it is neither."""
    length, weight = rf"\s*({_any_of(_LENGTHS)})", rf"\s*({_any_of(_WEIGHTS)})"
    if found := re.fullmatch(rf"({NUMBER}){length}{_BETWEEN}({PLAIN})?{weight}", text, re.IGNORECASE):
        metres = read_number(found[1]) * _factor(found[2], _LENGTHS) / 100
        return metres, read_number(found[3] or "1") * _factor(found[4], _WEIGHTS)
    if found := re.fullmatch(rf"({NUMBER}){weight}{_BETWEEN}({PLAIN})?{length}", text, re.IGNORECASE):
        if not found[3]:
            raise Ask(
                f"a yarn or a cloth? For a yarn write how long it is, in figures: {found[1]} {found[2]} = 1 {found[4]}"
            )
        metres = read_number(found[3]) * _factor(found[4], _LENGTHS) / 100
        return metres, read_number(found[1]) * _factor(found[2], _WEIGHTS)
    return None
