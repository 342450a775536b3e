"""What an archive says of each thing in it, part by part: what is written, and what is read again and nothing else."""

from __future__ import annotations

import uuid
from datetime import date, datetime
from typing import Any, Final, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from clothwright.library.shelves.on_hand import Kept

FORMAT: Final = 1


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid")


class About(_Strict):
    """What kind of archive it is, and by which program it was made."""

    clothwright_export: int
    made_with: str


class RevisionKept(_Strict):
    """A revision of a project, as typed, with the drawings it names."""

    number: int = Field(ge=1, le=2**31 - 1)
    parent: int | None
    tree: dict[str, Any]
    drawings: dict[str, str]
    made_at: datetime
    what: str


class OrderKept(_Strict):
    """A colour order that was ticked off, or could be."""

    digest: str = Field(pattern="^[0-9a-f]{16}$")
    runs: list[dict[str, Any]]
    first_seen: datetime


class EntryKept(_Strict):
    """What came from a phone, exactly as it came."""

    key: uuid.UUID
    number: int = Field(ge=1, le=2**31 - 1)
    phone: str = Field(max_length=36)
    kind: str = Field(max_length=20)
    content: dict[str, Any]
    received_at: datetime
    sentence: str


class ProjectPhotoKept(_Strict):
    """A photo of a project, by what it is."""

    name: str = Field(min_length=1, max_length=200)
    sha256: str = Field(pattern="^[0-9a-f]{64}$")
    added_at: datetime


class NumberKept(_Strict):
    """The number of a record, and the one it had elsewhere before."""

    number: str = Field(pattern=r"^\d{4}-\d{3,6}$")
    before: str = Field(default="", max_length=20)


class LeafletKept(_Strict):
    """A version of a leaflet as it was given out."""

    number: int = Field(ge=1, le=2**31 - 1)
    version: str = Field(max_length=20)
    day: date
    content: dict[str, Any]
    made_at: datetime


class ProjectKept(_Strict):
    """A project with all its history."""

    key: uuid.UUID
    created: datetime
    put_away: bool
    head: int
    revisions: list[RevisionKept] = Field(min_length=1)
    orders: list[OrderKept] = []
    entries: list[EntryKept] = []
    photos: list[ProjectPhotoKept] = []
    record: NumberKept | None = None
    leaflets: list[LeafletKept] = []

    @model_validator(mode="after")
    def _one_tree(self) -> Self:
        numbers = [one.number for one in self.revisions]
        _numbered(numbers, self.head)
        if lost := [one.number for one in self.revisions if one.parent is not None and one.parent not in numbers]:
            raise ValueError(f"revision {lost[0]} was made from one that is not there")
        if early := [one.number for one in self.revisions if one.parent is not None and one.parent >= one.number]:
            raise ValueError(f"revision {early[0]} was made from a later one")
        return self


class StateKept(_Strict):
    """A state of something on hand, as typed."""

    number: int = Field(ge=1, le=2**31 - 1)
    tree: dict[str, Any]
    made_at: datetime
    what: str


class PhotoKept(_Strict):
    """A photo of something on hand, by what it is."""

    name: str = Field(max_length=200)
    sha256: str = Field(pattern="^[0-9a-f]{64}$")


class OnHandKept(_Strict):
    """A yarn, a loom or a sample on hand, with every state."""

    key: uuid.UUID
    kind: Kept
    created: datetime
    put_away: bool
    head: int
    states: list[StateKept] = Field(min_length=1)
    photos: list[PhotoKept]

    @model_validator(mode="after")
    def _one_row(self) -> Self:
        _numbered([one.number for one in self.states], self.head)
        return self


def _numbered(numbers: list[int], head: int) -> None:
    if len(set(numbers)) < len(numbers):
        raise ValueError("two of one number")
    if head not in numbers:
        raise ValueError(f"number {head} counts and is not there")
