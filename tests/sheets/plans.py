"""Plans built by hand, in an invented scenario: a weaver on a tidal island, yarns named after shore things."""

from __future__ import annotations

from dataclasses import replace

from clothwright.layout import Layout, Placed, mirror, outline_in_place
from clothwright.layout.arrangement import Copy
from clothwright.measure import Interval, Rung
from clothwright.pattern import Ring
from clothwright.planning import (
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
    WorkingLine,
    YarnLine,
)

EXACTLY = Interval.exactly

SHAWL = Plan(
    name="Sandbar shawl",
    by_hand=False,
    verdict=Verdict.TOO_CLOSE,
    chance_enough=0.714,
    chance_size=0.81,
    trust_yarn=0.95,
    trust_size=0.80,
    warp=WarpPlan(
        heddle="30/10 cm",
        ends_per_cm=3.0,
        ends=148,
        width_in_heddle_cm=148 / 3,
        length_cm=346.0,
        yarn_m=EXACTLY(512.08),
        waste_cm=Interval(51.0, 55.0, 59.0),
        on_warp_sample_cm=20.0,
    ),
    weft=WeftPlan(
        picks_per_cm_on_loom=Interval(3.0, 3.2, 3.4),
        woven_on_loom_cm=Interval(259.0, 263.0, 267.0),
        yarn_m=Interval(440.0, 469.0, 498.0),
        weave_to_cm=263.0,
    ),
    cloth=ClothPlan(
        finished_width_cm=Interval(43.1, 44.4, 45.6),
        finished_length_cm=Interval(226.0, 230.5, 235.0),
        g_per_m2=Interval(240.0, 251.0, 262.0),
        asked_width_cm=44.0,
        asked_length_cm=230.0,
    ),
    yarns=(
        YarnLine(
            name="limpet grey",
            colour="#8a8f96",
            use="warp and weft",
            have_g=312.0,
            have_m=Interval(962.0, 987.0, 1012.0),
            need_m=Interval(952.0, 981.0, 1010.0),
            spare_m=Interval(-23.0, 6.0, 36.0),
            chance_enough=0.714,
        ),
    ),
    margin=Margin(m=Interval(-23.0, 6.0, 36.0), g=Interval(-7.3, 1.9, 11.4), finished_cm=Interval(-11.2, 2.9, 17.5)),
    layout=None,
    outlines=(),
    staircase=(),
    squaring_cm=0.0,
    selvedge_trim_cm=0.0,
    shortfall=Shortfall(m=23.4, g=7.4, finished_cm=11.4),
    ways_out=(
        WayOut("No on-warp sample", "warp 326 cm instead of 346 cm", 0.97, 61.0),
        WayOut("Narrower by 4 pairs", "140 ends, 42 cm finished", 0.99, 93.0),
    ),
    measure_next=(
        ToMeasure(
            what="Weave and wash a 20 cm square",
            settles=0.83,
            costs="2 hours and 30 m of yarn",
            why="picks decide the weft",
            when="before warping",
            minutes=120,
            metres=30.0,
            grams=9.5,
            narrows_margin=0.4,
            narrows_width=0.5,
            narrows_length=0.3,
            saves_m=12.4,
            rank=0.33,
        ),
        ToMeasure(
            what="Weigh 10 m of limpet grey",
            settles=0.21,
            costs="5 minutes and no yarn",
            why="metres per gram vary by skein",
            when="before warping",
            minutes=5,
            metres=0.0,
            grams=0.0,
            narrows_margin=0.2,
            narrows_width=0.0,
            narrows_length=0.0,
            saves_m=0.0,
            rank=2.5,
        ),
    ),
    working=(
        WorkingLine("width in the heddle", "44 ÷ 0.9", 48.889, "cm", Rung.SAMPLED, "sample “first square”"),
        WorkingLine("ends", "48.889 × 3, up to pairs", 148, "ends", Rung.CALCULATED, "heddle 30/10 cm"),
        WorkingLine("to weave on the loom", "230 ÷ 0.875", 262.857, "cm", Rung.SAMPLED, "sample “first square”"),
        WorkingLine("warp length", "(262.9 + 20) ÷ (1 − 0.03) + 55", 346, "cm", Rung.RULE_OF_THUMB, "take-up, waste"),
        WorkingLine("warp yarn", "148 × 3.46", 512.08, "m", Rung.CALCULATED, "lines above"),
    ),
    cautions=("Cut single layer.", "Hot water and wet wool are heavy: fill the basin first."),
    notes=("The pick count is a guess from the sett.",),
    doubt=(
        Doubt("picks per cm", Swing(47.0, 36.0, 0.63), Swing(0.0, 2.5, 0.0), Swing(0.1, 9.0, 0.0), 0.0),
        Doubt("width lost in finishing", Swing(4.0, 58.9, 0.005), Swing(2.1, 1.4, 0.7), Swing(4.0, 8.1, 0.2), 9.4),
        Doubt("length lost in finishing", Swing(0.4, 59.0, 0.0), Swing(1.1, 2.2, 0.2), Swing(7.9, 4.3, 0.77), 14.0),
    ),
)

_FRONT: Ring = ((0.0, 0.0), (64.0, 0.0), (64.0, 18.0), (44.0, 26.0), (0.0, 26.0))


def _box(length: float, width: float) -> Ring:
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def _put(
    name: str, number: int, ring: Ring, x: float, y: float, mirrored: bool = False
) -> tuple[Placed, PlacedOutline]:
    copy = Copy(name, number, mirror(ring) if mirrored else ring, mirrored, (0.0,))
    placed = Placed(name, number, x, y, 0.0, mirrored)
    return placed, PlacedOutline(name, number, mirrored, outline_in_place(copy, placed))


#: Pieces with allowances of a waistcoat: 2 backs 24 × 62, 2 fronts 26 × 64, 2 sides 12 × 40, 2 facings 8 × 64 cm.
#: 48 cm of cloth takes 190 cm: both backs in a row of 62, each front with a side and a facing in a row of 64.
_PUT = (
    _put("back", 1, _box(62.0, 24.0), 0.0, 0.0),
    _put("back", 2, _box(62.0, 24.0), 0.0, 24.0),
    _put("front", 1, _FRONT, 62.0, 0.0),
    _put("side", 1, _box(40.0, 12.0), 62.0, 26.0),
    _put("facing", 1, _box(64.0, 8.0), 62.0, 38.0),
    _put("front", 2, _FRONT, 126.0, 0.0, mirrored=True),
    _put("side", 2, _box(40.0, 12.0), 126.0, 26.0),
    _put("facing", 2, _box(64.0, 8.0), 126.0, 38.0),
)

WAISTCOAT = replace(
    SHAWL,
    name="Saltings waistcoat",
    verdict=Verdict.ENOUGH,
    chance_enough=0.968,
    chance_size=0.84,
    warp=replace(
        SHAWL.warp, ends=164, width_in_heddle_cm=164 / 3, length_cm=306.0, yarn_m=EXACTLY(501.9), on_warp_sample_cm=15.0
    ),
    weft=replace(
        SHAWL.weft,
        woven_on_loom_cm=Interval(222.0, 226.3, 230.6),
        yarn_m=Interval(397.0, 424.0, 451.0),
        weave_to_cm=226.3,
    ),
    cloth=replace(
        SHAWL.cloth,
        finished_width_cm=Interval(47.8, 49.2, 50.6),
        finished_length_cm=Interval(194.0, 198.0, 202.0),
        asked_width_cm=48.0,
        asked_length_cm=198.0,
    ),
    yarns=(
        YarnLine(
            name="limpet grey",
            colour="#8a8f96",
            use="warp",
            have_g=180.0,
            have_m=Interval(545.0, 558.0, 571.0),
            need_m=EXACTLY(501.9),
            spare_m=Interval(43.1, 56.1, 69.1),
            chance_enough=0.995,
        ),
        YarnLine(
            name="wrack brown",
            colour="#5a4632",
            use="weft",
            have_g=150.0,
            have_m=Interval(455.0, 471.0, 487.0),
            need_m=Interval(397.0, 424.0, 451.0),
            spare_m=Interval(15.0, 47.0, 79.0),
            chance_enough=0.968,
        ),
    ),
    margin=Margin(m=Interval(70.0, 103.1, 137.0), g=Interval(21.0, 31.0, 42.0), finished_cm=Interval(15.0, 21.0, 28.0)),
    layout=Layout(width_cm=48.0, length_cm=190.0, used_share=0.93, placed=tuple(placed for placed, _ in _PUT)),
    outlines=tuple(outline for _, outline in _PUT),
    staircase=(WidthStep(42.0, 252.0, 1030.0), WidthStep(48.0, 190.0, 926.0)),
    squaring_cm=4.0,
    selvedge_trim_cm=0.5,
    shortfall=None,
    ways_out=(),
)

BY_HAND = replace(
    SHAWL,
    by_hand=True,
    chance_enough=None,
    chance_size=None,
    warp=replace(SHAWL.warp, waste_cm=EXACTLY(55.0)),
    measure_next=(),
    ways_out=(),
    doubt=(),
)

NASTY_NAMES = (
    '#import "@preview/x"',
    "$x^2$ and #eval(1)",
    "<script>alert(1)</script> & 'quotes\" ]]>",
    "back\\slash \\n _under_ *star* `tick` @label <label> // no /* comment",
    "= heading\n- list",
    "wool 🧶 yarn",
    "x" * 300,
    "very long name with many words " * 12,
    "\u202ereversed\x07bell",
)


def with_names(plan: Plan, name: str) -> Plan:
    """The plan with every typed name replaced."""
    return replace(
        plan,
        name=name,
        yarns=tuple(replace(yarn, name=name, colour=name) for yarn in plan.yarns),
        outlines=tuple(replace(one, piece=name) for one in plan.outlines),
        notes=(name,),
        cautions=(name,),
        working=tuple(replace(line, step=name, sum=name, source=name) for line in plan.working),
    )


#: A warp of twelve metres on a narrow loom.
LONG_BAND = replace(
    SHAWL,
    name="Causeway band",
    warp=replace(SHAWL.warp, ends=60, width_in_heddle_cm=20.0, length_cm=1200.0),
    weft=replace(SHAWL.weft, weave_to_cm=1090.0, woven_on_loom_cm=Interval(1080.0, 1090.0, 1100.0)),
    cloth=replace(SHAWL.cloth, asked_length_cm=955.0, asked_width_cm=18.0),
)
