"""The parts of the project document that tell how the pieces must lie on the cloth.

Places are measured as a tape would: along the finished cloth from its first end, squaring included, and across it from
the first selvedge, trim included.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from clothwright.project.fields import LengthField, SomeLengthField
from clothwright.project.parts.part import Part, Positive
from clothwright.project.parts.pattern_parts import NamesField

#: More than this is another grain, not a tolerance. Common practice, no source.
_MOST_OFF_GRAIN_DEG = 10


class FlawPart(Part):
    """A place of the cloth that no piece may cover: a band over its whole width, or a spot where `width` is said too."""

    at: LengthField
    length: SomeLengthField
    from_selvedge: LengthField | None = None
    width: SomeLengthField | None = None
    what: str = "flaw"

    @model_validator(mode="after")
    def _a_spot_or_a_band(self) -> Self:
        if self.from_selvedge is not None and self.width is None:
            raise ValueError(
                f"how wide is the {self.what} at {self.at}? Add width, or leave from_selvedge out for all of the width"
            )
        return self


class StripesPart(Part):
    """Stripes that repeat along the cloth (woven by the weft) or across it (by the warp); checks are one of each."""

    repeat: SomeLengthField
    runs: Literal["along the cloth", "across the cloth"] = "along the cloth"
    begins: LengthField | None = None
    even: bool = True


class LotPart(Part):
    """The pieces of one colour lot; the lots follow one another along the cloth as they are listed."""

    pieces: NamesField
    name: str = ""


class PlacePart(Part):
    """Where one copy of a piece lies, by the corner of its box nearest the first end and the first selvedge.

    `number`: which of its copies, those mirrored last. `turned`: end for end.
    """

    piece: Annotated[str, Field(min_length=1)]
    number: Positive = 1
    along: LengthField
    across: LengthField
    turned: bool = False
    locked: bool = False


class LayoutPart(Part):
    """How the pieces must lie; everything may be left out.

    `kept_width`: the finished width that a whole kept layout is for, where every copy has a place.
    """

    gap: LengthField | None = None
    off_grain_deg: Annotated[float, Field(ge=0, le=_MOST_OFF_GRAIN_DEG, allow_inf_nan=False)] = 0.0
    from_selvedge: LengthField | None = None
    match: NamesField = []
    whole_width: NamesField = []
    kept_width: SomeLengthField | None = None
    flaw: list[FlawPart] = []
    stripes: list[StripesPart] = []
    lot: list[LotPart] = []
    place: list[PlacePart] = []

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.match and not self.stripes:
            raise ValueError("match says where stripes meet; give stripes as well, or leave match out")
        if len({one.runs for one in self.stripes}) < len(self.stripes):
            raise ValueError("stripes that run the same way repeat in one way; give one for along and one for across")
        seen: set[tuple[str, int]] = set()
        for one in self.place:
            if (name := (one.piece, one.number)) in seen:
                raise ValueError(f"{one.piece} number {one.number} has two places; keep one")
            seen.add(name)
        in_lots = [piece for lot in self.lot for piece in lot.pieces]
        if twice := sorted({piece for piece in in_lots if in_lots.count(piece) > 1}):
            raise ValueError(f"{', '.join(twice)} is in two colour lots; a piece is cut from one")
        return self
