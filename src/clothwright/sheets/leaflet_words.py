"""A leaflet in words: the table as rows of strings, what keeps it from being given out, and the box for a reader's own sample.

Metres are rounded up to whole ones before they are added, so that the printed sum is the sum of what is printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from clothwright.measure import CM_PER_YARD
from clothwright.planning import Done, Leaflet, LeafletRow, disagreements
from clothwright.sheets.wording import LENGTH, WEIGHT, YARN, Rounding, counted

HEAD: Final = (
    "Cloth, finished",
    "Ends",
    "Width in heddle (reed)",
    "Warp length",
    "Warp",
    "Weft",
    "In all",
    "Weight, balls",
)
#: What a reader writes down of a sample of her own, and what each is for.
OWN_SAMPLE: Final = (
    "Width in the heddle",
    "Finished width",
    "Woven length on the loom",
    "Finished length",
    "Picks per cm or in on the loom",
    "Loom waste",
    "Metres or yards per 100 g or lb",
)
OWN_SUMS: Final = (
    "Width in heddle = width of cloth × sample in heddle ÷ sample finished. Ends = that × ends per cm, up to an even number.",
    "Weave = length of cloth × sample on the loom ÷ sample finished. Warp length = that ÷ 0.97 + loom waste.",
    "Warp = ends × warp length. Weft = picks × width in heddle × 1.05 × weave. Add a margin; round balls up once, at the end.",
)


def groups(leaflet: Leaflet, *, imperial: bool) -> Iterator[tuple[str, list[list[str]]]]:
    """Each heddle, size and version with its rows of strings, as `HEAD` names them."""
    names = dict.fromkeys((row.heddle, row.size, row.version) for row in leaflet.rows)
    for heddle, size, version in names:
        named = ", ".join(filter(None, (size and f"Size {size}", version, f"{heddle} heddle")))
        mine = [row for row in leaflet.rows if (row.heddle, row.size, row.version) == (heddle, size, version)]
        yield named, [_cells(row, imperial) for row in mine]


def _cells(row: LeafletRow, imperial: bool) -> list[str]:
    width, long, heddle, warp = (
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP)
        for cm in (row.cloth_width_cm, row.cloth_length_cm, row.width_in_heddle_cm, row.warp_length_cm)
    )
    return [
        f"{width} × {long}",
        str(row.ends),
        heddle,
        warp,
        *metres(row, imperial=imperial),
        bought(row, imperial=imperial),
    ]


def metres(row: LeafletRow, *, imperial: bool) -> tuple[str, str, str]:
    """Warp, weft and both, in whole metres or yards as chosen, the other beside."""
    unit = CM_PER_YARD / 100 if imperial else 1.0
    warp, weft = (math.ceil(one.m / unit - 1e-9) * unit for one in (row.warp, row.weft))
    first, second, both = (YARN.text(value, imperial=imperial) for value in (warp, weft, warp + weft))
    return first, second, both


def bought(row: LeafletRow, *, imperial: bool) -> str:
    """Weight and balls with the margin."""
    weight = WEIGHT.text(row.grams, imperial=imperial, rounding=Rounding.UP)
    return weight if row.balls is None else f"{weight}, {row.warp.balls} + {row.weft.balls}"


def low_and_high(leaflet: Leaflet, *, imperial: bool) -> Iterator[str]:
    """How far the weft of each row may be from what is needed, where it may."""
    for row in leaflet.rows:
        if row.weft.low_m < row.weft.high_m:
            low, high = (YARN.text(value, imperial=imperial) for value in (row.weft.low_m, row.weft.high_m))
            named = ", ".join(filter(None, (row.size, row.version, row.heddle)))
            yield f"{named}, {row.cloth_width_cm:g} cm: weft {low} to {high}"


def missing(leaflet: Leaflet) -> Iterator[str]:
    """The cells without figures, a sentence each."""
    for one in leaflet.left_out:
        name = ", ".join(filter(None, (one.size, one.version))) or "the pattern"
        yield f"No figures for {name} on cloth {one.cloth_width_cm:g} cm wide: {one.why}."


def not_to_be_given_out(leaflet: Leaflet) -> tuple[str, ...]:
    """Why the leaflet is a proof only: figures that disagree, a size without any cloth, a mock-up that was not ticked."""
    with_row = {(row.size, row.version) for row in leaflet.rows}
    without = {(one.size, one.version) for one in leaflet.left_out} - with_row
    return (
        *disagreements(leaflet),
        *(f"{' '.join(filter(None, one)) or 'the pattern'} has no layout at any width" for one in sorted(without)),
        *filter(None, (leaflet.provisional_because,)),
    )


def balls_in_words(leaflet: Leaflet) -> str:
    """What the numbers of balls are of; empty where no ball is told."""
    if leaflet.ball_g is None:
        return ""
    return f"Balls of {leaflet.ball_g:g} g, for the warp + for the weft, with a margin of {leaflet.margin:.0%}."


def told(leaflet: Leaflet) -> str:
    """How many rows there are, in words."""
    return counted(len(leaflet.rows), "row")


def how_far(done: Done) -> str:
    """How far the work on a leaflet is, in words."""
    if done.figures_in_all:
        return f"{done.figures} of {counted(done.figures_in_all, 'row')} reckoned{_before(done.figures_before)}"
    return f"{done.layouts} of {counted(done.layouts_in_all, 'layout')} made{_before(done.layouts_before)}"


def _before(count: int) -> str:
    return f", {count} of them before" if count else ""
