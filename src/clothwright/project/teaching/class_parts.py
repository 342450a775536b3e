"""A class: its students, each with her own loom, units and print. It is kept apart from the project it weaves.

Names and measures of people never stand in the project document, so that a file, bundle or archive of the project carries
none of them.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from clothwright.measure import Length, Share, Weight
from clothwright.project.document import LoomPart
from clothwright.project.fields import DayField, GristField, ShareField, SomeLengthOrWeightField, SomeWeightField
from clothwright.project.parts.part import Part

CLASS_VERSION: Final = 1
#: More students than anybody teaches at looms at once; a longer list is taken for a mistake.
MOST_STUDENTS: Final = 100
Units = Literal["metric", "imperial"]
Print = Literal["ordinary", "large"]
#: The languages a sheet for students is written in, by their codes.
Language = Literal["en", "de"]


class OwnYarnPart(Part):
    """Yarn a student brings for warp, weft or both: what it measures, and how much there is."""

    name: str = ""
    use: Literal["warp and weft", "warp", "weft"] = "warp and weft"
    grist: GristField | None = None
    have: SomeLengthOrWeightField | None = None

    @model_validator(mode="after")
    def _length_is_known(self) -> Self:
        if isinstance(self.have, Weight) and self.grist is None:
            raise ValueError(f"{self.have} of what length? Add grist, as 310 m/100 g, or give have as a length")
        return self

    @property
    def metres(self) -> tuple[float, float, float] | None:
        """Low, expected and high metres there are; None where nobody said how much."""
        if isinstance(self.have, Length):
            return self.have.low / 100, self.have.cm / 100, self.have.high / 100
        if self.have is None or self.grist is None:
            return None
        weight, grist = self.have, self.grist
        return (
            weight.low * grist.low,
            weight.expected * grist.expected,
            weight.high * grist.high,
        )


class StudentPart(Part):
    """One student; units and language left out are those of the class."""

    name: Annotated[str, Field(min_length=1, max_length=100)]
    units: Units | None = None
    print: Print = "ordinary"
    language: Language | None = None
    loom: LoomPart = LoomPart()
    yarn: OwnYarnPart | None = None


def _told_apart(students: list[StudentPart]) -> list[StudentPart]:
    seen: set[str] = set()
    for one in students:
        if one.name.casefold() in seen:
            raise ValueError(
                f"two students are called “{one.name}”; add a letter to one, so that sheets can be told apart"
            )
        seen.add(one.name.casefold())
    return students


class ClassList(Part):
    """The students of a class, with what holds for all; `project` names the file of the piece beside a class file."""

    clothwright_class: Literal[1] = 1
    name: str = ""
    project: str = ""
    day: DayField = ""
    language: Language = "en"
    margin: ShareField = Share.read("10 %")
    ball: SomeWeightField | None = None
    student: Annotated[list[StudentPart], Field(max_length=MOST_STUDENTS), AfterValidator(_told_apart)] = []
