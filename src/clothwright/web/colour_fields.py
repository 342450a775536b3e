"""The fields of the page of colours: the warp, the rules of its order, stripes."""

from __future__ import annotations

from typing import Final

from clothwright.web.field import CM, PERCENT, Field, Kind, Rows, Section, same_words

_WARP: Final = Section(
    "warp",
    "The warp",
    "Left empty, both come from the plan.",
    (
        Field("colours.ends", "Ends", Kind.COUNT),
        Field("colours.warp_length", "Warp length ↕", unit=CM),
    ),
)

RULES: Final = Section(
    "rules",
    "The rules",
    "What every order must keep. Rules of single yarns stand below.",
    (
        Field("colours.longest_run", "Most ends of one yarn together", Kind.COUNT),
        Field("colours.between_one_ball", "Fewest ends of others between two of one ball", Kind.COUNT),
        Field(
            "colours.light_and_dark",
            "Light and dark",
            Kind.CHOICE,
            help="by the yarns’ colours",
            choices=same_words("as it falls", "balanced", "dark to light", "light to dark"),
        ),
        Field("colours.strictly", "How strictly", unit=PERCENT, help="of a gradient; left empty, 50 %"),
        Field(
            "colours.balls_last",
            "Count on what balls give",
            Kind.CHOICE,
            choices=(("expected", "as expected"), ("sure", "only what is sure")),
        ),
    ),
    holds=("colours", "yarn", "loom", "want", "cloth"),
)

_STRIPES: Final = Section(
    "stripes",
    "Stripes instead",
    "One repeat, each stripe as wide as it is in the finished cloth. Stripes take the place of a drawn order.",
    (
        Rows(
            "colours.stripes",
            "stripe",
            "Add a stripe",
            (
                Field("colours.stripes.*.yarn", "Yarn", Kind.YARN),
                Field("colours.stripes.*.width", "Finished width ↔", unit=CM),
            ),
            small=True,
        ),
        Field(
            "colours.stripes_lie",
            "How they lie",
            Kind.CHOICE,
            choices=same_words("as they fall", "first stripe in the middle", "whole repeats in the middle"),
        ),
    ),
)

COLOURS: Final = (_WARP, RULES, _STRIPES)
