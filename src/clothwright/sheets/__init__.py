"""Paper and pictures: the plan as SVG and as printable sheets, and the words numbers and verdicts are said in.

What is listed here is imported when it is first asked for, so that a command that only says a length does not wait for the typesetter.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from clothwright.sheets import (
        at_loom,
        choosing,
        class_summary,
        class_words,
        cloth_words,
        doubts,
        finishing,
        in_hand,
        joining,
        leaflet_words,
        record_words,
        small_samples,
        widths,
        wording,
    )
    from clothwright.sheets.class_sheet import class_sheet_pdf, class_summary_pdf
    from clothwright.sheets.cloth_sheet import cloth_sheet_pdf
    from clothwright.sheets.colour_sheets import balls_pdf, colour_order_pdf
    from clothwright.sheets.cutting_sheet import cutting_sheet_pdf
    from clothwright.sheets.finishing_sheet import finishing_sheet_pdf, real_cutting_sheet_pdf
    from clothwright.sheets.label_sheet import Label, label_of, labels_pdf
    from clothwright.sheets.leaflet_sheet import leaflet_pdf
    from clothwright.sheets.loom_log_sheet import loom_log_pdf
    from clothwright.sheets.loom_marks_sheet import loom_marks_pdf
    from clothwright.sheets.marker_sheet import marker_sheet_pdf
    from clothwright.sheets.measuring_sheet import measuring_sheet_pdf
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
    from clothwright.sheets.piece_sheets import PAPERS, OfPattern, ToPrint, piece_page_pdf, piece_tiles_pdf
    from clothwright.sheets.plan_sheet import plan_sheet_pdf
    from clothwright.sheets.registry import BY_KIND, SHEETS, Given, How, Need, Sheet, Stage, draw
    from clothwright.sheets.sample_card import sample_card_pdf
    from clothwright.sheets.sett_comparison import sett_comparison_pdf
    from clothwright.sheets.sett_sheet import sett_sheet_pdf
    from clothwright.sheets.setts import ShownSett, shown_setts, worth_drawing
    from clothwright.sheets.threading_sheet import threading_pdf
    from clothwright.sheets.warping_sheet import warping_pdf
    from clothwright.sheets.weft_sheet import weft_order_pdf
    from clothwright.sheets.words_sheet import words_sheet_pdf

_HOMES: dict[str, tuple[str, ...]] = {
    "class_sheet": (
        "class_sheet_pdf",
        "class_summary_pdf",
    ),
    "cloth_sheet": ("cloth_sheet_pdf",),
    "colour_sheets": (
        "balls_pdf",
        "colour_order_pdf",
    ),
    "cutting_sheet": ("cutting_sheet_pdf",),
    "finishing_sheet": (
        "finishing_sheet_pdf",
        "real_cutting_sheet_pdf",
    ),
    "label_sheet": (
        "Label",
        "label_of",
        "labels_pdf",
    ),
    "leaflet_sheet": ("leaflet_pdf",),
    "loom_log_sheet": ("loom_log_pdf",),
    "loom_marks_sheet": ("loom_marks_pdf",),
    "marker_sheet": ("marker_sheet_pdf",),
    "measuring_sheet": ("measuring_sheet_pdf",),
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
    "piece_sheets": (
        "OfPattern",
        "PAPERS",
        "ToPrint",
        "piece_page_pdf",
        "piece_tiles_pdf",
    ),
    "plan_sheet": ("plan_sheet_pdf",),
    "registry": (
        "BY_KIND",
        "Given",
        "How",
        "Need",
        "SHEETS",
        "Sheet",
        "Stage",
        "draw",
    ),
    "sample_card": ("sample_card_pdf",),
    "sett_comparison": ("sett_comparison_pdf",),
    "sett_sheet": ("sett_sheet_pdf",),
    "setts": (
        "ShownSett",
        "shown_setts",
        "worth_drawing",
    ),
    "threading_sheet": ("threading_pdf",),
    "warping_sheet": ("warping_pdf",),
    "weft_sheet": ("weft_order_pdf",),
    "words_sheet": ("words_sheet_pdf",),
}

__all__ = [
    "BY_KIND",
    "PAPERS",
    "SHEETS",
    "Given",
    "How",
    "Label",
    "Need",
    "OfPattern",
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
    "staircase_svg",
    "strip_svg",
    "threading_pdf",
    "threading_svg",
    "traced_svg",
    "warp_order_svg",
    "warping_pdf",
    "way_on_cloth_svg",
    "weft_order_pdf",
    "weft_order_svg",
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
    if name in __all__:
        return import_module(f"{__name__}.{name}")
    raise AttributeError(f"{__name__} has no {name}")
