"""The parts of the project document that tell of the draft: threading, lifts and sleying, and how long threading took."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from clothwright.cloth import STICKS, Charged, read_charged, read_sets, read_sleying
from clothwright.project.fields import DayField
from clothwright.project.parts.part import Part, Positive

#: More text of a file that came is not kept in a project.
LONGEST_KEPT = 200_000


def _as_text(value: Any) -> Any:
    """A bare number as text, so that one end in each dent may be written without quotes."""
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _sticks(text: str) -> str:
    sticks_in(text)
    return text


def sticks_in(text: str) -> tuple[Charged, ...]:
    """What each stick holds, stick after stick, as `1 on, 1 off; 2 on, 2 off`; ValueError with an accepted form."""
    found = tuple(read_charged(one) for one in text.split(";") if one.strip())
    if len(found) > len(STICKS):
        raise ValueError(f"{len(found)} sticks came; {len(STICKS)} are the most")
    return found


def _sleying(text: str) -> str:
    if text:
        read_sleying(text)
    return text


def _sets(text: str) -> str:
    if text:
        read_sets(text)
    return text


WrittenField = Annotated[str, BeforeValidator(_as_text)]
SticksField = Annotated[str, AfterValidator(_sticks)]
SleyingField = Annotated[str, BeforeValidator(_as_text), AfterValidator(_sleying)]
SetsField = Annotated[str, BeforeValidator(_as_text), AfterValidator(_sets)]


class TimedPart(Part):
    """Ends that were threaded and sleyed, and the minutes it took."""

    ends: Positive
    minutes: Annotated[float, Field(gt=0, allow_inf_nan=False)]
    day: DayField = ""


class ThreadingPart(Part):
    """The draft as far as it is decided; what is left out comes from the cloth's structure, its heddle and the plan.

    `threading` is of shafts, or of holes and slots; `lifting` of shafts, or of sheds: which of them, the kind of loom says.
    `other_sections` is what an interchange file held that a project has no other place for, as it came.
    """

    threading: WrittenField = ""
    shafts: Positive | None = None
    sticks: SticksField = ""
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
