"""The fields of the garment: a cloth wanted, or the pieces to cut."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.draft_fields import MADE_FROM_MEASURES
from clothwright.web.forms.field import CM, MM, Field, Group, Kind, Rows, Section, same_words
from clothwright.web.forms.laying_fields import CLOTH_IN_HAND, HOW_PIECES_LIE

_PIECES: Final = Rows(
    "pattern.piece",
    "piece",
    "Add a piece",
    (
        Field("pattern.piece.*.name", "Piece"),
        Field("pattern.piece.*.width", "Width ↔ across", unit=CM),
        Field("pattern.piece.*.length", "Length ↕ with the grain", unit=CM),
        Field("pattern.piece.*.cut", "Cut", Kind.COUNT),
        Field("pattern.piece.*.pair", "Half of them mirrored", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.piece.*.fold", "On the fold (width is half)", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.piece.*.one_way", "One way up", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.piece.*.material", "Cut from", help="main, or the name of another cloth"),
        Field("pattern.piece.*.allowance", "Of it seam allowance", unit=MM, help="within the size, at each edge"),
        Field("pattern.piece.*.left", "Left edge is", help="seam side; hem 4 cm; selvedge (selvage)"),
        Field("pattern.piece.*.right", "Right edge is"),
        Field("pattern.piece.*.top", "Top edge is", help="grain upwards"),
        Field("pattern.piece.*.bottom", "Bottom edge is"),
    ),
    small=True,
    help="Sizes as they are cut, seam allowances included.",
)

_MARKS: Final = Rows(
    "pattern.mark",
    "piece of the drawing",
    "Add what to say of a drawn piece",
    (
        Field("pattern.mark.*.piece", "Piece, as the drawing calls it"),
        Field("pattern.mark.*.leave_out", "Leave it out", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.mark.*.close", "Close it with a straight side", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.mark.*.name", "Call it"),
        Field("pattern.mark.*.cut", "Cut", Kind.COUNT),
        Field("pattern.mark.*.pair", "Half of them mirrored", Kind.YES, choices=same_words("no", "yes")),
        Field(
            "pattern.mark.*.fold",
            "On the fold at its",
            Kind.CHOICE,
            choices=same_words("left", "right", "top", "bottom"),
        ),
        Field("pattern.mark.*.grain", "Grain", help="y (up the page), x, or degrees from x"),
        Field("pattern.mark.*.line", "Drawn by its line", Kind.CHOICE, choices=same_words("cut", "stitch")),
        Field("pattern.mark.*.allowance", "Seam allowance", unit=MM, help="where drawn by its stitching line"),
        Field("pattern.mark.*.one_way", "One way up", Kind.YES, choices=same_words("no", "yes")),
        Field("pattern.mark.*.material", "Cut from", help="main, or the name of another cloth"),
        Field("pattern.mark.*.size", "Size"),
        Field("pattern.mark.*.version", "Version"),
    ),
    help="What a drawing cannot say, or says wrongly; this counts before the drawing. An empty field leaves what it says.",
)

_PANELS: Final = Rows(
    "pattern.join",
    "join",
    "Add a join",
    (
        Field("pattern.join.*.piece", "Piece, or a panel of one"),
        Field(
            "pattern.join.*.at",
            "Joined at",
            help="centre, 3 equal panels, side panels of 8 cm, 12 cm from the left, drawn line, or hem",
        ),
        Field(
            "pattern.join.*.sewn",
            "Sewn as",
            Kind.CHOICE,
            american="selvages",
            choices=same_words("seam", "selvedges butted", "selvedges lapped"),
        ),
        Field("pattern.join.*.allowance", "Allowance on each panel", unit=MM),
        Field("pattern.join.*.material", "Hem facing cut from", help="only where joined at the hem"),
        Field("pattern.join.*.set_aside", "Set aside because", help="kept, and not used"),
    ),
    help="A piece joined from panels, for cloth narrower than it is. The page Narrow cloth proposes joins with what they take.",
)

GARMENT: Final = Section(
    "garment",
    "The garment",
    "Either a piece of cloth you want, or the pieces to cut: as numbers, as a drawing, made from measures, or several of these.",
    (
        Group(
            "A cloth wanted, finished",
            (
                Field("want.width", "Width ↔", unit=CM),
                Field("want.length", "Length ↕", unit=CM),
            ),
        ),
        Group("Pieces as numbers", (_PIECES,)),
        MADE_FROM_MEASURES,
        Group("Joined for narrow cloth", (_PANELS,), folded=True),
        Group(
            "For all pieces",
            (
                Field(
                    "pattern.one_way",
                    "All pieces the same way up",
                    Kind.YES,
                    choices=same_words("no", "yes"),
                    wide=True,
                ),
                Field("pattern.squaring", "Squaring", unit=CM, help="lost at each end of the cloth"),
                Field("pattern.selvedge_trim", "Trim at each selvedge", american="selvage", unit=CM),
                Field(
                    "pattern.left_is",
                    "Of a pair, the left one is",
                    Kind.CHOICE,
                    choices=(("", "not said"), *same_words("as drawn", "mirror image")),
                    help="left as it is worn; the cutting sheet then says left and right",
                ),
            ),
        ),
        HOW_PIECES_LIE,
        CLOTH_IN_HAND,
        Group(
            "For a drawing",
            (
                Field("pattern.file", "Drawing used", help="the file's name", wide=True),
                Field(
                    "pattern.seam_allowance",
                    "Seam allowance",
                    unit=MM,
                    help="added where the drawing shows stitching lines",
                ),
                Field("pattern.size", "Size"),
                Field("pattern.version", "Version"),
                Field(
                    "pattern.scale", "One unit of the drawing is", unit=MM, help="only where the drawing does not say"
                ),
                _MARKS,
            ),
        ),
    ),
    holds=("want", "pattern", "layout", "cloth_in_hand"),
)
