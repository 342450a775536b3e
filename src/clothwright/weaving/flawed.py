"""Knots, breaks and floats of the log as places of the finished cloth that no piece may cover.

The log has them on the loom, under tension, from the first pick and from the left; the layout measures the finished cloth. So a place
along it is taken by what the cloth becomes in length, a place across it by its share of the ends, or of the width. Right side up, and
its first end to the left of who cuts, the left of the cloth is its far side, and layouts count from the near one. A join of the weft, and
floats that are mended, are no flaw.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from clothwright.measure import Length, QuantityError
from clothwright.project.loom.log_growing import Entry
from clothwright.project.parts.log_parts import HappenedPart

#: How large a knot is taken to be along and across the cloth. Common practice, no source.
FLAW_CM: Final = 2.0
_FLAWS: Final = ("knot", "break", "floats", "other")


@dataclass(frozen=True)
class AsFinished:
    """What the cloth becomes: finished over woven length, finished width, the width at the fell where known, and its ends."""

    length_ratio: float
    width_cm: float
    width_at_fell_cm: float | None
    ends: int


@dataclass(frozen=True)
class Happened:
    """Something that happened at a place of the cloth on the loom, cm."""

    part: HappenedPart
    at_cm: float

    @property
    def is_flaw(self) -> bool:
        """Whether no piece should cover it."""
        return self.part.what in _FLAWS and not (self.part.what == "floats" and self.part.mended)


def happened(entries: Sequence[Entry]) -> tuple[Happened, ...]:
    """What happened, of the entries that count: where it says, else where the weaving stood."""
    return tuple(_happened(entries))


def _happened(entries: Sequence[Entry]) -> Iterator[Happened]:
    woven = 0.0
    for entry in entries:
        woven = entry.part.woven.cm if entry.part.woven else woven
        for one in entry.part.happened:
            yield Happened(one, one.at.cm if one.at else woven)


def flaws_from_log(entries: Sequence[Entry], cloth: AsFinished) -> list[dict[str, Any]]:
    """Tables of the layout's flaws, as a project file has them."""
    return [flaw_of(one, cloth) for one in happened(entries) if one.is_flaw]


def flaw_of(one: Happened, cloth: AsFinished) -> dict[str, Any]:
    """The table of one flaw of the layout, as a project file has it."""
    start = max(0.0, one.at_cm * cloth.length_ratio - FLAW_CM / 2)
    flaw = {"at": f"{start:.1f} cm", "length": f"{FLAW_CM:g} cm", "what": one.part.what}
    across = _across(one.part, cloth)
    if across is None:
        return flaw
    near = max(0.0, cloth.width_cm - across - FLAW_CM / 2)
    return flaw | {"from_selvedge": f"{near:.1f} cm", "width": f"{FLAW_CM:g} cm"}


def _across(part: HappenedPart, cloth: AsFinished) -> float | None:
    """How far from the left of the finished cloth, as it was woven; None where nobody said."""
    if part.end:
        return min(1.0, part.end / cloth.ends) * cloth.width_cm
    if part.from_selvedge:
        return part.from_selvedge.cm * cloth.width_cm / (cloth.width_at_fell_cm or cloth.width_cm)
    return None


def is_marked(flaw: dict[str, Any], there: Sequence[object]) -> bool:
    """Whether a flaw stands among those of a layout already, about where it is: belief about the cloth moves it a little."""
    return any(
        isinstance(one, dict)
        and one.get("what") == flaw["what"]
        and all(_near(one.get(side), flaw.get(side)) for side in ("at", "from_selvedge"))
        for one in there
    )


def counted_from_the_other_side(
    flaws: Sequence[dict[str, Any]], there: Sequence[object], width_cm: float
) -> list[tuple[int, dict[str, Any]]]:
    """Rows of a layout that stand where a flaw of the log would, were the left at the loom the near selvedge of the layout.

    Each is given by its place among the rows, with the flaw it seems to stand for; none whose flaw is marked where it lies, or lies so
    near the middle that both sides are one. A flaw of the cloth may truly lie there too, so who cuts is asked.
    """
    found = []
    for flaw in flaws:
        if is_marked(flaw, there) or "from_selvedge" not in flaw:
            continue
        across = max(0.0, width_cm - Length.read(flaw["from_selvedge"]).cm - FLAW_CM)
        turned = flaw | {"from_selvedge": f"{across:.1f} cm"}
        found += [(place, flaw) for place, row in enumerate(there) if _as_marked(row, turned)]
    return found


def _as_marked(row: object, flaw: dict[str, Any]) -> bool:
    """Whether a row is one that marking the log has made, about where a flaw is."""
    made = isinstance(row, dict) and all(row.get(side) == flaw[side] for side in ("length", "width"))
    return made and is_marked(flaw, [row])


def _near(one: object, other: object) -> bool:
    if one is None or other is None:
        return one is other
    try:
        return abs(Length.read(str(one)).cm - Length.read(str(other)).cm) <= FLAW_CM
    except QuantityError:
        return False
