"""From yarn, pattern and evidence to a plan: the verdict, the working, ways out, what to measure next.

What is listed here is imported when it is first asked for, so that comparing setts does not wait for the layout search.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from clothwright.planning.answer import (
        ClothPlan,
        Doubt,
        Margin,
        PlacedOutline,
        Plan,
        Shortfall,
        Swing,
        ToMeasure,
        Verdict,
        WarpPlan,
        WayOut,
        WeftPlan,
        WidthStep,
        YarnLine,
    )
    from clothwright.planning.fitting import LayoutSearch, quick_layouts, searched_layouts
    from clothwright.planning.job import sett_candidates, sett_question
    from clothwright.planning.laying import Laid, copies_to_cut, lay
    from clothwright.planning.planned import plan
    from clothwright.planning.sampling import On, SampleChoice, Section, SmallWarp
    from clothwright.planning.setts import LeadsTo, SettAnswer, SettQuestion, compare_setts, what_a_sett_leads_to
    from clothwright.planning.small_sample import Doubtful, HeddleFares, SampleFirst, sample_first
    from clothwright.planning.working import WorkingLine

_HOMES = {
    "answer": (
        "ClothPlan",
        "Doubt",
        "Margin",
        "PlacedOutline",
        "Plan",
        "Shortfall",
        "Swing",
        "ToMeasure",
        "Verdict",
        "WarpPlan",
        "WayOut",
        "WeftPlan",
        "WidthStep",
        "YarnLine",
    ),
    "fitting": ("LayoutSearch", "quick_layouts", "searched_layouts"),
    "job": ("sett_candidates", "sett_question"),
    "laying": ("Laid", "copies_to_cut", "lay"),
    "planned": ("plan",),
    "sampling": ("On", "SampleChoice", "Section", "SmallWarp"),
    "setts": ("LeadsTo", "SettAnswer", "SettQuestion", "compare_setts", "what_a_sett_leads_to"),
    "small_sample": ("Doubtful", "HeddleFares", "SampleFirst", "sample_first"),
    "working": ("WorkingLine",),
}

__all__ = [
    "ClothPlan",
    "Doubt",
    "Doubtful",
    "HeddleFares",
    "Laid",
    "LayoutSearch",
    "LeadsTo",
    "Margin",
    "On",
    "PlacedOutline",
    "Plan",
    "SampleChoice",
    "SampleFirst",
    "Section",
    "SettAnswer",
    "SettQuestion",
    "Shortfall",
    "SmallWarp",
    "Swing",
    "ToMeasure",
    "Verdict",
    "WarpPlan",
    "WayOut",
    "WeftPlan",
    "WidthStep",
    "WorkingLine",
    "YarnLine",
    "compare_setts",
    "copies_to_cut",
    "lay",
    "plan",
    "quick_layouts",
    "sample_first",
    "searched_layouts",
    "sett_candidates",
    "sett_question",
    "what_a_sett_leads_to",
]


def __getattr__(name: str) -> Any:
    """The name, from the file it lives in."""
    for file, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{file}"), name)
    raise AttributeError(f"{__name__} has no {name}")
