"""Yarn numbers: every system a handweaver meets, and counts as written in each.

A *direct* number weighs a length (tex: grams per kilometre), an *indirect* one measures a weight (Nm: kilometres per
kilogram; the English counts: hanks per pound). All become metres per gram here.

Custom writes 8/2 in cotton (count before plies), 2/16 in worsted (plies before count), either in Nm. English spun silk
writes the finished yarn's count first, so 40/2 is a 40s. How strands fold is in construction.py, how whole yarns are
written in notation.py.

Sources stand beside each system in numbering.toml.
"""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

from clothwright.measure import GRAMS_PER_POUND, Grist, QuantityError, ThreadsPerLength
from clothwright.measure.numbers import NUMBER, PLAIN, Ask, NumberError, read_number
from clothwright.yarn.construction import Construction, Folded, Single

_METRES_PER_GRAM_OF_YARD_PER_POUND: Final = 0.9144 / GRAMS_PER_POUND
#: A fold of this many plies or fewer is ordinary; the larger number of a pair is then the count.
_MOST_PLIES: Final = 6
#: A cord of more strands than this is a slip of the pen.
MOST_STRANDS: Final = 1000
LENGTH_PER_WEIGHT: Final = "length per weight"


@dataclass(frozen=True)
class System:
    """One numbering system; exactly one of the three sizes is set. `fold` is "count/plies", "plies/count", "either" or ""."""

    name: str
    words: tuple[str, ...]
    source: str
    tex_per_unit: float | None = None
    yards_per_pound: float | None = None
    metres_per_kilogram: float | None = None
    fold: str = ""
    resultant: bool = False
    note: str = ""

    @property
    def direct(self) -> bool:
        """Whether a larger number is a thicker yarn."""
        return self.tex_per_unit is not None

    def m_per_g(self, number: float) -> float:
        """Metres per gram of a yarn of this number."""
        if self.tex_per_unit is not None:
            return 1000 / (number * self.tex_per_unit)
        return number * self._m_per_g_of_one

    def number(self, m_per_g: float) -> float:
        """This system's number of a yarn of so many metres per gram."""
        if self.tex_per_unit is not None:
            return 1000 / (m_per_g * self.tex_per_unit)
        return m_per_g / self._m_per_g_of_one

    @property
    def _m_per_g_of_one(self) -> float:
        if self.yards_per_pound is not None:
            return self.yards_per_pound * _METRES_PER_GRAM_OF_YARD_PER_POUND
        return (self.metres_per_kilogram or 0.0) / 1000


@cache
def systems() -> tuple[System, ...]:
    """Every numbering system, from the table."""
    return tuple(System(**(row | {"words": tuple(row["words"])})) for row in _table()["system"])


@cache
def system_named(name: str) -> System | None:
    """The system of that name; None for a length per weight, or strands of several systems."""
    return next((system for system in systems() if system.name == name), None)


@cache
def _questions() -> dict[str, str]:
    return {word: row["ask"] for row in _table()["question"] for word in row["words"]}


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("numbering.toml").read_text(encoding="utf-8"))


@cache
def _by_word() -> dict[str, System]:
    return {word: system for system in systems() for word in system.words}


def in_every_system(m_per_g: float) -> dict[str, float]:
    """The yarn's number in every system, by the system's name."""
    return {system.name: system.number(m_per_g) for system in systems()}


def read_count(part: str) -> Construction:
    """A count or a length per weight as one strand, or as the strands a pair such as 8/2 stands for."""
    try:
        ratio = Grist.read(part).m_per_g
        return Single(ratio, typed=part, system=LENGTH_PER_WEIGHT)
    except QuantityError as refusal:
        if not refusal.other_kind and not _names_a_system(part):
            raise
    if _is_wraps(part):
        raise Ask(_questions()["wraps"])
    number, word = _number_and_word(part) if part.lower() not in _questions() else ("", part.lower())
    if word in _questions():
        raise Ask(_questions()[word])
    if word not in _by_word():
        raise NumberError(_no_system(part, word))
    return _counted(number, _by_word()[word], part)


def _names_a_system(part: str) -> bool:
    """Whether the words after the number are a system's own, as gr/120 yd are, though gr alone is a question."""
    found = re.fullmatch(rf"{NUMBER}\s*(.+)", part)
    return found is not None and found[1].lower() in _by_word()


def _is_wraps(part: str) -> bool:
    try:
        ThreadsPerLength.read(part)
    except QuantityError:
        return False
    return True


def _number_and_word(part: str) -> tuple[str, str]:
    """The number part and the system's word, from "8/2 Ne", "Nm 2/17" or "R 69.3 tex"."""
    folds = rf"{PLAIN}\s*(?:/|-)\s*\d+|{NUMBER}"
    if found := re.fullmatch(rf"R\s*({PLAIN})\s*((?:d|k)?tex)", part, re.IGNORECASE):
        return found[1], found[2].lower()
    if found := re.fullmatch(rf"({folds})(?:'?s)?\s*([^\d\s].*)?", part, re.IGNORECASE):
        return found[1], (found[2] or "").lower().strip()
    if found := re.fullmatch(rf"([A-Za-z][A-Za-z ]*?)\s*({folds})(?:'?s)?", part):
        return found[2], found[1].lower()
    raise NumberError("it is not a yarn number")


def _no_system(part: str, word: str) -> str:
    if not word:
        return f"{part} is a count without its system; the same figures mean different yarns"
    return f"{word} is no numbering system that is known here"


def _counted(text: str, system: System, typed: str) -> Construction:
    count, plies = _single_and_plies(text, system)
    if not (count > 0 and math.isfinite(count)) or plies < 1:
        raise NumberError("a yarn number is more than nothing, and can be measured")
    if system.resultant and plies > 1:
        count *= plies
    single = Single(system.m_per_g(count), typed=typed, system=system.name, count=count)
    if not (single.m_per_g > 0 and math.isfinite(single.m_per_g) and math.isfinite(1 / single.m_per_g)):
        raise NumberError("a yarn number is more than nothing, and can be measured")
    return Folded((single,) * plies, counted_whole=system.resultant) if plies > 1 else single


def _single_and_plies(text: str, system: System) -> tuple[float, int]:
    """The count as written and how many strands are folded."""
    pair = re.fullmatch(rf"({PLAIN})\s*([/-])\s*(\d+)", text)
    if not pair:
        return read_number(text), 1
    if not system.fold:
        raise Ask(
            f"is {text} a fraction or a folded yarn? Write a fraction as 0.75 or ¾, or every strand with a + between"
        )
    if system.direct and pair[2] == "-":
        raise Ask(f"is {text} a range or a folded yarn? Write 34 tex x 2 for two strands")
    return _fold(read_number(pair[1]), float(pair[3]), system)


def _fold(first: float, second: float, system: System) -> tuple[float, int]:
    """Which of two numbers is the count: the larger, unless custom and size disagree, which is a question."""
    count, plies = (second, first) if system.fold == "plies/count" else (first, second)
    if system.resultant and plies > count:
        size, strands, word = max(first, second), min(first, second), system.words[0]
        raise Ask(
            f"is {size:g} the count of the finished yarn, as is the custom, or of each strand? "
            f"Write {size:g}/{strands:g} {word} or {size:g} {word} x {strands:g}"
        )
    if system.fold == "either" or plies > count:
        count, plies = max(first, second), min(first, second)
        if system.fold != "either" and count <= _MOST_PLIES:
            raise Ask(f"which number is the count and which the plies? {_WRITE}")
    if plies > _MOST_PLIES:
        raise Ask(f"which number is the count and which the plies? {_WRITE}")
    if plies != int(plies):
        raise NumberError(f"{plies:g} plies cannot be")
    return count, int(plies)


_WRITE: Final = "Write the strands, as 30s cotton x 2 or 3s cotton + 3s cotton"
