"""The parts of a record that come with the garment and after it: fit, remnants, photos, and what was found in the wearing.

What is added later is a list that only grows: each has its day, and one that is wrong is put right by a later one that `corrects`
it. Both are kept.
"""

from __future__ import annotations

import re
from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from clothwright.project.fields import DayField, SomeLengthField, SomeWeightField
from clothwright.project.parts.corners import CornerField
from clothwright.project.parts.part import Part, Positive
from clothwright.project.parts.remnant_shape import shape_of

#: A year, and a number that runs on within it.
_NUMBER: Final = re.compile(r"(?P<year>\d{4})-(?P<running>\d{3,6})")
Name = Annotated[str, Field(min_length=1)]


def number_parts(text: str) -> tuple[int, int]:
    """Year and running number of a record's number; ValueError where it is none."""
    found = _NUMBER.fullmatch(text.strip())
    if found is None or int(found["running"]) == 0:
        raise ValueError(f"“{text}” is no number of a record; write its year and running number, as 2026-007")
    return int(found["year"]), int(found["running"])


def number_words(year: int, running: int) -> str:
    """A record's number as it is written on its label: 2026-007."""
    return f"{year:04d}-{running:03d}"


def _number(text: str) -> str:
    return number_words(*number_parts(text)) if text else ""


NumberField = Annotated[str, AfterValidator(_number)]


class GarmentMadePart(Part):
    """The garment that was made: how it fits, in words, what it weighs, and the minutes of cutting and sewing."""

    fit: str = ""
    weight: SomeWeightField | None = None
    minutes: Positive | None = None


class RemnantPart(Part):
    """Cloth that was left over: as wide and as long as it is, or as the outline of its corners."""

    name: Name
    width: SomeLengthField | None = None
    length: SomeLengthField | None = None
    outline: list[CornerField] = []
    weight: SomeWeightField | None = None

    @model_validator(mode="after")
    def _some_size(self) -> Self:
        if not self.outline and not (self.width and self.length):
            raise ValueError(f"how large is {self.name}? Give its width and its length, or the corners of its outline")
        if self.outline:
            shape_of(self.corners)
        return self

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """The corners of its outline, across and along, cm; none where it is told by width and length."""
        return tuple((corner.across.cm, corner.along.cm) for corner in self.outline)


class PhotoPart(Part):
    """A photo of the garment: the name of its file, and what it shows in words for who cannot see it."""

    file: Name
    shows: str = ""


#: What may be added to a record later: how it was liked, what would be changed, how it wears, how it was washed.
ABOUT: Final = ("liked it", "would change", "wear", "wash", "note")
LIKED: Final = ("yes", "partly", "no")


class LaterPart(Part):
    """What was found out later, and on which day; `corrects` the one of that number, counted from 1."""

    day: DayField
    about: Literal["liked it", "would change", "wear", "wash", "note"] = "note"
    liked: Literal["yes", "partly", "no"] | None = None
    says: str = ""
    corrects: Positive | None = None

    @model_validator(mode="after")
    def _tells_something(self) -> Self:
        if not self.day:
            raise ValueError("on which day was that? Write day as 2026-03-14")
        if self.liked is not None and self.about != "liked it":
            raise ValueError(f"liked = “{self.liked}” goes with about = “liked it”; “{self.about}” came")
        if self.about == "liked it" and self.liked is None and self.corrects is None:
            raise ValueError("was it liked? Give liked as yes, partly or no")
        if not self.says and self.liked is None and self.corrects is None:
            raise ValueError(f"what about “{self.about}”? Say it in a few words")
        return self


def in_their_order(later: list[LaterPart]) -> list[LaterPart]:
    """The list as it is; ValueError where one corrects what does not come before it."""
    for number, one in enumerate(later, 1):
        if one.corrects is not None and one.corrects >= number:
            raise ValueError(f"number {number} corrects {one.corrects}, which does not come before it")
    return later


LaterField = Annotated[list[LaterPart], AfterValidator(in_their_order)]


def that_count(later: list[LaterPart]) -> list[tuple[int, LaterPart]]:
    """What was added and no later one corrects, with its number; one that only takes another back tells nothing itself."""
    corrected = {one.corrects for one in later if one.corrects}
    return [(n, one) for n, one in enumerate(later, 1) if n not in corrected and (one.says or one.liked)]


def liked(later: list[LaterPart]) -> str:
    """Whether the garment was liked, by the latest that says: yes, partly, no, or empty."""
    said = [one.liked for _, one in that_count(later) if one.liked]
    return said[-1] if said else ""
