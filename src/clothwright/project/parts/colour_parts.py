"""The parts of the project document that tell of the colours of warp and weft."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import AfterValidator, Field

from clothwright.colours import Balance
from clothwright.project.fields import ShareField, SomeLengthField
from clothwright.project.parts.part import Part, Positive

#: More ends than a hand loom holds: 120 cm of fine silk at 40 per cm. Common practice, no source.
MOST_ENDS: Final = 5000


def _ends_of_a_warp(ends: int) -> int:
    if ends > MOST_ENDS:
        raise ValueError(f"“{ends}” came; the order of a warp is made of 1 to {MOST_ENDS} ends")
    return ends


class RunPart(Part):
    """Ends of one yarn side by side, in an order as it stands. `held`: a new drawing leaves them where they are."""

    yarn: Annotated[str, Field(min_length=1)]
    ends: Positive
    ball: Positive | None = None
    held: bool = False


class SelvedgePart(Part):
    """What stands at either selvedge: a yarn, and how many ends of it."""

    yarn: Annotated[str, Field(min_length=1)]
    ends: Positive


class StripePart(Part):
    """A stripe of the warp: how wide it is in the finished cloth."""

    yarn: Annotated[str, Field(min_length=1)]
    width: SomeLengthField


def _two_names(names: list[str]) -> list[str]:
    if len(names) != 2:
        raise ValueError(f"{', '.join(names) or 'nothing'} came: name two yarns that may not lie side by side")
    return names


class WeftRunPart(Part):
    """Picks of one yarn one after another, in a weft order as it stands. `held`: a new drawing leaves them."""

    yarn: Annotated[str, Field(min_length=1)]
    picks: Positive
    held: bool = False


class WeftStripePart(Part):
    """A stripe of the weft: how long it is in the finished cloth."""

    yarn: Annotated[str, Field(min_length=1)]
    length: SomeLengthField


class WeftColoursPart(Part):
    """How the weft's colours come one after another, and the order as it stands, once there is one.

    `picks` and `pick_length` (weft yarn that one pick takes) come from the plan where they are left out. `yarns`: those the
    weft is of, in their order; left out, all that are for the weft, and those of which a share is kept from the warp;
    `warp_leavings`: what the warp leaves of its other yarns too.
    """

    picks: Positive | None = None
    pick_length: SomeLengthField | None = None
    yarns: list[str] = []
    warp_leavings: bool = False
    lies: Literal["one after another", "at random", "turn about"] | None = None
    turn_about: list[str] = []
    colours_change: Literal["at one side", "at either side"] = "at one side"
    least_together: Positive | None = None
    longest_run: Positive | None = None
    not_side_by_side: list[Annotated[list[str], AfterValidator(_two_names)]] = []
    not_at_ends: list[str] = []
    use_up: list[str] = []
    between_one_yarn: Positive | None = None
    light_and_dark: Literal["as it falls", "balanced", "dark to light", "light to dark"] = "as it falls"
    strictly: ShareField | None = None
    balls_last: Literal["expected", "sure"] = "expected"
    as_the_warp: bool = False
    stripes: list[WeftStripePart] = []
    stripes_lie: Balance = Balance.AS_THEY_FALL
    seed: Annotated[int, Field(ge=0)] | None = None
    order: list[WeftRunPart] = []


class ColoursPart(Part):
    """Rules for the warp's colour order, and the order as it stands, once there is one; and the weft's.

    What is left out of `ends` and `warp_length` comes from the plan, a `seed` left out from the project. Numbers of ends become whole pairs when the warp is
    wound direct.
    """

    ends: Annotated[Positive, AfterValidator(_ends_of_a_warp)] | None = None
    warp_length: SomeLengthField | None = None
    longest_run: Positive | None = None
    not_side_by_side: list[Annotated[list[str], AfterValidator(_two_names)]] = []
    not_at_edges: list[str] = []
    use_up: list[str] = []
    keep_for_weft: dict[str, ShareField] = {}
    between_one_ball: Positive | None = None
    spread: list[str] = []
    spread_unlike: bool = False
    selvedge: SelvedgePart | None = None
    light_and_dark: Literal["as it falls", "balanced", "dark to light", "light to dark"] = "as it falls"
    strictly: ShareField | None = None
    balls_last: Literal["expected", "sure"] = "expected"
    stripes: list[StripePart] = []
    stripes_lie: Balance = Balance.AS_THEY_FALL
    seed: Annotated[int, Field(ge=0)] | None = None
    order: list[RunPart] = []
    weft: WeftColoursPart | None = None
