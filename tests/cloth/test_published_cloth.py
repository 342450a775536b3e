"""Setts, crimp and mass agree with the handbooks and examination papers, and not with answers that are wrong."""

from __future__ import annotations

import math
from collections.abc import Callable

from published import Row, every_row, holds

from clothwright.cloth import closest_sett, crimp, crimps, firmness, grams_per_m2, structure, structures
from clothwright.measure import Length, Ratio, ThreadsPerLength, Weight
from clothwright.yarn import diameter_rules, read_yarn


def _per_inch(rule: str, yarn: str) -> float:
    return 2.54 * next(one for one in diameter_rules() if one.name == rule).diameters_per_cm(read_yarn(yarn).m_per_g)


def _closest(structure_name: str, diameters: float | None, yarn: str, rule: str) -> float:
    touching = diameters if diameters is not None else _per_inch(rule, yarn)
    return closest_sett(touching, structure(structure_name))


def _firmness_share(ends_per_inch: float, yarn: str, structure: str) -> float:
    return ends_per_inch / _closest(structure, None, yarn, "Ashenhurst, firm yarns")


SETTS: dict[str, Callable[..., float]] = {
    "closest_sett": lambda structure, diameters=None, yarn="", rule="": _closest(structure, diameters, yarn, rule),
    "firmness_share": _firmness_share,
    "weave_factor": lambda structure: next(one for one in structures() if one.name == structure).weave_factor,
    "cover_factor_that_touches": lambda rule: _per_inch(rule, "1 Ne"),
    "metric_cover_factor_that_touches": lambda rule: _per_inch(rule, "1 tex") / 2.54 / 10,
    "cover": lambda per_cm, yarn, rule: per_cm * 2.54 / _per_inch(rule, yarn),
    "ends_per_inch": lambda sett: ThreadsPerLength.read(sett).per_cm * 2.54,
}


def _mass(ends: str, picks: str, warp: str, weft: str, warp_crimp: float, weft_crimp: float) -> float:
    mass = grams_per_m2(
        ends_per_cm=ThreadsPerLength.read(ends).per_cm,
        picks_per_cm=ThreadsPerLength.read(picks).per_cm,
        warp_tex=read_yarn(warp).tex,
        weft_tex=read_yarn(weft).tex,
        warp_crimp=warp_crimp,
        weft_crimp=weft_crimp,
    )
    return float(mass)


def _grams_over_area(weight: str, width: str, length: str) -> float:
    return Weight.read(weight).grams / (Length.read(width).cm * Length.read(length).cm / 10_000)


CLOTHS: dict[str, Callable[..., float]] = {
    "crimp": lambda spacing, height, diameters: crimp(spacing, height, diameters),
    "square_crimp": lambda threads_per_cm, diameter_mm: crimps(
        threads_per_cm, threads_per_cm, diameter_mm, diameter_mm
    )[1],
    "grams_per_m2": _mass,
    "grams_over_area": _grams_over_area,
    "share_lost": lambda ratio: 1 - Ratio.read(ratio).expected,
    "to_weave": lambda finished, ratio: Length.read(finished).cm / 2.54 / Ratio.read(ratio).expected,
}


@every_row("sett")
def test_setts_are_the_published_ones(row: Row) -> None:
    """Ashenhurst's closest setts, real cloth as a share of them, and Peirce's cover."""
    holds(row, SETTS)


@every_row("cloth")
def test_crimp_and_mass_are_the_published_ones(row: Row) -> None:
    """Peirce's equations solved exactly, examination papers on mass, losses that divide."""
    holds(row, CLOTHS)


def test_the_words_for_firmness_fit_published_cloth() -> None:
    """Government setts for flowing saris are soft or sewing cloth, firm airplane cloth is firm; never the ends."""
    # India Handloom, Annexure-I, 11.12.2018; dictionary of textile terms, Aeroplane Fabrics
    saris = [
        _firmness_share(ends, f"{count}s cotton", "plain") for count, ends in ((40, 60), (60, 64), (80, 68), (100, 80))
    ]
    assert {firmness(share) for share in saris} <= {"soft, for scarves and blouses", "sewing cloth"}
    assert firmness(_firmness_share(84, "2/80 cotton", "plain")) == "firm, for hard wear"


def test_the_exact_crimp_is_below_the_fitted_one_for_open_cloth() -> None:
    """h = 4/3·p·√c reads 7 to 11 % high in crimp where threads lie three to six diameters apart. By arithmetic."""
    for spacing in (3.0, 4.0, 5.0, 6.0):
        fitted = 9 / 16 * (1.0 / spacing) ** 2
        assert 1.065 < fitted / crimp(spacing, 1.0, 2.0) < 1.115


def test_the_jam_of_square_cloth_is_at_sixty_degrees() -> None:
    """Square plain cloth jams at a spacing of √3 diameters, with a crimp of π/3 ÷ (√3/2) - 1 (F. T. Peirce, 1937)."""
    at_jam = crimp(math.sqrt(3) * (1 + 1e-12), 1.0, 2.0)
    assert abs(at_jam - (math.pi / 3 / (math.sqrt(3) / 2) - 1)) < 1e-5
