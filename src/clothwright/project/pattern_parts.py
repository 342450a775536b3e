"""The parts of the project document that tell of the pattern."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from clothwright.pattern import read_mark
from clothwright.project.draft_parts import DraftPart
from clothwright.project.fields import LengthField, SomeLengthField
from clothwright.project.part import Part, Positive


class PiecePart(Part):
    """A pattern piece given as numbers."""

    name: Annotated[str, Field(min_length=1)]
    width: SomeLengthField
    length: SomeLengthField
    cut: Positive = 1
    pair: bool = False
    fold: bool = False
    one_way: bool = False
    material: str = "main"


def _mark_read(mark: str) -> AfterValidator:
    def check(text: str) -> str:
        read_mark(mark, text)
        return text

    return AfterValidator(check)


class MarkPart(Part):
    """What is said of a drawn piece beside its drawing; it counts before what the drawing says."""

    piece: Annotated[str, Field(min_length=1)]
    leave_out: bool = False
    name: Annotated[str, _mark_read("piece")] | None = None
    cut: Positive | None = None
    pair: bool | None = None
    fold: Annotated[str, _mark_read("fold")] | None = None
    grain: Annotated[str, _mark_read("grain")] | None = None
    line: Literal["cut", "stitch"] | None = None
    allowance: LengthField | None = None
    one_way: bool | None = None
    material: Annotated[str, _mark_read("material")] | None = None
    size: Annotated[str, _mark_read("size")] | None = None
    version: Annotated[str, _mark_read("version")] | None = None


class PatternPart(Part):
    """A garment: a drawing, pieces as numbers, a draft from body measures, or several of these."""

    file: str | None = None
    scale: SomeLengthField | None = None
    size: str | None = None
    version: str | None = None
    seam_allowance: LengthField | None = None
    one_way: bool = False
    squaring: LengthField | None = None
    selvedge_trim: LengthField | None = None
    piece: list[PiecePart] = []
    mark: list[MarkPart] = []
    draft: DraftPart | None = None
