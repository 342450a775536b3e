"""The shape of a remnant: its area, and the largest rectangle along the grain that can be cut from it.

The rectangle is looked for on a fine grid laid over the outline: a cell counts where it lies wholly inside, and the largest
rectangle of cells is found row by row from the heights of the columns. So it is never larger than can be cut, and smaller than the
best by at most a cell on each side.

*Source*: the largest rectangle under a histogram with a stack, general knowledge of algorithms, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely.geometry import Polygon

Point = tuple[float, float]
#: Cells along the longer side of the grid.
_CELLS: Final = 160
#: The corners a remnant measured from a photograph is kept by, and how far its outline may be simplified to that, cm.
MOST_CORNERS: Final = 60
_SIMPLER_CM: Final = (0.1, 0.2, 0.4, 0.8, 1.6)
_HAIR_CM: Final = 1e-6


@dataclass(frozen=True)
class Upright:
    """A rectangle along the grain, cm: where it begins across and along the cloth, its width and its length."""

    across_cm: float
    along_cm: float
    width_cm: float
    length_cm: float


def shape_of(corners: Sequence[Point]) -> Polygon:
    """The outline of corners as a polygon; ValueError where they make none. Shapely is loaded here, for few projects need it."""
    from shapely.geometry import Polygon

    if len(corners) < 3:
        raise ValueError(f"an outline has three corners or more; {len(corners)} came")
    shape = Polygon(corners)
    if not shape.is_valid or shape.area <= 0:
        raise ValueError("the corners cross over or enclose nothing; write them in order, once round the remnant")
    return shape


def corners_kept(outline: Sequence[Point]) -> list[list[str]]:
    """An outline as it was seen (y downwards, cm) as the corners a record keeps: across and along, as typed, few enough to be read."""
    for within in _SIMPLER_CM:
        simpler = shape_of(outline).simplify(within)
        if len(simpler.exterior.coords) <= MOST_CORNERS + 1:
            break
    left, _, _, low = simpler.bounds
    points = list(simpler.exterior.coords)[:-1][:MOST_CORNERS]
    return [[f"{x - left:.1f} cm", f"{low - y:.1f} cm"] for x, y in points]


def outline_area(corners: Sequence[Point]) -> float:
    """The area within an outline, cm²."""
    return float(shape_of(corners).area)


def largest_upright(corners: Sequence[Point]) -> Upright:
    """The largest rectangle along the grain within an outline of corners (across, along), cm; to about a hundredth of its size."""
    shape = shape_of(corners)
    left, low, right, high = shape.bounds
    step = max(right - left, high - low) / _CELLS
    columns, rows = (max(1, int((end - start) / step + 1e-9)) for start, end in ((left, right), (low, high)))
    across, along = np.linspace(left, right, columns + 1), np.linspace(low, high, rows + 1)
    inside = _cells_inside(shape, across, along)
    best = max(_rectangles(inside), key=lambda one: _area(one, across, along), default=(0, 0, 0, 0))
    first, last, bottom, top = best
    return Upright(
        float(across[first]),
        float(along[bottom]),
        float(across[last] - across[first]),
        float(along[top] - along[bottom]),
    )


def _cells_inside(shape: Polygon, across: NDArray[np.float64], along: NDArray[np.float64]) -> NDArray[np.bool_]:
    from shapely import box, contains_properly, prepare

    wider = shape.buffer(_HAIR_CM, join_style="mitre")
    prepare(wider)
    x, y = np.meshgrid(across, along)
    cells = box(x[:-1, :-1], y[:-1, :-1], x[1:, 1:], y[1:, 1:])
    return np.asarray(contains_properly(wider, cells))


def _area(one: tuple[int, int, int, int], across: NDArray[np.float64], along: NDArray[np.float64]) -> float:
    first, last, bottom, top = one
    return float((across[last] - across[first]) * (along[top] - along[bottom]))


def _rectangles(inside: NDArray[np.bool_]) -> list[tuple[int, int, int, int]]:
    """For each row, every rectangle of cells that ends there and cannot grow: columns from and to, rows from and to."""
    heights, found = np.zeros(inside.shape[1], dtype=int), []
    for row, cells in enumerate(inside, 1):
        heights = np.where(cells, heights + 1, 0)
        stack: list[tuple[int, int]] = []
        for column, height in enumerate([*heights.tolist(), 0]):
            start = column
            while stack and stack[-1][1] >= height:
                start, tall = stack.pop()
                if tall:
                    found.append((start, column, row - tall, row))
            stack.append((start, height))
    return found
