"""Yarn numbers and thicknesses agree with the standards and the old books, and not with their misprints."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from published import Row, every_row, holds

from clothwright.cloth import closest_sett, structure
from clothwright.measure import GRAMS_PER_POUND, Length, QuantityError, ThreadsPerLength
from clothwright.yarn import (
    RULER_WRAPS_PER_DIAMETER,
    DiameterRule,
    diameter_rule,
    diameter_rules,
    in_every_system,
    missing_strand,
    read_yarn,
    side_by_side,
)

YARDS_PER_POUND = GRAMS_PER_POUND / 0.9144


def _m_per_g(yarn: str) -> float:
    return read_yarn(yarn).m_per_g


def _number(yarn: str, system: str) -> float:
    return in_every_system(_m_per_g(yarn))[system]


def _pounds_of(length: str, yarn: str) -> float:
    return Length.read(length).cm / 100 / _m_per_g(yarn) / GRAMS_PER_POUND


def _missing_strand(resultant: str, known: str, system: str) -> float:
    return in_every_system(missing_strand(_m_per_g(resultant), _m_per_g(known)))[system]


NUMBERS: dict[str, Callable[..., float]] = {
    "tex": lambda yarn: read_yarn(yarn).tex,
    "number": _number,
    "yards_per_pound": lambda yarn: _m_per_g(yarn) * YARDS_PER_POUND,
    "yards_per_ounce": lambda yarn: _m_per_g(yarn) * YARDS_PER_POUND / 16,
    "metres_per_kilogram": lambda yarn: _m_per_g(yarn) * 1000,
    "pounds_of": _pounds_of,
    "grains_of": lambda length, yarn: _pounds_of(length, yarn) * 7000,
    "missing_strand": _missing_strand,
    "side_by_side": lambda yarn, system: in_every_system(side_by_side(*read_yarn(yarn).strands_m_per_g))[system],
    "folding_contraction": lambda strands, measured: read_yarn(measured).tex / read_yarn(strands).tex - 1,
}


def rule(name: str) -> DiameterRule:
    """The diameter rule of that name."""
    return next(one for one in diameter_rules() if one.name == name)


def _per_inch(rule_name: str, yarn: str) -> float:
    return rule(rule_name).diameters_per_cm(_m_per_g(yarn)) * 2.54


def _closest_from_wraps(wraps_per_inch: float) -> float:
    wraps = ThreadsPerLength.read(f"{wraps_per_inch} wpi").per_cm
    return closest_sett(wraps / RULER_WRAPS_PER_DIAMETER, structure("plain")) * 2.54


def _by_k(k: float) -> DiameterRule:
    return DiameterRule("a constant", k, "the row")


def _cm3_per_g(rule: DiameterRule) -> float:
    return math.pi / 4 * (1 / rule.diameters_per_cm(1.0)) ** 2 * 100


def _by_proportion(known: float, of: str, yarn: str) -> float:
    return known * _per_inch("Taylor, cotton", yarn) / _per_inch("Taylor, cotton", of)


def _mils_by_volume(cm3_per_g: float, yarn: str) -> float:
    k = math.sqrt(_cm3_per_g(_by_k(1.0)) / cm3_per_g)
    return _by_k(k).diameter_mm(_m_per_g(yarn)) / 25.4 * 1000


THICKNESSES: dict[str, Callable[..., float]] = {
    "diameters_per_inch": lambda rule, yarn: _per_inch(rule, yarn),
    "diameter_ratio": lambda rule, one, other: _per_inch(rule, other) / _per_inch(rule, one),
    "per_cm_of_root": lambda rule: _per_inch(rule, "1 m/1 kg") / 2.54,
    "k": lambda rule: _per_inch(rule, "1 yd/lb"),
    "k_of_fibre": lambda fibre, made: diameter_rule(fibre, made).k,
    "diameter_cm": lambda rule, yarn: 2.54 / _per_inch(rule, yarn),
    "cm3_per_g": lambda rule: math.pi / 4 * (2.54 / _per_inch(rule, "1 m/g")) ** 2 * 100,
    "cm3_per_g_by_k": lambda k: _cm3_per_g(_by_k(k)),
    "per_cm_of_root_by_k": lambda k: _by_k(k).diameters_per_cm(1 / 1000),
    "by_proportion": _by_proportion,
    "mils_by_volume": _mils_by_volume,
    "closest_from_wraps": _closest_from_wraps,
    "ruler_share": lambda wraps_per_inch, yarn, rule: wraps_per_inch / _per_inch(rule, yarn),
}


@every_row("yarn")
def test_yarn_numbers_are_the_published_ones(row: Row) -> None:
    """ASTM D2260, Brooks, Taylor, Dooley and Davis are answered to the digit they print."""
    holds(row, NUMBERS)


@every_row("diameter")
def test_thicknesses_are_the_published_ones(row: Row) -> None:
    """Ashenhurst's, Taylor's and Peirce's rules give what their tables print."""
    holds(row, THICKNESSES)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        # W. Davis has a Galashiels cut of 200 yd/lb, ASTM D2260 a woollen cut of 300.
        ("15 cut", ("15 cut (300)", "15 cut (200)")),
        # W. H. Dooley: spun silk 50-2 is a 50s, where cotton 50/2 is a 25s.
        ("40/2 silk", ("40/2 spun silk", "denier")),
        ("2/20 spun silk", ("20/2 spun silk or 20 spun silk x 2",)),
        ("30/20 cotton", ("which number is the count",)),
        ("2/40", ("without its system",)),
        ("8/2 cotton +", ("“8/2 cotton +”", "between two strands")),
        ("+ 20 Nm", ("between two strands",)),
        ("(20 Nm + ) x 2", ("between two strands",)),
        ("8/2", ("without its system",)),
        ("20s", ("without its system",)),
        ("12 skein", ("Yorkshire", "metres and grams")),
        ("8 wpi", ("metres and grams",)),
        ("4-ply", ("metres and grams",)),
        ("aran", ("metres and grams",)),
        ("2/8 run", ("fraction", "folded")),
        ("60-70 tex", ("range", "34 tex x 2")),
        ("20/18 Nm", ("which number is the count",)),
        ("2/3 cotton", ("which number is the count",)),
        ("20 bananas", ("no numbering system",)),
        ("R 200/2 tex", ("not a yarn number",)),
        ("0 Nm", ("more than nothing",)),
        ("34 tex x 99999999999", ("cannot be folded",)),
        ("9" * 400 + " tex", ("more than nothing",)),
        ("8/" + "9" * 400 + " cotton", ("8/",)),
    ],
    ids=lambda value: str(value)[:25],
)
def test_an_unclear_count_is_a_question(text: str, words: tuple[str, ...]) -> None:
    """What can mean two yarns is asked, in words that show how to answer."""
    with pytest.raises(QuantityError) as caught:
        read_yarn(text)
    for word in words:
        assert word in str(caught.value)
