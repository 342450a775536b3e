"""The fields of how pieces must lie on the cloth."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, MM, Field, Group, Kind, Rows, same_words

_FLAWS: Final = Rows(
    "layout.flaw",
    "flaw",
    "Add a flaw of the cloth",
    (
        Field("layout.flaw.*.what", "What it is", help="knot, mend, stain"),
        Field("layout.flaw.*.at", "At ↕", unit=CM, help="from the first end"),
        Field("layout.flaw.*.length", "over ↕", unit=CM),
        Field("layout.flaw.*.from_selvedge", "From the first selvedge ↔", american="selvage", unit=CM),
        Field("layout.flaw.*.width", "over ↔", unit=CM, help="nothing: the whole width"),
    ),
    small=True,
    help="No piece is laid over a flaw.",
)

_STRIPES: Final = Rows(
    "layout.stripes",
    "stripes",
    "Add stripes to be matched",
    (
        Field("layout.stripes.*.repeat", "Repeat, finished", unit=CM),
        Field(
            "layout.stripes.*.runs",
            "It repeats",
            Kind.CHOICE,
            choices=same_words("along the cloth", "across the cloth"),
        ),
        Field("layout.stripes.*.begins", "A repeat begins at", unit=CM, help="from the first end or selvedge"),
        Field("layout.stripes.*.even", "The same from both ends", Kind.YES, choices=same_words("yes", "no")),
    ),
    small=True,
    help="Checks (plaid) are stripes along and stripes across.",
)

_LOTS: Final = Rows(
    "layout.lot",
    "colour lot",
    "Add a colour lot",
    (
        Field("layout.lot.*.name", "Lot"),
        Field("layout.lot.*.pieces", "Pieces cut from it", Kind.SEVERAL, help="Back; Front"),
    ),
    small=True,
    help="In the order in which the lots (color lots) follow one another along the cloth.",
)

_PLACES: Final = Rows(
    "layout.place",
    "place",
    "Add a place for a piece",
    (
        Field("layout.place.*.piece", "Piece"),
        Field("layout.place.*.number", "Its number", Kind.COUNT, help="mirrored ones count last"),
        Field("layout.place.*.along", "Along ↕", unit=CM, help="from the first end"),
        Field("layout.place.*.across", "Across ↔", unit=CM, help="from the first selvedge"),
        Field("layout.place.*.turned", "End for end", Kind.YES, choices=same_words("no", "yes")),
        Field("layout.place.*.locked", "Locked there", Kind.YES, choices=same_words("no", "yes")),
    ),
    small=True,
    help="By the corner nearest the first end and the first selvedge. A locked piece stays, and the rest is laid round it.",
)

CLOTH_IN_HAND: Final = Group(
    "Finished cloth in hand",
    (
        Rows(
            "cloth_in_hand",
            "cloth in hand",
            "Add a cloth that is there, or a remnant",
            (
                Field("cloth_in_hand.*.name", "Name of the cloth"),
                Field("cloth_in_hand.*.width", "Width ↔", unit=CM),
                Field("cloth_in_hand.*.length", "Length ↕", unit=CM),
                Field("cloth_in_hand.*.flaws", "Flaws", Kind.SEVERAL, help="knot at 84 cm; hole at 90 cm", wide=True),
            ),
            small=True,
            again="Add a cloth",
        ),
    ),
    help="What of the garment can be cut from it is told on the page Cut from cloth in hand.",
    folded=True,
)

HOW_PIECES_LIE: Final = Group(
    "How pieces must lie",
    (
        Field("layout.gap", "Between pieces at least", unit=MM, help="for staystitching round each"),
        Field("layout.off_grain_deg", "Off the grain at most, degrees", Kind.COUNT, help="0, if nothing is said"),
        Field("layout.from_selvedge", "From the selvedges at least", american="selvages", unit=CM),
        Field("layout.whole_width", "Pieces over the whole width", Kind.SEVERAL, help="nothing lies beside them"),
        Field("layout.match", "Stripes meet at the notches called", Kind.SEVERAL, help="side; hem"),
        _STRIPES,
        _FLAWS,
        _LOTS,
        Field(
            "layout.kept_width", "Whole layout kept, for cloth of", unit=CM, help="finished; every piece has a place"
        ),
        _PLACES,
    ),
    help="Measured on the finished cloth as a tape lies. What cannot be kept is said beside the plan.",
    folded=True,
)
