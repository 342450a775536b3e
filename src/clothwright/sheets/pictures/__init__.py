"""The pictures of a plan, as SVG text: the strip, the layout, and the yarn as bars."""

from clothwright.sheets.pictures.bars import yarn_bars_svg
from clothwright.sheets.pictures.lay import LayoutPicture, layout_at_scale, layout_svg
from clothwright.sheets.pictures.strip import strip_svg

__all__ = ["LayoutPicture", "layout_at_scale", "layout_svg", "strip_svg", "yarn_bars_svg"]
