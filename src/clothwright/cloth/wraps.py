"""Ruler wraps as counted: of one yarn, or of a mixed warp by proportion, over what length and how firmly.

Wraps are one scale, calculated diameters another, and neither is turned into the other here. Wrapping is the looser of
the two by a factor that the yarn and the hand decide, 0.7 by one teacher and 0.39 for a lofty handspun single, so a count
is worth keeping only with how it was taken.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.cloth.sett import mixed_wraps
from clothwright.measure import Length, QuantityError, ThreadsPerLength

_ACCEPTED: Final = "15/in, or 2 x 18/in + 1 x 9/in for a warp of two ends of one to one of the other"
_TAKEN_ACCEPTED: Final = "over 5 cm, just touching"
#: A count is read to half a wrap.
_COUNTED_TO: Final = 0.5


@dataclass(frozen=True)
class Wraps:
    """Ruler wraps per cm, with the text they were typed as and the sum they come from."""

    typed: str
    per_cm: float
    sum: str


@dataclass(frozen=True)
class WrapsTaken:
    """How wraps were counted: over how many cm, and how firmly; None where that was not said."""

    typed: str
    over_cm: float | None = None
    how: str | None = None
    leans: str | None = None

    def either_way(self, per_cm: float) -> float | None:
        """Wraps per cm to either side that a count to half a wrap leaves open; None where the length was not said."""
        return None if self.over_cm is None else min(_COUNTED_TO / self.over_cm, per_cm)


def read_wraps(text: str) -> Wraps:
    """Wraps of one yarn, or of several in a proportion, as typed; QuantityError with an accepted form."""
    parts = [part.strip() for part in text.split("+")]
    if len(parts) == 1 and not _times(parts[0]):
        count = ThreadsPerLength.read(text)
        return Wraps(text.strip(), count.per_cm, f"{text.strip()}, {count.per_cm:.2f} per cm")
    read = [_part(part, text) for part in parts]
    ends, widths = sum(one for one, _ in read), " + ".join(f"{one:g} ÷ {wraps:.2f}" for one, wraps in read)
    return Wraps(text.strip(), mixed_wraps(read), f"{ends:g} ends ÷ ({widths}) cm, since it is the widths that add")


def _times(part: str) -> re.Match[str] | None:
    return re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*[x×]\s*(.+)", part)


def _part(part: str, whole: str) -> tuple[float, float]:
    found = _times(part)
    if not found:
        raise QuantityError(whole, f"how many ends of “{part}” to how many of the others?", _ACCEPTED)
    ends = float(found[1].replace(",", "."))
    if ends <= 0:
        raise QuantityError(whole, "a yarn of a mixed warp has some ends", _ACCEPTED)
    return ends, ThreadsPerLength.read(found[2]).per_cm


@cache
def _hows() -> tuple[dict[str, str | list[str]], ...]:
    text = resources.files(__package__).joinpath("wraps.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)["how"])


def read_wraps_taken(text: str) -> WrapsTaken:
    """How wraps were taken, as over 5 cm, just touching; QuantityError where a part is not understood."""
    over, how, leans = None, None, None
    for part in filter(None, map(str.strip, re.split(r",(?!\d)|;|\band\b", text))):
        row = next((row for row in _hows() if part.lower() in row["words"]), None)
        if row is not None:
            how, leans = str(row["name"]), str(row["leans"])
        elif part.lower().startswith("over "):
            over = _stretch(part[5:], text)
        else:
            raise QuantityError(text, f"“{part}” does not say how the wraps were counted", _TAKEN_ACCEPTED)
    return WrapsTaken(text.strip(), over, how, leans)


def _stretch(text: str, whole: str) -> float:
    length = Length.read(text)
    if length.cm <= 0:
        raise QuantityError(whole, "wraps are counted over some length", _TAKEN_ACCEPTED)
    return length.cm
