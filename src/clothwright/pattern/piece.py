"""What a pattern piece is, once it has been brought in.

A piece lies with its grain along x, as the cloth lies: x runs along the warp, y from selvedge to selvedge.
Its outline is where the scissors go; a piece drawn by its stitching line has had its allowance added, and a
piece drawn as half, on the fold, has been opened out. Lengths are centimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from shapely.geometry import Polygon

Point = tuple[float, float]
Ring = tuple[Point, ...]

MAIN_CLOTH = "main"


class PieceError(ValueError):
    """An outline that cannot be cut from cloth; the message says which piece and why."""


@dataclass(frozen=True)
class Piece:
    """One pattern piece.

    `outline`: cut line in cm, counter-clockwise, not closed, its box starting at (0, 0); x along the grain.
    `cut`: how many to cut. `pair`: half of them are mirrored. `one_way`: may not be turned end for end.
    `material`: "main", or the name of another cloth, which this layout leaves out.
    `size`, `version`: which it belongs to; None means every one.
    """

    name: str
    outline: Ring
    cut: int = 1
    pair: bool = False
    one_way: bool = False
    material: str = MAIN_CLOTH
    size: str | None = None
    version: str | None = None

    def __post_init__(self) -> None:
        """Check once that the outline can be cut, and bring it to its own origin, counter-clockwise."""
        object.__setattr__(self, "outline", tidy_ring(self.name, self.outline))
        if self.cut < 1:
            raise PieceError(f"{self.name}: cut {self.cut} makes no sense, a piece is cut once or more")

    @cached_property
    def polygon(self) -> Polygon:
        """The outline as a shapely polygon, cm."""
        return Polygon(self.outline)

    @property
    def length_cm(self) -> float:
        """Extent along the grain, cm."""
        return float(self.polygon.bounds[2])

    @property
    def width_cm(self) -> float:
        """Extent across the grain, cm."""
        return float(self.polygon.bounds[3])

    @property
    def area_cm2(self) -> float:
        """Area of one copy, cm²."""
        return float(self.polygon.area)

    @property
    def mirrored_count(self) -> int:
        """How many of the copies are mirror images: half of a pair, rounded down."""
        return self.cut // 2 if self.pair else 0

    def renamed(self, name: str) -> Piece:
        """The same piece under another name."""
        return replace(self, name=name)


def tidy_ring(name: str, ring: Ring) -> Ring:
    """The ring moved to its own origin, counter-clockwise, without repeated points; PieceError if it is no outline."""
    points = [p for p, before in zip(ring, (ring[-1:] + ring[:-1]), strict=True) if p != before] if ring else []
    polygon = Polygon(points) if len(points) >= 3 else Polygon()
    if polygon.is_empty or not polygon.is_valid or polygon.area <= 0:
        raise PieceError(f"{name}: the outline crosses itself or encloses no area; draw it as one simple closed line")
    if not polygon.exterior.is_ccw:
        points = points[::-1]
    left, low = polygon.bounds[0], polygon.bounds[1]
    return tuple((float(x - left), float(y - low)) for x, y in points)


def rectangle(
    name: str,
    *,
    width_cm: float,
    length_cm: float,
    cut: int = 1,
    pair: bool = False,
    fold: bool = False,
    one_way: bool = False,
    material: str = MAIN_CLOTH,
) -> Piece:
    """A rectangular piece: `width_cm` across, `length_cm` along the grain; on a fold the width is half, and doubled."""
    width = 2 * width_cm if fold else width_cm
    ring = ((0.0, 0.0), (length_cm, 0.0), (length_cm, width), (0.0, width))
    return Piece(name, ring, cut=cut, pair=pair, one_way=one_way, material=material)
