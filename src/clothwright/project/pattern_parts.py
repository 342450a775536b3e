"""The parts of the project document that tell of the pattern."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from clothwright.pattern import read_edge_words, read_join_place, read_mark
from clothwright.project.fields import LengthField, SomeLengthField
from clothwright.project.part import Part, Positive


def _edge_read(text: str) -> str:
    if read_edge_words(text).fold:
        raise ValueError("a piece given as numbers says its fold as fold = true")
    return text


EdgeField = Annotated[str, AfterValidator(_edge_read)]


class PiecePart(Part):
    """A pattern piece given as numbers.

    `left`, `right`, `top`, `bottom`: what that edge is, as the piece lies on its page with the grain upwards. `allowance`:
    how much of the size is seam allowance, at every edge that says nothing else.
    """

    name: Annotated[str, Field(min_length=1)]
    width: SomeLengthField
    length: SomeLengthField
    cut: Positive = 1
    pair: bool = False
    fold: bool = False
    one_way: bool = False
    material: str = "main"
    allowance: LengthField | None = None
    left: EdgeField | None = None
    right: EdgeField | None = None
    top: EdgeField | None = None
    bottom: EdgeField | None = None


def _mark_read(mark: str) -> AfterValidator:
    def check(text: str) -> str:
        read_mark(mark, text)
        return text

    return AfterValidator(check)


class MarkPart(Part):
    """What is said of a drawn piece beside its drawing; it counts before what the drawing says."""

    piece: Annotated[str, Field(min_length=1)]
    leave_out: bool = False
    close: bool = False
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


def _join_place_read(text: str) -> str:
    read_join_place(text)
    return text


class JoinPart(Part):
    """A piece, or a panel of one, that is joined from panels for cloth narrower than it is.

    `material`: what a facing is cut from, where a hem is cut off for one. `set_aside`: why it is kept and not used.
    """

    piece: Annotated[str, Field(min_length=1)]
    at: Annotated[str, AfterValidator(_join_place_read)]
    sewn: Literal["seam", "selvedges butted", "selvedges lapped"] = "seam"
    allowance: LengthField | None = None
    material: Annotated[str, _mark_read("material")] | None = None
    set_aside: str = ""


class PatternPart(Part):
    """A garment: a drawing, pieces as numbers, or both."""

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
    join: list[JoinPart] = []
