"""From yarn, pattern and evidence to a plan: the verdict, the working, ways out, what to measure next."""

from clothwright.planning.answer import (
    ClothPlan,
    Margin,
    PlacedOutline,
    Plan,
    Shortfall,
    ToMeasure,
    Verdict,
    WarpPlan,
    WayOut,
    WeftPlan,
    WidthStep,
    WorkingLine,
    YarnLine,
)
from clothwright.planning.fitting import LayoutSearch, quick_layouts, searched_layouts
from clothwright.planning.job import sett_candidates
from clothwright.planning.laying import Laid, copies_to_cut, lay
from clothwright.planning.plan import plan

__all__ = [
    "ClothPlan",
    "Laid",
    "LayoutSearch",
    "Margin",
    "PlacedOutline",
    "Plan",
    "Shortfall",
    "ToMeasure",
    "Verdict",
    "WarpPlan",
    "WayOut",
    "WeftPlan",
    "WidthStep",
    "WorkingLine",
    "YarnLine",
    "copies_to_cut",
    "lay",
    "plan",
    "quick_layouts",
    "searched_layouts",
    "sett_candidates",
]
