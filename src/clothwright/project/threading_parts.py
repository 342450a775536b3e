"""The parts of the project document that tell of the draft: threading, lifts and sleying, and how long threading took."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from clothwright.cloth import read_charged, read_sets, read_sleying
from clothwright.project.fields import DayField
from clothwright.project.part import Part, Positive

#: More text of a file that came is not kept in a project.
LONGEST_KEPT = 200_000


def _as_text(value: Any) -> Any:
    """A bare number as text, so that one end in each dent may be written without quotes."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _stick(text: str) -> str:
    read_charged(text)
    return text


def _sleying(text: str) -> str:
    if text:
        read_sleying(text)
    return text


def _sets(text: str) -> str:
    if text:
        read_sets(text)
    return text


WrittenField = Annotated[str, BeforeValidator(_as_text)]
StickField = Annotated[str, AfterValidator(_stick)]
SleyingField = Annotated[str, BeforeValidator(_as_text), AfterValidator(_sleying)]
SetsField = Annotated[str, BeforeValidator(_as_text), AfterValidator(_sets)]


class TimedPart(Part):
    """Ends that were threaded and sleyed, and the minutes it took."""

    ends: Positive
    minutes: Annotated[float, Field(gt=0, allow_inf_nan=False)]
    day: DayField = ""


class DraftPart(Part):
    """The draft as far as it is decided; what is left out comes from the cloth's structure, its heddle and the plan.

    `threading` is of shafts, or of holes and slots; `lifting` of shafts, or of sheds: which of them, the kind of loom says.
    `other_sections` is what an interchange file held that a project has no other place for, as it came.
    """

    threading: WrittenField = ""
    shafts: Positive | None = None
    sticks: list[StickField] = []
    tie_up: SetsField = ""
    treadling: WrittenField = ""
    lifting: WrittenField = ""
    sheds: Literal["rising", "sinking"] = "rising"
    sleying: SleyingField = ""
    ends: Positive | None = None
    places: Positive | None = None
    heddle_edge: Literal["slot", "hole"] = "slot"
    first_end: Literal["left", "right"] = "left"
    timed: list[TimedPart] = []
    other_sections: Annotated[str, Field(max_length=LONGEST_KEPT)] = ""
