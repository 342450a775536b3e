"""The pictures, as SVG text: of a plan the strip, the layout and the yarn as bars; how often forecasts held; of a sett the threads at true size."""

from clothwright.sheets.pictures.bars import yarn_bars_svg
from clothwright.sheets.pictures.board import board_svg, outline_picture_svg, traced_svg
from clothwright.sheets.pictures.calibration import calibration_svg
from clothwright.sheets.pictures.doubt import doubt_svg
from clothwright.sheets.pictures.fit import fit_svg, sizes_svg
from clothwright.sheets.pictures.lay import layout_at_scale, layout_svg, rows_high_at_scale
from clothwright.sheets.pictures.piece import piece_svg
from clothwright.sheets.pictures.sett import check_line_svg, sett_svg
from clothwright.sheets.pictures.small_warp import small_warp_svg
from clothwright.sheets.pictures.stairs import staircase_svg
from clothwright.sheets.pictures.strip import strip_svg

__all__ = [
    "board_svg",
    "calibration_svg",
    "check_line_svg",
    "doubt_svg",
    "fit_svg",
    "layout_at_scale",
    "layout_svg",
    "outline_picture_svg",
    "piece_svg",
    "rows_high_at_scale",
    "sett_svg",
    "sizes_svg",
    "small_warp_svg",
    "staircase_svg",
    "strip_svg",
    "traced_svg",
    "yarn_bars_svg",
]
