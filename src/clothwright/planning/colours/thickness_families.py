"""Yarns of one warp grouped by thickness and fibre, since yarns unlike one another stretch and shrink unlike one another.

A family holds yarns of one fibre group of which the thickest is at most a fifth thicker than the thinnest. Thickness is by
wraps where every yarn has them, else by √(grams per metre), which is as the diameter where yarns are equally dense.

*Source:* common practice, no source; the share of a fifth, and that odd yarns are to be spread, are our own choice.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from clothwright.evidence import fibre_group
from clothwright.yarn import Lot

_MOST_THICKER: Final = 1.2


@dataclass(frozen=True)
class Family:
    """Yarns that may lie side by side without a thought: their fibre group, and their names from thin to thick."""

    fibre: str
    yarns: tuple[str, ...]


def thickness_families(lots: Sequence[Lot]) -> tuple[Family, ...]:
    """The yarns by family, the largest first."""
    thick = _thickness(lots)
    found: list[list[Lot]] = []
    for lot in sorted(lots, key=lambda one: (fibre_group(one.fibre), thick[one.name])):
        family = found[-1] if found else None
        if family and _alike(family[0], lot, thick):
            family.append(lot)
        else:
            found.append([lot])
    families = (Family(fibre_group(one[0].fibre), tuple(lot.name for lot in one)) for one in found)
    return tuple(sorted(families, key=lambda family: -len(family.yarns)))


def _alike(thinnest: Lot, lot: Lot, thick: dict[str, float]) -> bool:
    same_fibre = fibre_group(thinnest.fibre) == fibre_group(lot.fibre)
    return same_fibre and thick[lot.name] <= _MOST_THICKER * thick[thinnest.name] * (1 + 1e-9)


def _thickness(lots: Sequence[Lot]) -> dict[str, float]:
    """How thick each yarn is beside the others; no unit."""
    if all(lot.wraps_per_cm for lot in lots):
        return {lot.name: 1 / (lot.wraps_per_cm or 1.0) for lot in lots}
    return {lot.name: 1 / math.sqrt(_m_per_g(lot)) for lot in lots}


def _m_per_g(lot: Lot) -> float:
    """Metres per gram of a lot, by the balls where each has its own."""
    return sum(lot.ball_m_per_g(ball) * lot.ball_grams(ball) for ball in lot.balls) / lot.grams


def unlike_yarns(lots: Sequence[Lot]) -> tuple[str, ...]:
    """The yarns outside the largest family, which may go slack or draw in otherwise than the rest."""
    return tuple(yarn for family in thickness_families(lots)[1:] for yarn in family.yarns)


def odd_yarn_notes(lots: Sequence[Lot], spread: Collection[str] = ()) -> Iterator[str]:
    """What to do about yarns unlike the others of a warp; nothing where all are of one family.

    `spread`: yarns that the order spreads evenly already.
    """
    first, *others = thickness_families(lots) or (Family("", ()),)
    for family in others:
        names = ", ".join(family.yarns)
        yield (
            f"{names}: of another fibre than most yarns of this warp, or more than a fifth thicker or thinner, so that it may "
            f"stretch and shrink otherwise ({', '.join(first.yarns)} are alike). {_spreading(family, spread)}, and wash a sample of all the yarns."
        )


def _spreading(family: Family, spread: Collection[str]) -> str:
    if set(family.yarns) <= set(spread):
        return "The order spreads its ends evenly along the width: keep them so"
    return "Spread its ends, no more than 2 to 4 together (the rule “spread evenly” does)"
