"""What a layout is: which copy of which piece lies where on a strip of cloth.

The strip: x runs along the cloth (the warp, the grain), y from one selvedge (0) to the other (the usable
width). A copy is placed by mirroring its outline across the grain (y becomes -y) if it is a mirror image,
then turning it counter-clockwise, then moving it so that its box starts at (`x_cm`, `y_cm`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from clothwright.pattern import Piece, Ring

HALF_TURN = 180.0


@dataclass(frozen=True)
class Copy:
    """One copy to be cut: its outline as it is cut (already mirrored if `mirrored`) and the turns it may take."""

    piece: str
    number: int
    outline: Ring
    mirrored: bool
    turns_deg: tuple[float, ...]


@dataclass(frozen=True)
class Placed:
    """A copy in its place: `x_cm`, `y_cm` is the corner of its box nearest the start and the first selvedge."""

    piece: str
    copy: int
    x_cm: float
    y_cm: float
    rotation_deg: float
    mirrored: bool


@dataclass(frozen=True)
class Layout:
    """Copies placed on a strip of `width_cm` (usable, finished); `length_cm` is the far end of the last copy."""

    width_cm: float
    length_cm: float
    used_share: float
    placed: tuple[Placed, ...]


def copies(pieces: tuple[Piece, ...], *, one_way: bool) -> tuple[Copy, ...]:
    """Every copy of every piece; `one_way` holds for the whole cloth, a piece may ask it for itself."""
    found: list[Copy] = []
    for piece in pieces:
        turns = (0.0,) if one_way or piece.one_way else (0.0, HALF_TURN)
        for number in range(1, piece.cut + 1):
            mirrored = number > piece.cut - piece.mirrored_count
            outline = mirror(piece.outline) if mirrored else piece.outline
            found.append(Copy(piece.name, number, outline, mirrored, turns))
    return tuple(found)


def mirror(ring: Ring) -> Ring:
    """The ring mirrored across the grain, kept counter-clockwise, its box starting at (0, 0)."""
    top = max(y for _, y in ring)
    return tuple((x, top - y) for x, y in reversed(ring))


def turn(ring: Ring, degrees: float) -> Ring:
    """The ring turned counter-clockwise, its box starting at (0, 0); quarter turns are exact."""
    c, s = _turning(degrees)
    points = [(c * x - s * y, s * x + c * y) for x, y in ring]
    left, low = min(x for x, _ in points), min(y for _, y in points)
    return tuple((x - left, y - low) for x, y in points)


def _turning(degrees: float) -> tuple[float, float]:
    """Cosine and sine of a turn, exact for quarter turns."""
    return _EXACT.get(degrees % 360) or (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))


_EXACT: dict[float, tuple[float, float]] = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}


def outline_in_place(copy: Copy, placed: Placed) -> Ring:
    """Where the scissors go: the outline of a placed copy in strip coordinates, cm."""
    ring = turn(copy.outline, placed.rotation_deg)
    return tuple((x + placed.x_cm, y + placed.y_cm) for x, y in ring)


def points_in_place(copy: Copy, placed: Placed, points: Ring) -> Ring:
    """Where points of a piece as it was drawn come to lie on the cloth with a placed copy, cm."""
    top = max(y for _, y in copy.outline)
    lying = tuple((x, top - y) for x, y in points) if copy.mirrored else points
    c, s = _turning(placed.rotation_deg)
    left = min(c * x - s * y for x, y in copy.outline)
    low = min(s * x + c * y for x, y in copy.outline)
    return tuple((c * x - s * y - left + placed.x_cm, s * x + c * y - low + placed.y_cm) for x, y in lying)
