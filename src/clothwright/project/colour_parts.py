"""The parts of the project document that tell of the warp's colours."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from clothwright.colours import Balance
from clothwright.project.fields import ShareField, SomeLengthField
from clothwright.project.part import Part, Positive


class RunPart(Part):
    """Ends of one yarn side by side, in an order as it stands. `held`: a new drawing leaves them where they are."""

    yarn: Annotated[str, Field(min_length=1)]
    ends: Positive
    ball: Positive | None = None
    held: bool = False


class StripePart(Part):
    """A stripe of the warp: how wide it is in the finished cloth."""

    yarn: Annotated[str, Field(min_length=1)]
    width: SomeLengthField


def _two_names(names: list[str]) -> list[str]:
    if len(names) != 2:
        raise ValueError(f"{', '.join(names) or 'nothing'} came: name two yarns that may not lie side by side")
    return names


class ColoursPart(Part):
    """Rules for the warp's colour order, and the order as it stands, once there is one.

    What is left out of `ends` and `warp_length` comes from the plan, a `seed` left out from the project. Numbers of ends become whole pairs when the warp is
    wound direct.
    """

    ends: Positive | None = None
    warp_length: SomeLengthField | None = None
    longest_run: Positive | None = None
    not_side_by_side: list[Annotated[list[str], AfterValidator(_two_names)]] = []
    not_at_edges: list[str] = []
    use_up: list[str] = []
    keep_for_weft: dict[str, ShareField] = {}
    between_one_ball: Positive | None = None
    light_and_dark: Literal["as it falls", "balanced", "dark to light", "light to dark"] = "as it falls"
    strictly: ShareField | None = None
    balls_last: Literal["expected", "sure"] = "expected"
    stripes: list[StripePart] = []
    stripes_lie: Balance = Balance.AS_THEY_FALL
    seed: Annotated[int, Field(ge=0)] | None = None
    order: list[RunPart] = []
