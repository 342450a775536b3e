"""The part of the project document that tells of the pattern leaflet."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import AfterValidator

from clothwright.measure import Length, Share
from clothwright.project.fields import HeddleField, ShareField, SomeLengthField, SomeWeightField
from clothwright.project.parts.part import Part

#: Two widths are the same cloth when they differ by no more than a ruler shows, cm.
SAME_WIDTH_CM: Final = 0.05


def _width(text: str) -> str:
    if Length.read(text).low <= 0:
        raise ValueError(f"“{text}”: a cloth has some width; write it as 42 cm")
    return text


#: A finished width as it is typed, where it names a length.
_Width = Annotated[str, AfterValidator(_width)]


class LeafletPart(Part):
    """What a pattern leaflet tabulates: sizes by versions by heddles by finished widths of cloth.

    What is left out of `sizes` and `versions` is all the pattern has, of `heddles` the one planned with, of `cloth_widths`
    those that `cloth_lengths` names. A length that `cloth_lengths` does not give is found by laying the pieces out.
    `measures`: of the finished garment, by what is measured and size; `making` and `care` in the order they are told.
    """

    cloth_widths: list[SomeLengthField] = []
    heddles: list[HeddleField] = []
    versions: list[str] = []
    sizes: list[str] = []
    margin: ShareField = Share.read("10 %")
    ball: SomeWeightField | None = None
    by_hand: bool = False
    cloth_lengths: dict[str, dict[_Width, SomeLengthField]] = {}
    measures: dict[str, dict[str, SomeLengthField]] = {}
    making: list[str] = []
    care: list[str] = []

    @property
    def widths(self) -> tuple[Length, ...]:
        """The finished widths to tabulate, as typed, narrowest first, each once."""
        given = self.cloth_widths or [Length.read(width) for by in self.cloth_lengths.values() for width in by]
        found: list[Length] = []
        for one in sorted(given, key=lambda length: length.cm):
            if not found or one.cm - found[-1].cm > SAME_WIDTH_CM:
                found.append(one)
        return tuple(found)

    def length_given(self, size: str, width_cm: float) -> Length | None:
        """The cloth length given for a size at a finished width; None where it is to be laid out."""
        by = self.cloth_lengths.get(size, {})
        return next(
            (length for width, length in by.items() if abs(Length.read(width).cm - width_cm) <= SAME_WIDTH_CM), None
        )
