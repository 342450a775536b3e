"""The fields of the pages of colours: of the warp, the rules of its order, stripes; and the same of the weft."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import CM, PERCENT, Field, Kind, Rows, Section, same_words


def _light_and_dark(side: str) -> tuple[Field, Field]:
    """How light and dark fall along an order, by where its rules stand."""
    return (
        Field(
            f"{side}.light_and_dark",
            "Light and dark",
            Kind.CHOICE,
            help="by the yarns’ colours",
            choices=same_words("as it falls", "balanced", "dark to light", "light to dark"),
        ),
        Field(f"{side}.strictly", "How strictly", unit=PERCENT, help="of a gradient; left empty, 50 %"),
    )


def _balls_last(side: str) -> Field:
    return Field(
        f"{side}.balls_last",
        "Count on what balls give",
        Kind.CHOICE,
        choices=(("expected", "as expected"), ("sure", "only what is sure")),
    )


def _stripes_lie(side: str) -> Field:
    return Field(
        f"{side}.stripes_lie",
        "How they lie",
        Kind.CHOICE,
        choices=same_words("as they fall", "first stripe in the middle", "whole repeats in the middle"),
    )


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
        *_light_and_dark("colours"),
        Field(
            "colours.spread_unlike",
            "Spread yarns that are unlike the others evenly",
            Kind.YES,
            help="of another fibre or thickness: they may go slack",
            choices=(("no", "no"),),
        ),
        Field("colours.selvedge.yarn", "Selvedge yarn", Kind.YARN, american="selvage", help="at both edges"),
        Field("colours.selvedge.ends", "Ends of it at each selvedge", Kind.COUNT),
        _balls_last("colours"),
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
        _stripes_lie("colours"),
    ),
)

COLOURS: Final = (_WARP, RULES, _STRIPES)

_WEFT: Final = Section(
    "weft",
    "The weft",
    "Left empty, picks and what each takes come from the plan.",
    (
        Field("colours.weft.picks", "Picks", Kind.COUNT),
        Field("colours.weft.pick_length", "Weft yarn of one pick", unit=CM),
        Field(
            "colours.weft.warp_leavings",
            "Take what the warp leaves of all its yarns",
            Kind.YES,
            help="else only yarns that are for the weft, or kept for it",
            choices=(("no", "no"),),
        ),
        Field(
            "colours.weft.yarns",
            "Only these yarns, in this order",
            Kind.SEVERAL,
            help="names with ; between them; left empty, all that are for the weft",
            wide=True,
        ),
        Field(
            "colours.weft.lies",
            "How the yarns come",
            Kind.CHOICE,
            help="left open, at random where there are rules, else one after another",
            choices=(("", "left open"), *same_words("one after another", "at random", "turn about")),
        ),
        Field(
            "colours.weft.turn_about",
            "Turn about",
            Kind.SEVERAL,
            help="two yarns, or one of which two skeins take turns; names with ; between them",
        ),
        Field(
            "colours.weft.colours_change",
            "Colours change",
            Kind.CHOICE,
            help="at one side: even numbers of picks",
            choices=same_words("at one side", "at either side"),
        ),
    ),
)

WEFT_RULES: Final = Section(
    "rules",
    "The rules",
    "What an order drawn at random keeps. Rules of single yarns stand below.",
    (
        Field("colours.weft.least_together", "Fewest picks of one yarn together", Kind.COUNT),
        Field("colours.weft.longest_run", "Most picks of one yarn together", Kind.COUNT),
        Field("colours.weft.between_one_yarn", "Fewest picks of others between two runs of one yarn", Kind.COUNT),
        *_light_and_dark("colours.weft"),
        _balls_last("colours.weft"),
    ),
    holds=("colours", "yarn", "loom", "want", "cloth"),
)

_WEFT_STRIPES: Final = Section(
    "stripes",
    "Stripes and checks instead",
    "One repeat, each stripe as long as it is in the finished cloth. Stripes take the place of a drawn order.",
    (
        Field(
            "colours.weft.as_the_warp",
            "As the warp: a check (plaid)",
            Kind.YES,
            help="its stripes, or else its whole order, woven as they are wide",
            choices=(("no", "no"),),
        ),
        Rows(
            "colours.weft.stripes",
            "stripe",
            "Add a stripe",
            (
                Field("colours.weft.stripes.*.yarn", "Yarn", Kind.YARN),
                Field("colours.weft.stripes.*.length", "Finished length ↕", unit=CM),
            ),
            small=True,
        ),
        _stripes_lie("colours.weft"),
    ),
)

WEFT_COLOURS: Final = (_WEFT, WEFT_RULES, _WEFT_STRIPES)
