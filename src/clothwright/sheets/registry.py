"""Every sheet of the set, in one table: its kind, what it is for, what it is drawn from, who draws it, and how it may be printed.

The command `sheets`, the pages, the sheets picker and the tests of the documentation all read this table and have no list of their own.

To add a sheet, add a row to the stage of the work it belongs to: `Sheet(kind, title, says, drawn_by)` and what differs from the rest.

- `drawn_by` is `file.function` of this room. It is imported when the sheet is drawn, so a row costs no command anything.
- The function takes what the row `needs`, in that order, and the keywords `imperial`, `made_on` and (unless `large` is False) `large_print`, and
  `opens` where the row says `typed`, `kind` where it says `one_of_many`; it gives the PDF as bytes, or raises ProblemsFound where there is nothing to draw.
- A row with `blank` is also printed to fill in: the function is then called with None for everything it needs.
- A new thing to draw from is a new `Need`; the command line (`cli/papers.py`) and the pages (`web/sheets/sheet_given.py`) each say how it is had,
  and a test fails while one of them does not.
- Describe it in `docs/sheets.md` under its kind.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from importlib import import_module
from typing import Any, Final

from clothwright.sheets.code import Opens


class Need(Enum):
    """What a sheet is drawn from; the word says what is missing where it cannot be had."""

    PROJECT = "a project"
    PLAN = "a plan"
    COLOURS = "the colours of its warp"
    WEFT_ORDER = "the colours of its weft"
    THREADING = "its threading"
    WEAVING_END = "where its weaving ends"
    LOOM_FORECAST = "its forecast at the loom"
    CLOTH = "how its cloth looks"
    CUT_PIECES = "its pieces cut from the cloth"
    PIECES = "its pieces at true size"
    LEAFLET = "its leaflet"
    TWO_LEAFLETS = "two versions of its leaflet"
    BESIDE = "its record beside the plan"
    LABEL_ADDRESS = "the address labels lead to"
    OFF_LOOM = "what is done off its loom"


class Stage(Enum):
    """Where in the work a sheet is used, in the trade's order."""

    WHOLE = "The whole garment"
    YARN = "Yarn and sett"
    PLAN = "The plan"
    WARP = "The warp"
    LOOM = "At the loom"
    OFF_LOOM = "Off the loom"
    SEW = "Cutting and sewing"
    RECORD = "The record"
    TEACH = "Teaching and selling"


@dataclass(frozen=True)
class Sheet:
    """One sheet of the set.

    `usual`: printed where none is asked for by name. `large`: has a large print.
    `typed`: once filled in by hand it is typed on a page, which a code on it opens; its function takes the keyword `opens`.
    `one_of_many`: its function draws several kinds, and takes the keyword `kind`.
    `on_paper`: of a sheet with boxes that is not typed in, what becomes of what is written there.
    """

    kind: str
    title: str
    says: str
    drawn_by: str
    needs: tuple[Need, ...] = (Need.PROJECT,)
    blank: bool = False
    large: bool = True
    usual: bool = False
    typed: bool = False
    one_of_many: bool = False
    on_paper: str = ""

    @property
    def filled(self) -> bool:
        """Whether it can be drawn of a project: one that needs nothing is the same for all."""
        return bool(self.needs)


@dataclass(frozen=True)
class How:
    """How a sheet is printed: its day, the units that stand first, the size of letters, and and what a code on it opens; left out, its kind alone."""

    made_on: datetime.date
    imperial: bool = False
    large_print: bool = False
    opens: Opens | None = None


#: So that a page is about 450 pixels wide, and shown at half of that on a dense screen.
_PREVIEW_DPI: Final = 54.0

#: What a door gives for each need; it raises ProblemsFound where that cannot be had.
Given = Callable[[Need], Any]

_WHOLE: Final = (
    Sheet(
        "project",
        "Project sheet",
        "The whole record of a garment on two pages, with places for snips, remnant and photo.",
        "asked_sheet.asked_pdf",
        blank=True,
        typed=True,
        one_of_many=True,
    ),
    Sheet(
        "equipment",
        "Equipment",
        "Looms, heddles (reeds), waste, cores, winders, scale and tape, measured once.",
        "asked_sheet.asked_pdf",
        blank=True,
        typed=True,
        one_of_many=True,
    ),
    Sheet(
        "cautions",
        "Cautions",
        "Where the work can hurt, step by step, to hang up.",
        "cautions_sheet.cautions_pdf",
        (),
        blank=True,
    ),
)
_YARN: Final = (
    Sheet(
        "yarn-testing",
        "Testing a yarn",
        "Washing test and trial in a heddle (reed), a page for each yarn, with room for snips.",
        "asked_sheet.asked_pdf",
        blank=True,
        typed=True,
        one_of_many=True,
    ),
    Sheet(
        "measuring-yarn",
        "Measuring your yarn",
        "Wraps, length per weight and every ball, with gauges to cut out.",
        "sampling.measuring_sheet.measuring_sheet_pdf",
        blank=True,
        typed=True,
        usual=True,
    ),
    Sheet(
        "finding-sett",
        "Finding the sett",
        "From wraps to a heddle (reed) and a number of ends, threads at true size.",
        "sampling.sett_sheet.sett_sheet_pdf",
        blank=True,
        usual=True,
        on_paper="Reckoned on paper; the heddle it leads to is typed with the loom and cloth of a project.",
    ),
    Sheet(
        "sample-card",
        "Sample card",
        "A box for everything that is asked of a sample, and room for snips.",
        "sampling.sample_card.sample_card_pdf",
        blank=True,
        typed=True,
        usual=True,
    ),
    Sheet(
        "sett-comparison",
        "Setts side by side",
        "What each heddle leads to, and boxes for what each new sample was like.",
        "sampling.sett_comparison.sett_comparison_pdf",
        blank=True,
        usual=True,
        on_paper="Each new sample has a card of its own, which is typed in.",
    ),
)
_PLAN: Final = (
    Sheet(
        "plan",
        "The plan",
        "The verdict, what to set up, the strip of cloth, the layout and the working.",
        "plan_sheet.plan_sheet_pdf",
        (Need.PLAN, Need.PROJECT),
        usual=True,
        on_paper="What really came out is typed from the sheet of the record.",
    ),
    Sheet(
        "cloth",
        "The cloth as it will look",
        "A patch at true size, the stripes in words, and what looks alike.",
        "cloth.cloth_sheet.cloth_sheet_pdf",
        (Need.CLOTH, Need.PLAN, Need.CUT_PIECES),
    ),
)
_WARP: Final = (
    Sheet(
        "colour-order",
        "Colour order of the warp",
        "Ten ends by ten, to tick off as they are wound.",
        "colours.colour_sheets.colour_order_pdf",
        (Need.COLOURS, Need.PROJECT),
    ),
    Sheet(
        "balls",
        "Balls of the warp",
        "What each ball gives, and boxes to weigh it before and after.",
        "colours.colour_sheets.balls_pdf",
        (Need.COLOURS, Need.PROJECT),
        on_paper="What is left of a yarn is typed from the sheet of the record, its balls from that of measuring it.",
    ),
    Sheet(
        "warping",
        "Warping",
        "How the warp is wound: slot by slot, or turn by turn on board or mill.",
        "colours.warping_sheet.warping_pdf",
        (Need.COLOURS, Need.PROJECT),
        on_paper="Chains and turns are ticked and counted at the board; the warp as it was wound is typed from the sheet of the record.",
    ),
    Sheet(
        "threading",
        "Threading",
        "Where the warp stands in the heddle, and every end ten by ten.",
        "cloth.threading_sheet.threading_pdf",
        (Need.THREADING, Need.PROJECT),
        blank=True,
        typed=True,
    ),
)
_LOOM: Final = (
    Sheet(
        "weft-order",
        "Weft order",
        "Run by run with running lengths, and where each ball runs out.",
        "colours.weft_sheet.weft_order_pdf",
        (Need.WEFT_ORDER, Need.PROJECT),
        on_paper="Where a run really ended is for who weaves on; what is left of a yarn is typed from the sheet of the record.",
    ),
    Sheet(
        "loom-log",
        "Log of the weaving",
        "A row to write in for every mark along the cloth.",
        "loom.loom_log_sheet.loom_log_pdf",
        (Need.PROJECT, Need.WEAVING_END, Need.LOOM_FORECAST),
        blank=True,
        typed=True,
    ),
    Sheet(
        "loom-marks",
        "Marks along the cloth",
        "Strips at true size to pin to the selvedge, with what to do at every mark, and a list to tick off.",
        "loom.loom_marks_sheet.loom_marks_pdf",
        (Need.PROJECT, Need.WEAVING_END, Need.LOOM_FORECAST),
        blank=True,
    ),
)
_OFF_LOOM: Final = (
    Sheet(
        "finishing",
        "Finishing",
        "What to measure off the loom, the recipe at its times, the cloth as it came, and the checks of cutting and sewing.",
        "loom.finishing_sheet.finishing_sheet_pdf",
        (Need.OFF_LOOM,),
        blank=True,
        typed=True,
    ),
)
_SEW: Final = (
    Sheet(
        "cutting",
        "Cutting",
        "What to do before the first cut, and every piece in the order it is cut.",
        "pieces.cutting_sheet.cutting_sheet_pdf",
        (Need.PLAN, Need.PROJECT),
    ),
    Sheet(
        "cutting-real",
        "Cutting, from the cloth as it came",
        "The cutting sheet drawn for the finished cloth as it was measured, its flaws crossed.",
        "loom.finishing_sheet.real_cutting_sheet_pdf",
        (Need.OFF_LOOM, Need.PLAN, Need.PROJECT),
    ),
    Sheet(
        "pieces",
        "Pieces at true size, in tiles",
        "The pieces on pages for a printer at home, to be glued together.",
        "pieces.piece_sheets.tiled_pdf",
        (Need.PIECES,),
        large=False,
    ),
    Sheet(
        "pieces-copyshop",
        "Pieces at true size, on one page",
        "The pieces on one long page for a copy shop's roll.",
        "pieces.piece_sheets.rolled_pdf",
        (Need.PIECES,),
        large=False,
    ),
    Sheet(
        "photo-markers",
        "Marker strips for photographs",
        "Strips to lay round a paper piece, so that a photograph of it can be traced.",
        "pieces.marker_sheet.marker_sheet_pdf",
        blank=True,
        large=False,
    ),
)
_RECORD: Final = (
    Sheet(
        "record",
        "The record",
        "The plan beside what really came, what is left, and what was found out later; blank, to fill in by hand.",
        "record.record_sheet.record_pdf",
        (Need.PROJECT, Need.BESIDE),
        blank=True,
        typed=True,
    ),
    Sheet(
        "label",
        "Label to tie on the cloth",
        "The record's number, a code that opens it, and what the cloth is, in few lines.",
        "record.label_sheet.label_pdf",
        (Need.LABEL_ADDRESS, Need.PROJECT),
    ),
)
_TEACH: Final = (
    Sheet(
        "leaflet",
        "Leaflet: what you need",
        "Yarn for every size, version, heddle and cloth width, with what it assumes.",
        "teaching.leaflet_sheet.leaflet_pdf",
        (Need.LEAFLET,),
        on_paper="A reader reckons with her own sample on the page for buyers.",
    ),
    Sheet(
        "test-weaver",
        "Leaflet: test weaver\u2019s sheet",
        "A box for everything that came of a test of the leaflet, in the order it is typed back.",
        "teaching.test_weaver_sheet.sheet_of_test_pdf",
        (Need.LEAFLET,),
        typed=True,
    ),
    Sheet(
        "leaflet-corrections",
        "Leaflet: corrections",
        "What readers of the version before are to change, figure by figure.",
        "teaching.leaflet_changes.corrections_pdf",
        (Need.TWO_LEAFLETS,),
    ),
    Sheet(
        "class-sheet",
        "Class sheet to fill in",
        "One piece on a student's own loom: the sums with room for her numbers, checks, boxes, words.",
        "teaching.class_blank.blank_class_sheet_pdf",
        blank=True,
        on_paper="The student's own. Her loom and yarn are typed by her teacher, on the page of the class.",
    ),
    Sheet(
        "words",
        "Words of the trade",
        "British and American, each with its line.",
        "words_sheet.words_sheet_pdf",
        (),
        blank=True,
    ),
)
_BY_STAGE: Final[dict[Stage, tuple[Sheet, ...]]] = {
    Stage.WHOLE: _WHOLE,
    Stage.YARN: _YARN,
    Stage.PLAN: _PLAN,
    Stage.WARP: _WARP,
    Stage.LOOM: _LOOM,
    Stage.OFF_LOOM: _OFF_LOOM,
    Stage.SEW: _SEW,
    Stage.RECORD: _RECORD,
    Stage.TEACH: _TEACH,
}

#: Every sheet, in the order of the work.
SHEETS: Final[tuple[Sheet, ...]] = tuple(sheet for of_stage in _BY_STAGE.values() for sheet in of_stage)
BY_KIND: Final[dict[str, Sheet]] = {sheet.kind: sheet for sheet in SHEETS}


def staged() -> dict[Stage, tuple[Sheet, ...]]:
    """The sheets of each stage that has any, in the order of the work."""
    return {stage: of_stage for stage, of_stage in _BY_STAGE.items() if of_stage}


def draw(sheet: Sheet, given: Given | None, how: How) -> bytes:
    """The sheet as PDF; to fill in where nothing is given. ValueError where it cannot be blank."""
    if given is None and not sheet.blank:
        raise ValueError(f"{sheet.kind} cannot be blank")
    parts = [given(need) if given else None for need in sheet.needs]
    asked: dict[str, Any] = {"imperial": how.imperial, "made_on": how.made_on}
    asked |= {"large_print": how.large_print} if sheet.large else {}
    asked |= {"opens": how.opens or Opens(sheet.kind)} if sheet.typed else {}
    asked |= {"kind": sheet.kind} if sheet.one_of_many else {}
    made: bytes = drawer(sheet)(*parts, **asked)
    return made


def preview(sheet: Sheet, given: Given | None, how: How) -> bytes:
    """The first page of a sheet as a small picture (PNG)."""
    from clothwright.sheets.paper import first_page_pictured

    with first_page_pictured(_PREVIEW_DPI):
        return draw(sheet, given, how)


def drawer(sheet: Sheet) -> Callable[..., bytes]:
    """The function that draws a sheet."""
    file, function = sheet.drawn_by.rsplit(".", 1)
    draws: Callable[..., bytes] = getattr(import_module(f"clothwright.sheets.{file}"), function)
    return draws
