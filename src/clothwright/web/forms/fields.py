"""Every field of the project page, in one table, in the trade's order.

To add a field, add a line here: its path in the project document (a `*` stands for the number of a row), its label,
the American word where it differs, the unit a bare number takes, a line of help, and the choices if it has any.
The page, the reading of what was typed, the place for its error and the words of the history all follow from it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from clothwright.cloth import structures
from clothwright.web.forms.field import (
    CM,
    GRAMS,
    GRIST,
    HEDDLE,
    METRES,
    OF_WARP,
    OF_WIDTH,
    PERCENT,
    THREADS,
    Field,
    Group,
    Kind,
    Rows,
    Section,
    same_words,
)
from clothwright.web.forms.garment_fields import GARMENT
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

_ONE_YARN: Final = (
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

_TOOLS: Final = Group(
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

_YARN: Final = Section(
    "yarn",
    "Yarn on hand",
    "Every yarn or lot you could use, and every ball of it.",
    (Rows("yarn", "yarn", "Add a yarn", _ONE_YARN), _TOOLS),
)

_LOOM_FIELDS: Final = (
    Field("loom.name", "Name of the loom"),
    Field("loom.kind", "Kind", Kind.CHOICE, choices=same_words("rigid heddle", "shaft")),
    Field("loom.weaving_width", "Weaving width ↔", unit=CM),
    Field(
        "loom.heddles",
        "Heddles owned",
        Kind.SEVERAL,
        american="or reeds",
        unit=HEDDLE,
        help="as printed on them, with a semicolon between: 30/10 cm; 7.5/in",
        wide=True,
    ),
    Field("loom.waste", "Loom waste ↕", unit=CM, help="the warp that can never be woven, once per warp"),
    Field(
        "loom.warping",
        "Warping",
        Kind.CHOICE,
        choices=(("direct", "direct: slot to peg, ends in pairs"), ("indirect", "indirect: board or mill (reel)")),
        wide=True,
    ),
)

_OTHER_LOOMS: Final = Group(
    "Other looms",
    (
        Rows(
            "other_loom",
            "other loom",
            "Add another loom",
            tuple(replace(one, path=one.path.replace("loom.", "other_loom.*.", 1)) for one in _LOOM_FIELDS),
            again="Add another loom",
        ),
    ),
    help="What can be chosen then tells of the whole garment, or a warp of its own for some pieces, woven there at the same sett.",
    folded=True,
)

_LOOM: Final = Section(
    "loom",
    "Loom and heddles",
    "What the cloth will be woven on.",
    (*_LOOM_FIELDS, _OTHER_LOOMS),
    holds=("loom", "other_loom"),
)


def _corners(path: str, when: str) -> Rows:
    """Corners of an outline drawn before or after washing, a row each."""
    places = (Field(f"{path}.*.across", "across ↔", unit=CM), Field(f"{path}.*.along", "along ↕", unit=CM))
    add, again = f"Add a corner {when}", f"Add the next corner {when}"
    return Rows(path, f"corner {when}", add, places, small=True, again=again)


_SAMPLE: Final = Section(
    "samples",
    "Samples",
    "What you wove and washed to try it. Measure in as many states as you can; leave out what you did not measure.",
    (
        Rows(
            "sample",
            "sample",
            "Add a sample",
            (
                Field("sample.*.name", "Name"),
                Field("sample.*.date", "Date", help="as 2026-03-14; puts it in order among all that was measured"),
                Field("sample.*.purpose", "What it is to show"),
                Field("sample.*.warp", "Warp yarn", Kind.YARN),
                Field("sample.*.weft", "Weft yarn", Kind.YARN, american="filling"),
                Field("sample.*.heddle", "Heddle", unit=HEDDLE),
                Field("sample.*.structure", "Structure", Kind.CHOICE),
                Field("sample.*.finish", "Finish", help="how it was washed, dried, pressed", wide=True),
                Field("sample.*.woven_on", "Woven on", Kind.CHOICE, choices=same_words("loom", "card loom")),
                Field("sample.*.ends", "Ends", Kind.COUNT),
                Field(
                    "sample.*.beat",
                    "Beat",
                    Kind.CHOICE,
                    choices=(("", "not said"), *same_words("light", "medium", "firm")),
                ),
                Field("sample.*.set_aside", "Set aside because", only_where_given=True, wide=True),
                Group(
                    "Width ↔",
                    (
                        Field("sample.*.width.in_heddle", "in the heddle", unit=CM),
                        Field("sample.*.width.on_loom", "at the fell", unit=CM),
                        Field("sample.*.width.off_loom", "off the loom", unit=CM),
                        Field("sample.*.width.finished", "finished", unit=CM),
                    ),
                    help="in the heddle, at the fell where you weave, rested off the loom, and washed, dry and pressed",
                ),
                Group(
                    "Length ↕",
                    (
                        Field("sample.*.length.warp", "warp used", unit=CM),
                        Field("sample.*.length.wound", "warp wound", unit=CM, only_where_given=True),
                        Field("sample.*.length.waste", "of it wasted", unit=CM, only_where_given=True),
                        Field("sample.*.length.on_loom", "on the loom", unit=CM),
                        Field("sample.*.length.off_loom", "off the loom", unit=CM),
                        Field("sample.*.length.finished", "finished", unit=CM),
                    ),
                    help="warp used is what was wound less what was wasted; on the loom means under tension",
                ),
                Group(
                    "Picks and weft",
                    (
                        Field("sample.*.picks.count", "Picks counted", Kind.COUNT),
                        Field("sample.*.picks.over", "over", unit=CM),
                        Field(
                            "sample.*.picks.where",
                            "counted",
                            Kind.CHOICE,
                            choices=same_words("on loom", "off loom", "finished"),
                        ),
                        Field("sample.*.weft_used.weight", "Weft used", unit=GRAMS),
                        Field("sample.*.weft_used.length", "or weft used", unit=METRES),
                        Field("sample.*.one_pick.straight", "One pick laid straight", unit=CM),
                        Field(
                            "sample.*.one_pick.drawn_from",
                            "drawn from",
                            Kind.CHOICE,
                            choices=same_words("off loom", "finished"),
                        ),
                    ),
                    help="the weft by weight or length; or one pick drawn out, laid straight and measured",
                ),
                Group(
                    "Weight",
                    (
                        Field("sample.*.weight.off_loom", "Weight, unwashed", unit=GRAMS),
                        Field("sample.*.weight.finished", "Weight, finished", unit=GRAMS),
                    ),
                    folded=True,
                ),
                Group(
                    "Drawn round on paper",
                    (
                        _corners("sample.*.traced.off_loom", "before washing"),
                        _corners("sample.*.traced.finished", "after washing"),
                        Field("sample.*.traced.drawing", "Drawing of both outlines", only_where_given=True),
                    ),
                    help="with the warp up the paper: each corner in order, across and along from one corner of the paper",
                    folded=True,
                ),
                Group(
                    "Cut in parts, finished differently",
                    (
                        Rows(
                            "sample.*.parts",
                            "part",
                            "Add a part cut off",
                            (
                                Field("sample.*.parts.*.name", "Part"),
                                Field("sample.*.parts.*.finish", "How finished"),
                                Field("sample.*.parts.*.before.width", "before ↔", unit=CM),
                                Field("sample.*.parts.*.before.length", "before ↕", unit=CM),
                                Field("sample.*.parts.*.after.width", "after ↔", unit=CM),
                                Field("sample.*.parts.*.after.length", "after ↕", unit=CM),
                                Field("sample.*.parts.*.hand", "Its hand"),
                                Field("sample.*.parts.*.notes", "Notes on it", only_where_given=True),
                            ),
                            small=True,
                            help="A side that was not cut is the whole sample’s: leave its size before out.",
                        ),
                    ),
                    folded=True,
                ),
                Group(
                    "In your own words",
                    (
                        Field(
                            "sample.*.hand",
                            "Hand",
                            american="or handle",
                            help="stiff, boardy, firm, right, soft, limp, sleazy, slips …",
                            wide=True,
                        ),
                        Field("sample.*.drape", "Drape", wide=True),
                        Field("sample.*.notes", "Notes", wide=True),
                        Field("sample.*.photos", "Photos", Kind.SEVERAL, only_where_given=True, wide=True),
                    ),
                    folded=True,
                ),
            ),
        ),
    ),
)

_CLOTH: Final = Section(
    "cloth",
    "The cloth",
    "What is decided about it. What you leave out is forecast from your samples and from what such cloths do.",
    (
        Field("cloth.structure", "Structure", Kind.CHOICE),
        Field(
            "cloth.heddle",
            "Heddle",
            unit=HEDDLE,
            help="left out: chosen from those you own. Sleyed another way: 12/in reed, 1-2; or 30/10 cm, 1 in 2 heddles",
        ),
        Field("cloth.picks", "Picks", unit=THREADS, help="a range will do: 3.0 to 3.4/cm"),
        Field(
            "cloth.picks_counted", "Picks counted", Kind.CHOICE, choices=same_words("on loom", "off loom", "finished")
        ),
        Field("cloth.finish", "Finish", help="how it will be washed, dried, pressed", wide=True),
        Field("cloth.on_warp_sample", "Sample woven first on this warp ↕", unit=CM),
        Field("cloth.warp_take_up", "Take-up of the warp", unit=OF_WARP),
        Field("cloth.weft_take_up", "Take-up of the weft", unit=OF_WIDTH),
        Field("cloth.width_ratio", "Finished width ÷ width in heddle", help="as 0.90"),
        Field("cloth.length_ratio", "Finished length ÷ woven length on loom", help="as 0.875"),
        Field("cloth.repeat_ends", "Ends in a repeat", Kind.COUNT),
        Field(
            "cloth.floating_selvedges",
            "Floating selvedges",
            Kind.YES,
            american="selvages",
            choices=same_words("no", "yes"),
        ),
    ),
    holds=("cloth",),
)

_RECORD: Final = Section(
    "record",
    "The record",
    "What really happened, in few boxes: fill in what you measured, leave out the rest. Finished, it sharpens every later plan.",
    (
        Field("record.date", "Finished on", help="as 2026-03-14; with a day it counts as evidence"),
        Field("record.weaver", "Woven by", help="if by somebody else, as a test weaver"),
        Field("record.test_of", "Tried a leaflet", only_where_given=True, wide=True),
        Field("record.ends", "Ends put on", Kind.COUNT, help="floating selvedges (selvages) with them"),
        Field("record.heddle", "Heddle", unit=HEDDLE, help="if other than planned"),
        Field("record.warp_wound", "Warp wound ↕", unit=CM),
        Field("record.waste", "Waste cut off ↕", unit=CM, help="front and back together"),
        Field("record.on_warp_sample", "Sample woven first ↕", unit=CM, help="if other than planned; 0 for none"),
        Group(
            "Width of the cloth ↔",
            (
                Field("record.width.on_loom", "at the fell", unit=CM),
                Field("record.width.off_loom", "off the loom", unit=CM),
                Field("record.width.finished.start", "finished, start", unit=CM),
                Field("record.width.finished.middle", "finished, middle", unit=CM),
                Field("record.width.finished.end", "finished, end", unit=CM),
                Field("record.width.in_heddle", "in the heddle", unit=CM, only_where_given=True),
            ),
            help="finished at up to three places: the least can be used, the mean is the evidence",
        ),
        Group(
            "Length of the cloth ↕",
            (
                Field("record.length.on_loom", "woven, under tension", unit=CM),
                Field("record.length.off_loom", "off the loom", unit=CM),
                Field("record.length.finished", "finished", unit=CM),
            ),
            help="from the first pick of the cloth to its last, a sample woven first not counted",
        ),
        Group(
            "Picks and yarn really used",
            (
                Field("record.picks.count", "Picks counted", Kind.COUNT),
                Field("record.picks.over", "over", unit=CM),
                Field(
                    "record.picks.where", "counted", Kind.CHOICE, choices=same_words("on loom", "off loom", "finished")
                ),
                Field("record.weft_used.weight", "Weft used, if weighed", unit=GRAMS),
                Field("record.weft_used.length", "Weft used", unit=METRES, only_where_given=True),
                Rows(
                    "record.left",
                    "yarn left",
                    "Weigh what is left of a yarn",
                    (
                        Field("record.left.*.yarn", "Yarn", Kind.YARN),
                        Field("record.left.*.weight", "left", unit=GRAMS),
                    ),
                    small=True,
                    again="Weigh another",
                ),
            ),
        ),
        Field("record.finish", "Recipe really used", help="if other than planned", wide=True),
        Field("record.notes", "Notes", wide=True),
        Field("record.pattern_state", "Pattern at state", only_where_given=True),
        Field("record.set_aside", "Set aside because", only_where_given=True, wide=True),
    ),
    holds=("record",),
)

_TRUST: Final = Section(
    "trust",
    "How sure to be",
    "The chances the plan must reach. Surer means more warp.",
    (
        Field("trust.size", "Cloth is large enough", unit=PERCENT, help="80 % if left out"),
        Field("trust.yarn", "Yarn lasts to the end", unit=PERCENT, help="95 % if left out"),
    ),
    holds=("trust",),
)

UNITS: Final = Field(
    "units",
    "A number without a unit is",
    Kind.CHOICE,
    choices=(("metric", "metric: cm, m, g"), ("imperial", "imperial: in, yd, oz")),
)

_ABOUT: Final = Section(
    "about",
    "This project",
    "",
    (
        Field("name", "Name of the project", wide=True),
        UNITS,
    ),
)

#: A yarn, and a loom, by itself: the same fields as in a project.
YARN_ALONE: Final = Section("yarn", "The yarn", "", (*_ONE_YARN, _TOOLS, UNITS), holds=("yarn",))
LOOM_ALONE: Final = Section("loom", "The loom", "", (*_LOOM_FIELDS, UNITS), holds=("loom",))


def _of_yarn(number: int, title: str, help: str = "") -> Group:
    """What a sample's yarn is, whether or not any is in hand."""
    paths = ("name", "fibre", "made", "plies", "colour", "wraps", "grist")
    wanted = [f"yarn.*.{path}" for path in paths]
    fields = (one for one in _ONE_YARN if isinstance(one, Field) and one.path in wanted)
    return Group(title, tuple(replace(one, path=one.path.replace("*", str(number))) for one in fields), help)


#: A sample by itself, with the yarns it is of.
SAMPLE_ALONE: Final = Section(
    "samples",
    "The sample",
    "",
    (*next(one for one in _SAMPLE.parts if isinstance(one, Rows)).parts, UNITS),
    holds=("sample",),
)
SAMPLE_YARNS: Final = Section(
    "yarn",
    "Its yarn",
    "What the sample is of. How much of it there is belongs to the yarn on hand.",
    (
        _of_yarn(0, "Warp and weft, or the warp"),
        _of_yarn(1, "Weft, where it is another yarn", "then choose it as the weft yarn above"),
    ),
    holds=("yarn",),
)

SECTIONS: Final = (_ABOUT, _YARN, _LOOM, _SAMPLE, _CLOTH, GARMENT, _TRUST, _RECORD)


def structure_choices() -> tuple[tuple[str, str], ...]:
    """The structures there are."""
    return same_words(*(one.name for one in structures()))
