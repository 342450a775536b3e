"""The parts of the project document that tell of the weaving: what stands on the loom, and the log.

The log is a list that only grows. Each entry has a key of its own, and what is wrong in one is put right by a later one that
`corrects` it and stands in its place; both are kept. An entry tells one thing or several by the fields it has, and lengths
in it are on the loom under tension, from the first pick.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Final, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from clothwright.measure import Weight
from clothwright.project.fields import (
    CoreField,
    DayField,
    HeddleField,
    LengthField,
    SomeLengthField,
    SomeWeightField,
    ThreadsField,
    WeightField,
    as_text,
)
from clothwright.project.parts.part import Part, Positive
from clothwright.project.parts.pick_count import PickCountPart

LONGEST_KEY: Final = 64
Name = Annotated[str, Field(min_length=1)]
KeyField = Annotated[str, Field(max_length=LONGEST_KEY)]


def _a_moment(text: str) -> str:
    """A day, or a day and a time, as typed."""
    try:
        if text:
            datetime.datetime.fromisoformat(text)
    except ValueError:
        raise ValueError(f"“{text}”: write when as 2026-03-14, or 2026-03-14 16:30; or leave it out") from None
    return text


MomentField = Annotated[str, BeforeValidator(as_text), AfterValidator(_a_moment)]


class FirstPlanPart(Part):
    """The plan a warp was put on by, kept as it was for comparison."""

    to_weave: SomeLengthField
    day: DayField = ""
    ends: Positive | None = None
    warp_length: SomeLengthField | None = None
    finished_width: SomeLengthField | None = None
    finished_length: SomeLengthField | None = None
    picks: ThreadsField | None = None
    verdict: str = ""


class BandPart(Part):
    """A stretch of the cloth in another weft: from where to where, under tension, and of which yarn."""

    begins: LengthField
    stops: SomeLengthField
    yarn: str = ""

    @model_validator(mode="after")
    def _some_cloth(self) -> Self:
        if self.stops.cm <= self.begins.cm:
            raise ValueError(
                f"a band from {self.begins} to {self.stops} is no cloth; give where it stops, further along"
            )
        return self


class OnLoomPart(Part):
    """What stands on the loom now; what is left out comes from the plan, and `first_plan` is that plan as it was.

    `repeat` is finished, `repeat_picks` what was settled on for it, `panel` the finished length of each of the panels to match.
    """

    to_weave: SomeLengthField | None = None
    counted_from: Literal["cloth", "sample"] = "cloth"
    warp_wound: SomeLengthField | None = None
    ends: Positive | None = None
    heddle: HeddleField | None = None
    marks_every: SomeLengthField | None = None
    repeat: SomeLengthField | None = None
    repeat_picks: Positive | None = None
    panel: SomeLengthField | None = None
    minutes_a_session: Positive | None = None
    first_plan: FirstPlanPart | None = None
    bands: list[BandPart] = []


class WeighedPart(Part):
    """A ball or shuttle on the scale: of which yarn, with its own core, and what of that yarn lay beside it unwoven."""

    yarn: Name
    gross: SomeWeightField
    core: CoreField | None = None
    beside: WeightField | None = None

    @model_validator(mode="after")
    def _some_yarn(self) -> Self:
        if self.core is None:
            raise ValueError(
                f"{self.gross} of {self.yarn} with what core? Give core as a weight or by its name; 0 g where there is none"
            )
        if isinstance(self.core, Weight) and self.core.grams > self.gross.grams:
            raise ValueError(f"the core of {self.core} weighs more than the {self.gross} it was weighed with")
        return self


class HappenedPart(Part):
    """A knot, a break, a join or floats: where along the cloth, which end or how far across, and whether it is mended."""

    what: Literal["knot", "break", "join", "floats", "other"]
    at: LengthField | None = None
    end: Positive | None = None
    from_selvedge: LengthField | None = None
    mended: bool = False
    note: str = ""


class OffLoomPart(Part):
    """The cloth cut off: its size off the loom, and how long it had rested."""

    length: SomeLengthField | None = None
    width: SomeLengthField | None = None
    rested: str = ""


def _one_or_several(value: object) -> object:
    return value if value is None or isinstance(value, list) else [value]


class LogPart(Part):
    """One entry of the weaving log.

    `weft_left` is net and all there is of that yarn; `weighed` are all of its balls and shuttles, together. `repeats`: the picks
    of each repeat woven since the last entry. `woven_back`: there was more, and it was taken out again. `other_of`: the key of an entry that came with other content under one key.
    `photo`: the name of its file; `photo_shows`: what it shows, in words.
    """

    key: KeyField = ""
    when: MomentField = ""
    corrects: KeyField = ""
    other_of: KeyField = ""
    woven: LengthField | None = None
    woven_back: bool = False
    weft_left: dict[str, WeightField] = {}
    weighed: Annotated[list[WeighedPart], BeforeValidator(_one_or_several)] = []
    picks: PickCountPart | None = None
    width_at_fell: SomeLengthField | None = None
    repeats: Annotated[list[Positive], BeforeValidator(_one_or_several)] = []
    panel: str = ""
    happened: Annotated[list[HappenedPart], BeforeValidator(_one_or_several)] = []
    advances: Positive | None = None
    warp_left: LengthField | None = None
    minutes: Positive | None = None
    note: str = ""
    changed_mind: str = ""
    photo: str = ""
    photo_shows: str = ""
    off_loom: OffLoomPart | None = None

    @model_validator(mode="after")
    def _tells_something(self) -> Self:
        if not self.told and not self.corrects:
            raise ValueError(f"this entry tells nothing; give one or more of {', '.join(TELLING)}")
        return self

    @model_validator(mode="after")
    def _weights_have_a_place(self) -> Self:
        named = (*self.weft_left, *(one.yarn for one in self.weighed))
        if named and self.woven is None:
            raise ValueError(f"{named[0]} was weighed with how much woven? Add woven, as 60 cm")
        if twice := sorted(set(self.weft_left) & {one.yarn for one in self.weighed}):
            raise ValueError(
                f"{twice[0]} stands under weft_left and under weighed; give all that is left of it once, net or on the scale"
            )
        return self

    @property
    def told(self) -> tuple[str, ...]:
        """The kinds of thing this entry tells, by the names of their fields."""
        return tuple(name for name in TELLING if getattr(self, name) not in (None, "", [], {}, OffLoomPart()))


#: The fields by which an entry tells something; the others say which entry it is.
TELLING: Final = tuple(
    name
    for name in LogPart.model_fields
    if name not in ("key", "when", "corrects", "other_of", "panel", "woven_back", "photo_shows")
)
