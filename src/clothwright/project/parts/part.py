"""What every part of the project document is made on."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Positive = Annotated[int, Field(ge=1)]


class Part(BaseModel):
    """A part of the document: frozen, and no unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)
