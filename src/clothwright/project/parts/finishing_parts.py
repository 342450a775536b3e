"""The parts of the project document that tell of the cloth once it is off the loom: measured, finished, looked over, made up.

The cloth is measured as often as the weaver likes, each time in the state it is in then; the latest of a state counts. Places
along and across the finished cloth are measured as a tape would, from its first end and its first selvedge.
"""

from __future__ import annotations

import re
from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from clothwright.measure import Length
from clothwright.project.fields import DayField, LengthField, SomeLengthField, SomeWeightField, as_text
from clothwright.project.parts.layout_parts import FlawPart
from clothwright.project.parts.log_parts import MomentField
from clothwright.project.parts.part import Part, Positive

#: The states a cloth off the loom may be measured in, in their order.
STATES_OFF: Final = ("off the loom", "rested", "finished")
StateOff = Literal["off the loom", "rested", "finished"]
_TEMPERATURE: Final = re.compile(
    r"(?:about\s+)?(?P<number>\d{1,3}(?:[.,]\d+)?)\s*(?:°|degrees?)?\s*(?P<unit>[CF])", re.I
)
_FREEZING_F: Final = 32.0
_BOILING_C: Final = 100.0
_KEY: Final = r"^[a-z][a-z -]*$"


def celsius(text: str) -> float:
    """Degrees Celsius of a temperature as typed, `38 °C` or `100 °F`; ValueError where it is none, or no water is so."""
    found = _TEMPERATURE.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"“{text}” is no temperature; write 38 °C or 100 °F")
    degrees = float(found["number"].replace(",", "."))
    if found["unit"].upper() == "F":
        degrees = (degrees - _FREEZING_F) / 1.8
    if not 0 <= degrees <= _BOILING_C:
        raise ValueError(f"“{text}”: water is between 0 °C (32 °F) and 100 °C (212 °F)")
    return degrees


def _a_temperature(text: str) -> str:
    if text:
        celsius(text)
    return text


TemperatureField = Annotated[str, BeforeValidator(as_text), AfterValidator(_a_temperature)]
StepKey = Annotated[str, Field(min_length=1, max_length=40, pattern=_KEY)]


class PlacesPart(Part):
    """The width of the cloth at up to three places along it."""

    start: SomeLengthField | None = None
    middle: SomeLengthField | None = None
    end: SomeLengthField | None = None

    @property
    def lengths(self) -> tuple[Length, ...]:
        """The widths that were measured, from start to end."""
        return tuple(one for one in (self.start, self.middle, self.end) if one is not None)


def _one_width(value: object) -> object:
    return {"middle": value} if isinstance(value, str | int | float) else value


PlacesField = Annotated[PlacesPart, BeforeValidator(_one_width)]


class OffLoomMeasuredPart(Part):
    """The cloth measured once off the loom: in which state, how long it had rested before, its sizes and its weight."""

    state: StateOff = "off the loom"
    when: MomentField = ""
    rested: str = ""
    width: PlacesField = PlacesPart()
    length: SomeLengthField | None = None
    weight: SomeWeightField | None = None
    note: str = ""

    @model_validator(mode="after")
    def _tells_something(self) -> Self:
        if not (self.width.lengths or self.length or self.weight or self.note):
            raise ValueError("nothing was measured here; give width, length or weight, or take this measuring away")
        return self


class DonePart(Part):
    """A step of finishing as it was really done; `how` is the method, `seen` what was seen when it was stopped and looked at."""

    step: StepKey
    when: MomentField = ""
    minutes: Positive | None = None
    water: TemperatureField = ""
    how: str = ""
    seen: str = ""


class FinishingPart(Part):
    """How the cloth is finished; `finish` left out is as it was planned, and as the sample was treated."""

    finish: str = ""
    done: list[DonePart] = []


class RealClothPart(Part):
    """The finished cloth as it is to be cut; trims left out are the pattern's, sizes come from what was measured.

    `flaw`: found on the finished cloth. A flaw of the log that was looked for and is not there, or does not matter, is `let_be`.
    `lay_by`: the least width all along, or the width there is at each place. `sides_less`: cut off at each side of pieces wider than the
    cloth; `allowances_less`: all round pieces that have an allowance. The pattern stays as it is.
    """

    selvedge_trim: LengthField | None = None
    squaring: LengthField | None = None
    lay_by: Literal["the least width", "the width along it"] = "the least width"
    sides_less: LengthField | None = None
    allowances_less: LengthField | None = None
    flaw: list[FlawPart] = []
    let_be: list[str] = []


class CheckedPart(Part):
    """A check of cutting and sewing that was made, or is not needed, and why not."""

    check: StepKey
    day: DayField = ""
    not_needed: str = ""
    note: str = ""
