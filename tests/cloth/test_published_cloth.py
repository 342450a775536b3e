"""Setts, crimp and mass agree with the handbooks and examination papers, and not with answers that are wrong."""

from __future__ import annotations

import math
from collections.abc import Callable

from published import Row, every_row, holds

from clothwright.cloth import (
    closest_sett,
    cloth_cover,
    cloth_specific_volume,
    cover_factor,
    crimp,
    crimp_of_take_up,
    crimps,
    diameter_mm,
    firmness,
    firmness_named,
    fractional_cover,
    geometry_of_warp_crimp,
    grams,
    grams_per_m2,
    grams_per_m2_of_lengths,
    metric_cover_factor,
    reed_system,
    specific_volume,
    structure,
    structures,
    take_up,
    taylor_take_up,
    thickness,
    warp_metres,
    weft_metres,
)
from clothwright.measure import GRAMS_PER_OUNCE, GRAMS_PER_POUND, Length, Ratio, ThreadsPerLength, Weight
from clothwright.yarn import diameter_rules, read_yarn


def _per_inch(rule: str, yarn: str) -> float:
    return 2.54 * next(one for one in diameter_rules() if one.name == rule).diameters_per_cm(read_yarn(yarn).m_per_g)


def _closest(structure_name: str, diameters: float | None, yarn: str, rule: str) -> float:
    touching = diameters if diameters is not None else _per_inch(rule, yarn)
    return closest_sett(touching, structure(structure_name))


def _firmness_share(ends_per_inch: float, yarn: str, structure: str) -> float:
    return ends_per_inch / _closest(structure, None, yarn, "Ashenhurst, firm yarns")


def _both_covers(per_cm: float, yarn: str, rule: str) -> float:
    cover = fractional_cover(per_cm, 25.4 / _per_inch(rule, yarn))
    return cloth_cover(cover, cover)


def _threads(text: str) -> float:
    return ThreadsPerLength.read(text).per_cm


def _cm(text: str) -> float:
    return Length.read(text).cm


def _tex(text: str) -> float:
    return read_yarn(text).tex


SETTS: dict[str, Callable[..., float]] = {
    "closest_sett": lambda structure, diameters=None, yarn="", rule="": _closest(structure, diameters, yarn, rule),
    "firmness_share": _firmness_share,
    "weave_factor": lambda structure: next(one for one in structures() if one.name == structure).weave_factor,
    "cover_factor_that_touches": lambda rule: _per_inch(rule, "1 Ne"),
    "metric_cover_factor_that_touches": lambda rule: _per_inch(rule, "1 tex") / 2.54 / 10,
    "cover": lambda per_cm, yarn, rule: per_cm * 2.54 / _per_inch(rule, yarn),
    "ends_per_inch": lambda sett: ThreadsPerLength.read(sett).per_cm * 2.54,
    "both_covers": _both_covers,
    "cover_factor": lambda threads, yarn: cover_factor(_threads(threads), _tex(yarn)),
    "cover_factor_ratio": lambda threads, yarn: (
        cover_factor(_threads(threads), _tex(yarn)) / metric_cover_factor(_threads(threads), _tex(yarn))
    ),
    "reed_ends_per_inch": lambda system, number, ends_per_dent=None: (
        reed_system(system).ends_per_cm(number, ends_per_dent) * 2.54
    ),
    "reed_ends": lambda system, number, width: reed_system(system).ends_per_cm(number) * _cm(width),
    "band_middle": lambda use: firmness_named(use).middle_share,
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


def _warp(ends: float, length: str) -> float:
    return warp_metres(ends, _cm(length))


def _weft(picks: str, width: str, length: str) -> float:
    return weft_metres(_threads(picks), _cm(width), _cm(length))


def _warp_ounces(ends: float, length: str, yarn: str) -> float:
    return grams(_warp(ends, length), _tex(yarn)) / GRAMS_PER_OUNCE


def _weft_ounces(picks: str, width: str, length: str, yarn: str) -> float:
    return grams(_weft(picks, width, length), _tex(yarn)) / GRAMS_PER_OUNCE


def _piece_ounces(
    ends: float, warp_length: str, warp: str, size: float, picks: str, width: str, length: str, weft: str
) -> float:
    return _warp_ounces(ends, warp_length, warp) * (1 + size) + _weft_ounces(picks, width, length, weft)


def _mass_of_lengths(
    ends: float, warp_length: str, warp: str, picks: str, reed: str, weft: str, width: str, length: str
) -> float:
    return grams_per_m2_of_lengths(
        warp_m=_warp(ends, warp_length),
        weft_m=_weft(picks, reed, length),
        warp_tex=_tex(warp),
        weft_tex=_tex(weft),
        width_cm=_cm(width),
        length_cm=_cm(length),
    )


def _thickness_of_crimp(ends: float, picks: float, warp: float, weft: float, warp_crimp: float) -> float:
    return geometry_of_warp_crimp(ends, picks, warp, weft, warp_crimp).thickness_mm


CLOTHS: dict[str, Callable[..., float]] = {
    "crimp": lambda spacing, height, diameters: crimp(spacing, height, diameters),
    "square_crimp": lambda threads_per_cm, diameter_mm: crimps(
        threads_per_cm, threads_per_cm, diameter_mm, diameter_mm
    )[1],
    "grams_per_m2": _mass,
    "grams_over_area": _grams_over_area,
    "share_lost": lambda ratio: 1 - Ratio.read(ratio).expected,
    "thickness": lambda warp, weft, warp_height: thickness(warp, weft, warp_height),
    "thickness_of_crimp": _thickness_of_crimp,
    "cloth_specific_volume": lambda mass, **cloth: cloth_specific_volume(_thickness_of_crimp(**cloth), mass),
    "threads_of_metric_cover": lambda factor, tex: factor / metric_cover_factor(1, tex),
    "crimp_percent_of_lengths": lambda yarn, cloth: 100 * crimp_of_take_up(1 - cloth / yarn),
    "take_up_percent_of_lengths": lambda yarn, cloth: 100 * take_up(yarn / cloth - 1),
    "take_up_percent": lambda crimp: 100 * take_up(crimp),
    "yarn_in_cloth": lambda cloth, crimp: cloth / (1 - take_up(crimp)),
    "cloth_from_yarn": lambda yarn, crimp: yarn * (1 - take_up(crimp)),
    "specific_volume": specific_volume,
    "diameter_mils": lambda yarn, volume: diameter_mm(_tex(yarn), volume) / 0.0254,
    "diameter_cm": lambda yarn, volume: diameter_mm(_tex(yarn), volume) / 10,
    "warp_yards": lambda ends, length: _warp(ends, length) / 0.9144,
    "weft_yards": lambda picks, width, length: _weft(picks, width, length) / 0.9144,
    "warp_hanks": lambda ends, length: _warp(ends, length) / 0.9144 / 840,
    "weft_hanks": lambda picks, width, length: _weft(picks, width, length) / 0.9144 / 840,
    "warp_ounces": _warp_ounces,
    "weft_ounces": _weft_ounces,
    "weft_pounds": lambda **weft: _weft_ounces(**weft) / 16,
    "piece_ounces": _piece_ounces,
    "stockport_warp_pounds": lambda number, width, length, yarn: (
        grams(_warp(reed_system("Stockport").ends_per_cm(number) * _cm(width), length), _tex(yarn)) / GRAMS_PER_POUND
    ),
    "mass_of_lengths": _mass_of_lengths,
    "taylor_take_up_percent": lambda crossings, count, weight: 100 * taylor_take_up(crossings, count, weight),
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
    assert firmness(_firmness_share(84, "2/80 cotton", "plain")) == "firm, for upholstery and hard wear"


def test_the_exact_crimp_is_below_the_fitted_one_for_open_cloth() -> None:
    """h = 4/3·p·√c reads 7 to 11 % high in crimp where threads lie three to six diameters apart. By arithmetic."""
    for spacing in (3.0, 4.0, 5.0, 6.0):
        fitted = 9 / 16 * (1.0 / spacing) ** 2
        assert 1.065 < fitted / crimp(spacing, 1.0, 2.0) < 1.115


def test_the_jam_of_square_cloth_is_at_sixty_degrees() -> None:
    """Square plain cloth jams at a spacing of √3 diameters, with a crimp of π/3 ÷ (√3/2) - 1 (F. T. Peirce, 1937)."""
    at_jam = crimp(math.sqrt(3) * (1 + 1e-12), 1.0, 2.0)
    assert abs(at_jam - (math.pi / 3 / (math.sqrt(3) / 2) - 1)) < 1e-5


def test_taylor_reads_below_threads_that_wave_alike() -> None:
    """60 picks of 40s over 32s: Taylor says 4.5 %, equal waves 7.2 % by 4/3·p·√c, 6.8 % solved. By arithmetic."""
    warp, weft = (25.4 / _per_inch("Peirce, cotton", one) for one in ("32s cotton", "40s cotton"))
    alike = crimp(25.4 / 60, (warp + weft) / 2, warp + weft)
    fitted = 9 / 16 * ((warp + weft) / 2 / (25.4 / 60)) ** 2
    assert (round(fitted, 3), round(alike, 3)) == (0.072, 0.068)
    assert taylor_take_up(60, 40, "medium") < alike


def test_plain_weave_takes_up_most_and_satin_least() -> None:
    """80 fabrics of one yarn: plain highest, twill between, satin lowest. M. Y. Ali and M. G. Robbani, BUFT J., abstract at
    https://buft.edu.bd/BJFT/104
    """
    for side in ("crossing_share", "warp_crossing_share"):
        plain, twill, satin = (getattr(structure(name), side) for name in ("plain", "twill 2/2", "satin 5"))
        assert plain > twill > satin
