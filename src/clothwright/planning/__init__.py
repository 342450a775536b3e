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

__all__ = [
    "ClothPlan",
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
]
