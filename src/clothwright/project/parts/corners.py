"""Outlines as they are written: corners in order, each so far across and so far along the warp, from one place."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import AfterValidator, BeforeValidator, model_validator

from clothwright.evidence import Outline
from clothwright.project.fields import LengthField
from clothwright.project.parts.part import Part


class CornerPart(Part):
    """A corner of a sample traced on paper: how far across, and how far along the warp, from one place of the paper."""

    across: LengthField
    along: LengthField

    @model_validator(mode="after")
    def _one_place(self) -> Self:
        for length in (self.across, self.along):
            if length.has_spread:
                raise ValueError(f"“{length}”: a corner is at one place; write it without a spread")
        return self


def _corner(value: object) -> object:
    """A corner given as a pair, `["24.1 cm", "0.2 cm"]`, as the table it stands for."""
    if isinstance(value, list | tuple) and len(value) == 2:
        return dict(zip(("across", "along"), value, strict=True))
    return value


CornerField = Annotated[CornerPart, BeforeValidator(_corner)]


def _encloses(corners: list[CornerPart]) -> list[CornerPart]:
    if corners:
        outline_of(corners)
    return corners


def outline_of(corners: list[CornerPart]) -> Outline:
    """The outline that corners make; ValueError where they make none."""
    return Outline(tuple((corner.across.cm, corner.along.cm) for corner in corners))


CornersField = Annotated[list[CornerField], AfterValidator(_encloses)]
