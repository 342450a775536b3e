"""The part of the project document that says how many picks were counted, over what length and where."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from clothwright.project.fields import SomeLengthField
from clothwright.project.parts.part import Part


class PickCountPart(Part):
    """Picks counted over a length, and where."""

    count: Annotated[float, Field(gt=0, allow_inf_nan=False)]
    over: SomeLengthField
    where: Literal["on loom", "off loom", "finished"] = "on loom"
