"""Finished cloth in hand as it is written: in a line by itself, or kept in a project among its parts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Final, Self

from pydantic import Field, model_validator

from clothwright.layout import Flaw
from clothwright.measure import Length, QuantityError
from clothwright.project.fields import SomeLengthField
from clothwright.project.parts.part import Part

#: How large a flaw is taken to be along and across the cloth where only its place is given. Common practice, no source.
_FLAW_CM: Final = 2.0
_SIZE: Final = re.compile(r"(?:(?P<name>[^:;]+):)?\s*(?P<width>[^:;]+?)\s+[x×]\s+(?P<length>[^:;]+)", re.IGNORECASE)
_AT: Final = re.compile(
    r"(?P<what>.+?)\s+at\s+(?P<along>[^,]+?)(?:,\s*(?P<across>.+?)\s+from the left)?", re.IGNORECASE
)
ACCEPTED: Final = (
    "a cloth is written as 48 cm x 200 cm (width, then length), a name before it as blue: 48 cm x 200 cm, and its flaws "
    "after it as ; knot at 84 cm, or ; hole at 84 cm, 10 cm from the left"
)


@dataclass(frozen=True)
class ClothInHand:
    """A piece of finished cloth: usable width by length, cm, and the flaws on it."""

    name: str
    width_cm: float
    length_cm: float
    flaws: tuple[Flaw, ...] = ()


class ClothInHandPart(Part):
    """Finished cloth that is there, whole or a remnant; each flaw as `knot at 84 cm` or `hole at 84 cm, 10 cm from the left`."""

    name: Annotated[str, Field(min_length=1, pattern=r"^[^:;]+$")]
    width: SomeLengthField
    length: SomeLengthField
    flaws: list[str] = []

    @model_validator(mode="after")
    def _flaws_are_on_it(self) -> Self:
        for said in self.flaws:
            try:
                _flaw(said, said, self.width.cm, self.length.cm)
            except QuantityError as wrong:
                raise ValueError(str(wrong)) from None
        return self

    @property
    def cloth(self) -> ClothInHand:
        """The cloth itself."""
        width, length = self.width.cm, self.length.cm
        return ClothInHand(self.name, width, length, tuple(_flaw(one, one, width, length) for one in self.flaws))

    @property
    def line(self) -> str:
        """The cloth in a line, as it is typed."""
        return "; ".join((f"{self.name}: {self.width} x {self.length}", *self.flaws))


def read_cloth(text: str, number: int = 1) -> ClothInHand:
    """A cloth as a person wrote it; QuantityError where it is not one."""
    said = cloth_said(text, number)
    width, length = (Length.read(said[side]).cm for side in ("width", "length"))
    if min(width, length) <= 0:
        raise QuantityError(text.strip(), "a cloth has some width and some length", ACCEPTED)
    return ClothInHand(said["name"], width, length, tuple(_flaw(text, one, width, length) for one in said["flaws"]))


def cloth_said(text: str, number: int = 1) -> dict[str, Any]:
    """The parts of a cloth written in a line, as they were typed; QuantityError where it is not one."""
    first, *flaws = (part.strip() for part in text.split(";"))
    found = _SIZE.fullmatch(first)
    if found is None:
        raise QuantityError(text.strip(), "that is not a cloth", ACCEPTED)
    name = (found["name"] or f"cloth {number}").strip()
    return {"name": name, "width": found["width"], "length": found["length"].strip(), "flaws": [*filter(None, flaws)]}


def _flaw(text: str, said: str, width_cm: float, length_cm: float) -> Flaw:
    """A flaw at a place: across the whole cloth, or about a point; `text` is all that was written.

    Right side up and the first end to the left, the left selvedge of the cloth lies far from who cuts, and layouts count from the near one.
    """
    found = _AT.fullmatch(said.strip())
    if found is None:
        raise QuantityError(text.strip(), f"“{said}” is not a flaw at a place", ACCEPTED)
    along = Length.read(found["along"]).cm
    across = Length.read(found["across"]).cm if found["across"] else None
    if along > length_cm or (across or 0.0) > width_cm:
        raise QuantityError(text.strip(), f"“{said}” is not on a cloth of {width_cm:g} by {length_cm:g} cm", ACCEPTED)
    start = max(0.0, along - _FLAW_CM / 2)
    if across is None:
        return Flaw(start, _FLAW_CM, what=found["what"])
    from_far = max(0.0, across - _FLAW_CM / 2)
    return Flaw(start, _FLAW_CM, max(0.0, width_cm - from_far - _FLAW_CM), _FLAW_CM, found["what"])
