"""How colours look to people who see them otherwise, and how far two colours look apart.

A person sees colour by three kinds of cones. Who has none of one kind takes some colours for one another: reds and greens,
or blues and greens. The colour such a person is thought to see:

    without red or green cones    Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298
    without blue cones            Brettel, Viénot and Mollon, J. Opt. Soc. Am. A 14 (1997) 2647-2655, as the first says

How far two colours look apart is ΔE₀₀ (CIEDE2000: CIE 142-2001), where 1 is about as little as can be seen between large plain
patches side by side. Threads are no large patches: fine stripes blend, so a difference needs to be larger to be seen.

Nobody's eyes are a model's; most people who see colours otherwise have weak cones of one kind, not none, and see more.
"""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from coloraide import Color

#: Differences below which colours are said to look the same, and nearly the same. Our own choice, for threads side by side.
ALIKE_BELOW: Final = 3.0
NEARLY_ALIKE_BELOW: Final = 10.0
#: Colours and pairs of them that are kept in mind while they are played with.
_KEPT: Final = 20_000
_METHODS: Final = {"protan": "machado", "deutan": "machado", "tritan": "brettel"}


class Sight(StrEnum):
    """Whose eyes: with all three kinds of cones, or without one of them."""

    ALL_CONES = "all cones"
    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"

    @property
    def who(self) -> str:
        """Such a person, in words."""
        return _WHO[self]


_WHO: Final = {
    Sight.ALL_CONES: "someone who sees all colours",
    Sight.PROTAN: "someone without red cones (protan)",
    Sight.DEUTAN: "someone without green cones (deutan)",
    Sight.TRITAN: "someone without blue cones (tritan)",
}


class Likeness(StrEnum):
    """How two colours look beside each other."""

    SAME = "the same"
    NEARLY = "nearly the same"
    APART = "different"


@lru_cache(_KEPT)
def seen_by(colour: str, sight: Sight) -> str:
    """The colour (#rrggbb) that such a person is thought to see, as everybody else would see it."""
    if sight is Sight.ALL_CONES:
        return colour.lower()
    from coloraide import Color

    seen = Color(colour).filter(str(sight), method=_METHODS[sight], space="srgb-linear").convert("srgb").clip()
    return str(seen.to_string(hex=True))


@lru_cache(_KEPT)
def difference(one: str, other: str, sight: Sight = Sight.ALL_CONES) -> float:
    """ΔE₀₀ of two colours as such a person sees them; 0 where they cannot be told apart."""
    return float(_lab(one, sight).delta_e(_lab(other, sight), method="2000", space="lab-d65"))


@lru_cache(_KEPT)
def _lab(colour: str, sight: Sight) -> Color:
    from coloraide import Color

    return Color(seen_by(colour, sight)).convert("lab-d65")


def likeness(difference: float) -> Likeness:
    """A difference in a word."""
    if difference < ALIKE_BELOW:
        return Likeness.SAME
    return Likeness.NEARLY if difference < NEARLY_ALIKE_BELOW else Likeness.APART
