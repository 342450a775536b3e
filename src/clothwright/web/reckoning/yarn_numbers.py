"""Yarn numbers as the page shows them: each in every system, with the sum behind it, or the question to answer.

Everything is worked out by the yarn room; here it is put in words. Where a text can be read in more than one way, the
page offers every reading that would be understood.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from clothwright.measure import QuantityError, plainly
from clothwright.yarn import (
    Step,
    YarnNumber,
    diameter_rules,
    diameter_working,
    fold_to_single,
    possible_answers,
    read_yarn,
    single_to_fold,
    system_working,
    working,
    yarn_notes,
)

MOST_YARNS: Final = 20


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
    written: tuple[str, ...] = ()
    lengths: tuple[Line, ...] = ()
    how_read: tuple[Line, ...] = ()
    numbers: tuple[Line, ...] = ()
    diameters: tuple[Line, ...] = ()
    notes: tuple[str, ...] = ()
    problem: str = ""
    answers: tuple[str, ...] = ()


def shown_yarns(text: str) -> tuple[ShownYarn, ...]:
    """An answer for each line typed, in order; no more than `MOST_YARNS`."""
    return tuple(shown_yarn(line) for line in lines_of(text))


def lines_of(text: str) -> list[str]:
    """The yarn numbers of a text, one to a line; a semicolon belongs to a number that holds its resultant."""
    lines = (line.strip() for line in re.split(r"[\n\r]+", text))
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
        written=tuple(dict.fromkeys((single_to_fold(yarn), fold_to_single(yarn)))),
        lengths=_lengths(yarn),
        how_read=tuple(_line(step) for step in working(yarn)),
        numbers=tuple(Line(step.step, _shown(step.value), step.sum) for step in system_working(yarn)),
        diameters=_diameters(yarn),
        notes=yarn_notes(yarn),
    )


def _read_as(yarn: YarnNumber) -> str:
    strands = len(yarn.strands_m_per_g)
    return f"{yarn.system}, {strands} strands" if strands > 1 else yarn.system


def _line(step: Step) -> Line:
    """A step of the working; its unit is left out where the step is called by it."""
    unit = "" if step.unit in step.step else f" {step.unit}"
    return Line(step.step, f"{_shown(step.value)}{unit}", step.sum)


def _shown(value: float) -> str:
    """A number to four places that count, a large one whole and in thousands."""
    return plainly(value, 4) if value < 10_000 else f"{value:,.0f}".replace(",", "\u00a0")


def _lengths(yarn: YarnNumber) -> tuple[Line, ...]:
    per_kg = plainly(yarn.m_per_g * 1000, 6)
    return (
        Line("metres per kg", _shown(yarn.m_per_g * 1000), ""),
        Line("metres per 100 g", _shown(yarn.m_per_g * 100), f"{per_kg} ÷ 10"),
    )


def _diameters(yarn: YarnNumber) -> tuple[Line, ...]:
    """For each rule the diameter, by way of the threads that touch."""
    steps = diameter_working(yarn)
    return tuple(
        Line(
            rule.name,
            f"{plainly(across.value, 3)} mm",
            f"{touching.sum} = {plainly(touching.value, 6)} touching to the inch; {across.sum}",
        )
        for rule, touching, across in zip(diameter_rules(), steps[::2], steps[1::2], strict=True)
    )
