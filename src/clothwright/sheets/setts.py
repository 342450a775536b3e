"""Setts side by side, in words: what each heddle leads to with a yarn, for the pages and the help sheet alike.

The advised and the closest sett come from the cloth room. What follows from a sett for a cloth of some finished width is
reckoned here as a person would: as many picks as ends, ends rounded up to pairs, 5 % more weft than the heddle is wide.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from clothwright.cloth import (
    SettCandidate,
    Structure,
    candidates,
    closest_sett,
    sett_from_both_wraps,
    sett_from_wraps,
)
from clothwright.sheets.pictures.sett import sett_svg
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, THREADS, WEIGHT, YARN, Rounding, percent

#: Weft of a pick over the width in the heddle. Common practice, no source; the same as in the sums by hand.
WEFT_TAKE_UP: Final = 0.05
_CARDS: Final = 6
_LEAST_CARDS: Final = 3


@dataclass(frozen=True)
class SettAsked:
    """A yarn for warp and weft, a weave, the heddles there are, and the cloth wanted.

    `wraps_per_cm` are ruler wraps, `touching_per_cm` threads that touch; `weft_wraps_per_cm` where the weft is another
    yarn. `width_ratio` is finished width over width in the heddle, `m_per_g` is None where nobody said.
    """

    structure: Structure
    wraps_per_cm: float
    touching_per_cm: float
    heddles: Mapping[str, float]
    weft_wraps_per_cm: float | None = None
    finished_width_cm: float | None = None
    width_ratio: float = 0.9
    m_per_g: float | None = None
    imperial: bool = False

    @property
    def advised_per_cm(self) -> float:
        """Ends per cm that the wraps advise."""
        if self.weft_wraps_per_cm is None:
            return sett_from_wraps(self.wraps_per_cm, self.structure)
        return sett_from_both_wraps(self.wraps_per_cm, self.weft_wraps_per_cm, self.structure)

    @property
    def closest_per_cm(self) -> float:
        """Ends per cm at which threads touch."""
        return closest_sett(self.touching_per_cm, self.structure)

    @property
    def warp_mm(self) -> float:
        """The warp's calculated diameter."""
        return 10 / self.touching_per_cm

    @property
    def weft_mm(self) -> float:
        """The weft's calculated diameter."""
        if self.weft_wraps_per_cm is None:
            return self.warp_mm
        return self.warp_mm * self.wraps_per_cm / self.weft_wraps_per_cm


@dataclass(frozen=True)
class ShownSett:
    """A heddle and what it leads to, in words; the facts are what and how much."""

    heddle: str
    sett: str
    against: str
    share: str
    cloth: str
    sample_this: bool
    facts: tuple[tuple[str, str], ...]
    picture: str


def shown_setts(asked: SettAsked) -> tuple[ShownSett, ...]:
    """Every heddle, the nearest to the advised sett first."""
    found = candidates(dict(asked.heddles), asked.advised_per_cm, asked.closest_per_cm)
    return tuple(_shown(asked, one) for one in found)


def worth_drawing(shown: tuple[ShownSett, ...]) -> tuple[ShownSett, ...]:
    """The candidates to lay side by side: those near enough to sample, or the nearest few."""
    near = tuple(one for one in shown if one.sample_this)
    return near[:_CARDS] if len(near) >= _LEAST_CARDS else shown[:_LEAST_CARDS]


def _shown(asked: SettAsked, one: SettCandidate) -> ShownSett:
    return ShownSett(
        heddle=one.heddle,
        sett=THREADS.text(one.ends_per_cm, imperial=asked.imperial),
        against=against_in_words(one.against_advice),
        share=percent(round(one.share_of_closest or 0.0, 2)),
        cloth=one.firmness,
        sample_this=one.sample_this,
        facts=tuple(_facts(asked, one.ends_per_cm)),
        picture=sett_svg(one.ends_per_cm, warp_mm=asked.warp_mm, weft_mm=asked.weft_mm, name=one.heddle),
    )


def against_in_words(factor: float) -> str:
    """How far a sett lies from the advised one: `as advised`, `11 % closer`, `9 % opener`."""
    off = round(abs(factor - 1), 2)
    if not off:
        return "as advised"
    return f"{percent(off)} {'closer' if factor > 1 else 'opener'} than advised"


def _facts(asked: SettAsked, ends_per_cm: float) -> list[tuple[str, str]]:
    found = []
    if asked.finished_width_cm is not None:
        found += _of_width(asked, ends_per_cm, asked.finished_width_cm)
    if asked.m_per_g is not None:
        found.append(("Weight of the cloth, as sleyed", _weight(asked, ends_per_cm, asked.m_per_g)))
    return found


def _of_width(asked: SettAsked, ends_per_cm: float, finished_cm: float) -> list[tuple[str, str]]:
    imperial = asked.imperial
    ends = ends_for(finished_cm / asked.width_ratio, ends_per_cm)
    across = ends / ends_per_cm
    weft_m = ends_per_cm * 100 * across * (1 + WEFT_TAKE_UP) / 100
    return [
        ("Ends", f"{ends}, in {ends // 2} pairs"),
        ("Width in the heddle ↔", LENGTH.text(across, imperial=imperial)),
        ("Warp for each metre wound", _yarn(asked, float(ends))),
        ("Weft for each metre woven", _yarn(asked, weft_m)),
    ]


def ends_for(width_cm: float, ends_per_cm: float) -> int:
    """Ends for a width in the heddle, rounded up to pairs."""
    return 2 * math.ceil(round(width_cm * ends_per_cm / 2, 6))


def _yarn(asked: SettAsked, metres: float) -> str:
    length = YARN.text(metres, imperial=asked.imperial, rounding=Rounding.UP)
    if asked.m_per_g is None or asked.weft_wraps_per_cm is not None:
        return length
    return f"{length}, {WEIGHT.short(metres / asked.m_per_g, imperial=asked.imperial, rounding=Rounding.UP)}"


def _weight(asked: SettAsked, ends_per_cm: float, m_per_g: float) -> str:
    """Grams per m² of balanced cloth before it draws in, threads 5 % longer than the cloth."""
    grams = 2 * ends_per_cm * 100 * (1 + WEFT_TAKE_UP) / m_per_g
    return CLOTH_WEIGHT.text(grams, imperial=asked.imperial)
