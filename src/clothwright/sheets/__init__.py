"""Paper and pictures: the plan as SVG and as printable sheets, and the words numbers and verdicts are said in.

What is listed here is imported when it is first asked for, so that a command that only says a length does not wait for the typesetter.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from clothwright.sheets import doubts, widths, wording
    from clothwright.sheets.asked import ASKED, AskPart, AskRows, AskSheet
    from clothwright.sheets.cloth import cloth_words, threading_words
    from clothwright.sheets.cloth.cloth_sheet import cloth_sheet_pdf
    from clothwright.sheets.cloth.threading_sheet import threading_pdf
    from clothwright.sheets.code import Opens
    from clothwright.sheets.colours import colour_words, weft_words
    from clothwright.sheets.colours.colour_sheets import balls_pdf, colour_order_pdf
    from clothwright.sheets.colours.warping_sheet import warping_pdf
    from clothwright.sheets.colours.weft_sheet import weft_order_pdf
    from clothwright.sheets.loom import at_loom, finishing
    from clothwright.sheets.loom.finishing_sheet import finishing_sheet_pdf, real_cutting_sheet_pdf
    from clothwright.sheets.loom.loom_log_sheet import loom_log_pdf
    from clothwright.sheets.loom.loom_marks_sheet import loom_marks_pdf
    from clothwright.sheets.pictures import (
        board_svg,
        calibration_svg,
        check_line_svg,
        doubt_svg,
        fit_svg,
        layout_svg,
        outline_picture_svg,
        piece_svg,
        sett_svg,
        sizes_svg,
        small_warp_svg,
        staircase_svg,
        strip_svg,
        traced_svg,
        yarn_bars_svg,
    )
    from clothwright.sheets.pictures.finished_cloth import finished_cloth_svg, way_on_cloth_svg
    from clothwright.sheets.pictures.loom_garment import loom_garment_svg
    from clothwright.sheets.pictures.loom_strip import loom_strip_svg
    from clothwright.sheets.pictures.outline import outlines_svg
    from clothwright.sheets.pictures.panels import joined_svg
    from clothwright.sheets.pictures.real_cloth import png_bytes
    from clothwright.sheets.pictures.remnant import remnant_svg
    from clothwright.sheets.pictures.remnant_outline import remnant_outline_svg
    from clothwright.sheets.pictures.threading import threading_svg
    from clothwright.sheets.pictures.warp_order import warp_order_svg, weft_order_svg
    from clothwright.sheets.pieces import choosing, in_hand, joining
    from clothwright.sheets.pieces.cutting_sheet import cutting_sheet_pdf
    from clothwright.sheets.pieces.marker_sheet import marker_sheet_pdf
    from clothwright.sheets.pieces.piece_sheets import PAPERS, OfPattern, ToPrint, piece_page_pdf, piece_tiles_pdf
    from clothwright.sheets.plan_sheet import plan_sheet_pdf
    from clothwright.sheets.record import record_words
    from clothwright.sheets.record.label_sheet import Label, label_of, labels_pdf
    from clothwright.sheets.registry import BY_KIND, SHEETS, Given, How, Need, Sheet, Stage, draw, preview, staged
    from clothwright.sheets.sampling import small_samples
    from clothwright.sheets.sampling.measuring_sheet import measuring_sheet_pdf
    from clothwright.sheets.sampling.sample_card import sample_card_pdf
    from clothwright.sheets.sampling.sett_comparison import sett_comparison_pdf
    from clothwright.sheets.sampling.sett_sheet import sett_sheet_pdf
    from clothwright.sheets.sampling.setts import ShownSett, shown_setts, worth_drawing
    from clothwright.sheets.teaching import class_summary, class_words, leaflet_words
    from clothwright.sheets.teaching.class_sheet import class_sheet_pdf, class_summary_pdf
    from clothwright.sheets.teaching.leaflet_sheet import leaflet_pdf
    from clothwright.sheets.words_sheet import words_sheet_pdf

_HOMES: dict[str, tuple[str, ...]] = {
    "teaching.class_sheet": (
        "class_sheet_pdf",
        "class_summary_pdf",
    ),
    "cloth.cloth_sheet": ("cloth_sheet_pdf",),
    "colours.colour_sheets": (
        "balls_pdf",
        "colour_order_pdf",
    ),
    "pieces.cutting_sheet": ("cutting_sheet_pdf",),
    "loom.finishing_sheet": (
        "finishing_sheet_pdf",
        "real_cutting_sheet_pdf",
    ),
    "record.label_sheet": (
        "Label",
        "label_of",
        "labels_pdf",
    ),
    "teaching.leaflet_sheet": ("leaflet_pdf",),
    "loom.loom_log_sheet": ("loom_log_pdf",),
    "loom.loom_marks_sheet": ("loom_marks_pdf",),
    "pieces.marker_sheet": ("marker_sheet_pdf",),
    "sampling.measuring_sheet": ("measuring_sheet_pdf",),
    "pictures": (
        "board_svg",
        "calibration_svg",
        "check_line_svg",
        "doubt_svg",
        "fit_svg",
        "layout_svg",
        "outline_picture_svg",
        "piece_svg",
        "sett_svg",
        "sizes_svg",
        "small_warp_svg",
        "staircase_svg",
        "strip_svg",
        "traced_svg",
        "yarn_bars_svg",
    ),
    "pictures.finished_cloth": (
        "finished_cloth_svg",
        "way_on_cloth_svg",
    ),
    "pictures.loom_garment": ("loom_garment_svg",),
    "pictures.loom_strip": ("loom_strip_svg",),
    "pictures.outline": ("outlines_svg",),
    "pictures.panels": ("joined_svg",),
    "pictures.real_cloth": ("png_bytes",),
    "pictures.remnant": ("remnant_svg",),
    "pictures.remnant_outline": ("remnant_outline_svg",),
    "pictures.threading": ("threading_svg",),
    "pictures.warp_order": (
        "warp_order_svg",
        "weft_order_svg",
    ),
    "pieces.piece_sheets": (
        "OfPattern",
        "PAPERS",
        "ToPrint",
        "piece_page_pdf",
        "piece_tiles_pdf",
    ),
    "plan_sheet": ("plan_sheet_pdf",),
    "asked": ("ASKED", "AskPart", "AskRows", "AskSheet"),
    "code": ("Opens",),
    "registry": ("BY_KIND", "Given", "How", "Need", "SHEETS", "Sheet", "Stage", "draw", "preview", "staged"),
    "sampling.sample_card": ("sample_card_pdf",),
    "sampling.sett_comparison": ("sett_comparison_pdf",),
    "sampling.sett_sheet": ("sett_sheet_pdf",),
    "sampling.setts": (
        "ShownSett",
        "shown_setts",
        "worth_drawing",
    ),
    "cloth.threading_sheet": ("threading_pdf",),
    "colours.warping_sheet": ("warping_pdf",),
    "colours.weft_sheet": ("weft_order_pdf",),
    "words_sheet": ("words_sheet_pdf",),
}

#: Files others use whole, by where they lie: words to say answers in.
_FILES: dict[str, str] = {
    "at_loom": "loom.at_loom",
    "choosing": "pieces.choosing",
    "class_summary": "teaching.class_summary",
    "class_words": "teaching.class_words",
    "cloth_words": "cloth.cloth_words",
    "colour_words": "colours.colour_words",
    "doubts": "doubts",
    "finishing": "loom.finishing",
    "in_hand": "pieces.in_hand",
    "joining": "pieces.joining",
    "leaflet_words": "teaching.leaflet_words",
    "record_words": "record.record_words",
    "small_samples": "sampling.small_samples",
    "threading_words": "cloth.threading_words",
    "weft_words": "colours.weft_words",
    "widths": "widths",
    "wording": "wording",
}

__all__ = [
    "ASKED",
    "BY_KIND",
    "PAPERS",
    "SHEETS",
    "AskPart",
    "AskRows",
    "AskSheet",
    "Given",
    "How",
    "Label",
    "Need",
    "OfPattern",
    "Opens",
    "Sheet",
    "ShownSett",
    "Stage",
    "ToPrint",
    "at_loom",
    "balls_pdf",
    "board_svg",
    "calibration_svg",
    "check_line_svg",
    "choosing",
    "class_sheet_pdf",
    "class_summary",
    "class_summary_pdf",
    "class_words",
    "cloth_sheet_pdf",
    "cloth_words",
    "colour_order_pdf",
    "colour_words",
    "cutting_sheet_pdf",
    "doubt_svg",
    "doubts",
    "draw",
    "finished_cloth_svg",
    "finishing",
    "finishing_sheet_pdf",
    "fit_svg",
    "in_hand",
    "joined_svg",
    "joining",
    "label_of",
    "labels_pdf",
    "layout_svg",
    "leaflet_pdf",
    "leaflet_words",
    "loom_garment_svg",
    "loom_log_pdf",
    "loom_marks_pdf",
    "loom_strip_svg",
    "marker_sheet_pdf",
    "measuring_sheet_pdf",
    "outline_picture_svg",
    "outlines_svg",
    "piece_page_pdf",
    "piece_svg",
    "piece_tiles_pdf",
    "plan_sheet_pdf",
    "png_bytes",
    "preview",
    "real_cutting_sheet_pdf",
    "record_words",
    "remnant_outline_svg",
    "remnant_svg",
    "sample_card_pdf",
    "sett_comparison_pdf",
    "sett_sheet_pdf",
    "sett_svg",
    "shown_setts",
    "sizes_svg",
    "small_samples",
    "small_warp_svg",
    "staged",
    "staircase_svg",
    "strip_svg",
    "threading_pdf",
    "threading_svg",
    "threading_words",
    "traced_svg",
    "warp_order_svg",
    "warping_pdf",
    "way_on_cloth_svg",
    "weft_order_pdf",
    "weft_order_svg",
    "weft_words",
    "widths",
    "wording",
    "words_sheet_pdf",
    "worth_drawing",
    "yarn_bars_svg",
]


def __getattr__(name: str) -> Any:
    """The name, from the file it lives in; a file of this room by its own name."""
    for file, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{file}"), name)
    if name in _FILES:
        return import_module(f"{__name__}.{_FILES[name]}")
    raise AttributeError(f"{__name__} has no {name}")
