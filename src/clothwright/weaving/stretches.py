"""Grams per cm along the cloth: over every stretch between two weighings, over the last of them, and over all.

By hand the rule is one of weavers who weigh: grams per cm over the last stretch and over the whole, the worse of the two
times the cm left, against what is left. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from clothwright.weaving.logged import Weighing

_HAIR_CM: Final = 0.05
#: A stretch that used fewer grams than so many spreads of the scale says too little by itself, and is told with its neighbour.
_TELLING: Final = 4.0


#: How many cm between two places of the cloth are woven with a yarn.
LengthOf = Callable[[float, float], float]


def all_of_it(from_cm: float, to_cm: float) -> float:
    """Every cm between two places."""
    return to_cm - from_cm


@dataclass(frozen=True)
class Stretch:
    """What was used of a yarn between two weighings, over so many cm woven with it under tension."""

    before: Weighing
    after: Weighing
    length_cm: float

    @property
    def used_g(self) -> float:
        """Grams used."""
        return self.before.grams - self.after.grams

    @property
    def g_per_cm(self) -> float:
        """Grams per cm."""
        return self.used_g / self.length_cm

    @property
    def in_words(self) -> str:
        """The sum as a person would write it."""
        grams = f"({self.before.grams:g} g − {self.after.grams:g} g)"
        whole = self.after.woven_cm - self.before.woven_cm
        if abs(whole - self.length_cm) > _HAIR_CM:
            return f"{grams} ÷ {self.length_cm:g} cm"
        return f"{grams} ÷ ({self.after.woven_cm:g} cm − {self.before.woven_cm:g} cm)"


def stretches(weighings: Sequence[Weighing], length_of: LengthOf = all_of_it) -> tuple[Stretch, ...]:
    """Every stretch between neighbouring weighings in which the yarn was woven; one in which there came to be more is none."""
    every = (Stretch(one, after, length_of(one.woven_cm, after.woven_cm)) for one, after in pairwise(weighings))
    return tuple(one for one in every if one.length_cm > _HAIR_CM and one.used_g >= 0)


def telling(weighings: Sequence[Weighing], length_of: LengthOf = all_of_it) -> tuple[Stretch, ...]:
    """The stretches, neighbours taken together until each used enough grams for the scale to tell."""
    found: list[Stretch] = []
    for one in stretches(weighings, length_of):
        joined = found and found[-1].after == one.before and (not _tells(found[-1]) or not _tells(one))
        if joined:
            found[-1] = Stretch(found[-1].before, one.after, found[-1].length_cm + one.length_cm)
        else:
            found.append(one)
    return tuple(one for one in found if one.used_g > 0 and _tells(one))


def _tells(one: Stretch) -> bool:
    return one.used_g >= _TELLING * math.hypot(one.before.sd_g, one.after.sd_g)


@dataclass(frozen=True)
class Rates:
    """Grams per cm over the last stretch, and over the whole."""

    last: Stretch
    whole_g_per_cm: float
    whole_in_words: str

    @property
    def worse(self) -> float:
        """The greater of the two."""
        return max(self.last.g_per_cm, self.whole_g_per_cm)

    @property
    def better(self) -> float:
        """The lesser of the two."""
        return min(self.last.g_per_cm, self.whole_g_per_cm)

    @property
    def worse_in_words(self) -> str:
        """The sum that gives the greater."""
        return self.last.in_words if self.last.g_per_cm >= self.whole_g_per_cm else self.whole_in_words


def rates(weighings: Sequence[Weighing], length_of: LengthOf = all_of_it) -> Rates | None:
    """The two rates of a yarn; None before so much was used between two weighings that the scale can tell."""
    found = telling(weighings, length_of)
    if not found:
        return None
    used, length = sum(one.used_g for one in found), sum(one.length_cm for one in found)
    in_one_go = all(one.after == after.before for one, after in pairwise(found))
    words = Stretch(found[0].before, found[-1].after, length).in_words if in_one_go else f"{used:g} g ÷ {length:g} cm"
    return Rates(found[-1], used / length, words)
