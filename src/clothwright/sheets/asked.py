"""What the sheets that are filled in by hand ask for, in their printed order, each box with the place of its answer.

One list serves the sheet, blank or filled from a project, and the page on which a filled sheet is typed in: so both have one order.
A box whose `path` is "" stays on paper; a `*` in a path stands for the number of a row, as everywhere in a project's document.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Ask:
    """One box: its label, and the place of what is written in it."""

    label: str
    path: str = ""


@dataclass(frozen=True)
class AskRows:
    """A table to write in: the list it stands for, a column for each box, how wide they are, and its rows when blank."""

    path: str
    columns: tuple[Ask, ...]
    wide: tuple[float, ...]
    blank: int


@dataclass(frozen=True)
class AskPart:
    """A part of a sheet: a heading, what to do, boxes, a table, and room for what is kept with it.

    `each`: the list for every row of which the part stands again. `begins_page`: it starts the back of the sheet.
    """

    title: str
    says: tuple[str, ...] = ()
    asks: tuple[Ask, ...] = ()
    rows: AskRows | None = None
    columns: int = 3
    rooms: tuple[str, ...] = ()
    room_mm: float = 30.0
    each: str = ""
    begins_page: bool = False


@dataclass(frozen=True)
class AskSheet:
    """A sheet to fill in: its title, the words that carry it, its parts, and where the work can hurt."""

    title: str
    intro: tuple[str, ...]
    parts: tuple[AskPart, ...]
    cautions: tuple[str, ...] = ()


def paths(sheet: AskSheet) -> Iterator[str]:
    """The places of the answers, in printed order; a table gives its columns."""
    for part in sheet.parts:
        yield from (ask.path for ask in part.asks if ask.path)
        if part.rows:
            yield from (ask.path for ask in part.rows.columns if ask.path)


_WITH_UNITS: Final = "Write each figure with its unit; leave out what you did not measure."

PROJECT: Final = AskSheet(
    "Project sheet",
    ("The whole garment on two pages: plan in front, what really happened on the back.", _WITH_UNITS),
    (
        AskPart(
            "What it is",
            asks=(
                Ask("Project", "name"),
                Ask("For whom, for what use"),
                Ask("Begun on"),
                Ask("Pattern"),
                Ask("Size", "pattern.size"),
                Ask("Version", "pattern.version"),
            ),
        ),
        AskPart(
            "Yarn",
            rows=AskRows(
                "yarn",
                (
                    Ask("Name, dye lot", "yarn.*.name"),
                    Ask("Fibre (fiber)", "yarn.*.fibre"),
                    Ask("Plies", "yarn.*.plies"),
                    Ask("Wraps", "yarn.*.wraps"),
                    Ask("Length per weight", "yarn.*.grist"),
                    Ask("May go into", "yarn.*.use"),
                    Ask("On hand, weight"),
                ),
                (1.5, 1.0, 0.6, 0.8, 1.3, 1.1, 1.1),
                4,
            ),
        ),
        AskPart(
            "Loom and cloth, as planned",
            asks=(
                Ask("Loom", "loom.name"),
                Ask("Heddle (reed), as printed", "cloth.heddle"),
                Ask("Structure", "cloth.structure"),
                Ask("Ends"),
                Ask("Width in the heddle ↔"),
                Ask("Warp length ↕"),
                Ask("Picks", "cloth.picks"),
                Ask("Finished width wanted ↔", "want.width"),
                Ask("Finished length wanted ↕", "want.length"),
                Ask("Sample woven first ↕", "cloth.on_warp_sample"),
                Ask("Loom waste ↕", "loom.waste"),
                Ask("Finish: water, soap, minutes, dry, press", "cloth.finish"),
            ),
        ),
        AskPart(
            "Colours, stripes, changes to the pattern",
            asks=(Ask("Warp"), Ask("Weft (filling)"), Ask("Pattern")),
            columns=1,
        ),
        AskPart(
            "", rooms=("Snip of warp and weft, taped here.", "Sketch of the garment, front and back."), room_mm=40.0
        ),
        AskPart(
            "What really happened: on the loom",
            asks=(
                Ask("Heddle, if another", "record.heddle"),
                Ask("Ends put on", "record.ends"),
                Ask("Warp wound ↕", "record.warp_wound"),
                Ask("Width at the fell ↔", "record.width.on_loom"),
                Ask("Woven, under tension ↕", "record.length.on_loom"),
                Ask("Waste cut off ↕", "record.waste"),
                Ask("Sample woven first ↕", "record.on_warp_sample"),
                Ask("Picks counted", "record.picks.count"),
                Ask("over", "record.picks.over"),
                Ask("counted on loom, off loom, finished", "record.picks.where"),
                Ask("Weft used, weight", "record.weft_used.weight"),
                Ask("Hours: warping, weaving"),
            ),
            begins_page=True,
        ),
        AskPart(
            "Off the loom and finished",
            asks=(
                Ask("Width off the loom, rested ↔", "record.width.off_loom"),
                Ask("Length off the loom ↕", "record.length.off_loom"),
                Ask("Weight, unwashed"),
                Ask("Finished width, start ↔", "record.width.finished.start"),
                Ask("middle ↔", "record.width.finished.middle"),
                Ask("end ↔", "record.width.finished.end"),
                Ask("Finished length ↕", "record.length.finished"),
                Ask("Weight, finished"),
                Ask("Recipe really used", "record.finish"),
            ),
        ),
        AskPart(
            "What is left of each yarn",
            rows=AskRows(
                "record.left",
                (Ask("Yarn", "record.left.*.yarn"), Ask("left, weight", "record.left.*.weight")),
                (2.0, 1.0),
                3,
            ),
        ),
        AskPart(
            "Sewn and worn",
            asks=(
                Ask("Notes", "record.notes"),
                Ask("Fits? What to do otherwise next time"),
                Ask("Finished on", "record.date"),
            ),
            columns=1,
        ),
        AskPart(
            "",
            rooms=(
                "Photo of the garment.",
                "Remnant of the finished cloth, pinned here; what is left, and where it lies.",
            ),
            room_mm=52.0,
        ),
    ),
)

_LOOM: Final = (
    Ask("Name of the loom", "loom.name"),
    Ask("Kind: rigid heddle, shaft", "loom.kind"),
    Ask("Weaving width ↔", "loom.weaving_width"),
    Ask("Heddles or reeds owned, as printed on them", "loom.heddles"),
    Ask("Loom waste ↕, once per warp", "loom.waste"),
    Ask("Warping: direct, or on board or mill (reel)", "loom.warping"),
)

EQUIPMENT: Final = AskSheet(
    "Equipment",
    ("What your looms and tools really are: measured once, used in every plan.", _WITH_UNITS),
    (
        AskPart(
            "The loom",
            (
                "Write a heddle or reed as it is printed: 30/10 cm is not 7.5 to the inch. Where nothing is printed, count the ends over 10 cm (4 in).",
                "Loom waste: measure the warp ends cut off at front and back, together, after a cloth is off.",
            ),
            _LOOM,
            columns=2,
        ),
        AskPart(
            "Other looms",
            rows=AskRows(
                "other_loom",
                tuple(
                    Ask(ask.label.split(",")[0].split(":")[0], ask.path.replace("loom.", "other_loom.*.", 1))
                    for ask in _LOOM
                ),
                (1.2, 0.9, 1.0, 1.5, 1.0, 1.0),
                3,
            ),
        ),
        AskPart(
            "Cores, weighed empty",
            (
                "A cone’s core may weigh as much as a ball: weigh one of each kind when it is empty, and write its weight inside the next.",
            ),
            rows=AskRows("core", (Ask("Core", "core.*.name"), Ask("weighs", "core.*.weight")), (2.0, 1.0), 5),
        ),
        AskPart(
            "Niddy-noddy, board, mill (reel): the true length of a turn",
            (
                "Wind some turns of a smooth yarn as you always wind, take them off, measure the whole length along a tape: length ÷ turns = one turn.",
            ),
            rows=AskRows(
                "winder",
                (
                    Ask("Winder", "winder.*.name"),
                    Ask("A turn is said to be", "winder.*.nominal"),
                    Ask("Turns wound", "winder.*.turns"),
                    Ask("measured together", "winder.*.measured"),
                    Ask("÷ turns = one turn"),
                ),
                (1.6, 1.2, 0.9, 1.2, 1.2),
                4,
            ),
        ),
        AskPart(
            "Scale, tape, shuttles",
            (
                "Scale: a coin or weight you know, three times. Tape: against a steel ruler over a metre (yard); a worn tape stretches.",
            ),
            (
                Ask("Scale reads in steps of"),
                Ask("Known weight, and what it shows"),
                Ask("Tape: a metre of it measures"),
                Ask("Shuttles and bobbins, empty, weigh"),
            ),
            columns=2,
        ),
    ),
    ("Keep fingers off ratchets when tension is let go, and do not lever a beam tighter than the loom is made for.",),
)

YARN_TESTING: Final = AskSheet(
    "Testing a yarn",
    ("Washed, rubbed, pulled: will it make a warp, and what will it lose?", _WITH_UNITS),
    (
        AskPart(
            "The yarn",
            asks=(
                Ask("Name, dye lot", "yarn.*.name"),
                Ask("Fibre (fiber)", "yarn.*.fibre"),
                Ask("Handspun, mill", "yarn.*.made"),
                Ask("Plies", "yarn.*.plies"),
                Ask("Colour", "yarn.*.colour"),
                Ask("Tested on"),
            ),
            each="yarn",
        ),
        AskPart(
            "Washing test",
            (
                "Measure a skein (hank) of about 20 m (22 yd), or weigh a length; wash it as the cloth will be washed, dry it slack, and measure again.",
                "After ÷ before is its ratio; metres per gram × ratio = metres per gram when washed.",
            ),
            (
                Ask("Before", "yarn.*.wash_test.before"),
                Ask("After", "yarn.*.wash_test.after"),
                Ask("If weighed: of a length of", "yarn.*.wash_test.of"),
                Ask("After ÷ before"),
                Ask("White cloth washed with it stayed white?"),
                Ask("Fuller, fuzzier, tighter twisted?"),
            ),
            each="yarn",
        ),
        AskPart(
            "Trial in a heddle (reed)",
            (
                "Hang two ends through hole and slot with a small weight. Rub them with the heddle as in weaving: 50 strokes, then 100.",
                "Leave a length under warp tension overnight. Draw a knot through.",
            ),
            (
                Ask("Heddle", "yarn.*.heddle_trial.heddle"),
                Ask("In the hole: passes freely, rubs, sticks", "yarn.*.heddle_trial.hole"),
                Ask("In the slot: passes freely, rubs, sticks", "yarn.*.heddle_trial.slot"),
                Ask("Strokes rubbed", "yarn.*.heddle_trial.rub_strokes"),
                Ask("then it is unchanged, fuzzes, breaks", "yarn.*.heddle_trial.rub"),
                Ask("Overnight: holds, stretches, breaks", "yarn.*.heddle_trial.tension_overnight"),
                Ask("A knot: passes, catches", "yarn.*.heddle_trial.knot"),
                Ask("So: warp, warp if sized, weft only"),
            ),
            each="yarn",
        ),
        AskPart("", rooms=("Snip, unwashed.", "Snip, washed.", "Snip, rubbed."), room_mm=24.0, each="yarn"),
    ),
    (
        "Pull a yarn between your hands over cloth, not over bare fingers: strong thread cuts.",
        "Wear it against your neck for a day before it becomes a garment; animal hair and lanolin trouble some skins.",
        "Yarn from an unknown store: keep it sealed and apart until you know that nothing lives in it.",
    ),
)

RECORD: Final = AskSheet(
    "The record",
    (),
    (
        AskPart(
            "Yarn",
            asks=(
                Ask("There was, without cores"),
                Ask("Weft used, if weighed", "record.weft_used.weight"),
            ),
            rows=AskRows(
                "record.left",
                (Ask("Yarn", "record.left.*.yarn"), Ask("is left, without its core", "record.left.*.weight")),
                (2.0, 1.0),
                2,
            ),
            columns=2,
        ),
        AskPart(
            "Warp",
            asks=(
                Ask("Ends put on", "record.ends"),
                Ask("Warp wound ↕", "record.warp_wound"),
                Ask("Waste cut off ↕", "record.waste"),
                Ask("Heddle (reed)", "record.heddle"),
            ),
            columns=4,
        ),
        AskPart(
            "On the loom",
            asks=(
                Ask("Woven, under tension ↕", "record.length.on_loom"),
                Ask("Wide at the fell ↔", "record.width.on_loom"),
                Ask("Picks counted", "record.picks.count"),
                Ask("over", "record.picks.over"),
            ),
            columns=4,
        ),
        AskPart(
            "Off the loom",
            asks=(
                Ask("Wide, rested ↔", "record.width.off_loom"),
                Ask("Long, rested ↕", "record.length.off_loom"),
                Ask("Rested for"),
            ),
        ),
        AskPart(
            "Finished",
            asks=(
                Ask("Wide at the start ↔", "record.width.finished.start"),
                Ask("in the middle ↔", "record.width.finished.middle"),
                Ask("at the end ↔", "record.width.finished.end"),
                Ask("Long ↕", "record.length.finished"),
                Ask("How it was washed", "record.finish"),
                Ask("On which day", "record.date"),
            ),
        ),
        AskPart(
            "Garment",
            asks=(
                Ask("How it fits", "record.garment.fit"),
                Ask("Weight", "record.garment.weight"),
                Ask("Minutes of cutting and sewing", "record.garment.minutes"),
            ),
            rows=AskRows(
                "record.remnant",
                (
                    Ask("Remnant", "record.remnant.*.name"),
                    Ask("wide ↔", "record.remnant.*.width"),
                    Ask("long ↕", "record.remnant.*.length"),
                ),
                (2.0, 1.0, 1.0),
                1,
            ),
        ),
        AskPart(
            "Later, on the page of the record with its day",
            asks=(Ask("Liked it"), Ask("Would change"), Ask("Wear"), Ask("Wash")),
            columns=4,
        ),
    ),
)

FINISHING: Final = AskSheet(
    "Finishing",
    (
        "Off the loom, finishing, cutting and sewing.",
        "Tick each step, and write beside it what was really done: it is what the next plan goes by. " + _WITH_UNITS,
    ),
    (
        AskPart(
            "Measure it",
            rows=AskRows(
                "off_loom",
                (
                    Ask("State", "off_loom.*.state"),
                    Ask("Width at the start ↔", "off_loom.*.width.start"),
                    Ask("in the middle ↔", "off_loom.*.width.middle"),
                    Ask("at the end ↔", "off_loom.*.width.end"),
                    Ask("Length ↕", "off_loom.*.length"),
                    Ask("Weight", "off_loom.*.weight"),
                    Ask("Rested how long", "off_loom.*.rested"),
                ),
                (1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.2),
                3,
            ),
        ),
        AskPart(
            "The recipe, step by step",
            rows=AskRows(
                "finishing.done",
                (
                    Ask("Step", "finishing.done.*.step"),
                    Ask("really: minutes", "finishing.done.*.minutes"),
                    Ask("water", "finishing.done.*.water"),
                    Ask("how", "finishing.done.*.how"),
                ),
                (1.0, 1.0, 1.0, 2.0),
                6,
            ),
        ),
        AskPart(
            "Ticked while cutting and sewing",
            rows=AskRows(
                "checked",
                (
                    Ask("Check", "checked.*.check"),
                    Ask("on", "checked.*.day"),
                    Ask("not needed, because", "checked.*.not_needed"),
                ),
                (1.5, 1.0, 1.5),
                6,
            ),
        ),
    ),
)

TEST_WEAVER: Final = AskSheet(
    "Test weaver’s sheet",
    (
        "Write down what happened, not what should have.",
        "Leave a box empty where you did not measure. Measure on the loom under tension, and the finished cloth dry and pressed.",
        "Your name and figures go to the designer alone; nothing of them is printed in the leaflet.",
    ),
    (
        AskPart(
            "You and your loom",
            asks=(
                Ask("Your name, as the designer is to call you", "record.weaver"),
                Ask("Size, version, heddle (reed) and width of cloth you wove"),
                Ask("Loom", "loom.name"),
                Ask("It weaves so wide ↔", "loom.weaving_width"),
            ),
            columns=2,
        ),
        AskPart(
            "Your yarn",
            rows=AskRows(
                "yarn",
                (
                    Ask("Name, lot", "yarn.*.name"),
                    Ask("Fibre (fiber)", "yarn.*.fibre"),
                    Ask("Metres in 100 g or yards in 1 lb, measured", "yarn.*.grist"),
                    Ask("Wraps in 1 cm or 1 in", "yarn.*.wraps"),
                    Ask("Weight before you began"),
                ),
                (1.5, 1.0, 1.3, 1.0, 1.0),
                2,
            ),
        ),
        AskPart(
            "What came of it",
            asks=(
                Ask("Finished on, day", "record.date"),
                Ask("Ends put on", "record.ends"),
                Ask("Warp wound ↕", "record.warp_wound"),
                Ask("Waste cut off, front and back together ↕", "record.waste"),
                Ask("Sample woven first ↕", "record.on_warp_sample"),
                Ask("Width at the fell ↔", "record.width.on_loom"),
                Ask("Width off the loom ↔", "record.width.off_loom"),
                Ask("Width finished, at the start ↔", "record.width.finished.start"),
                Ask("Width finished, in the middle ↔", "record.width.finished.middle"),
                Ask("Width finished, at the end ↔", "record.width.finished.end"),
                Ask("Woven length, under tension ↕", "record.length.on_loom"),
                Ask("Length off the loom ↕", "record.length.off_loom"),
                Ask("Length finished ↕", "record.length.finished"),
                Ask("Picks counted", "record.picks.count"),
                Ask("Picks counted over what length", "record.picks.over"),
                Ask("Picks counted where: on loom, off loom, finished", "record.picks.where"),
                Ask("How it was washed and dried", "record.finish"),
                Ask("Balls used, and bought"),
            ),
            rows=AskRows(
                "record.left",
                (Ask("Yarn", "record.left.*.yarn"), Ask("left, by weight", "record.left.*.weight")),
                (2.0, 1.0),
                2,
            ),
            columns=2,
        ),
        AskPart(
            "In your words",
            asks=(
                Ask("What in the leaflet was wrong or unclear, and on which page", "record.notes"),
                Ask("Did the pieces fit on your cloth, and the garment on the body?", "record.garment.fit"),
                Ask("Hours: warping, weaving, sewing"),
            ),
            columns=1,
        ),
    ),
)

#: What each sheet asks that is typed in by these lists, by kind.
ASKED: Final[dict[str, AskSheet]] = {
    "project": PROJECT,
    "equipment": EQUIPMENT,
    "yarn-testing": YARN_TESTING,
    "finishing": FINISHING,
    "record": RECORD,
    "test-weaver": TEST_WEAVER,
}
