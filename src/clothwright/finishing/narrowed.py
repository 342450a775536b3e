"""Pieces with less allowance than they were drawn with: at their sides, or all round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shapely import box

from clothwright.finishing.relaid import HAIR_CM
from clothwright.pattern import Piece
from clothwright.project import Project

#: Allowances are narrowed by no more than this on a side, and to no less than what holds in handwoven cloth. Common practice, no source.
_MOST_NARROWED_CM: Final = 0.6
_LEAST_ALLOWANCE_CM: Final = 0.7


def is_over(piece: Piece, usable_cm: float) -> bool:
    """Whether a piece is wider than the cloth can be used, by more than a hair."""
    return piece.width_cm > usable_cm + HAIR_CM


def least_allowance(project: Project, pieces: Sequence[Piece]) -> float | None:
    """The seam allowance of the pieces, the least where they differ; None where nothing says."""
    said = [piece.allowance_cm for piece in pieces if piece.allowance_cm > 0]
    typed = project.pattern.seam_allowance if project.pattern else None
    return min(said, default=typed.cm if typed else None)


def most_narrowed_cm(allowance: float | None) -> float:
    """How much of an allowance can be spared at most, on a side; where nothing says what it is, as of a usual one."""
    return _MOST_NARROWED_CM if allowance is None else min(_MOST_NARROWED_CM, allowance - _LEAST_ALLOWANCE_CM)


def left_after(allowance: float | None, less: float) -> float | None:
    """What is left of an allowance after it was narrowed; None where nothing says what it was."""
    return None if allowance is None else allowance - less


def sides_narrowed(piece: Piece, off_cm: float) -> Piece:
    """The piece with so much cut off at both its sides, where they reach furthest."""
    kept = piece.polygon.intersection(box(-1.0, off_cm, piece.length_cm + 1.0, piece.width_cm - off_cm))
    return replace(piece, outline=tuple(kept.exterior.coords)[:-1]) if kept.geom_type == "Polygon" else piece


def all_narrowed(pieces: Sequence[Piece], by_cm: float) -> tuple[Piece, ...]:
    """The pieces that say an allowance with so much less all round; all of them where none says one."""
    say = [piece for piece in pieces if piece.allowance_cm > 0] or list(pieces)
    return tuple(_narrowed(piece, by_cm) if piece in say else piece for piece in pieces)


def _narrowed(piece: Piece, by_cm: float) -> Piece:
    less = piece.polygon.buffer(-by_cm, join_style="mitre")
    if less.geom_type != "Polygon" or less.is_empty:
        return piece
    return replace(piece, outline=tuple(less.exterior.coords)[:-1])
