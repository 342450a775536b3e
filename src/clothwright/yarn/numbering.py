"""Yarn numbers: every system a handweaver meets, read from text and written in any other.

A *direct* number weighs a length (tex: grams per kilometre), an *indirect* one measures a weight (Nm: kilometres per
kilogram; the English counts: hanks per pound). All become metres per gram here.

Folded yarns. Two strands twisted together weigh what both weigh, so direct numbers add and indirect ones combine as
1/R = 1/A + 1/B. Custom writes 8/2 in cotton (count before plies), 2/16 in worsted (plies before count), either in Nm.
English spun silk writes the finished yarn's count first, so 40/2 is a 40s. Folding itself takes up some length; it
is not in these numbers, so a measured yarn is better than a reckoned one.

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

from clothwright.measure import GRAMS_PER_POUND, Grist, QuantityError
from clothwright.measure.numbers import NUMBER, PLAIN, Ask, NumberError, read_number

ACCEPTED: Final = "220 m/100 g, 1700 yd/lb, 8/2 cotton, 2/16 worsted, 2/17 Nm, R 69.3 tex, 34 tex x 2 or 15 cut (300)"
_METRES_PER_GRAM_OF_YARD_PER_POUND: Final = 0.9144 / GRAMS_PER_POUND
#: A fold of this many plies or fewer is ordinary; the larger number of a pair is then the count.
_MOST_PLIES: Final = 6
#: A cord of more strands than this is a slip of the pen.
_MOST_STRANDS: Final = 1000


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


@dataclass(frozen=True)
class YarnNumber:
    """A yarn's number as typed; `m_per_g` is of the finished yarn, `strands_m_per_g` of each strand folded into it."""

    typed: str
    m_per_g: float
    strands_m_per_g: tuple[float, ...]
    system: str

    @property
    def tex(self) -> float:
        """Grams per kilometre of the finished yarn."""
        return 1000 / self.m_per_g


@cache
def systems() -> tuple[System, ...]:
    """Every numbering system, from the table."""
    return tuple(System(**(row | {"words": tuple(row["words"])})) for row in _table()["system"])


@cache
def _questions() -> dict[str, str]:
    return {word: row["ask"] for row in _table()["question"] for word in row["words"]}


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("numbering.toml").read_text(encoding="utf-8"))


@cache
def _by_word() -> dict[str, System]:
    return {word: system for system in systems() for word in system.words}


def read_yarn(text: str) -> YarnNumber:
    """The number of a yarn, single or folded, as typed; QuantityError, with the question, when unclear."""
    text = text.strip()
    try:
        strands = [_strand(part.strip(), text) for part in re.split(r"\s+\+\s+", text)]
    except NumberError as error:
        raise QuantityError.because(text, error, ACCEPTED) from None
    if len(strands) == 1:
        return strands[0]
    every = tuple(one for strand in strands for one in strand.strands_m_per_g)
    return YarnNumber(text, folded(*(strand.m_per_g for strand in strands)), every, "folded")


def read_grist(text: str) -> Grist:
    """Metres per gram from a label, a ratio with or without a spread, or a count; the text is kept."""
    try:
        return Grist.read(text)
    except QuantityError as refusal:
        if not refusal.other_kind:
            raise
    return Grist.exactly(read_yarn(text).m_per_g, text.strip())


def folded(*strands_m_per_g: float) -> float:
    """Metres per gram of strands folded together, folding take-up not included: 1/R = 1/A + 1/B + …"""
    return 1 / sum(1 / strand for strand in strands_m_per_g)


def missing_strand(resultant_m_per_g: float, known_m_per_g: float) -> float:
    """The strand that makes the resultant with a known one: A = R·B/(B − R). *Source*: W. Davis."""
    if known_m_per_g <= resultant_m_per_g:
        raise ValueError("the known strand is already as thick as the folded yarn")
    return resultant_m_per_g * known_m_per_g / (known_m_per_g - resultant_m_per_g)


def in_every_system(m_per_g: float) -> dict[str, float]:
    """The yarn's number in every system, by the system's name."""
    return {system.name: system.number(m_per_g) for system in systems()}


def _strand(part: str, whole: str) -> YarnNumber:
    try:
        ratio = Grist.read(part).m_per_g
        return YarnNumber(whole, ratio, (ratio,), "length per weight")
    except QuantityError as refusal:
        if not refusal.other_kind:
            raise
    number, word = _number_and_word(part) if part.lower() not in _questions() else ("", part.lower())
    if word in _questions():
        raise Ask(_questions()[word])
    if word not in _by_word():
        raise NumberError(_no_system(part, word))
    return _numbered(number, _by_word()[word], whole)


def _number_and_word(part: str) -> tuple[str, str]:
    """The number part and the system's word, from "8/2 Ne", "Nm 2/17", "R 69.3 tex" or "34 tex x 2"."""
    folds = rf"{PLAIN}\s*(?:/|-)\s*\d+|{NUMBER}"
    if found := re.fullmatch(rf"R\s*({PLAIN})\s*((?:d|k)?tex)", part, re.IGNORECASE):
        return found[1], found[2].lower()
    if found := re.fullmatch(rf"({NUMBER})\s*((?:d|k)?tex|den(?:ier)?)\s*[x×]\s*(\d+)", part, re.IGNORECASE):
        return f"{found[1]} x {found[3]}", found[2].lower()
    if found := re.fullmatch(rf"({folds})(?:'?s)?\s*([^\d\s].*)?", part, re.IGNORECASE):
        return found[1], (found[2] or "").lower().strip()
    if found := re.fullmatch(rf"([A-Za-z][A-Za-z ]*?)\s*({folds})(?:'?s)?", part):
        return found[2], found[1].lower()
    raise NumberError("it is not a yarn number")


def _no_system(part: str, word: str) -> str:
    if not word:
        return f"{part} is a count without its system; the same figures mean different yarns"
    return f"{word} is no numbering system that is known here"


def _numbered(text: str, system: System, whole: str) -> YarnNumber:
    single, plies = _single_and_plies(text, system)
    if not (single > 0 and math.isfinite(single)) or plies < 1:
        raise NumberError("a yarn number is more than nothing, and can be measured")
    if plies > _MOST_STRANDS:
        raise NumberError(f"{plies} strands cannot be folded together")
    strand = system.m_per_g(single)
    if system.resultant:
        return YarnNumber(whole, strand, (strand * plies,) * plies, system.name)
    return YarnNumber(whole, strand / plies, (strand,) * plies, system.name)


def _single_and_plies(text: str, system: System) -> tuple[float, int]:
    """The count of one strand and how many are folded."""
    if times := re.fullmatch(rf"({NUMBER})\s*x\s*(\d+)", text):
        return read_number(times[1]), round(min(float(times[2]), _MOST_STRANDS + 1))
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
    if system.fold == "either" or plies > count:
        count, plies = max(first, second), min(first, second)
        if plies > _MOST_PLIES or (system.fold != "either" and count <= _MOST_PLIES):
            raise Ask("which number is the count and which the plies? Write the strands, as 3s cotton + 3s cotton")
    if plies > _MOST_STRANDS or plies != int(plies):
        raise NumberError(f"{plies:g} plies cannot be")
    return count, int(plies)
