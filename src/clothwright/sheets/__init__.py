"""Paper and pictures: the plan as SVG and as a printable sheet, and the words numbers and verdicts are said in."""

from clothwright.sheets import wording
from clothwright.sheets.pictures import layout_svg, strip_svg, yarn_bars_svg
from clothwright.sheets.plan_sheet import plan_sheet_pdf

__all__ = ["layout_svg", "plan_sheet_pdf", "strip_svg", "wording", "yarn_bars_svg"]
