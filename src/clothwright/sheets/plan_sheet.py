"""The plan sheet: everything about one plan on paper, in the order in which it is needed.

First what to set up and whether the yarn lasts, for who stands at the warping board; then the layout, the cutting list and the
cautions; then every line of the working, with boxes for what really came out. Here the words are made; the
template `plan.typ` only places them.
"""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Sequence
from typing import Any, Final

from clothwright.layout import Flaw, Layout
from clothwright.measure import Interval
from clothwright.planning import PlacedOutline, Plan, ToMeasure
from clothwright.project import Project
from clothwright.sheets import wording
from clothwright.sheets.both_units import each_in_both, in_both
from clothwright.sheets.colours.ball_words import BALLS_IN_PLAN_HEAD, by_ball_rows, by_ball_sentence
from clothwright.sheets.doubts import DOUBT_HEAD, WHAT_A_BAR_MEANS, costs_words, doubt_rows, doubt_sentence
from clothwright.sheets.page import LARGE, LONGEST_TITLE, ORDINARY, Print, pictures_across, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures import (
    doubt_svg,
    layout_at_scale,
    rows_high_at_scale,
    staircase_svg,
    strip_svg,
    yarn_bars_svg,
)
from clothwright.sheets.widths import STAIRS_HEAD, advice_sentences, bound_sentence, stairs_rows
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, THREADS, WEIGHT, YARN, Kind, Rounding, chances

UP: Final = Rounding.UP


#: How high the rows of cloth may be where there are no pieces to show on it.
_PLAIN_MM: Final = 75.0
_LONGEST_NAME: Final = 60

#: Scales a layout may be printed at, one to so many: those a ruler with tens or twelfths can follow.
SCALES: Final = (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50)

#: Cautions every sheet carries, unless the plan says them in its own words: told by how they begin.
ALWAYS: Final = {
    "cut single layer": "Cut single layer: folded cloth slips, and the layer below is not seen.",
    "weave and wash a sample with your own yarn": "Weave and wash a sample with your own yarn first.",
}


def plan_sheet_pdf(
    plan: Plan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The plan on paper: A4, or US Letter for imperial; the same plan and date give the same bytes."""
    size = LARGE if large_print else ORDINARY
    more = _of_pattern(project)
    wide = pictures_across(imperial=imperial, large_print=large_print)
    scale, layout = scaled_layout(plan, size, imperial=imperial, across=wide.units)
    pictures = {
        "strip": strip_svg(plan, imperial=imperial, across=wide.units),
        "bars": yarn_bars_svg(plan, imperial=imperial, across=wide.units),
        "layout": layout,
    }
    if plan.doubt:
        pictures["doubt"] = doubt_svg(plan, imperial=imperial, across=wide.units)
    if plan.width_advice and plan.layout:
        pictures["stairs"] = staircase_svg(
            plan.staircase,
            plan.width_advice,
            plan.layout.width_cm,
            trim_cm=plan.selvedge_trim_cm,
            imperial=imperial,
            across=wide.units,
        )
    page = sheet_page(plan.name, "Plan sheet", made_on, imperial=imperial, large_print=large_print, more=more)
    data = page | wide.data | sheet_data(plan, project, scale, imperial=imperial)
    return typeset("plan.typ", data, pictures, made_on)


def scaled_layout(
    plan: Plan, size: Print, *, imperial: bool, across: float, flaws: Sequence[Flaw] = ()
) -> tuple[int, str]:
    """The layout at the largest scale at which it leaves room for more on its page, and that scale as one to so many."""
    most = size.layout_mm if plan.layout else _PLAIN_MM
    for scale in SCALES:
        units = 10 / scale / size.unit_mm
        if rows_high_at_scale(plan, units_per_cm=units, across=across) * size.unit_mm <= most:
            break
    return scale, layout_at_scale(plan, units_per_cm=units, across=across, imperial=imperial, flaws=flaws)


def sheet_data(plan: Plan, project: Project, scale: int, *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet, as the template places them."""
    return {
        "heads": _HEADS,
        "stamp": _STAMP if plan.provisional else "",
        "verdict": verdict_lines(plan, imperial),
        "setup_head": ["What", "So"],
        "setup": setup_rows(plan, project, imperial),
        "alts": _alts(plan),
        "layout_says": layout_lines(plan, scale, imperial),
        "cutting_head": ["Piece", "Cut", "Along the warp", "Across", "Note"],
        "cutting": cutting_rows(plan, imperial),
        "stairs_says": advice_sentences(plan.width_advice, imperial=imperial) if plan.width_advice else [],
        "stairs_head": [*STAIRS_HEAD[:3], "Chances in 100 that it is as wide", STAIRS_HEAD[4]],
        "stairs": _stairs(plan, imperial),
        "cautions": cautions(plan),
        "balls_says": by_ball_sentence(plan.by_ball) if plan.by_ball else "",
        "balls_head": BALLS_IN_PLAN_HEAD,
        "balls": by_ball_rows(plan.by_ball, imperial=imperial) if plan.by_ball else [],
        "measure_head": ["Measure", "Chance that the verdict is definite then", "Costs", "Why"],
        "measure": [
            [
                in_both(one.what),
                chances(one.settles),
                costs_words(one, imperial=imperial),
                f"{in_both(one.why)}{_saves(one, imperial)}",
            ]
            for one in plan.measure_next
        ],
        "doubt_says": [doubt_sentence(plan), WHAT_A_BAR_MEANS] if plan.doubt else [],
        "doubt_head": DOUBT_HEAD,
        "doubt": [[cell.replace(" (", "\u00a0(") for cell in row] for row in doubt_rows(plan, imperial=imperial)],
        "ways_out_head": ["What", "Change", "Chance that the yarn lasts then", "Yarn then"],
        "ways_out": [
            [
                in_both(one.what),
                in_both(one.change),
                chances(one.chance_enough),
                wording.spare(one.spare_m, YARN, imperial=imperial),
            ]
            for one in plan.ways_out
        ],
        "working_says": "Every line as a person would write it; lengths of cloth in cm, of yarn in m.",
        "working_head": ["Step", "Sum", "Value", "Rung", "From"],
        "working": [
            [
                in_both(line.step),
                in_both(line.sum),
                in_both(f"{wording.plain_number(line.value)} {line.unit}"),
                str(line.rung),
                in_both(line.source),
            ]
            for line in plan.working
        ],
        "actuals_head": ["What", "Planned", "What it was"],
        "actuals": actual_rows(plan, imperial),
        "assumptions": assumptions(plan, imperial),
    }


def _stairs(plan: Plan, imperial: bool) -> list[list[str]]:
    """Width by width, the chance as a number alone: its head says of how many."""
    if not plan.width_advice or plan.layout is None:
        return []
    rows = stairs_rows(plan.staircase, plan.layout.width_cm, imperial=imperial)
    return [[re.sub(r" chances? in 100$", "", cell) for cell in row] for row in rows]


_STAMP: Final = "PROVISIONAL"
_HEADS: Final = {
    "setup": "What to set up",
    "strip": "The warp, to scale",
    "bars": "The yarn: need against have",
    "layout": "The layout, on finished cloth",
    "cutting": "Cutting list",
    "stairs": "Width against length",
    "cautions": "Take care",
    "balls": "Ball by ball",
    "measure": "What to measure next",
    "doubt": "What makes it unsure",
    "ways_out": "Ways out",
    "working": "The working",
    "actuals": "What really came out",
    "assumptions": "What this plan assumes",
}


def _saves(one: ToMeasure, imperial: bool) -> str:
    """Yarn that the surer plan takes less, where it is worth saying."""
    if one.saves_m < 1:
        return ""
    saved = YARN.text(one.saves_m, imperial=imperial, rounding=Rounding.DOWN)
    return f"; the surer plan takes about {saved} less"


def _of_pattern(project: Project) -> str:
    if project.pattern is None:
        return ""
    known = [("size", project.pattern.size), ("version", project.pattern.version)]
    return "".join(f", {what} {value}" for what, value in known if value)


def _alts(plan: Plan) -> dict[str, str]:
    return {
        "strip": f"The warp of {wording.shortened(plan.name, LONGEST_TITLE)} drawn to scale; its parts are listed below it.",
        "bars": "Bars of the yarn there is and the yarn the plan takes; the numbers stand below them in words.",
        "layout": "The pieces in place on the finished cloth; they are listed in the cutting list.",
        "stairs": "Length and yarn against the width of the cloth; the widths are in the table below.",
        "doubt": "Bars of how far each unknown moves what is left over, width and length; the table below them lists them.",
    }


def verdict_lines(plan: Plan, imperial: bool) -> list[str]:
    """Whether the yarn lasts, how sure that is, and by how much."""
    lines = [
        wording.verdict_sentence(plan),
        plan.provisional_because,
        wording.size_sentence(plan),
        wording.margin_sentence(plan.margin, imperial=imperial),
        wording.margin_range_sentence(plan.margin, imperial=imperial, by_hand=plan.by_hand),
        wording.shortfall_sentence(plan.shortfall, imperial=imperial, by_hand=plan.by_hand) if plan.shortfall else "",
        wording.pattern_sentence(plan),
    ]
    return [line for line in lines if line]


def setup_rows(plan: Plan, project: Project, imperial: bool) -> list[list[str]]:
    """What to set up, thing by thing."""
    warp, weft, cloth = plan.warp, plan.weft, plan.cloth
    sample = LENGTH.text(warp.on_warp_sample_cm, imperial=imperial) if warp.on_warp_sample_cm else "none"
    asked = [LENGTH.text(one, imperial=imperial, rounding=UP) for one in (cloth.asked_width_cm, cloth.asked_length_cm)]
    size = [LENGTH.range(one, imperial=imperial) for one in (cloth.finished_width_cm, cloth.finished_length_cm)]
    return [
        ["Heddle", f"{warp.heddle}: {THREADS.text(warp.ends_per_cm, imperial=imperial)}"],
        ["Ends", _ends(warp.ends, project.loom.warping)],
        ["Width in the heddle", LENGTH.text(warp.width_in_heddle_cm, imperial=imperial)],
        ["Warp length", f"{LENGTH.text(warp.length_cm, imperial=imperial, rounding=UP)}, {_within(plan, imperial)}"],
        ["On-warp sample, first", sample],
        ["Picks, on the loom", expected_range(weft.picks_per_cm_on_loom, THREADS, imperial, by_hand=plan.by_hand)],
        [
            "Weave to",
            f"{LENGTH.text(weft.weave_to_cm, imperial=imperial, rounding=UP)} under tension, sample not counted",
        ],
        ["Asked, finished", f"{asked[0]} wide, {asked[1]} long"],
        ["Finished cloth", f"{size[0]} wide, {size[1]} long"],
    ]


def _ends(ends: int, warping: str) -> str:
    return f"{ends}, in {ends // 2} pairs" if warping == "direct" and ends % 2 == 0 else f"{ends}"


def _within(plan: Plan, imperial: bool) -> str:
    return f"of it {LENGTH.text(plan.warp.waste_cm.expected, imperial=imperial, rounding=UP)} loom waste"


def expected_range(interval: Interval, kind: Kind, imperial: bool, *, by_hand: bool) -> str:
    """What is expected, and the interval where there is one."""
    expected = kind.text(interval.expected, imperial=imperial)
    if interval.low == interval.high:
        return expected
    how_often = "as typed" if by_hand else wording.NINE_IN_TEN
    return f"{expected}; {how_often} {kind.range(interval, imperial=imperial)}"


def layout_lines(plan: Plan, scale: int, imperial: bool) -> list[str]:
    """What goes before the layout: its scale, which way up it lies, how heavy the cloth is."""
    lines = [
        f"Scale 1:{scale}: 1 cm on this paper is {scale} cm of cloth, 1 in is {scale} in. Right side up; grain along the paper."
    ]
    if plan.layout and plan.least_length:
        lines.append(bound_sentence(plan.layout, plan.least_length, imperial=imperial))
    if plan.cloth.g_per_m2:
        lines.append(f"The finished cloth weighs {CLOTH_WEIGHT.range(plan.cloth.g_per_m2, imperial=imperial)}.")
    return lines


def cutting_rows(plan: Plan, imperial: bool) -> list[list[str]]:
    """Each piece: how many, how large as it lies, how many are mirrored."""
    if plan.layout is None:
        return []
    copies = Counter(one.piece for one in plan.outlines)
    mirrored = Counter(one.piece for one in plan.outlines if one.mirrored)
    first = {one.piece: one for one in reversed(plan.outlines)}
    turned = _turned(plan.layout)
    return [
        [
            wording.shortened(name, _LONGEST_NAME),
            str(copies[name]),
            *_extent(first[name], imperial),
            _mirrored(mirrored[name], turned[name]),
        ]
        for name in copies
    ]


def _turned(layout: Layout) -> Counter[str]:
    return Counter(one.piece for one in layout.placed if one.rotation_deg % 360)


def _extent(one: PlacedOutline, imperial: bool) -> list[str]:
    sides = [[point[axis] for point in one.outline] for axis in (0, 1)]
    return [LENGTH.text(max(side) - min(side), imperial=imperial, rounding=UP) for side in sides]


def _mirrored(mirrored: int, turned: int) -> str:
    notes = [f"{mirrored} mirrored" if mirrored else "", f"{turned} turned end for end" if turned else ""]
    return ", ".join(note for note in notes if note)


def cautions(plan: Plan) -> list[str]:
    """What every sheet warns of, and what this plan does."""
    said = " ".join(plan.cautions).lower()
    return [*(sentence for start, sentence in ALWAYS.items() if start not in said), *each_in_both(plan.cautions)]


def actual_rows(plan: Plan, imperial: bool) -> list[list[str]]:
    """What to measure of the real cloth, beside what was planned."""
    cloth = plan.cloth
    width = LENGTH.range(cloth.finished_width_cm, imperial=imperial)
    return [
        ["Warp wound", LENGTH.text(plan.warp.length_cm, imperial=imperial, rounding=UP)],
        ["Picks on the loom, counted over", THREADS.range(plan.weft.picks_per_cm_on_loom, imperial=imperial)],
        ["Woven length, under tension", LENGTH.range(plan.weft.woven_on_loom_cm, imperial=imperial)],
        ["Loom waste cut off", LENGTH.range(plan.warp.waste_cm, imperial=imperial)],
        *([f"Finished width, {where}", width] for where in ("at the start", "in the middle", "at the end")),
        ["Finished length", LENGTH.range(cloth.finished_length_cm, imperial=imperial)],
        *([f"Weight left: {wording.shortened(one.name, _LONGEST_NAME)}", _planned_rest(one.have_g, one.have_m.expected, one.spare_m.expected, imperial)] for one in plan.yarns),
    ]  # fmt: skip


def _planned_rest(have_g: float, have_m: float, spare_m: float, imperial: bool) -> str:
    if have_m <= 0:
        return ""
    return WEIGHT.text(max(0.0, have_g * spare_m / have_m), imperial=imperial, rounding=Rounding.DOWN)


def assumptions(plan: Plan, imperial: bool) -> list[str]:
    """What must hold for the figures to hold."""
    picks = THREADS.range(plan.weft.picks_per_cm_on_loom, imperial=imperial)
    waste = LENGTH.range(plan.warp.waste_cm, imperial=imperial)
    spans = (
        f"From low to high means {wording.NINE_IN_TEN}."
        if plan.chance_enough is not None
        else "Sums by hand: from low to high as typed."
    )
    return [
        f"Heddle {plan.warp.heddle}, {picks} picks on the loom, loom waste {waste}.",
        f"{spans} Needs are rounded up, what there is is rounded down.",
        "Half of the loom waste is drawn at each end of the warp; on your loom it may lie otherwise.",
        *each_in_both(note for note in plan.notes if note != plan.provisional_because),
    ]
