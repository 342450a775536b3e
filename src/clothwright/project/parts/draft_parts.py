"""The parts of the project document that tell of a garment drafted from body measures."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field

from clothwright.pattern.drafting import garment_named, size_table
from clothwright.project.parts.part import Part


def _as_text(value: Any) -> Any:
    """A bare number as text, so that a count may be written without quotes."""
    return str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value


#: What is typed for a measure, an ease or an option; what it means is asked of the garment.
TypedText = Annotated[str, BeforeValidator(_as_text)]
SizeName = Annotated[str, BeforeValidator(_as_text), Field(min_length=1)]


def _garment(text: str) -> str:
    return garment_named(text).name


def _table(text: str) -> str:
    return size_table(text).name


class DraftSizePart(Part):
    """A size of the weaver's own: the measures that are its, before those of `body`."""

    name: SizeName
    body: dict[str, TypedText] = {}


class DraftVersionPart(Part):
    """A version: the options that are its, before the garment's `options`."""

    name: SizeName
    options: dict[str, TypedText] = {}


class DraftPart(Part):
    """A garment drafted from body measures, eases and options.

    `table` is a published table of sizes and `sizes` those wanted of it; `body` gives what a table or a size does not.
    """

    garment: Annotated[str, AfterValidator(_garment)]
    table: Annotated[str, AfterValidator(_table)] | None = None
    sizes: list[SizeName] = []
    body: dict[str, TypedText] = {}
    ease: dict[str, TypedText] = {}
    options: dict[str, TypedText] = {}
    size: list[DraftSizePart] = []
    version: list[DraftVersionPart] = []
