"""From yarn, pattern and evidence to a plan: the verdict, the working, ways out, what to measure next.

What is listed here is imported when it is first asked for, so that comparing setts does not wait for the layout search.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from clothwright.planning.answer import (
        BallInPlan,
        BallsInPlan,
        ClothPlan,
        Doubt,
        LeastLength,
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
        WidthAdvice,
        WidthStep,
        YarnLine,
    )
    from clothwright.planning.behind import Behind, Moved, evidence_behind, rests_on
    from clothwright.planning.choices.choosing import Choice, Choices, ChosenWarp, choose
    from clothwright.planning.choices.cloth_in_hand import CutFrom, Cutting, InHandAnswer, cut_from, remnants_of
    from clothwright.planning.choices.laying import Laid, copies_to_cut, lay
    from clothwright.planning.choices.narrow_cloth import JoinProposal, JoinsAnswer, Takes, propose_joins, written
    from clothwright.planning.choices.other_cloth import Movable, OtherCloth, OtherLay, what_may_move
    from clothwright.planning.cloth.cloth_colours import colours_of_cloth
    from clothwright.planning.cloth.cloth_picture import (
        ClothPicture,
        ClothState,
        Contrast,
        Tried,
        picture_of_cloth,
        trying,
    )
    from clothwright.planning.colours.colour_answer import BallLine, ColourPlan, Run, Warped
    from clothwright.planning.colours.colour_plan import plan_colours, planned_warp, wanted_warp
    from clothwright.planning.colours.weft_answer import Keeping, WeftAnswer, Wefted
    from clothwright.planning.colours.weft_asked import asks_of_weft
    from clothwright.planning.colours.weft_plan import plan_weft, planned_picks, planned_weft, wanted_weft, with_weft
    from clothwright.planning.job import garment_of, job_of, sett_candidates, sett_question
    from clothwright.planning.measuring.samples_told import SamplesTold, SampleTold, tell_samples
    from clothwright.planning.measuring.sampling import On, SampleChoice, Section, SmallWarp
    from clothwright.planning.measuring.small_sample import Doubtful, HeddleFares, SampleFirst, sample_first
    from clothwright.planning.pieces.cutting import Cut, cutting_order
    from clothwright.planning.pieces.fitting import LayoutSearch, quick_layouts, searched_layouts
    from clothwright.planning.pieces.hand_layout import Bench, HandPlace, bench_of
    from clothwright.planning.pieces.joining_words import says_how_to_join
    from clothwright.planning.planned import plan
    from clothwright.planning.samples.sample_ratios import StepRatio, TracedShape, WidthForecast
    from clothwright.planning.setts.side_by_side import (
        LeadsTo,
        SettAnswer,
        SettQuestion,
        compare_setts,
        what_a_sett_leads_to,
    )
    from clothwright.planning.teaching.class_needs import (
        ClassNeeds,
        PieceFigures,
        StudentNeeds,
        class_needs,
        piece_figures,
    )
    from clothwright.planning.teaching.leaflet_proof import disagreements
    from clothwright.planning.teaching.leaflet_table import (
        LaidCloth,
        Leaflet,
        LeafletRow,
        Needed,
        NoRow,
        NothingLaidOut,
        leaflet,
    )
    from clothwright.planning.teaching.leaflet_working import Done, Forgetful, KeptAnswers, Working
    from clothwright.planning.weighing_up import weigh_up
    from clothwright.planning.working import WorkingLine

_HOMES = {
    "answer": (
        "BallInPlan",
        "BallsInPlan",
        "ClothPlan",
        "Doubt",
        "LeastLength",
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
        "WidthAdvice",
        "WidthStep",
        "YarnLine",
    ),
    "behind": ("Behind", "Moved", "evidence_behind", "rests_on"),
    "colours.colour_answer": ("BallLine", "ColourPlan", "Run", "Warped"),
    "colours.colour_plan": ("plan_colours", "planned_warp", "wanted_warp"),
    "teaching.class_needs": ("ClassNeeds", "PieceFigures", "StudentNeeds", "class_needs", "piece_figures"),
    "choices.choosing": ("Choice", "Choices", "ChosenWarp", "choose"),
    "cloth.cloth_picture": ("ClothPicture", "ClothState", "Contrast", "Tried", "picture_of_cloth", "trying"),
    "cloth.cloth_colours": ("colours_of_cloth", "planned_picks"),
    "choices.cloth_in_hand": ("CutFrom", "Cutting", "InHandAnswer", "cut_from", "remnants_of"),
    "pieces.fitting": ("LayoutSearch", "quick_layouts", "searched_layouts"),
    "weighing_up": ("weigh_up",),
    "pieces.cutting": ("Cut", "cutting_order"),
    "pieces.hand_layout": ("Bench", "HandPlace", "bench_of"),
    "job": ("garment_of", "job_of", "sett_candidates", "sett_question"),
    "choices.laying": ("Laid", "copies_to_cut", "lay"),
    "pieces.joining_words": ("says_how_to_join",),
    "teaching.leaflet_working": ("Done", "Forgetful", "KeptAnswers", "Working"),
    "teaching.leaflet_table": ("LaidCloth", "Leaflet", "LeafletRow", "Needed", "NoRow", "NothingLaidOut", "leaflet"),
    "teaching.leaflet_proof": ("disagreements",),
    "choices.narrow_cloth": ("JoinProposal", "JoinsAnswer", "Takes", "propose_joins", "written"),
    "choices.other_cloth": ("Movable", "OtherCloth", "OtherLay", "what_may_move"),
    "planned": ("plan",),
    "samples.sample_ratios": ("StepRatio", "TracedShape", "WidthForecast"),
    "measuring.samples_told": ("SampleTold", "SamplesTold", "tell_samples"),
    "measuring.sampling": ("On", "SampleChoice", "Section", "SmallWarp"),
    "setts.side_by_side": ("LeadsTo", "SettAnswer", "SettQuestion", "compare_setts", "what_a_sett_leads_to"),
    "measuring.small_sample": ("Doubtful", "HeddleFares", "SampleFirst", "sample_first"),
    "colours.weft_answer": ("Keeping", "WeftAnswer", "Wefted"),
    "colours.weft_asked": ("asks_of_weft",),
    "colours.weft_plan": ("plan_weft", "planned_picks", "planned_weft", "wanted_weft", "with_weft"),
    "working": ("WorkingLine",),
}

__all__ = [
    "BallInPlan",
    "BallLine",
    "BallsInPlan",
    "Behind",
    "Bench",
    "Choice",
    "Choices",
    "ChosenWarp",
    "ClassNeeds",
    "ClothPicture",
    "ClothPlan",
    "ClothState",
    "ColourPlan",
    "Contrast",
    "Cut",
    "CutFrom",
    "Cutting",
    "Done",
    "Doubt",
    "Doubtful",
    "Forgetful",
    "HandPlace",
    "HeddleFares",
    "InHandAnswer",
    "JoinProposal",
    "JoinsAnswer",
    "Keeping",
    "KeptAnswers",
    "Laid",
    "LaidCloth",
    "LayoutSearch",
    "LeadsTo",
    "Leaflet",
    "LeafletRow",
    "LeastLength",
    "Margin",
    "Movable",
    "Moved",
    "Needed",
    "NoRow",
    "NothingLaidOut",
    "On",
    "OtherCloth",
    "OtherLay",
    "PieceFigures",
    "PlacedOutline",
    "Plan",
    "Run",
    "SampleChoice",
    "SampleFirst",
    "SampleTold",
    "SamplesTold",
    "Section",
    "SettAnswer",
    "SettQuestion",
    "Shortfall",
    "SmallWarp",
    "StepRatio",
    "StudentNeeds",
    "Swing",
    "Takes",
    "ToMeasure",
    "TracedShape",
    "Tried",
    "Verdict",
    "WarpPlan",
    "Warped",
    "WayOut",
    "WeftAnswer",
    "WeftPlan",
    "Wefted",
    "WidthAdvice",
    "WidthForecast",
    "WidthStep",
    "Working",
    "WorkingLine",
    "YarnLine",
    "asks_of_weft",
    "bench_of",
    "choose",
    "class_needs",
    "colours_of_cloth",
    "compare_setts",
    "copies_to_cut",
    "cut_from",
    "cutting_order",
    "disagreements",
    "evidence_behind",
    "garment_of",
    "job_of",
    "lay",
    "leaflet",
    "picture_of_cloth",
    "piece_figures",
    "plan",
    "plan_colours",
    "plan_weft",
    "planned_picks",
    "planned_warp",
    "planned_weft",
    "propose_joins",
    "quick_layouts",
    "remnants_of",
    "rests_on",
    "sample_first",
    "says_how_to_join",
    "searched_layouts",
    "sett_candidates",
    "sett_question",
    "tell_samples",
    "trying",
    "wanted_warp",
    "wanted_weft",
    "weigh_up",
    "what_a_sett_leads_to",
    "what_may_move",
    "with_weft",
    "written",
]


def __getattr__(name: str) -> Any:
    """The name, from the file it lives in."""
    for file, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{file}"), name)
    raise AttributeError(f"{__name__} has no {name}")
