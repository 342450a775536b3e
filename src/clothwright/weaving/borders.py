"""Bands of another yarn at the top or foot of a piece.

A weft band lies straight across the cloth, so on every piece that it crosses. Where it is to match left to right it is woven
once for every copy of a piece, at the same place of each; where a piece's end is woven already it cannot be banded any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from clothwright.layout import outline_in_place
from clothwright.pattern import Piece, often_of_other_cloth
from clothwright.planning.job import Garment
from clothwright.planning.pieces.fitting import Fitted
from clothwright.weaving.answer import WayThrough
from clothwright.weaving.rest import HAIR, Rest, falls_on, grams_of_other, in_words
from clothwright.weaving.standing import Standing

#: A border deeper than this share of its piece is a panel of other cloth, and told as none. Common practice, no source.
_DEEPEST: Final = 1 / 3
_STEP_CM: Final = 1.0
_MOST_BORDERS: Final = 3


@dataclass(frozen=True)
class _End:
    """One end of a piece: all its copies' ends on the finished cloth, as (place of the end, +1 where the piece lies beyond it)."""

    piece: Piece
    top: bool
    places: tuple[tuple[float, int], ...]

    @property
    def hem_cm(self) -> float:
        """How deep a hem is turned up at this end; nothing where there is none."""
        edge = self.piece.length_cm if self.top else 0.0
        depths = (
            one.allowance_cm or 0.0
            for one in self.piece.edges
            if one.hem and all(abs(x - edge) < (one.allowance_cm or 0.0) + 1.0 for x, _ in one.line)
        )
        return max(depths, default=0.0)

    def bands(self, depth_cm: float) -> tuple[tuple[float, float], ...]:
        """The stretches of finished cloth that a border of this depth takes, those that meet taken together."""
        every = sorted((at, at + depth_cm) if way > 0 else (at - depth_cm, at) for at, way in self.places)
        joined: list[tuple[float, float]] = []
        for start, end in every:
            if joined and start <= joined[-1][1] + HAIR:
                joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
            else:
                joined.append((start, end))
        return tuple(joined)


def borders(stands: Standing, rest: Rest, fitted: Fitted) -> Iterator[WayThrough]:
    """Bands of another yarn at an end of a piece, the same on every copy: facings and hems first, then those that cross least."""
    assert stands.warped is not None
    garment = stands.warped.job.garment
    assert garment is not None  # it has a layout
    assert rest.length_ratio is not None
    ratio = float(np.median(rest.length_ratio))
    found = [
        (end, way)
        for piece in garment.pieces
        for end in _ends(garment, fitted, piece)
        if (way := _border(stands, rest, end, ratio)) is not None
    ]
    found.sort(
        key=lambda pair: (not often_of_other_cloth(pair[0].piece.name), not pair[0].hem_cm, _length(pair[1].bands))
    )
    yield from (way for _, way in found[:_MOST_BORDERS])


def _length(bands: Iterable[tuple[float, float]]) -> float:
    return sum(end - start for start, end in bands)


def _under_tension(bands: Iterable[tuple[float, float]], ratio: float) -> tuple[tuple[float, float], ...]:
    """Stretches of finished cloth where they are woven."""
    return tuple((start / ratio, end / ratio) for start, end in bands)


def _ends(garment: Garment, fitted: Fitted, piece: Piece) -> Iterator[_End]:
    by_key = {(copy.piece, copy.number): copy for copy in garment.copies}
    lying = [one for one in fitted.layout.placed if one.piece == piece.name]
    for top in (False, True):
        places = []
        for one in lying:
            xs = [x for x, _ in outline_in_place(by_key[one.piece, one.copy], one)]
            far = top == (one.rotation_deg % 360 == 0)
            places.append((max(xs) + garment.squaring_cm, -1) if far else (min(xs) + garment.squaring_cm, 1))
        yield _End(piece, top, tuple(places))


def _border(stands: Standing, rest: Rest, end: _End, ratio: float) -> WayThrough | None:
    """The least border at which the yarn lasts, where none of it is woven already; None where there is none."""
    woven = rest.woven_cm * ratio
    deepest = end.piece.length_cm if often_of_other_cloth(end.piece.name) else end.piece.length_cm * _DEEPEST
    depths = [number * _STEP_CM for number in range(2, 1 + int(deepest / _STEP_CM))]
    stop = rest.end_cm * ratio
    depths = [depth for depth in depths if all(start >= woven and at <= stop for start, at in end.bands(depth))]
    lengths = [rest.taken_from_it(_under_tension(end.bands(depth), ratio)) for depth in depths]
    enough = (rest.is_enough(*rest.fares(rest.end_cm, banded_cm=cm)) for cm in lengths)
    depth = rest.least(depths, enough)
    if depth is None:
        return None
    bands = _under_tension(end.bands(depth), ratio)
    chance, spare = rest.fares(rest.end_cm, banded_cm=rest.taken_from_it(bands))
    where = "top" if end.top else "foot"
    copies = "on every copy alike" if len(end.places) > 1 else "on its one copy"
    hem = " The hem turns it under." if 0 < depth <= end.hem_cm else ""
    at = ", ".join(f"{start:.0f} to {finish:.0f} cm" for start, finish in bands)
    crossed = falls_on(stands, rest, bands) or {}
    return WayThrough(
        what=f"A band at the {where} of {end.piece.name}",
        change=f"{depth:g} cm finished in another yarn, {copies}, woven at {at}.{hem} It crosses {in_words(crossed)}",
        costs=grams_of_other(rest, _length(bands)),
        chance_enough=chance,
        spare_g=spare,
        stop_at_cm=rest.end_cm,
        bands=bands,
        falls_on=tuple(crossed),
        another_yarn=True,
    )
