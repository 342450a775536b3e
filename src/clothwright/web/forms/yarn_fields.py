"""The fields of a yarn: what it is, its balls, how it was tried, and the cores and winders it was weighed and wound on."""

from __future__ import annotations

from typing import Final

from clothwright.web.forms.field import (
    GRAMS,
    GRIST,
    HEDDLE,
    METRES,
    THREADS,
    Field,
    Group,
    Kind,
    Rows,
    Section,
    same_words,
)
from clothwright.yarn import can_be_seen

_BALLS: Final = Rows(
    "yarn.*.balls",
    "ball",
    "Add a ball",
    (
        Field("yarn.*.balls.*.gross", "With core", unit=GRAMS),
        Field("yarn.*.balls.*.core", "Core", unit=GRAMS),
        Field("yarn.*.balls.*.net", "or net", unit=GRAMS),
        Field("yarn.*.balls.*.length", "or metered", unit=METRES),
        Field("yarn.*.balls.*.grist.length", "A length of it", unit=METRES),
        Field("yarn.*.balls.*.grist.weight", "weighs", unit=GRAMS),
        Field("yarn.*.balls.*.grist", "Length per weight of this ball", unit=GRIST, only_where_given=True),
    ),
    small=True,
    help="One line for each ball, skein (hank) or cone: weighed with its core, or without, or run through a meter. "
    "If balls differ, weigh a length of each.",
)
_WEIGHINGS: Final = Rows(
    "yarn.*.grist",
    "weighing",
    "Weigh a length instead",
    (
        Field("yarn.*.grist.*.length", "A length of", unit=METRES),
        Field("yarn.*.grist.*.weight", "weighs", unit=GRAMS),
    ),
    small=True,
    again="Weigh another length",
)


def _tried(*seen: str) -> tuple[tuple[str, str], ...]:
    return (("", "not tried"), *same_words(*seen))


_WASH_TEST: Final = Group(
    "Washing test",
    (
        Field("yarn.*.wash_test.before", "Before"),
        Field("yarn.*.wash_test.after", "after"),
        Field("yarn.*.wash_test.of", "if weighed, of", unit=METRES),
    ),
    help="the length of a skein before and after: 20 m and 17.6 m; or what the same length weighs before and after",
    folded=True,
)
_HEDDLE_TRIAL: Final = Group(
    "Tried in a heddle (or reed)",
    (
        Field("yarn.*.heddle_trial.heddle", "Heddle", unit=HEDDLE),
        Field("yarn.*.heddle_trial.hole", "Hole", Kind.CHOICE, choices=_tried(*can_be_seen("hole"))),
        Field("yarn.*.heddle_trial.slot", "Slot", Kind.CHOICE, choices=_tried(*can_be_seen("slot"))),
        Field("yarn.*.heddle_trial.rub_strokes", "Strokes", Kind.COUNT),
        Field("yarn.*.heddle_trial.rub", "then it", Kind.CHOICE, choices=_tried(*can_be_seen("rub"))),
        Field(
            "yarn.*.heddle_trial.tension_overnight",
            "Overnight",
            Kind.CHOICE,
            choices=_tried(*can_be_seen("tension overnight")),
        ),
        Field("yarn.*.heddle_trial.knot", "A knot", Kind.CHOICE, choices=_tried(*can_be_seen("knot"))),
    ),
    help="rubbed so many strokes in the heddle, held overnight under tension: a warp, or only a weft?",
    folded=True,
)
ONE_YARN: Final = (
    Field("yarn.*.name", "Name", help="what you call it"),
    Field("yarn.*.fibre", "Fibre", american="fiber", help="wool, cotton, linen, …"),
    Field("yarn.*.made", "Made", Kind.CHOICE, choices=same_words("handspun", "mill")),
    Field("yarn.*.plies", "Plies", Kind.COUNT),
    Field(
        "yarn.*.use",
        "May go into",
        Kind.CHOICE,
        choices=(*same_words("warp and weft", "warp", "weft"), ("only sampled", "no cloth: only samples are of it")),
    ),
    Field("yarn.*.replaceable", "More of it can be had", Kind.YES, choices=same_words("yes", "no")),
    Field("yarn.*.colour", "Colour", Kind.COLOUR, american="color", help="for the pictures"),
    Field("yarn.*.wraps", "Wraps", unit=THREADS, help="round a ruler, just touching, not pulled"),
    Field("yarn.*.wraps_taken", "How they were counted", help="over 5 cm, just touching"),
    Field(
        "yarn.*.state",
        "Measured when",
        Kind.CHOICE,
        choices=(("washed", "washed and slack"), ("unwashed", "unwashed, as wound")),
    ),
    Field("yarn.*.scale_step", "Scale shows steps of", unit=GRAMS),
    Field(
        "yarn.*.grist",
        "Length per weight",
        unit=GRIST,
        help="from the label, or a count with its system: 310 m/100 g, 8/2 cotton, 2/17 Nm",
        wide=True,
    ),
    _WEIGHINGS,
    Group("Balls, skeins, cones", (_BALLS,)),
    _WASH_TEST,
    _HEDDLE_TRIAL,
)
TOOLS: Final = Group(
    "Cores and winders of your own",
    (
        Rows(
            "core",
            "core",
            "Add a core weighed empty",
            (
                Field("core.*.name", "Name of the core"),
                Field("core.*.weight", "weighs", unit=GRAMS),
            ),
            small=True,
            again="Add a core",
        ),
        Rows(
            "winder",
            "winder",
            "Add a niddy-noddy, board or mill (reel)",
            (
                Field("winder.*.name", "Name of the winder"),
                Field("winder.*.nominal", "A turn is said to be", unit=METRES),
                Field("winder.*.turns", "Turns measured", Kind.COUNT),
                Field("winder.*.measured", "measured", unit=METRES),
            ),
            small=True,
            again="Add a winder",
        ),
    ),
    help="A ball may name its core in place of a weight, and its length in turns: 40 turns of niddy-noddy.",
    folded=True,
)
YARN: Final = Section(
    "yarn",
    "Yarn on hand",
    "Every yarn or lot you could use, and every ball of it.",
    (Rows("yarn", "yarn", "Add a yarn", ONE_YARN), TOOLS),
)
