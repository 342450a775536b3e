"""The parts of the project document that tell of the pattern."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from clothwright.pattern import MOST_COPIES, Do, read_edge_words, read_join_place, read_mark
from clothwright.project.fields import DayField, LengthField, ShareField, SomeLengthField
from clothwright.project.parts.draft_parts import DraftPart
from clothwright.project.parts.part import Part, Positive


def _edge_read(text: str) -> str:
    if read_edge_words(text).fold:
        raise ValueError("a piece given as numbers says its fold as fold = true")
    return text


EdgeField = Annotated[str, AfterValidator(_edge_read)]


def _can_be_cut(number: int) -> int:
    if number > MOST_COPIES:
        raise ValueError(f"“{number}” came; a piece is cut 1 to {MOST_COPIES} times")
    return number


CutField = Annotated[Positive, AfterValidator(_can_be_cut)]


class PiecePart(Part):
    """A pattern piece given as numbers.

    `left`, `right`, `top`, `bottom`: what that edge is, as the piece lies on its page with the grain upwards. `allowance`:
    how much of the size is seam allowance, at every edge that says nothing else.
    """

    name: Annotated[str, Field(min_length=1)]
    width: SomeLengthField
    length: SomeLengthField
    cut: CutField = 1
    pair: bool = False
    fold: bool = False
    one_way: bool = False
    material: str = "main"
    allowance: LengthField | None = None
    left: EdgeField | None = None
    right: EdgeField | None = None
    top: EdgeField | None = None
    bottom: EdgeField | None = None

    @model_validator(mode="after")
    def _pair_is_even(self) -> Self:
        if self.pair and self.cut % 2:
            raise ValueError(f"a pair that is cut {self.cut} times; write cut = {self.cut + 1}, or pair = false")
        return self


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
    cut: CutField | None = None
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


class MockUpPart(Part):
    """The mock-up (toile, American muslin): when it was sewn, in what, in which size, and whether it fits."""

    sewn: DayField = ""
    cloth: str = ""
    size: str | None = None
    fits: bool = False
    notes: str = ""


def _one_or_more(value: object) -> object:
    """A name by itself is a list of one; names with commas between them are several."""
    return [name.strip() for name in value.split(",") if name.strip()] if isinstance(value, str) else value


NamesField = Annotated[list[Annotated[str, Field(min_length=1)]], BeforeValidator(_one_or_more)]


class ChangePart(Part):
    """A change found on the mock-up, as one dated step."""

    do: Do
    by: SomeLengthField
    seam: str | None = None
    nothing_at: str | None = None
    corner: NamesField = []
    at: SomeLengthField | None = None
    match: str | None = None
    piece: NamesField = []
    other_sizes: Literal["the same", "in proportion"] = "the same"
    date: DayField = ""
    why: str = ""
    set_aside: str = ""

    @model_validator(mode="after")
    def _says_where(self) -> Self:
        across = self.do in (Do.LENGTHEN, Do.SHORTEN)
        given = {
            "seam": self.seam,
            "nothing_at": self.nothing_at,
            "corner": self.corner,
            "at": self.at,
            "match": self.match,
        }
        named = {name for name, value in given.items() if value}
        fits = {"at", "match"} if across else {"seam", "nothing_at"}
        if self.do in (Do.RAISE, Do.LOWER):
            fits |= {"corner"}
        if wrong := sorted(named - fits):
            raise ValueError(f"to {self.do} takes no {' and no '.join(wrong)}; it takes {', '.join(sorted(fits))}")
        if across and not self.match and not (self.at and self.piece):
            raise ValueError(
                f"where to {self.do}? Say match, the notch or line it goes through, or piece, and at, from its foot"
            )
        if across and self.match and self.at:
            raise ValueError("match and at both say where the line across lies; keep one")
        if not across and not self.seam and not self.corner:
            raise ValueError(
                f"what to {self.do}? Say the seam"
                + (", or corner, the two seams that meet" if "corner" in fits else "")
            )
        if self.corner and (self.seam or len(self.corner) != 2):
            raise ValueError("a corner is where two seams meet: name two, and no seam beside it")
        return self


class BetweenPart(Part):
    """A size made between two that are drawn."""

    size: Annotated[str, Field(min_length=1)]
    between: NamesField
    share: ShareField

    @model_validator(mode="after")
    def _lies_between(self) -> Self:
        if len(self.between) != 2:
            raise ValueError("a size lies between two sizes; name two, as S, M")
        if not 0 <= self.share.expected <= 1:
            raise ValueError(f"“{self.share}”: a share of the way from the first to the second lies from 0 % to 100 %")
        return self


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
    left_is: Literal["as drawn", "mirror image"] | None = None
    piece: list[PiecePart] = []
    mark: list[MarkPart] = []
    from_measures: DraftPart | None = None
    join: list[JoinPart] = []
    made_size: list[BetweenPart] = []
    mock_up: MockUpPart | None = None
    change: list[ChangePart] = []

    @property
    def holds_pieces(self) -> bool:
        """Whether anything is given to cut."""
        return bool(self.file or self.piece or self.from_measures)
