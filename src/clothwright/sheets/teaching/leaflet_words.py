"""A leaflet in words: the table as rows of strings, what keeps it from being given out, and the box for a reader's own sample.

Metres are rounded up to whole ones before they are added, so that the printed sum is the sum of what is printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any, Final

from clothwright.measure import CM_PER_INCH, CM_PER_YARD, GRAMS_PER_POUND
from clothwright.planning import Done, LaidCloth, Leaflet, LeafletRow, disagreements
from clothwright.planning.teaching.leaflet_contents import SizedMeasure, SizedPiece
from clothwright.planning.teaching.leaflet_working import NOT_YET
from clothwright.sheets.both_units import in_both
from clothwright.sheets.glossary import named_words
from clothwright.sheets.wording import GRIST, LENGTH, THREADS, WEIGHT, YARN, Rounding, counted

#: A layout on wider cloth is drawn where it is shorter by more than this share.
_STEP: Final = 0.05
#: Of more rows low and high are told by heddle.
_MANY_ROWS: Final = 24
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
        sett = THREADS.text(mine[0].ends_per_cm, imperial=imperial)
        yield f"{named}, {sett}", [_cells(row, imperial) for row in mine]


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


def figures_by_name(row: LeafletRow, *, imperial: bool) -> Iterator[tuple[str, str]]:
    """Every printed figure of a row with its name; the length of cloth apart from its width."""
    long = LENGTH.text(row.cloth_length_cm, imperial=imperial, rounding=Rounding.UP)
    yield "length of cloth", long
    yield from zip((head[:1].lower() + head[1:] for head in HEAD[1:]), _cells(row, imperial)[1:], strict=True)


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
    """How far the yarn of each row may be from what is needed, where it may; of many rows, how far it is at most at a heddle."""
    if len(leaflet.rows) > _MANY_ROWS:
        yield from _at_most(leaflet)
        return
    for row in leaflet.rows:
        told = [
            f"{what} {YARN.text(one.low_m, imperial=imperial)} to {YARN.text(one.high_m, imperial=imperial)}"
            for what, one in (("warp", row.warp), ("weft", row.weft))
            if one.low_m < one.high_m
        ]
        if told:
            named = ", ".join(filter(None, (row.size, row.version, row.heddle)))
            yield f"{named}, {LENGTH.text(row.cloth_width_cm, imperial=imperial)}: {', '.join(told)}"


def _at_most(leaflet: Leaflet) -> Iterator[str]:
    """For each heddle the shares by which nine cloths in ten take less or more than is told, at most."""
    for heddle in dict.fromkeys(row.heddle for row in leaflet.rows):
        rows = [row for row in leaflet.rows if row.heddle == heddle]
        told = [
            f"{what} from {_share(min(one.low_m / one.m for one in every), 'less')} to {_share(max(one.high_m / one.m for one in every), 'more')}"
            for what, every in (("warp", [row.warp for row in rows]), ("weft", [row.weft for row in rows]))
            if any(one.low_m < one.high_m for one in every)
        ]
        if told:
            yield f"{heddle} heddle, against the metres told: {', '.join(told)}"


def _share(of: float, word: str) -> str:
    """A share above or below what is told, rounded away from it."""
    percent = math.ceil(abs(of - 1) * 100 - 1e-9)
    return f"{percent} % {word}" if percent else "as much"


def layouts_that_matter(leaflet: Leaflet) -> tuple[LaidCloth, ...]:
    """Of each size and version the layout on the narrowest cloth, and those on wider cloth that are a step shorter."""
    found: list[LaidCloth] = []
    for _, group in groupby(leaflet.laid, key=lambda one: (one.size, one.version)):
        last: LaidCloth | None = None
        for one in sorted(group, key=lambda each: each.cloth_width_cm):
            if last is None or one.cloth_length_cm < last.cloth_length_cm * (1 - _STEP):
                found.append(one)
                last = one
    return tuple(found)


def layout_in_words(laid: LaidCloth, *, imperial: bool) -> str:
    """What a drawn layout is of: size, version, cloth with its squaring."""
    width, long = (
        LENGTH.text(cm, imperial=imperial, rounding=Rounding.UP) for cm in (laid.cloth_width_cm, laid.cloth_length_cm)
    )
    named = ", ".join(filter(None, (laid.size and f"Size {laid.size}", laid.version)))
    squared = LENGTH.text(laid.squaring_cm, imperial=imperial)
    also = f", squaring of {squared} at each end with it" if laid.squaring_cm else ""
    return f"{named + ': ' if named else ''}cloth {width} wide, {long} long{also}"


YARN_SAYS: Final = "Metres stay as they are in the tables; weight is metres ÷ metres in 100 g × 100. Other fibres and other spinning weave and shrink otherwise: sample."
YARN_HEAD: Final = (
    "Yarn",
    "Metres in 100 g",
    "Yards in 1 lb",
    "Tex",
    "Wraps in 1 cm",
    "Wraps in 1 in",
    "What comes of it",
)


def yarn_rows(leaflet: Leaflet) -> Iterator[tuple[str, list[list[str]]]]:
    """For each yarn of the cloth a heading, and the bands that do as well, as `YARN_HEAD` names them."""
    yards_per_lb = GRAMS_PER_POUND / CM_PER_YARD
    for yarn in leaflet.contents.yarns:
        counted_as = "counted" if yarn.wraps_counted else "reckoned from its grist"
        heading = (
            f"{yarn.use[:1].upper()}{yarn.use[1:]}: {' '.join(filter(None, (yarn.fibre, 'yarn')))} of "
            f"{GRIST.text(yarn.m_per_100g / 100)}, {yarn.wraps_per_cm:.1f} wraps in 1 cm ({yarn.wraps_per_cm * CM_PER_INCH:.0f} in 1 in), {counted_as}"
        )
        yield (
            heading,
            [
                [
                    band.name,
                    _span(band.m_per_100g, 0),
                    _span(tuple(one * yards_per_lb for one in band.m_per_100g), -1),
                    _span(band.tex, 0),
                    _span(band.wraps_per_cm, 1),
                    _span(tuple(one * CM_PER_INCH for one in band.wraps_per_cm), 1),
                    band.says,
                ]
                for band in yarn.bands
            ],
        )


def _span(low_and_high: tuple[float, ...], places: int) -> str:
    low, high = (f"{round(one, places):.{max(0, places)}f}" for one in low_and_high)
    return f"{low} to {high}"


#: What a reader writes down of a yarn of her own.
OWN_YARN: Final = (
    "Name, lot",
    "Metres in 100 g or yards in 1 lb",
    "Wraps in 1 cm or 1 in",
    "A ball weighs",
    "Balls to buy",
)

MEASURE_HEAD: Final = ("Measure", "Finished garment", "For a body of")
PIECE_HEAD: Final = ("Piece", "Cut", "From", "Width × length, with seam allowance")
#: The words of the trade that a leaflet uses.
_WORDS: Final = (
    "sett", "selvedge", "heddle", "end", "pick", "draw-in", "take-up", "finish", "loom waste", "mock-up", "grain", "grist", "wraps",
)  # fmt: skip
WORD_HEAD: Final = ("British", "American", "What it means")


def measure_rows(leaflet: Leaflet, *, imperial: bool) -> list[list[str]]:
    """Each measure of the finished garment with all sizes in a cell, as `MEASURE_HEAD` names them."""
    rows: dict[tuple[str, str], list[SizedMeasure]] = {}
    for one in leaflet.contents.measures:
        rows.setdefault((one.name, one.version), []).append(one)
    return [
        [
            ", ".join(filter(None, key)),
            _by_size((one.size, LENGTH.text(one.garment_cm, imperial=imperial)) for one in same),
            _by_size((o.size, LENGTH.text(o.body_cm, imperial=imperial)) for o in same if o.body_cm is not None),
        ]
        for key, same in rows.items()
    ]


def piece_rows(leaflet: Leaflet, *, imperial: bool) -> list[list[str]]:
    """Each piece of a version with all sizes in a cell, as `PIECE_HEAD` names them."""
    rows: dict[tuple[str, str, int, int, str], list[SizedPiece]] = {}
    for one in leaflet.contents.pieces:
        rows.setdefault((one.piece, one.version, one.cut, one.mirrored, one.material), []).append(one)
    return [
        [
            ", ".join(filter(None, (piece, version))),
            f"{cut}, {mirrored} of them mirrored" if mirrored else str(cut),
            f"{material} cloth" if same[0].main_cloth else material,
            _by_size((one.size, _box(one, imperial)) for one in same),
        ]
        for (piece, version, cut, mirrored, material), same in rows.items()
    ]


def _box(piece: SizedPiece, imperial: bool) -> str:
    return " × ".join(LENGTH.text(cm, imperial=imperial) for cm in (piece.width_cm, piece.length_cm))


def _by_size(told: Iterable[tuple[str, str]]) -> str:
    """`S 24 cm; M 26 cm`, sizes that are alike told together."""
    sizes: dict[str, list[str]] = {}
    for size, value in told:
        sizes.setdefault(value, []).append(size)
    return "; ".join(f"{', '.join(filter(None, names))} {value}".strip() for value, names in sizes.items())


def tables(leaflet: Leaflet, *, imperial: bool) -> list[tuple[str, tuple[str, ...], list[list[str]]]]:
    """The tables beside the requirement table, as a page shows them: title, head, rows; none that is empty."""
    every = (
        *((says, YARN_HEAD, rows) for says, rows in yarn_rows(leaflet)),
        ("The finished garment", MEASURE_HEAD, measure_rows(leaflet, imperial=imperial)),
        ("Pieces", PIECE_HEAD, piece_rows(leaflet, imperial=imperial)),
        ("Words", WORD_HEAD, word_rows()),
    )
    return [(title, head, rows) for title, head, rows in every if rows]


def word_rows() -> list[list[str]]:
    """The words a reader meets here, as `WORD_HEAD` names the columns."""
    return [[one.word, one.american or one.word, one.meaning] for one in named_words(_WORDS)]


def missing(leaflet: Leaflet) -> Iterator[str]:
    """The cells without figures, a sentence each; those still to be laid out are told together."""
    if still := leaflet.still_to_lay:
        yield f"{counted(still, 'cloth')} still to be laid out."
    for one in (each for each in leaflet.left_out if each.why != NOT_YET):
        name = ", ".join(filter(None, (one.size, one.version))) or "the pattern"
        yield f"No figures for {name} on cloth {LENGTH.text(one.cloth_width_cm)} wide: {in_both(one.why)}."


def not_to_be_given_out(leaflet: Leaflet) -> tuple[str, ...]:
    """Why the leaflet is a proof only: figures that disagree, a size without any cloth, a mock-up that was not ticked."""
    with_row = {(row.size, row.version) for row in leaflet.rows}
    without = {(one.size, one.version) for one in leaflet.left_out} - with_row
    still = leaflet.still_to_lay
    return (
        *(f"figures that do not agree, which is our fault: {one}" for one in disagreements(leaflet)),
        *((f"{counted(still, 'cloth')} still to be laid out",) if still else ()),
        *(
            f"{_size_in_words(*one)} has no layout at any width: tabulate a wider cloth, give its length (cloth_lengths), or leave it out"
            for one in sorted(without)
        ),
        *filter(None, (leaflet.provisional_because,)),
    )


def _size_in_words(size: str, version: str) -> str:
    """A size and version as a sentence begins with them."""
    return ", ".join(filter(None, (size and f"size {size}", version))) or "the pattern"


def balls_in_words(leaflet: Leaflet) -> str:
    """What the numbers of balls are of; empty where no ball is told."""
    if leaflet.ball_g is None:
        return ""
    return (
        f"Balls of {WEIGHT.text(leaflet.ball_g)}, for the warp + for the weft, with a margin of {leaflet.margin:.0%}."
    )


def told(leaflet: Leaflet) -> str:
    """How many rows there are, in words."""
    return counted(len(leaflet.rows), "row")


def how_searched(leaflet: Leaflet) -> str:
    """How many layouts there are, and how many of them were searched for, in words."""
    searched = sum(one.searched_s > 0 for one in leaflet.laid)
    return f"{counted(len(leaflet.laid), 'layout')}, {searched} of them searched for" if leaflet.laid else "no layouts"


def how_far(done: Done) -> str:
    """How far the work on a leaflet is, in words."""
    if done.figures_in_all:
        return f"{done.figures} of {counted(done.figures_in_all, 'row')} reckoned{_before(done.figures_before)}"
    return f"{done.layouts} of {counted(done.layouts_in_all, 'layout')} made{_before(done.layouts_before)}"


def _before(count: int) -> str:
    return f", {count} of them before" if count else ""


TRIED_HEAD: Final = (
    "Cloth",
    "Woven by",
    "Ends, told and put on",
    "Warp, told and wound",
    "Finished cloth, asked and come",
)


def tried_row(tree: Mapping[str, Any], rows: Mapping[str, LeafletRow], *, imperial: bool) -> list[str]:
    """What a test weaver's record says beside the row it tried, as typed; `rows` by what follows the name of the leaflet."""
    record = tree.get("record") or {}
    what = str(record.get("test_of", "")).partition(": ")[2]
    row = rows.get(what)
    told = dict(figures_by_name(row, imperial=imperial)) if row else {}
    return [
        what,
        str(record.get("weaver", "")),
        _told_and_came(told.get("ends"), record.get("ends")),
        _told_and_came(told.get("warp length"), record.get("warp_wound")),
        _told_and_came(
            _cells(row, imperial)[0] if row else None, _finished(_of(record, "width"), _of(record, "length"))
        ),
    ]


def _of(record: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = record.get(name)
    return found if isinstance(found, dict) else {}


def _finished(width: Mapping[str, Any], length: Mapping[str, Any]) -> str:
    across = width.get("finished")
    typed = across.values() if isinstance(across, dict) else [across]
    return " × ".join(filter(None, (" / ".join(str(one) for one in typed if one), str(length.get("finished") or ""))))


def _told_and_came(told: str | None, came: Any) -> str:
    return f"{told or 'not told'}; {came or 'not written down yet'}"
