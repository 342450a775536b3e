"""Re-adds a leaflet from the figures it prints, by sums of its own, before it is given to anybody.

It knows nothing of how the figures were found: only what a reader with a calculator could check.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from clothwright.planning.leaflet_table import Leaflet, LeafletRow, Needed

#: How far a re-added figure may be from the printed one: figures are written to two places.
_WRITTEN: Final = 0.02


def disagreements(leaflet: Leaflet) -> tuple[str, ...]:
    """Every figure of a leaflet that does not follow from the figures beside it, a sentence each."""
    return tuple(words for row in leaflet.rows for words in _of_row(leaflet, row))


def _of_row(leaflet: Leaflet, row: LeafletRow) -> Iterator[str]:
    where = ", ".join(filter(None, (row.size, row.version, row.heddle, f"{row.cloth_width_cm:g} cm")))
    if abs(row.ends / row.ends_per_cm - row.width_in_heddle_cm) > _WRITTEN:
        yield f"{where}: {row.ends} ends at {row.ends_per_cm:g} per cm are not {row.width_in_heddle_cm:g} cm in the heddle"
    if row.width_in_heddle_cm < row.cloth_width_cm - _WRITTEN:
        yield f"{where}: {row.width_in_heddle_cm:g} cm in the heddle cannot finish {row.cloth_width_cm:g} cm wide"
    if row.warp_length_cm < row.cloth_length_cm:
        yield f"{where}: a warp of {row.warp_length_cm:g} cm is shorter than the cloth of {row.cloth_length_cm:g} cm"
    if row.warp.m < row.ends * row.warp_length_cm / 100 - _WRITTEN:
        yield f"{where}: {row.ends} ends of {row.warp_length_cm:g} cm take more than {row.warp.m:g} m"
    if abs(row.warp.m + row.weft.m - row.total_m) > _WRITTEN:
        yield f"{where}: {row.warp.m:g} m and {row.weft.m:g} m are not {row.total_m:g} m"
    if abs(row.warp.grams + row.weft.grams - row.grams) > _WRITTEN:
        yield f"{where}: {row.warp.grams:g} g and {row.weft.grams:g} g are not {row.grams:g} g"
    yield from _of_yarn(leaflet, row.warp, leaflet.warp_m_per_g, f"{where}, warp")
    yield from _of_yarn(leaflet, row.weft, leaflet.weft_m_per_g, f"{where}, weft")


def _of_yarn(leaflet: Leaflet, needed: Needed, m_per_g: float, where: str) -> Iterator[str]:
    grams = needed.m / m_per_g * (1 + leaflet.margin)
    if abs(grams - needed.grams) > _WRITTEN:
        yield f"{where}: {needed.m:g} m with the margin weigh {grams:.2f} g, not {needed.grams:g} g"
    if not needed.low_m - _WRITTEN <= needed.m or needed.low_m > needed.high_m + _WRITTEN:
        yield f"{where}: {needed.m:g} m does not lie above {needed.low_m:g} m, or the low is above {needed.high_m:g} m"
    if needed.balls is None or leaflet.ball_g is None:
        return
    if needed.balls != math.ceil(round(needed.grams / leaflet.ball_g, 9)):
        yield f"{where}: {needed.grams:g} g are not {needed.balls} balls of {leaflet.ball_g:g} g"
