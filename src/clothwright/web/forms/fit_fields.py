"""The fields of a pattern's fit: the mock-up, the changes found on it, sizes made between sizes."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, PERCENT, Field, Group, Kind, Rows, Section, same_words

_MOCK_UP: Final = Section(
    "mock-up",
    "The mock-up",
    "The garment in cheap cloth (toile, American muslin), sewn before the good cloth is woven. Until it is ticked, the plan is provisional.",
    (
        Field("pattern.mock_up.sewn", "Sewn on", help="as 2026-03-14"),
        Field("pattern.mock_up.cloth", "In what cloth"),
        Field("pattern.mock_up.size", "In size", help="if other than the garment’s"),
        Field("pattern.mock_up.fits", "It fits", Kind.YES, choices=same_words("no", "yes"), wide=True),
        Field("pattern.mock_up.notes", "Notes", wide=True),
    ),
    holds=("pattern",),
)

_CHANGES: Final = Section(
    "changes",
    "What has to change",
    "One change at a time, in their order. A seam is changed on every piece it is on; each edge gets what you write.",
    (
        Rows(
            "pattern.change",
            "change",
            "Add a change",
            (
                Field(
                    "pattern.change.*.do",
                    "What",
                    Kind.CHOICE,
                    choices=(
                        ("", "which change?"),
                        *same_words("lengthen", "shorten", "let out", "take in", "raise", "lower"),
                    ),
                ),
                Field("pattern.change.*.by", "by", unit=CM),
                Field("pattern.change.*.date", "On", help="as 2026-03-14"),
                Group(
                    "Lengthen or shorten, across the grain",
                    (
                        Field("pattern.change.*.match", "Through the notch or line called"),
                        Field("pattern.change.*.at", "or at, from the foot ↕", unit=CM, help="and say which pieces"),
                    ),
                ),
                Group(
                    "Let out, take in, raise or lower",
                    (
                        Field("pattern.change.*.seam", "Seam"),
                        Field(
                            "pattern.change.*.nothing_at",
                            "to nothing at",
                            help="top, bottom, or the seam it meets there; left out: all of it",
                        ),
                        Field(
                            "pattern.change.*.corner", "or the corner of", help="two seams that meet, as side, armhole"
                        ),
                    ),
                ),
                Field("pattern.change.*.piece", "On these pieces only", help="left out: every piece it concerns"),
                Field(
                    "pattern.change.*.other_sizes",
                    "Other sizes",
                    Kind.CHOICE,
                    choices=same_words("the same", "in proportion"),
                ),
                Field("pattern.change.*.why", "Why", wide=True),
                Field("pattern.change.*.set_aside", "Set aside because", only_where_given=True, wide=True),
            ),
            again="Add another change",
        ),
    ),
)

_SIZES: Final = Section(
    "between",
    "Sizes between sizes",
    "A size made from two that are drawn, where their outlines have the same corners and seams.",
    (
        Rows(
            "pattern.made_size",
            "size",
            "Make a size between two",
            (
                Field("pattern.made_size.*.size", "Call it size"),
                Field("pattern.made_size.*.between", "between", help="as S, L"),
                Field("pattern.made_size.*.share", "so far from the first to the second", unit=PERCENT),
            ),
            small=True,
        ),
    ),
)

FIT: Final = (_MOCK_UP, _CHANGES, _SIZES)
