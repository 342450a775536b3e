"""Yarn numbers as the page shows them: each in every system, with the sum behind it, or the question to answer.

Everything is worked out by the yarn room; here it is put in words. Where a text can be read in more than one way, the
page offers every reading that would be understood.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from clothwright.measure import GRAMS_PER_POUND, QuantityError
from clothwright.sheets.wording import figures
from clothwright.yarn import System, YarnNumber, diameter_rules, read_yarn, systems

MOST_YARNS: Final = 20
_YARDS_PER_POUND_OF_M_PER_G: Final = GRAMS_PER_POUND / 0.9144
#: What may follow a count that came without its system, as the page offers it.
_SYSTEMS_TO_ASK: Final = ("Nm", "cotton", "worsted", "lea")


@dataclass(frozen=True)
class Line:
    """One line of an answer: what, how much, and the sum."""

    what: str
    value: str
    sum: str


@dataclass(frozen=True)
class ShownYarn:
    """A yarn's number in every system, or the sentence why there is none with the answers to choose from."""

    typed: str
    read_as: str = ""
    how_read: tuple[str, ...] = ()
    lengths: tuple[Line, ...] = ()
    numbers: tuple[Line, ...] = ()
    diameters: tuple[Line, ...] = ()
    problem: str = ""
    answers: tuple[str, ...] = ()


def shown_yarns(text: str) -> tuple[ShownYarn, ...]:
    """An answer for each line typed, in order; no more than `MOST_YARNS`."""
    return tuple(shown_yarn(line) for line in lines_of(text))


def lines_of(text: str) -> list[str]:
    """The yarn numbers of a text, one to a line or with a semicolon between."""
    lines = (line.strip() for line in re.split(r"[;\n\r]+", text))
    return [line[:200] for line in lines if line][:MOST_YARNS]


def shown_yarn(text: str) -> ShownYarn:
    """One yarn number in every system, or the question it leaves open."""
    try:
        yarn = read_yarn(text)
    except QuantityError as error:
        return ShownYarn(text, problem=str(error), answers=possible_answers(text, error))
    return ShownYarn(
        text,
        read_as=_read_as(yarn),
        how_read=tuple(_how_read(yarn)),
        lengths=_lengths(yarn),
        numbers=tuple(_number(system, yarn.m_per_g) for system in systems()),
        diameters=_diameters(yarn.m_per_g),
    )


def possible_answers(text: str, error: QuantityError) -> tuple[str, ...]:
    """Texts that would be understood, for one that was not: those the question names, else the count with each system."""
    named = [part.strip(" .") for part in re.split(r",| or ", str(error).rpartition("rite ")[2])]
    word = re.sub(r"^[\d./\s-]+", "", text).strip()
    found = [one for one in named if word and word in one and _is_read(one)] or [
        one for one in _without_comma(text) if _is_read(one)
    ]
    if not found and not word:
        found = [one for one in (f"{text} {system}" for system in _SYSTEMS_TO_ASK) if _is_read(one)]
    return tuple(dict.fromkeys(found))


def _without_comma(text: str) -> list[str]:
    """Both readings of a number such as 1,700, where the text has one."""
    return [re.sub(r"(\d),(\d{3})", between, text) for between in (r"\1\2", r"\1.\2")] if "," in text else []


def _is_read(text: str) -> bool:
    try:
        read_yarn(text)
    except QuantityError:
        return False
    return True


def _read_as(yarn: YarnNumber) -> str:
    strands = len(yarn.strands_m_per_g)
    return f"{yarn.system}, {strands} strands" if strands > 1 else yarn.system


def _how_read(yarn: YarnNumber) -> list[str]:
    """The sums from what was typed to metres per gram."""
    strands = yarn.strands_m_per_g
    system = next((one for one in systems() if one.name == yarn.system), None)
    if len(strands) == 1:
        return [_from_number(system, strands[0])] if system else []
    weights = " + ".join(f"{figures(1000 / one)} tex" for one in strands[:6])
    more = " + …" if len(strands) > 6 else ""
    first = [f"each strand: {_from_number(system, strands[0])}"] if system else []
    return [*first, f"strands folded together weigh what all of them weigh: {weights}{more} = {figures(yarn.tex)} tex"]


def _from_number(system: System, m_per_g: float) -> str:
    """A number of a system, as metres per gram."""
    number, result = figures(system.number(m_per_g)), f"{figures(m_per_g)} m/g"
    if system.tex_per_unit is not None:
        return f"{number} × {figures(system.tex_per_unit)} g per km: 1000 ÷ {figures(1000 / m_per_g)} = {result}"
    if system.yards_per_pound is not None:
        yards = figures(system.number(m_per_g) * system.yards_per_pound)
        return f"{number} × {system.yards_per_pound:g} yd/lb = {yards} yd/lb; × 0.9144 m ÷ 453.59237 g = {result}"
    return f"{number} × {system.metres_per_kilogram:g} m/kg ÷ 1000 = {result}"


def _lengths(yarn: YarnNumber) -> tuple[Line, ...]:
    m_per_g = yarn.m_per_g
    yards = m_per_g * _YARDS_PER_POUND_OF_M_PER_G
    per_gram = figures(m_per_g)
    return (
        Line("metres per 100 g", figures(m_per_g * 100), f"{per_gram} m/g × 100"),
        Line("metres per kg", figures(m_per_g * 1000), f"{per_gram} m/g × 1000"),
        Line("yards per lb", figures(yards), f"{per_gram} m/g × 453.59237 g ÷ 0.9144 m"),
    )


def _number(system: System, m_per_g: float) -> Line:
    value = figures(system.number(m_per_g))
    if system.tex_per_unit is not None:
        each = "" if system.tex_per_unit == 1 else f" ÷ {figures(system.tex_per_unit)}"
        return Line(system.name, value, f"1000 ÷ {figures(m_per_g)} m/g{each}")
    if system.yards_per_pound is not None:
        yards = figures(m_per_g * _YARDS_PER_POUND_OF_M_PER_G)
        return Line(system.name, value, f"{yards} yd/lb ÷ {system.yards_per_pound:g}")
    return Line(system.name, value, f"{figures(m_per_g * 1000)} m/kg ÷ {system.metres_per_kilogram:g}")


def _diameters(m_per_g: float) -> tuple[Line, ...]:
    yards = figures(m_per_g * _YARDS_PER_POUND_OF_M_PER_G)
    return tuple(
        Line(
            rule.name,
            f"{figures(rule.diameter_mm(m_per_g), 3)} mm",
            f"{figures(rule.k, 3)} × √{yards} = {figures(rule.k * math.sqrt(m_per_g * _YARDS_PER_POUND_OF_M_PER_G), 3)} "
            "touching to the inch; 25.4 mm ÷ that",
        )
        for rule in diameter_rules()
    )
