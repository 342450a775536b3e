"""The fields of the page “Threading”: the threading, what lifts it, how it is sleyed, and how long it took."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, Field, Kind, Rows, Section, same_words

_LONG: Final = 20_000

_THREADING: Final = Section(
    "draft",
    "The threading",
    "What is left empty comes from the cloth’s structure, the colours and the plan.",
    (
        Field("draft.ends", "Ends in all", Kind.COUNT, help="floating selvedges (selvages) with them"),
        Field("draft.shafts", "Shafts used", Kind.COUNT, help="on a loom with shafts (harnesses)"),
        Field(
            "draft.threading",
            "Threading",
            wide=True,
            longest=_LONG,
            help="straight on 4; point on 4; 1-2-3-4; or 1-2-3-4 12 times; 4-3-2-1 12 times. On a rigid heddle: hole-slot, slot-hole, "
            "or with two heddles hole 1-slot-hole 2-slot",
        ),
        Field(
            "draft.sticks",
            "Pick-up sticks",
            wide=True,
            help="what each holds of the ends in slots: 1 on, 1 off; the next stick after a semicolon",
        ),
    ),
    holds=("draft", "loom", "cloth"),
)

_LIFTING: Final = Section(
    "lifting",
    "What is lifted",
    "Left empty, it is what the structure asks for.",
    (
        Field(
            "draft.tie_up",
            "Tie-up",
            wide=True,
            longest=_LONG,
            help="the shafts tied to each treadle: 1+2, 2+3, 3+4, 1+4",
        ),
        Field("draft.treadling", "Treadling", wide=True, longest=_LONG, help="treadle after treadle: 1-2-3-4"),
        Field(
            "draft.lifting",
            "Or lifts, pick by pick",
            wide=True,
            longest=_LONG,
            help="shafts: 1+2, 2+3, or 1+2, 2+3 4 times. On a rigid heddle: up; stick A; up; down",
        ),
        Field(
            "draft.sheds",
            "Treadles make their shafts",
            Kind.CHOICE,
            choices=(("rising", "rise"), ("sinking", "sink")),
        ),
    ),
)

_SLEYING: Final = Section(
    "sleying",
    "In the heddle or reed",
    "Left and right are as you see them at the loom.",
    (
        Field(
            "draft.sleying",
            "Sleying",
            wide=True,
            help="ends in one place after the other: 1; 1-2; 0-1-1; or 2 for 20 ends; 1 for 80 ends; 2. Left empty, as the heddle says",
        ),
        Field("draft.places", "Slots and holes, or dents", Kind.COUNT, help="as counted in all the heddle or reed"),
        Field("draft.first_end", "The first end is at the", Kind.CHOICE, choices=same_words("left", "right")),
        Field(
            "draft.heddle_edge",
            "A rigid heddle begins, at its left edge, with a",
            Kind.CHOICE,
            choices=same_words("slot", "hole"),
        ),
    ),
)

_TIMES: Final = Section(
    "times",
    "How long it took",
    "Your own times make the estimate yours, in other projects too.",
    (
        Rows(
            "draft.timed",
            "time",
            "Add a time",
            (
                Field("draft.timed.*.ends", "Ends", Kind.COUNT),
                Field("draft.timed.*.minutes", "Minutes", Kind.COUNT),
                Field("draft.timed.*.day", "Day", help="as 2026-11-25"),
            ),
            small=True,
        ),
    ),
)

_WOUND: Final = Section(
    "wound",
    "Wound direct, to a peg",
    "For the sheet of warping: how much longer the outer ends become.",
    (
        Field(
            "warping.peg_distance", "From the back rod to the peg ↕", unit=CM, help="left empty, the length of the warp"
        ),
        Field("warping.pegs", "Pegs side by side", Kind.COUNT, help="1 if left empty"),
    ),
    holds=("warping",),
)

THREADING: Final = (_THREADING, _LIFTING, _SLEYING, _WOUND, _TIMES)
