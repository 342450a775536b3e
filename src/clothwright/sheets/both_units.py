"""What stands in one system said in both: a sentence of the core, or what was typed, with the other unit beside each quantity.

What `wording` says of a number has both already. Text that comes as text (a typed length, an assumption, a way out) is completed here: a
quantity that has not its like beside it gets it in brackets. The terms of a sum stay as they are; what comes of it has both.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from clothwright.cloth import Threading
from clothwright.measure import Grist, Interval, Length, Quantity, ThreadsPerLength, Weight
from clothwright.measure.numbers import NUMBER, NumberError, read_number
from clothwright.sheets.wording import CLOTH_WEIGHT, GRIST, LENGTH, THREADS, WEIGHT, YARN, Kind

#: Each unit as it is written: its kind, and how much of the base unit of that kind it is.
_UNITS: Final[dict[str, tuple[Kind, float]]] = {
    "mm": (LENGTH, 0.1),
    "cm": (LENGTH, 1.0),
    "in": (LENGTH, LENGTH.imperial.size),
    "m": (YARN, 1.0),
    "yd": (YARN, YARN.imperial.size),
    "g": (WEIGHT, 1.0),
    "kg": (WEIGHT, 1000.0),
    "oz": (WEIGHT, WEIGHT.imperial.size),
    "m/g": (GRIST, 1.0),
    "m per g": (GRIST, 1.0),
    "m/100 g": (GRIST, 0.01),
    "m in 100 g": (GRIST, 0.01),
    "yd/lb": (GRIST, GRIST.imperial.size),
    "per cm": (THREADS, 1.0),
    "/cm": (THREADS, 1.0),
    "per in": (THREADS, THREADS.imperial.size),
    "g/m²": (CLOTH_WEIGHT, 1.0),
    "oz/yd²": (CLOTH_WEIGHT, CLOTH_WEIGHT.imperial.size),
}
_IMPERIAL: Final = frozenset({"in", "yd", "oz", "yd/lb", "per in", "oz/yd²"})
_SPACE: Final = "[ \u00a0]"
_UNIT: Final = "|".join(
    re.escape(one).replace("\\ ", _SPACE) for one in sorted(_UNITS, key=lambda unit: len(unit), reverse=True)
)
_QUANTITY: Final = re.compile(
    rf"(?<![\w.,/\-])(?:(?P<low>{NUMBER}){_SPACE}to{_SPACE})?(?P<number>{NUMBER})(?:{_SPACE}(?:ends|picks|wraps|threads)(?={_SPACE}per))?{_SPACE}?(?P<unit>{_UNIT})"
    rf"(?![\w²/]|{_SPACE}(?:\d|to\b|in{_SPACE}1))"
)
_BEFORE_TERM: Final = re.compile(r"[×÷−+]\s?$")
_AFTER_TERM: Final = re.compile(r"\)*\s?[×÷−+=]")
#: How many letters further on, or back, its like may stand.
_NEAR: Final = 44
_ALIKE: Final = 0.04
_TYPED_IMPERIAL: Final = re.compile(
    r"(?<![a-z])(?:in|inch(?:es)?|ft|feet|foot|yds?|yards?|oz|ounces?|lbs?|pounds?)\b|[\"'″′”]|[edpw]pi\b", re.I
)
_TYPED_YARN: Final = re.compile(r"(?<![a-z])(?:m|yds?|yards?|met(?:re|er)s?)\b", re.I)
_TYPED_CLOTH: Final = re.compile(r"(?<![a-z])(?:mm|cm|in|inch(?:es)?|ft|feet|foot)\b|[\"'″′”]", re.I)
_BASE: Final = {Weight: WEIGHT, ThreadsPerLength: THREADS, Grist: GRIST}


def in_both(text: str) -> str:
    """The text with the other unit in brackets behind each quantity that has it not beside it."""
    every = list(_QUANTITY.finditer(text))
    parts, end = [], 0
    for one in every:
        parts += [text[end : one.end()], _behind(text, one, every)]
        end = one.end()
    return "".join((*parts, text[end:]))


def each_in_both(texts: Iterable[str]) -> list[str]:
    """The same of several texts."""
    return [in_both(one) for one in texts]


def typed_in_both(value: object) -> str:
    """What was typed, as it was typed, with the other unit beside it; a count of a yarn, or what is no quantity, alone."""
    text = str(value)
    if isinstance(value, Threading):
        return f"{text} ({_other(THREADS, value.per_cm, value.per_cm, metric=not _is_imperial(text))})"
    counted = isinstance(value, Grist) and not _TYPED_YARN.search(text)
    if counted or not isinstance(value, Length | Weight | ThreadsPerLength | Grist):
        return text
    kind = _kind(value)
    scale = 0.01 if kind is YARN else 1.0
    return f"{text} ({_other(kind, value.low * scale, value.high * scale, metric=not _is_imperial(text))})"


def _is_imperial(text: str) -> bool:
    return bool(_TYPED_IMPERIAL.search(text))


def _kind(value: Quantity) -> Kind:
    """How a typed quantity is shown: a length typed in metres or yards alone is one of yarn."""
    if isinstance(value, Length):
        return YARN if _TYPED_YARN.search(value.typed) and not _TYPED_CLOTH.search(value.typed) else LENGTH
    return _BASE[type(value)]


def _other(kind: Kind, low: float, high: float, *, metric: bool) -> str:
    """A quantity, or a range, of the base unit in the system in which it was not said."""
    if low == high:
        said = kind.short(high, imperial=metric)
        unit = kind.imperial if metric else kind.metric
        return f"{high / unit.size:.3f}\u00a0{unit.name}" if high and said.startswith("0\u00a0") else said
    return kind.range(Interval(low, (low + high) / 2, high), imperial=metric).split(" (")[0]


def _behind(text: str, one: re.Match[str], every: list[re.Match[str]]) -> str:
    """What is put behind a quantity: its like in brackets, or nothing where that stands near, or it is a term of a sum."""
    if _BEFORE_TERM.search(text[: one.start()]) or _AFTER_TERM.match(text[one.end() :]):
        return ""
    kind, size, metric = _read(one)
    if size is None or any(_beside(one, other) for other in every):
        return ""
    low = _number(one["low"])
    said = _other(kind, size if low is None else low * _UNITS[_unit(one)][1], size, metric=metric)
    return f" ({said})"


def _read(one: re.Match[str]) -> tuple[Kind, float | None, bool]:
    """The kind of a quantity, its size in the base unit of that kind, and whether it is metric."""
    unit, number = _unit(one), _number(one["number"])
    kind, base = _UNITS[unit]
    return kind, None if number is None else number * base, unit not in _IMPERIAL


def _unit(one: re.Match[str]) -> str:
    return one["unit"].replace("\u00a0", " ")


def _number(text: str | None) -> float | None:
    """What a number is; None where there is none, or where it is the ends over 10 cm that a heddle is called by."""
    try:
        return None if text is None or text.endswith("/10") else read_number(text)
    except NumberError:
        return None


def _beside(one: re.Match[str], other: re.Match[str]) -> bool:
    """Whether the other is the same quantity in the other system, and stands near."""
    (kind, size, metric), (its_kind, its_size, its_metric) = _read(one), _read(other)
    if metric == its_metric or size is None or its_size is None:
        return False
    near = other.start() - one.end() < _NEAR and one.start() - other.end() < _NEAR
    lengths = {kind, its_kind} == {LENGTH, YARN}
    its_size *= {True: 100.0 if its_kind is YARN else 0.01, False: 1.0}[lengths]
    step = max(size * _ALIKE, kind.metric.fine * kind.metric.size + kind.imperial.coarse * kind.imperial.size)
    return near and (kind is its_kind or lengths) and abs(size - its_size) <= step
