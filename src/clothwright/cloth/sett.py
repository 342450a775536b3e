"""Sett: how many ends to the cm a yarn and a structure ask for, and which heddles come near.

Two schools. Ruler wraps: half of them for balanced plain weave, two thirds for twill. Calculated diameters: the closest
sett is D·E/(E + I) (Ashenhurst), and cloth is set at a share of it by use. Neither is *the* sett; both say where to
sample. Heddles are the ones owned, exact as printed on them.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Final

from clothwright.cloth.cover import cloth_cover
from clothwright.cloth.heddles import HeddleOwned, Section, Threading, threadings
from clothwright.cloth.structure import Structure
from clothwright.measure import CM_PER_INCH, ThreadsPerLength

#: A heddle within this factor of the advised sett is worth sampling. Common practice, no source.
NEAR: Final = 1.35
#: Setts nearer to each other than this factor make one sample. Common practice, no source.
DISTINCT: Final = 1.08
#: A share of the closest sett above which no band has a middle.
_ALL_BUT_TOUCHING: Final = 1.2


@dataclass(frozen=True)
class Firmness:
    """A band of cloth by its share of the closest sett."""

    name: str
    least_share: float
    most_share: float
    uses: str
    hand: str
    source: str

    @property
    def middle_share(self) -> float:
        """The middle of the band; of the closest band, its edge."""
        return (self.least_share + self.most_share) / 2 if self.most_share <= _ALL_BUT_TOUCHING else self.least_share


@dataclass(frozen=True)
class SectionCandidate:
    """A section of a heddle: its ends, their sett, and the word for the cloth there."""

    printed: str
    width_cm: float
    ends: int
    ends_per_cm: float
    firmness: str


@dataclass(frozen=True)
class SettCandidate:
    """A heddle, how it is sleyed, and the cloth's word: its share of the closest sett, and against the advised sett.

    `structure` is what is woven then: two ends in each slot and hole make plain weave a half basket. `cover` is the share
    of the face that both sets of threads cover, with as many picks as ends.
    """

    heddle: str
    ends_per_cm: float
    share_of_closest: float
    against_advice: float
    firmness: str
    sample_this: bool
    sleying: str = "one end in each slot and each hole, or dent"
    order: str = "1"
    structure: str = ""
    cover: float | None = None
    usual: bool = True
    width_cm: float | None = None
    sections: tuple[SectionCandidate, ...] = ()

    @property
    def named(self) -> str:
        """The heddle, with the order of ends where it is not sleyed as usual."""
        return self.heddle if self.usual else f"{self.heddle}, {self.order}"

    @property
    def ends_per_inch(self) -> float:
        """Ends per inch, exactly."""
        return self.ends_per_cm * CM_PER_INCH


@dataclass(frozen=True)
class Thickness:
    """Warp and weft on both scales, each per cm: ruler wraps, and calculated diameters (threads that touch).

    The two scales are kept apart: half the wraps is a sett to weave, half the diameters a sett that cannot be passed.
    """

    warp_wraps: float
    weft_wraps: float
    warp_touching: float
    weft_touching: float

    def advised(self, structure: Structure) -> float:
        """Ends per cm that the wraps suggest for a middling cloth."""
        return sett_from_both_wraps(self.warp_wraps, self.weft_wraps, structure)

    def closest(self, structure: Structure) -> float:
        """Ends per cm at which the threads touch."""
        return closest_sett(self.warp_touching, structure, self.weft_touching)

    def cover(self, ends_per_cm: float) -> float:
        """Share of the face covered with as many picks as ends."""
        return cloth_cover(ends_per_cm / self.warp_touching, ends_per_cm / self.weft_touching)


def sett_from_wraps(wraps_per_cm: float, structure: Structure) -> float:
    """Ends per cm that ruler wraps suggest for a middling cloth. *Source*: common practice, no source."""
    return wraps_per_cm * structure.wraps_share


def sett_from_both_wraps(warp_per_cm: float, weft_per_cm: float, structure: Structure) -> float:
    """Ends per cm for a warp and weft of unlike thickness: room for each end, and for the weft where it passes between.

    1 ÷ sett = 1 ÷ warp wraps + (I/E) ÷ weft wraps; for one yarn it is wraps·E/(E + I). *Source*: E and I as Ashenhurst.
    """
    return 1 / (1 / warp_per_cm + structure.crossing_share / weft_per_cm)


def sett_wrapped_together(together_per_cm: float, structure: Structure, warp_per_cm: float | None = None) -> float:
    """Ends per cm from warp and weft wrapped side by side, turn about, counting the warp's wraps only.

    Wrapped so, a cm holds 1 ÷ (warp's room + weft's room) of each, which is the plain sett itself. Another structure
    takes the weft's room less often, so the warp's own wraps are wanted too; without them the two are taken as alike.
    ValueError when fewer warp wraps alone are claimed than with the weft between them. *Source*: common practice, no source.
    """
    alone = 2 * together_per_cm if warp_per_cm is None else warp_per_cm
    if alone <= together_per_cm:
        raise ValueError("the warp alone wraps no closer than with the weft between")
    weft = 1 / (1 / together_per_cm - 1 / alone)
    return sett_from_both_wraps(alone, weft, structure)


def mixed_wraps(parts: Sequence[tuple[float, float]]) -> float:
    """Wraps per cm of a warp of several yarns, from (share or number of ends, wraps per cm) of each.

    The harmonic mean: it is the widths that add. n ends of w wraps per cm fill n ÷ w cm, so all of them together stand at
    Σn ÷ Σ(n/w); adding the counts instead sets too close, since the thick ends take more of the width than their share.
    """
    return sum(ends for ends, _ in parts) / sum(ends / wraps for ends, wraps in parts)


def closest_sett(diameters_per_cm: float, structure: Structure, weft_per_cm: float | None = None) -> float:
    """Ends per cm when threads touch: D·E/(E + I), a weft of another thickness taking its own room.

    *Source*: T. R. Ashenhurst; for unlike yarns the same count of threads side by side.
    """
    return sett_from_both_wraps(diameters_per_cm, weft_per_cm or diameters_per_cm, structure)


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


def firmness_band(share_of_closest: float) -> Firmness:
    """The band of cloth at this share of the closest sett."""
    bands = firmness_bands()
    return next((band for band in bands if share_of_closest < band.most_share), bands[-1])


def firmness(share_of_closest: float) -> str:
    """The word for cloth at this share of the closest sett."""
    return firmness_band(share_of_closest).name


def firmness_named(word: str) -> Firmness:
    """The band a word of its name or uses means; KeyError with the bands when none does, or more than one."""
    asked = word.strip().lower()
    bands = firmness_bands()
    found = [band for band in bands if asked == band.name] or [band for band in bands if asked and asked in band.name]
    found = found or [band for band in bands if asked and asked in band.uses]
    if len(found) == 1:
        return found[0]
    which = "more than one band is meant" if found else "no such band"
    raise KeyError(f"{word}: {which}; write one of {'; '.join(band.name for band in found or bands)}")


def candidates(
    sleyed: Iterable[Threading], thickness: Thickness, structure: Structure
) -> tuple[tuple[Threading, SettCandidate], ...]:
    """Every heddle as it is sleyed, nearest to the advised sett first; near ones are worth sampling."""
    found = [(one, _sleyed(one, thickness, structure, None)) for one in dict.fromkeys(sleyed)]
    return tuple(sorted(found, key=lambda pair: _away(pair[1])))


def sleyed_candidates(
    heddles: Iterable[HeddleOwned],
    thickness: Thickness,
    structure: Structure,
    wanted: Firmness | None = None,
    typed: Iterable[Threading] = (),
) -> tuple[SettCandidate, ...]:
    """Every heddle sleyed as usual, nearest to the advised sett first; then ways to sley one that come nearer than its usual.

    `wanted` is a band of firmness to come near to instead of what the wraps advise. Heddles `typed` with an order of their
    own stand among the other ways, near or not.
    """
    found = [_sleyed(one, thickness, structure, wanted) for one in threadings(heddles)]
    usual = sorted((one for one in found if one.usual), key=_away)
    as_usual = {one.heddle: _away(one) for one in usual}
    nearer = (one for one in found if not one.usual and one.sample_this and _away(one) < as_usual[one.heddle] - 1e-9)
    asked = (_sleyed(one, thickness, structure, wanted) for one in typed if not one.way.usual)
    return (*usual, *sorted(dict.fromkeys((*asked, *nearer)), key=_away))


def sett_wanted(thickness: Thickness, structure: Structure, wanted: Firmness | None = None) -> float:
    """Ends per cm to come near to: what the wraps advise, or the middle of a band of firmness."""
    return thickness.advised(structure) if wanted is None else wanted.middle_share * thickness.closest(structure)


def worth_sampling(found: Sequence[SettCandidate]) -> tuple[SettCandidate, ...]:
    """One or two to sample first: the nearest, and the nearest to its other side that is plainly another sett.

    Heddles sleyed as usual come before other ways to sley them. Opener first.
    """
    ranked = sorted(found, key=lambda one: (not one.sample_this, not one.usual, _away(one)))
    first = ranked[0]
    closer = first.against_advice <= 1
    for other in ranked[1:]:
        apart = other.against_advice / first.against_advice
        if other.sample_this and (apart if closer else 1 / apart) >= DISTINCT:
            return tuple(sorted((first, other), key=lambda one: one.against_advice))
    return (first,)


def _away(one: SettCandidate) -> float:
    return abs(math.log(one.against_advice))


def woven_when_sleyed(structure: Structure, sleyed: Threading) -> Structure:
    """What is woven: ends in one slot or hole are lifted as one, so two in each make plain weave a half basket."""
    return structure.with_ends_as_one(sleyed.way.order) if sleyed.way.as_one else structure


def _sleyed(one: Threading, thickness: Thickness, structure: Structure, wanted: Firmness | None) -> SettCandidate:
    woven = woven_when_sleyed(structure, one)
    closest = thickness.closest(woven)
    plain = _candidate(one.heddle.printed, one.per_cm, sett_wanted(thickness, woven, wanted), closest)
    return replace(
        plain,
        sleying=one.way.words,
        order=one.way.short,
        structure=woven.name,
        cover=thickness.cover(one.per_cm),
        usual=one.way.usual,
        width_cm=one.heddle.width_cm,
        sections=tuple(
            _section(part, one.way.ends_per_place, closest) for part in one.heddle.sections if part.width_cm
        ),
    )


def _section(part: Section, ends_per_place: float, closest: float) -> SectionCandidate:
    ends_per_cm, width = part.per_cm * ends_per_place, part.width_cm or 0.0
    return SectionCandidate(
        part.printed, width, int(ends_per_cm * width + 1e-9), ends_per_cm, firmness(ends_per_cm / closest)
    )


def _candidate(name: str, per_cm: float, advised: float, closest: float) -> SettCandidate:
    against, share = per_cm / advised, per_cm / closest
    return SettCandidate(name, per_cm, share, against, firmness(share), 1 / NEAR <= against <= NEAR)
