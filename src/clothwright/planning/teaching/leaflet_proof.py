"""Re-adds a leaflet from the figures it prints, by sums of its own, before it is given to anybody.

It knows nothing of how the figures were found: only what a reader with a calculator could check.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from clothwright.planning.teaching.buyers_sums import buyers_needs
from clothwright.planning.teaching.leaflet_contents import Band, YarnWanted
from clothwright.planning.teaching.leaflet_table import LaidCloth, Leaflet, LeafletRow, Needed

#: How far a re-added figure may be from the printed one: figures are written to two places.
_WRITTEN: Final = 0.02
#: How far a piece may stand over an edge that scissors cannot keep, and its area be from the polygon's, cm and share.
_CUT_CM: Final = 0.02
_SHARE: Final = 0.002


def disagreements(leaflet: Leaflet) -> tuple[str, ...]:
    """Every figure of a leaflet that does not follow from the figures beside it, a sentence each."""
    return (
        *(words for row in leaflet.rows for words in _of_row(leaflet, row)),
        *(words for laid in leaflet.laid for words in _of_layout(leaflet, laid)),
        *(words for yarn in leaflet.contents.yarns for words in _of_bands(leaflet, yarn)),
        *_of_measures(leaflet),
        *_of_buyers_sums(leaflet),
    )


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


def _of_layout(leaflet: Leaflet, laid: LaidCloth) -> Iterator[str]:
    """A layout against its own drawing, the list of pieces and the rows of its cloth."""
    layout, where = laid.layout, ", ".join(filter(None, (laid.size, laid.version, f"{laid.cloth_width_cm:g} cm")))
    if abs(layout.width_cm + 2 * laid.trim_cm - laid.cloth_width_cm) > _WRITTEN:
        yield f"{where}: {layout.width_cm:g} cm between trims of {laid.trim_cm:g} cm is not cloth {laid.cloth_width_cm:g} cm wide"
    if abs(layout.length_cm + 2 * laid.squaring_cm - laid.cloth_length_cm) > _WRITTEN:
        yield f"{where}: {layout.length_cm:g} cm and two squarings of {laid.squaring_cm:g} cm are not {laid.cloth_length_cm:g} cm"
    along = [x for one in laid.outlines for x, _ in one.outline]
    across = [y for one in laid.outlines for _, y in one.outline]
    if min((*along, *across), default=0.0) < -_CUT_CM or max(across, default=0.0) > layout.width_cm + _CUT_CM:
        yield f"{where}: a piece lies over the edge of the cloth"
    if abs(max(along, default=0.0) - layout.length_cm) > _CUT_CM:
        yield f"{where}: the last piece ends at {max(along, default=0.0):.2f} cm, not at {layout.length_cm:.2f} cm"
    used = sum(_area(one.outline) for one in laid.outlines) / (layout.width_cm * layout.length_cm)
    if abs(used - laid.used_share) > _SHARE:
        yield f"{where}: the pieces use {used:.1%} of the cloth, not {laid.used_share:.1%}"
    yield from _of_pieces(leaflet, laid, where)
    for row in leaflet.rows:
        same = (row.size, row.version, row.cloth_width_cm) == (laid.size, laid.version, laid.cloth_width_cm)
        if same and abs(row.cloth_length_cm - laid.cloth_length_cm) > _WRITTEN:
            yield f"{where}: the row says {row.cloth_length_cm:g} cm of cloth, the layout {laid.cloth_length_cm:g} cm"


def _area(ring: Sequence[tuple[float, float]]) -> float:
    """Area of a polygon, from its corners."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(sum(x * other_y - other_x * y for (x, y), (other_x, other_y) in pairs)) / 2


def _of_pieces(leaflet: Leaflet, laid: LaidCloth, where: str) -> Iterator[str]:
    """The list of pieces against those that lie on the cloth: how many, how many of them mirrored."""
    listed = [one for one in leaflet.contents.pieces if (one.size, one.version) == (laid.size, laid.version)]
    for one in (each for each in listed if each.main_cloth):
        lying = [each for each in laid.outlines if each.piece == one.piece]
        if (len(lying), sum(each.mirrored for each in lying)) != (one.cut, one.mirrored):
            yield f"{where}: {one.piece} is to be cut {one.cut} times, {one.mirrored} mirrored, and {len(lying)} lie on the cloth"
    names = {one.piece for one in listed if one.main_cloth}
    yield from (f"{where}: {name} is not in the list of pieces" for name in {o.piece for o in laid.outlines} - names)


def _of_bands(leaflet: Leaflet, yarn: YarnWanted) -> Iterator[str]:
    """Bands of grist about a yarn: metres and tex are two ways to say one thing, wraps go by the root of the metres."""
    known = leaflet.warp_m_per_g if "warp" in yarn.use else leaflet.weft_m_per_g
    if abs(yarn.m_per_100g - 100 * known) > _WRITTEN:
        yield f"{yarn.use}: {yarn.m_per_100g:g} m in 100 g are not {known:g} m per g"
    for band in yarn.bands:
        yield from (f"{yarn.use}, {band.name}: {why}" for why in _of_band(yarn, band))


def _of_band(yarn: YarnWanted, band: Band) -> Iterator[str]:
    for share, metres, tex, wraps in zip(
        (band.least, band.most), band.m_per_100g, reversed(band.tex), band.wraps_per_cm, strict=True
    ):
        if abs(share * yarn.m_per_100g - metres) > _WRITTEN:
            yield f"{metres:g} m in 100 g are not {share:g} times {yarn.m_per_100g:g} m"
        if abs(metres * tex - 1e5) > 1e5 * _SHARE:
            yield f"{metres:g} m in 100 g are not {tex:g} tex"
        if abs(math.sqrt(share) * yarn.wraps_per_cm - wraps) > _WRITTEN:
            yield f"{wraps:g} wraps in a cm are not the root of {share:g} times {yarn.wraps_per_cm:g}"


def _of_measures(leaflet: Leaflet) -> Iterator[str]:
    """A size that is measured is one that is tabulated."""
    sizes = {row.size for row in leaflet.rows} | {one.size for one in leaflet.left_out}
    for one in leaflet.contents.measures:
        if one.size not in sizes:
            yield f"{one.name} is measured in size {one.size}, which has no row"


def _of_buyers_sums(leaflet: Leaflet) -> Iterator[str]:
    """The page for buyers, where nothing is typed, against the rows by hand at the same heddle: apart by rounding alone."""
    usual = leaflet.usual
    if usual is None or not leaflet.by_hand:
        return
    for row in (each for each in leaflet.rows if abs(each.ends_per_cm - usual.ends_per_cm) < 1e-9):
        says = buyers_needs(usual, row.cloth_width_cm, row.cloth_length_cm, imperial=False)
        where = ", ".join(filter(None, (row.size, row.version, f"{row.cloth_width_cm:g} cm")))
        rounded_up_m = (says.ends + usual.extra_ends) / 100 + 1
        if says.ends != row.ends:
            yield f"{where}: the page for buyers says {says.ends} ends, the row {row.ends}"
        if not -_WRITTEN <= says.warp - row.warp.m <= rounded_up_m + _WRITTEN:
            yield f"{where}: the page for buyers says {says.warp} m of warp, the row {row.warp.m:g} m"
        if abs(says.weft - row.weft.m) > 1 + row.weft.m * _SHARE:
            yield f"{where}: the page for buyers says {says.weft} m of weft, the row {row.weft.m:g} m"
