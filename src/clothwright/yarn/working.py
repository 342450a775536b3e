"""The working of a yarn's numbers: each step as a person would do it, with the figures that stand on the paper.

Figures are written to six places that count; the next step uses the figure exactly, so that a reader with a calculator
comes to the same answer to five.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from clothwright.measure import GRAMS_PER_POUND, length_and_weight, plainly
from clothwright.yarn.construction import Construction, Folded, Single, YarnNumber, singles
from clothwright.yarn.diameter import diameter_rules
from clothwright.yarn.numbering import System, system_named, systems

_EXACT: Final = "by definition: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg"
_WEIGHTS_ADD: Final = "strands twisted together weigh what all of them weigh"
_YARDS_PER_POUND: Final = GRAMS_PER_POUND / 0.9144


@dataclass(frozen=True)
class Step:
    """One line of working: what it gives, the sum, its value and unit, and where the rule is from."""

    step: str
    sum: str
    value: float
    unit: str
    source: str


def working(yarn: YarnNumber) -> tuple[Step, ...]:
    """How the yarn's metres per kilogram, yards per pound and tex follow from what was typed."""
    made = yarn.construction or Single(yarn.m_per_g)
    return (*_made(made), *_taken_up(yarn), *_plain_numbers(yarn))


def system_working(yarn: YarnNumber) -> tuple[Step, ...]:
    """The sum that gives the yarn's number in every system."""
    return tuple(_in_system(yarn, system) for system in systems())


def diameter_working(yarn: YarnNumber) -> tuple[Step, ...]:
    """Threads that touch, per inch, by each named rule, and the diameter that is."""
    return tuple(step for rule in diameter_rules() for step in _diameter(yarn, rule.name, rule.k, rule.source))


def _diameter(yarn: YarnNumber, name: str, k: float, source: str) -> Iterator[Step]:
    yards = yarn.m_per_g * _YARDS_PER_POUND
    per_inch = k * yards**0.5
    yield Step(f"diameters to the inch, {name}", f"{_six(k)} × √{_six(yards)}", per_inch, "per in", source)
    yield Step(f"diameter, {name}", f"25.4 ÷ {_six(per_inch)}", 25.4 / per_inch, "mm", source)


def _six(value: float) -> str:
    return plainly(value, 6)


def _made(made: Construction) -> Iterator[Step]:
    """Metres per kilogram of a yarn, its unlike strands one after the other."""
    if isinstance(made, Single):
        yield from _single(made)
        return
    yield from _numbered_when_finished(made)
    for part in dict.fromkeys(made.parts):
        yield from _made(part)
    yield _folding(made)


def _numbered_when_finished(made: Folded) -> Iterator[Step]:
    """English spun silk is numbered as it is when folded: 40/2 is made of two 80s."""
    first = made.parts[0]
    if not isinstance(first, Single) or first.count is None:
        return
    system = system_named(first.system)
    if system and system.resultant and re.search(r"\d\s*[/-]\s*\d", first.typed):
        plies = len(made.parts)
        said = f"{_six(first.count / plies)} × {plies}"
        yield Step(
            "count of each strand: the number is the finished yarn's", said, first.count, system.name, system.source
        )


def _folding(made: Folded) -> Step:
    metres = [part.m_per_g * 1000 for part in made.parts]
    words = f"{len(metres)} strands folded" if all(isinstance(part, Single) for part in made.parts) else "cabled"
    if len(set(metres)) == 1:
        said = f"{_six(metres[0])} ÷ {len(metres)}"
    else:
        said = f"1 ÷ ({' + '.join(f'1 ÷ {_six(one)}' for one in metres)})"
    return Step(words, said, made.m_per_g * 1000, "m/kg", _WEIGHTS_ADD)


def _single(strand: Single) -> Iterator[Step]:
    metres = strand.m_per_g * 1000
    system = system_named(strand.system)
    if system and strand.count is not None:
        yield from _counted(strand, strand.count, system)
    elif both := _typed_ratio(strand.typed):
        length, weight = both
        yield Step("length", strand.typed, length, "m", _EXACT)
        yield Step("weight", strand.typed, weight, "g", _EXACT)
        yield Step("metres per kg", f"1000 × {_six(length)} ÷ {_six(weight)}", length / weight * 1000, "m/kg", _EXACT)
    else:
        yield Step(
            "metres per kg", strand.typed or f"1000000 ÷ {_six(1000 / strand.m_per_g)}", metres, "m/kg", "as typed"
        )


def _typed_ratio(text: str) -> tuple[float, float] | None:
    try:
        return length_and_weight(text)
    except ValueError:
        return None


def _counted(strand: Single, count: float, system: System) -> Iterator[Step]:
    """From a count to metres per kilogram, by the system's unit."""
    metres = strand.m_per_g * 1000
    if system.tex_per_unit is not None:
        tex = 1000 / strand.m_per_g
        if system.tex_per_unit != 1:
            yield Step(
                f"tex of {_six(count)} {system.name}",
                f"{_six(count)} × {_six(system.tex_per_unit)}",
                tex,
                "tex",
                system.source,
            )
        yield Step("metres per kg", f"1000000 ÷ {_six(tex)}", metres, "m/kg", "tex is grams per 1000 m")
    elif system.yards_per_pound is not None:
        yards = strand.m_per_g * _YARDS_PER_POUND
        said = f"{_six(count)} × {_six(system.yards_per_pound)}"
        yield Step(f"yards per lb of {_six(count)} {system.name}", said, yards, "yd/lb", system.source)
        yield Step("metres per kg", f"{_six(yards)} × 0.9144 ÷ 0.45359237", metres, "m/kg", _EXACT)
    else:
        said = f"{_six(count)} × {_six(system.metres_per_kilogram or 0)}"
        yield Step(f"metres per kg of {_six(count)} {system.name}", said, metres, "m/kg", system.source)


def _taken_up(yarn: YarnNumber) -> Iterator[Step]:
    """What folding took up, and the yarn with it."""
    if yarn.take_up is None:
        return
    nominal, tex = 1000 / yarn.nominal_m_per_g, yarn.tex
    yield Step("tex of the strands", f"1000000 ÷ {_six(yarn.nominal_m_per_g * 1000)}", nominal, "tex", _WEIGHTS_ADD)
    if yarn.take_up_from == "measured":
        said = f"{_six(tex)} ÷ {_six(nominal)} - 1"
        yield Step("folding take-up", said, yarn.take_up, "of the strands' tex", "as measured: R against the strands")
    else:
        yield Step("tex with take-up", f"{_six(nominal)} × (1 + {_six(yarn.take_up)})", tex, "tex", "take-up as stated")
    yield Step(
        "metres per kg of the folded yarn", f"1000000 ÷ {_six(tex)}", yarn.m_per_g * 1000, "m/kg", "by definition"
    )


def _plain_numbers(yarn: YarnNumber) -> Iterator[Step]:
    metres = yarn.m_per_g * 1000
    yards = yarn.m_per_g * _YARDS_PER_POUND
    yield Step("tex", f"1000000 ÷ {_six(metres)}", yarn.tex, "tex", "tex is grams per 1000 m")
    yield Step("yards per lb", f"{_six(metres)} × 0.45359237 ÷ 0.9144", yards, "yd/lb", _EXACT)


def _in_system(yarn: YarnNumber, system: System) -> Step:
    value = system.number(yarn.m_per_g)
    if system.tex_per_unit is not None:
        said = f"{_six(yarn.tex)} ÷ {_six(system.tex_per_unit)}"
    elif system.yards_per_pound is not None:
        said = f"{_six(yarn.m_per_g * _YARDS_PER_POUND)} ÷ {_six(system.yards_per_pound)}"
    else:
        said = f"{_six(yarn.m_per_g * 1000)} ÷ {_six(system.metres_per_kilogram or 0)}"
    return Step(system.name, said, value, system.name, system.source)


def missing_working(resultant: YarnNumber, known: tuple[YarnNumber, ...], answer_m_per_g: float) -> tuple[Step, ...]:
    """How the strand follows that makes the resultant with those known: 1/A = 1/R − 1/B."""
    lines = [*working(resultant), *(step for yarn in known for step in working(yarn))]
    taken = " - ".join(f"1 ÷ {_six(yarn.m_per_g * 1000)}" for yarn in known)
    said = f"1 ÷ (1 ÷ {_six(resultant.m_per_g * 1000)} - {taken})"
    lines.append(
        Step(
            "the missing strand",
            said,
            answer_m_per_g * 1000,
            "m/kg",
            "W. Davis, Hosiery Manufacture: A = R·B ÷ (B - R)",
        )
    )
    system = system_named(singles(resultant.construction)[0].system) if resultant.construction else None
    if system and system_named(resultant.system):
        lines.append(_in_system(YarnNumber("", answer_m_per_g, (answer_m_per_g,), system.name), system))
    return tuple(lines)
