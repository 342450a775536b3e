"""Sett: how many ends to the cm a yarn and a structure ask for, and which heddles come near.

Two schools. Ruler wraps: half of them for balanced plain weave, two thirds for twill. Calculated diameters: the closest
sett is D·E/(E + I) (Ashenhurst), and cloth is set at a share of it by use. Neither is *the* sett; both say where to
sample. Heddles are the ones owned, exact as printed on them.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.cloth.structure import Structure
from clothwright.measure import ThreadsPerLength

#: A heddle within this factor of the advised sett is worth sampling. Common practice, no source.
NEAR: Final = 1.35


@dataclass(frozen=True)
class Firmness:
    """A band of cloth by its share of the closest sett."""

    name: str
    least_share: float
    most_share: float
    source: str


@dataclass(frozen=True)
class SettCandidate:
    """A heddle and what it leads to: the share of the closest sett, against the advised sett, and the cloth's word."""

    heddle: str
    ends_per_cm: float
    share_of_closest: float | None
    against_advice: float
    firmness: str
    sample_this: bool


def sett_from_wraps(wraps_per_cm: float, structure: Structure) -> float:
    """Ends per cm that ruler wraps suggest for a middling cloth. *Source*: common practice, no source."""
    return wraps_per_cm * structure.wraps_share


def sett_from_both_wraps(warp_per_cm: float, weft_per_cm: float, structure: Structure) -> float:
    """Ends per cm for a warp and weft of unlike thickness: room for each end, and for the weft where it passes between.

    1 ÷ sett = 1 ÷ warp wraps + (I/E) ÷ weft wraps; for one yarn it is wraps·E/(E + I). *Source*: E and I as Ashenhurst.
    """
    return 1 / (1 / warp_per_cm + structure.crossing_share / weft_per_cm)


def closest_sett(diameters_per_cm: float, structure: Structure) -> float:
    """Ends per cm when threads touch: D·E/(E + I). *Source*: T. R. Ashenhurst."""
    return diameters_per_cm * structure.weave_factor


@cache
def usual_heddles() -> dict[str, float]:
    """Heddles and reeds commonly sold, by what is printed on them, ends per cm. *Source*: common practice, no source."""
    table = tomllib.loads(resources.files(__package__).joinpath("heddles.toml").read_text(encoding="utf-8"))
    return {row["printed"]: ThreadsPerLength.read(row["printed"]).per_cm for row in table["heddle"]}


@cache
def firmness_bands() -> tuple[Firmness, ...]:
    """The bands of the table, loosest first."""
    table = tomllib.loads(resources.files(__package__).joinpath("firmness.toml").read_text(encoding="utf-8"))
    return tuple(Firmness(**row) for row in table["band"])


def firmness(share_of_closest: float) -> str:
    """The word for cloth at this share of the closest sett."""
    for band in firmness_bands():
        if share_of_closest < band.most_share:
            return band.name
    return firmness_bands()[-1].name


def candidates(heddles: dict[str, float], advised_per_cm: float, closest_per_cm: float) -> tuple[SettCandidate, ...]:
    """Every heddle (its name and ends per cm), nearest to the advised sett first; near ones are worth sampling."""
    found = [_candidate(name, per_cm, advised_per_cm, closest_per_cm) for name, per_cm in heddles.items()]
    return tuple(sorted(found, key=lambda one: abs(math.log(one.against_advice))))


def _candidate(name: str, per_cm: float, advised: float, closest: float) -> SettCandidate:
    against, share = per_cm / advised, per_cm / closest
    return SettCandidate(name, per_cm, share, against, firmness(share), 1 / NEAR <= against <= NEAR)
