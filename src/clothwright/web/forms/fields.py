"""Every field of the project page, in one table, in the trade's order; yarn, loom, sample and garment each in a file of their own.

To add a field, add a line: its path in the project document (a `*` stands for the number of a row), its label,
the American word where it differs, the unit a bare number takes, a line of help, and the choices if it has any.
The page, the reading of what was typed, the place for its error and the words of the history all follow from it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from clothwright.cloth import structures
from clothwright.web.forms.equipment_fields import LOOM, ONE_LOOM
from clothwright.web.forms.field import (
    CM,
    GRAMS,
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
from clothwright.web.forms.sample_fields import SAMPLE
from clothwright.web.forms.yarn_fields import ONE_YARN, TOOLS, YARN

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
YARN_ALONE: Final = Section("yarn", "The yarn", "", (*ONE_YARN, TOOLS, UNITS), holds=("yarn",))
LOOM_ALONE: Final = Section("loom", "The loom", "", (*ONE_LOOM, UNITS), holds=("loom",))


def _of_yarn(number: int, title: str, help: str = "") -> Group:
    """What a sample's yarn is, whether or not any is in hand."""
    paths = ("name", "fibre", "made", "plies", "colour", "wraps", "grist")
    wanted = [f"yarn.*.{path}" for path in paths]
    fields = (one for one in ONE_YARN if isinstance(one, Field) and one.path in wanted)
    return Group(title, tuple(replace(one, path=one.path.replace("*", str(number))) for one in fields), help)


#: A sample by itself, with the yarns it is of.
SAMPLE_ALONE: Final = Section(
    "samples",
    "The sample",
    "",
    (*next(one for one in SAMPLE.parts if isinstance(one, Rows)).parts, UNITS),
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
SECTIONS: Final = (_ABOUT, YARN, LOOM, SAMPLE, _CLOTH, GARMENT, _TRUST, _RECORD)


def structure_choices() -> tuple[tuple[str, str], ...]:
    """The structures there are."""
    return same_words(*(one.name for one in structures()))
