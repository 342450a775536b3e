"""Heddles and reeds as owned: what is printed on them, exactly, and the ways to sley them.

A text is one of

    30/10 cm    7.5/in               a rigid heddle
    12/in reed                       a reed, whose dents may be filled in any order
    70 Stockport    1200/4 silk      a reed numbered the old way, filled as its number says
    30/10 cm for 20 cm + 40/10 cm for 10 cm      a heddle made of sections, side by side

and, where it is not sleyed as usual, after a comma how many ends go into one place after the other, over and over:

    12/in reed, 1-2      30/10 cm, 2      30/10 cm, 1 in 2 heddles

Nothing is rounded to a size that it nearly is: 30/10 cm is 7.62 to the inch.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Final

from clothwright.cloth.reeds import reed_system
from clothwright.measure import CM_PER_INCH, Length, QuantityError, ThreadsPerLength

_ACCEPTED: Final = "30/10 cm, 7.5/in, 12/in reed, or 30/10 cm for 20 cm + 40/10 cm for 10 cm"
_SLEYED: Final = "12/in reed, 1-2, or 30/10 cm, 1 in 2 heddles"
_ORDER: Final = r"(.+?),\s+(\d+(?:\s*-\s*\d+)*)(?:\s+in\s+(two|three|\d+)\s+(?:heddles|reeds?))?"
#: What after a comma is an order and not another heddle: nobody has a heddle of two or three to the 10 cm.
_ORDER_IN_LIST: Final = (
    r"(?=\s*(?:\d+(?:\s*-\s*\d+)+|[23]|\d+\s+in\s+(?:two|three|\d+)\s+(?:heddles|reeds?))\s*(?:[;,\n]|$))"
)
_NUMBER_WORDS: Final = {"two": 2, "three": 3}
#: More ends in a dent, or heddles one behind the other, than anybody sleys.
_MOST_ENDS: Final = 12
_MOST_HEDDLES: Final = 3
_MOST_PLACES: Final = 24


@dataclass(frozen=True)
class Section:
    """A stretch of a heddle: what is printed on it, its places per cm, and how wide it is where that is known."""

    printed: str
    per_cm: float
    width_cm: float | None = None


@dataclass(frozen=True)
class HeddleOwned:
    """A heddle or reed. `of` says what it is: heddle, reed, or numbered (a reed numbered the old way)."""

    printed: str
    of: str
    sections: tuple[Section, ...]

    @property
    def width_cm(self) -> float | None:
        """The width of all sections together; None for a heddle of one sett, as wide as the loom."""
        widths = [section.width_cm for section in self.sections if section.width_cm is not None]
        return sum(widths) if widths else None

    @property
    def per_cm(self) -> float:
        """Places per cm; over sections, all places over the whole width."""
        whole = self.width_cm
        if whole is None:
            return self.sections[0].per_cm
        return sum(section.per_cm * (section.width_cm or 0.0) for section in self.sections) / whole


@dataclass(frozen=True)
class Sleying:
    """A way to sley: ends in one place after the other, and how many heddles stand together."""

    of: str
    order: tuple[int, ...]
    heddles: int
    as_one: bool
    usual: bool
    words: str
    source: str

    @property
    def ends_per_place(self) -> float:
        """Ends to a place of one heddle, on average."""
        return self.heddles * sum(self.order) / len(self.order)

    @property
    def short(self) -> str:
        """The order as figures, 1-2 for one and two by turns."""
        return "-".join(map(str, self.order)) + (f" in {self.heddles} heddles" if self.heddles > 1 else "")


@dataclass(frozen=True)
class Threading:
    """A heddle sleyed in a way, and the text it was typed as."""

    heddle: HeddleOwned
    way: Sleying
    typed: str = ""

    def __str__(self) -> str:
        return self.typed or self.named

    @property
    def named(self) -> str:
        """The heddle, with the order of ends where it is not sleyed as usual."""
        return self.heddle.printed if self.way.usual else f"{self.heddle.printed}, {self.way.short}"

    @property
    def per_cm(self) -> float:
        """Ends per cm in the heddle."""
        return self.heddle.per_cm * self.way.ends_per_place

    @property
    def ends_together(self) -> int:
        """How many ends every filled place holds, where that is the same number and they weave as one; else 1."""
        filled = {ends for ends in self.way.order if ends}
        return filled.pop() if self.way.as_one and len(filled) == 1 else 1

    @property
    def in_shafts(self) -> Threading:
        """The same on a loom with shafts, where a heddle not called one is the reed, and the shafts part its ends."""
        if self.heddle.of != "heddle" or re.search(r"\bheddle\b", self.heddle.printed, re.IGNORECASE):
            return self
        return replace(sleyed(replace(self.heddle, of="reed"), self.way.order, self.way.heddles), typed=self.typed)


@cache
def sleyings() -> tuple[Sleying, ...]:
    """Every way of the table."""
    table = tomllib.loads(resources.files(__package__).joinpath("sleying.toml").read_text(encoding="utf-8"))
    return tuple(Sleying(**(row | {"order": tuple(row["order"])})) for row in table["way"])


def threadings(heddles: Iterable[HeddleOwned]) -> tuple[Threading, ...]:
    """Every way to sley every heddle."""
    return tuple(Threading(heddle, way) for heddle in heddles for way in sleyings() if way.of == heddle.of)


def read_threading(text: str) -> Threading:
    """A heddle or reed and how it is sleyed, as typed; QuantityError with an accepted form."""
    typed = " ".join(text.split())
    found = re.fullmatch(_ORDER, typed)
    if not found:
        return replace(_as_usual(read_heddle(typed)), typed=typed)
    order = tuple(int(ends[:6]) for ends in found[2].split("-"))
    together = found[3] or "1"
    try:
        way = sleyed(read_heddle(found[1]), order, _NUMBER_WORDS.get(together) or int(together[:6]))
    except ValueError as error:
        raise error if isinstance(error, QuantityError) else QuantityError(text, str(error), _SLEYED) from None
    return replace(way, typed=typed)


def _as_usual(heddle: HeddleOwned) -> Threading:
    return next(one for one in threadings([heddle]) if one.way.usual)


def sleyed(heddle: HeddleOwned, order: tuple[int, ...], heddles: int = 1) -> Threading:
    """A heddle with so many ends in one place after the other; ValueError where that cannot be sleyed."""
    _can_be_sleyed(heddle, order, heddles)
    repeat = _shortest_repeat(order)
    for one in threadings([heddle]):
        if (one.way.order, one.way.heddles) == (repeat, heddles):
            return one
    as_one = heddle.of == "heddle" and max(repeat) > 1
    words = f"{', '.join(map(str, repeat))} ends in one place after the other, over and over"
    if heddles > 1:
        words += f", in each of {heddles} such heddles one behind the other"
    return Threading(heddle, Sleying(heddle.of, repeat, heddles, as_one, False, words, "as typed"))


def _can_be_sleyed(heddle: HeddleOwned, order: tuple[int, ...], heddles: int) -> None:
    if heddle.of == "numbered":
        raise ValueError(
            "its number says how it is filled; leave the order out, or write the reed's dents, as 12/in reed"
        )
    if not any(order):
        raise ValueError("an order fills some place")
    if max(order) > _MOST_ENDS or len(order) > _MOST_PLACES or not 1 <= heddles <= _MOST_HEDDLES:
        raise ValueError("so many ends, places or heddles cannot be sleyed")
    if heddle.of == "reed" and heddles > 1:
        raise ValueError("a reed stands alone; only rigid heddles stand one behind the other")


def _shortest_repeat(order: tuple[int, ...]) -> tuple[int, ...]:
    """The order without what only says it again: 1-2 of 1-2-1-2."""
    return next(
        order[:places]
        for places in range(1, len(order) + 1)
        if len(order) % places == 0 and order[:places] * (len(order) // places) == order
    )


def read_heddles(texts: Iterable[str]) -> tuple[HeddleOwned, ...]:
    """The heddles of texts with one heddle each, or several with commas; each heddle once, however it is sleyed."""
    return tuple(dict.fromkeys(one.heddle for one in read_threadings(texts)))


def read_threadings(texts: Iterable[str]) -> tuple[Threading, ...]:
    """Heddles, each with the order typed after it, from texts with one heddle each, or several with commas."""
    commas = rf"(?<!\d),(?!{_ORDER_IN_LIST})|,(?!\d)(?!{_ORDER_IN_LIST})"
    names = [name.strip() for text in texts for name in re.split(commas, text)]
    return tuple(read_threading(name) for name in names if name)


def split_heddles(text: str) -> list[str]:
    """The heddles of a list, each as typed with its order: 12/in reed, 1-2; 30/10 cm is two."""
    names = re.split(rf"\s*(?:;|\n|,\s(?!{_ORDER_IN_LIST}))\s*", text)
    return [name for name in names if name]


def read_heddle(text: str) -> HeddleOwned:
    """The heddle or reed a person wrote; QuantityError with an accepted form."""
    printed = " ".join(text.split())
    parts = [part.strip() for part in printed.split("+")]
    if len(parts) > 1 or " for " in printed:
        return HeddleOwned(printed, _kind(printed), tuple(_section(part, printed) for part in parts))
    if numbered := _numbered(printed):
        return numbered
    return HeddleOwned(printed, _kind(printed), (Section(printed, _per_cm(printed)),))


def _kind(text: str) -> str:
    return "reed" if re.search(r"\breed\b", text, re.IGNORECASE) else "heddle"


def _per_cm(text: str) -> float:
    """Places per cm; a heddle has one sett, so a spread is refused."""
    count = ThreadsPerLength.read(re.sub(r"\s*\b(rigid heddle|heddle|reed)\b\s*", " ", text, flags=re.IGNORECASE))
    if count.has_spread:
        raise QuantityError(text, "a heddle has one sett; give each heddle apart", _ACCEPTED)
    return count.per_cm


def _section(part: str, whole: str) -> Section:
    printed, found, width = part.partition(" for ")
    if not found:
        raise QuantityError(whole, f"how wide is the section of {part or 'nothing'}? Sections have a width", _ACCEPTED)
    wide = Length.read(width)
    if wide.cm <= 0:
        raise QuantityError(whole, f"a section of {printed} has some width", _ACCEPTED)
    return Section(printed.strip(), _per_cm(printed), wide.cm)


def _numbered(text: str) -> HeddleOwned | None:
    """A reed numbered the old way, as 70 Stockport or 1200/4 silk; None when no such way is named."""
    found = re.fullmatch(r"(\d+(?:\.\d+)?)s?(?:/(\d))?[ -]([A-Za-z ]+)", text)
    if not found or found[3].lower() == "reed":
        return None
    try:
        system = reed_system(found[3])
    except KeyError:
        return None
    per_cm = system.ends_per_cm(float(found[1]), int(found[2]) if found[2] else None)
    if per_cm <= 0:
        raise QuantityError(text, "it must be more than nothing", _ACCEPTED)
    return HeddleOwned(text, "numbered", (Section(text, per_cm),))


def per_inch(per_cm: float) -> float:
    """The same count to the inch, exactly."""
    return per_cm * CM_PER_INCH
