"""Where a piece is joined, as it is typed: centre, 3 equal panels, side panels of 8 cm, 12 cm and 40 cm from the left.

Left and right are as the piece is drawn, seen from the right side of the cloth with the grain upwards. Lengths are
measured from the edge of the piece as it is cut, along a line straight across the grain.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from clothwright.measure import Length, QuantityError

ACCEPTED: Final = "centre, 3 equal panels, side panels of 8 cm, 12 cm and 40 cm from the left, drawn line, or hem"
_EQUAL: Final = re.compile(r"(\d{1,2}|two|three|four) equal panels", re.IGNORECASE)
_SIDES: Final = re.compile(r"side panels? of (.+)", re.IGNORECASE)
_FROM: Final = re.compile(r"(.+?)(?:\s+from the (left|right))?", re.IGNORECASE)
_WORDS: Final = {"two": 2, "three": 3, "four": 4}
MOST_PANELS: Final = 12


class JoinAt(StrEnum):
    """What says where a join lies."""

    CENTRE = "centre"
    EQUAL = "equal panels"
    SIDES = "side panels"
    PLACES = "places"
    DRAWN = "drawn line"
    HEM = "hem"


@dataclass(frozen=True)
class JoinPlace:
    """Where a piece is joined: `panels` of equal width, or `lengths_cm` of the side panels or from an edge."""

    at: JoinAt
    panels: int = 0
    lengths_cm: tuple[float, ...] = ()
    from_right: bool = False

    @property
    def along_the_grain(self) -> bool:
        """Whether it is a join straight along the grain, which is where a selvedge can lie."""
        return self.at not in (JoinAt.DRAWN, JoinAt.HEM)


_PLAIN: Final = {
    **dict.fromkeys(("centre", "center", "fold"), JoinPlace(JoinAt.CENTRE)),
    **dict.fromkeys(("drawn line", "drawn lines"), JoinPlace(JoinAt.DRAWN)),
    "hem": JoinPlace(JoinAt.HEM),
}


def read_join_place(text: str) -> JoinPlace:
    """The place a text means; ValueError with what is accepted where it means none."""
    said = " ".join(text.split())
    plain = _PLAIN.get(said.lower())
    if plain is not None:
        return plain
    if equal := _EQUAL.fullmatch(said):
        return _equal(text, equal[1].lower())
    try:
        if sides := _SIDES.fullmatch(said):
            return JoinPlace(JoinAt.SIDES, lengths_cm=(_some(sides[1]),))
        return _places(said)
    except QuantityError:
        raise ValueError(f"“{text}” is no place of a join; accepted is {ACCEPTED}") from None


def _equal(text: str, number: str) -> JoinPlace:
    panels = _WORDS.get(number) or int(number)
    if not 2 <= panels <= MOST_PANELS:
        raise ValueError(f"“{text}”: a piece is joined from 2 to {MOST_PANELS} panels")
    return JoinPlace(JoinAt.EQUAL, panels=panels)


def _places(said: str) -> JoinPlace:
    found = _FROM.fullmatch(said)
    if found is None:
        raise QuantityError(said, "nothing came", ACCEPTED)
    lengths = tuple(_some(one) for one in re.split(r"\s+and\s+|\s*;\s*", found[1]))
    if len(lengths) >= MOST_PANELS:
        raise QuantityError(said, f"there are more than {MOST_PANELS - 1} joins", ACCEPTED)
    return JoinPlace(JoinAt.PLACES, lengths_cm=lengths, from_right=(found[2] or "").lower() == "right")


def _some(text: str) -> float:
    """A length of some centimetres."""
    length = Length.read(text)
    if length.low <= 0:
        raise QuantityError(text, "it must be more than nothing", ACCEPTED)
    return length.cm
