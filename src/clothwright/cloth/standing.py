"""Where the ends stand in a heddle or reed: which place each end has, and which place is the first, so that the warp stands in the middle.

Places are the slots and holes of a rigid heddle, one after the other, or the dents of a reed; they are numbered from the
left edge as the weaver sits. A way of sleying fills one place after the other, over and over: 1-2 puts one end into the
first, two into the second; 0-1-1 leaves the first empty. It may change across the warp: `2 for 20 ends; 1 for 80 ends; 2`.

The warp stands in the middle when the middle between its first and its last filled place is the middle of the heddle.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import Final

from clothwright.cloth.heddles import HeddleOwned
from clothwright.cloth.threading_written import WrittenError

_MOST_IN_ONE: Final = 12
_MOST_PLACES: Final = 40_000
_FORM: Final = "write 1, 1-2, or 2 for 20 ends; 1 for 80 ends; 2"


@dataclass(frozen=True)
class SleyedStretch:
    """Ends in one place after the other, over and over, for so many ends; None: for all that are left."""

    order: tuple[int, ...]
    ends: int | None = None

    @property
    def short(self) -> str:
        """The order as figures: 1-2."""
        return "-".join(map(str, self.order))


def read_sleying(text: str) -> tuple[SleyedStretch, ...]:
    """Ways to sley, one stretch of ends after the other, as typed; WrittenError with an accepted form."""
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    stretches = tuple(map(_stretch, parts))
    if not stretches:
        raise WrittenError(f"nothing came; {_FORM}")
    if any(one.ends is None for one in stretches[:-1]):
        raise WrittenError(f"“{text[:60]}”: for how many ends? All but the last stretch say it; {_FORM}")
    return stretches


def _stretch(text: str) -> SleyedStretch:
    found = re.fullmatch(r"(\d{1,2}(?:\s*-\s*\d{1,2}){0,23})(?:\s+for\s+(\d{1,5})\s+ends?)?", text)
    order = tuple(int(ends) for ends in found[1].split("-")) if found else ()
    if not found or not any(order) or max(order) > _MOST_IN_ONE or found[2] == "0":
        raise WrittenError(f"“{text[:60]}”: how many ends go into one place after the other? {_FORM}")
    return SleyedStretch(order, int(found[2]) if found[2] else None)


def ends_in_places(stretches: Sequence[SleyedStretch], ends: int) -> tuple[int, ...]:
    """How many ends each place holds, from the first place with an end to the last; WrittenError where the stretches come to another number."""
    found: list[int] = []
    left = ends
    for stretch in stretches:
        many = left if stretch.ends is None else stretch.ends
        if many > left:
            raise WrittenError(
                f"the sleying is of {sum(one.ends or 0 for one in stretches)} ends, and there are {ends}"
            )
        found += _filled(stretch.order, many)
        left -= many
    if left:
        raise WrittenError(
            f"the sleying is of {ends - left} ends, and there are {ends}; leave “for … ends” out of the last"
        )
    while found and not found[0]:
        found.pop(0)
    while found and not found[-1]:
        found.pop()
    if len(found) > _MOST_PLACES:
        raise WrittenError(f"{len(found)} places are more than any heddle has")
    return tuple(found)


def _filled(order: Sequence[int], ends: int) -> Iterator[int]:
    for many in cycle(order):
        if ends <= 0:
            return
        yield min(many, ends)
        ends -= many


@dataclass(frozen=True)
class Places:
    """The places of a heddle: how far each one's middle is from the left edge, cm, and how wide the whole is."""

    middles_cm: tuple[float, ...]
    width_cm: float

    @property
    def count(self) -> int:
        """How many places there are."""
        return len(self.middles_cm)


@dataclass(frozen=True)
class Standing:
    """Where a warp stands: its first place from 1, and how far its middle is right of the heddle's, cm (left: below 0)."""

    first: int
    last: int
    off_middle_cm: float
    width_cm: float


def places_in(heddle: HeddleOwned, loom_cm: float | None, counted: int | None = None) -> Places | None:
    """The places of a heddle or reed, by its sections, as `counted` or as wide as the loom; None where nothing says how many.

    A reed numbered the old way has none: its number counts ends.
    """
    if heddle.of == "numbered":
        return None
    if heddle.width_cm is None:
        per_cm = heddle.per_cm
        count = counted if counted is not None else int(loom_cm * per_cm + 1e-9) if loom_cm else None
        if count is None or count > _MOST_PLACES:
            return None
        return Places(tuple((n + 0.5) / per_cm for n in range(count)), count / per_cm)
    middles: list[float] = []
    start = 0.0
    for section in heddle.sections:
        count = int((section.width_cm or 0.0) * section.per_cm + 1e-9)
        if len(middles) + count > _MOST_PLACES:
            return None
        middles += [start + (n + 0.5) / section.per_cm for n in range(count)]
        start += section.width_cm or 0.0
    return Places(tuple(middles), start)


def in_the_middle(places: Places, used: int, *, every: int = 1, among: int = 0) -> Standing | None:
    """Where `used` places in a row stand nearest to the middle of a heddle; None where there are not so many.

    `every`, `among`: the first place, counted from 0, is one of those that leave `among` when divided by `every`: of slots and
    holes by turns, the first is a slot, or a hole.
    """
    firsts = [first for first in range(places.count - used + 1) if first % every == among]
    if not firsts or used < 1:
        return None

    def off(first: int) -> float:
        return (places.middles_cm[first] + places.middles_cm[first + used - 1]) / 2 - places.width_cm / 2

    first = min(firsts, key=lambda one: (round(abs(off(one)), 9), one))
    return Standing(first + 1, first + used, off(first), _width(places, first, used))


def _width(places: Places, first: int, used: int) -> float:
    """From the left edge of the first place to the right edge of the last."""
    middles = places.middles_cm
    steps = [middles[n + 1] - middles[n] for n in range(first, first + used - 1)]
    own = sum(steps) / len(steps) if steps else places.width_cm / places.count
    return middles[first + used - 1] - middles[first] + own
