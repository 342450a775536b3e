"""A sample's outline drawn round it on paper: widths, lengths and skew from its corners.

The paper lies with the warp up and down. Corners go round the sample in order; more than four tell of edges that wave.
The four corners are those furthest out along the diagonals; between them run two selvedges and two ends.

    warp direction   a = the mean direction of the two selvedges
    width at a place = the distance between the selvedges there, square to a
    length at a place = the distance between the ends there, along a
    skew             = how far the mean direction of the ends turns from square to a

A width is taken square to the selvedges, as a tape lies and as pieces are cut, so a skewed sample is narrower than its picks
are long. *Limit*: a sample turned by more than some 40° on the paper has its corners taken for others.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely.geometry import Polygon

Corner = tuple[float, float]
_Points = NDArray[np.float64]

#: Places at which widths and lengths are taken, beside those at corners.
_PLACES: Final = 41


@dataclass(frozen=True)
class Outline:
    """Corners of a traced sample in order, cm: across from left to right, along from near to far. ValueError where it is none."""

    corners: tuple[Corner, ...]

    def __post_init__(self) -> None:
        """Check once that it is the shape of a piece of cloth."""
        if len(self.corners) < 4:
            raise ValueError(f"a traced sample has four corners or more; {len(self.corners)} came")
        shape = self._shape
        if not shape.is_valid or shape.area <= 0:
            raise ValueError("the corners cross over or enclose nothing; write them in order, once round the sample")
        if len(set(self._outermost)) < 4:
            raise ValueError("no four corners can be told apart; draw round the sample with its warp up the paper")

    @cached_property
    def _shape(self) -> Polygon:
        """The outline as a polygon; imported here, for whoever compares setts traces nothing."""
        from shapely.geometry import Polygon

        return Polygon(self.corners)

    @cached_property
    def _points(self) -> _Points:
        """Corners anticlockwise, (n, 2)."""
        points = np.array(self.corners, dtype=np.float64)
        return points if self._shape.exterior.is_ccw else points[::-1]

    @cached_property
    def _outermost(self) -> tuple[int, int, int, int]:
        """Which corners lie near left, near right, far right and far left."""
        points = self._points
        middle, size = (points.max(axis=0) + points.min(axis=0)) / 2, np.ptp(points, axis=0)
        out = (points - middle) / size
        near_left, near_right, far_right, far_left = (
            int(np.argmax(out @ np.array(way))) for way in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
        return near_left, near_right, far_right, far_left

    def _edge(self, start: int, end: int) -> _Points:
        """The corners from one to another, anticlockwise."""
        count = len(self._points)
        return self._points[[(start + step) % count for step in range((end - start) % count + 1)]]

    @cached_property
    def _edges(self) -> tuple[_Points, _Points, _Points, _Points]:
        """Near end and far end from left to right; left and right selvedge from near to far."""
        near_left, near_right, far_right, far_left = self._outermost
        near, right = self._edge(near_left, near_right), self._edge(near_right, far_right)
        far, left = self._edge(far_right, far_left)[::-1], self._edge(far_left, near_left)[::-1]
        return near, far, left, right

    @cached_property
    def _warp_way(self) -> _Points:
        _, _, left, right = self._edges
        return _direction(left, right)

    @cached_property
    def _weft_way(self) -> _Points:
        """Square to the warp, from left to right."""
        across, along = self._warp_way
        return np.array([along, -across])

    @cached_property
    def _widths(self) -> tuple[float, float]:
        _, _, left, right = self._edges
        return _apart(left, right, self._weft_way)

    @cached_property
    def _lengths(self) -> tuple[float, float]:
        near, far, _, _ = self._edges
        return _apart(near, far, self._warp_way)

    @property
    def mean_width_cm(self) -> float:
        """Mean of the widths along the sample."""
        return self._widths[0]

    @property
    def least_width_cm(self) -> float:
        """The narrowest place."""
        return self._widths[1]

    @property
    def mean_length_cm(self) -> float:
        """Mean of the lengths across the sample."""
        return self._lengths[0]

    @property
    def least_length_cm(self) -> float:
        """The shortest place."""
        return self._lengths[1]

    @cached_property
    def skew_deg(self) -> float:
        """How far the picks turn from square to the warp, degrees; above nothing where the right side lies further on."""
        near, far, _, _ = self._edges
        return math.degrees(math.asin(float(np.clip(_direction(near, far) @ self._warp_way, -1.0, 1.0))))

    @property
    def area_cm2(self) -> float:
        """Area enclosed."""
        return float(self._shape.area)


def _direction(one: _Points, other: _Points) -> _Points:
    """Mean direction of two edges, from their first to their last corner."""
    both = sum((edge[-1] - edge[0]) / np.linalg.norm(edge[-1] - edge[0]) for edge in (one, other))
    return np.asarray(both / np.linalg.norm(both))


def _apart(one: _Points, other: _Points, way: _Points) -> tuple[float, float]:
    """Mean and least distance between two edges along a direction, at like shares of their length."""
    even = np.linspace(0.0, 1.0, _PLACES)
    shares = np.unique(np.concatenate([even, _shares(one), _shares(other)]))
    apart = (_along(other, shares) - _along(one, shares)) @ way
    mean = np.sum((apart[1:] + apart[:-1]) / 2 * np.diff(shares))
    return float(mean), float(apart.min())


def _shares(edge: _Points) -> _Points:
    """Where the corners of an edge lie, as shares of its length."""
    steps = np.linalg.norm(np.diff(edge, axis=0), axis=1)
    return np.concatenate([[0.0], np.cumsum(steps) / steps.sum()])


def _along(edge: _Points, shares: _Points) -> _Points:
    at = _shares(edge)
    return np.column_stack([np.interp(shares, at, edge[:, 0]), np.interp(shares, at, edge[:, 1])])
