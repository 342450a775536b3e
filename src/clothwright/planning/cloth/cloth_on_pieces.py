"""What of the cloth each piece of a layout is cut from, and whether stripes meet where pieces are sewn together.

A copy lies in its place with its stitching line and its named notches. Notches of one name are sewn together; what lies
there on each copy is the end and the pick that cross at that point of the stitching line.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from clothwright.layout import Copy, Placed, match_points
from clothwright.layout.arrangement import points_in_place
from clothwright.pattern import Piece, Point, Ring
from clothwright.planning.answer import PlacedOutline, Plan
from clothwright.planning.cloth.cloth_picture import ClothPicture
from clothwright.planning.job import garment_of
from clothwright.project import Project


@dataclass(frozen=True)
class CutPiece:
    """A copy in its place on the usable cloth, cm: x along, y from the selvedge. `points`: its named notches."""

    name: str
    piece: str
    copy: int
    mirrored: bool
    outline: Ring
    stitching: Ring | None
    points: tuple[tuple[str, Point], ...] = ()


@dataclass(frozen=True)
class MetAt:
    """What lies at a notch of one copy: the yarn of the end and of the pick there."""

    copy: str
    end_yarn: str
    pick_yarn: str


@dataclass(frozen=True)
class Meeting:
    """A named place where copies are sewn together, and what lies there on each."""

    name: str
    at: tuple[MetAt, ...]

    @property
    def alike(self) -> bool:
        """Whether every place has another to be sewn to with the same yarns on it: all alike, or alike in pairs."""
        many = Counter((one.end_yarn, one.pick_yarn) for one in self.at)
        return len(many) == 1 or all(count % 2 == 0 for count in many.values())

    def as_json(self) -> dict[str, Any]:
        """The meeting as plain data."""
        at = [{"copy": one.copy, "warp": one.end_yarn, "weft": one.pick_yarn} for one in self.at]
        return {"name": self.name, "alike": self.alike, "at": at}


def cut_pieces(project: Project, drawings: Mapping[str, bytes], plan: Plan) -> tuple[CutPiece, ...]:
    """Every copy of the plan's layout in its place; none where there is no layout."""
    if plan.layout is None:
        return ()
    garment, _ = garment_of(project, drawings)
    by_name = {piece.name: piece for piece in garment.pieces}
    copies = {(copy.piece, copy.number): copy for copy in garment.copies}
    many = Counter(one.piece for one in plan.outlines)
    return tuple(
        _cut(by_name[where.piece], copies[placed.piece, placed.copy], placed, where, many[where.piece])
        for placed, where in zip(plan.layout.placed, plan.outlines, strict=True)
    )


def _cut(piece: Piece, copy: Copy, placed: Placed, where: PlacedOutline, copies: int) -> CutPiece:
    name = f"{piece.name} {copy.number}" if copies > 1 else piece.name
    stitching = points_in_place(copy, placed, piece.stitching) if piece.stitching else None
    named = match_points([piece])
    at = points_in_place(copy, placed, tuple(one.at for one in named))
    points = tuple((one.name, point) for one, point in zip(named, at, strict=True))
    return CutPiece(name, piece.name, copy.number, where.mirrored, where.outline, stitching, points)


def meetings(pieces: tuple[CutPiece, ...], picture: ClothPicture) -> tuple[Meeting, ...]:
    """What lies at every named notch that two copies or more have, those that do not meet first."""
    found: dict[str, list[MetAt]] = {}
    for piece in pieces:
        for name, point in piece.points:
            found.setdefault(name, []).append(MetAt(piece.name, *_yarns_at(point, picture)))
    every = (Meeting(name, tuple(at)) for name, at in found.items() if len(at) > 1)
    return tuple(sorted(every, key=lambda one: (one.alike, one.name)))


def _yarns_at(point: Point, picture: ClothPicture) -> tuple[str, str]:
    """The yarns of the end and the pick at a point of the usable cloth; of the nearest where the cloth does not reach."""
    warp, weft = picture.ends_from_near, picture.threads.weft
    end = int((point[1] + picture.trim_cm) * picture.ends_per_cm)
    pick = int((point[0] + picture.squaring_cm) * picture.picks_per_cm)
    return warp[min(max(end, 0), len(warp) - 1)], weft[min(max(pick, 0), len(weft) - 1)]


def copies_named(pieces: tuple[CutPiece, ...], wanted: str) -> Iterator[CutPiece]:
    """The copies that are called so: one by its own name, or all of a piece."""
    yield from (piece for piece in pieces if wanted in (piece.name, piece.piece))
