"""The help sheet “measuring your yarn”: how thick, how long to the gram, how much; blank, or with a project's yarns.

Every sum is printed as a person would write it, each figure rounded where it is written, so that re-adding what is printed
gives what is printed. What there is rounds down.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from typing import Any, Final

from clothwright.measure import CM_PER_INCH
from clothwright.project import Project
from clothwright.project.document import BallPart, YarnPart
from clothwright.project.domain import lots
from clothwright.sheets.both_units import in_both, typed_in_both
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import LONGEST_NAME, page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import WEIGHT, YARN, Rounding, literal, plain_number, shortened
from clothwright.yarn import UNKNOWN_CORE_GRAMS, Ball, GristReading, Lot

TITLE: Final = "Measuring your yarn"
_BLANK_YARNS: Final = 3
_BLANK_BALLS: Final = 8
#: The worked example: three weighings of 10 m, and one ball with its core.
EXAMPLE_WEIGHINGS: Final = (3.1, 3.4, 3.0)
EXAMPLE_WRAPS: Final = (30, 29, 31)

_HEADS: Final = {
    "thick": "1. How thick: wraps",
    "grist": "2. How long to the gram",
    "much": "3. How much: every ball, skein (hank) and cone",
    "cautions": "Take care",
}
_INTRO: Final = [
    "How thick, how long to the gram, and how much.",
    "Measure yarn that has been washed and is dry and slack. Write down what you read, with its unit.",
    "Round only where a figure is written; what there is, down.",
]
_THICK: Final = [
    "Cut out a gauge and glue it to card, or use a ruler.",
    "Wrap the yarn between the two lines: threads just touch, neither pulled nor pushed together.",
    "Count three times, from different places of the yarn, and take the mean.",
]
_GRIST: Final = [
    "Lay 10 m (11 yd) along a tape without stretching it, cut, and weigh it to 0.1 g (0.004 oz). Take three from different places.",
    "Or take it from the label or the count, and write which.",
]
_MUCH: Final = [
    "Weigh each ball as it is, and its core (or one like it) empty.",
    "A core nobody weighed may be anything from "
    f"{WEIGHT.text(UNKNOWN_CORE_GRAMS.low)} to {UNKNOWN_CORE_GRAMS.high:.0f} g (2 oz): write both sums.",
]
CAUTIONS: Final = [
    "Yarn measured as wound, under tension and not yet washed, may lose a fifth of its length in the wash. Do not plan on it.",
    "A scale that shows whole grams is half a gram off either way: on a ball of 6 g (0.2 oz) that is 8 in 100. "
    "Weigh small balls together.",
    "gr on an old label is grains (15.4 to the gram), not grams. “4-ply”, “DK” and “worsted weight” say how thick, "
    "not how long.",
    "A count needs its system: 2/40 is one yarn in worsted and another in cotton. Write both.",
    "Wraps depend on who wraps. Note over what length, and wrap all the yarns of one cloth yourself.",
]


def measuring_sheet_pdf(
    project: Project | None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The sheet as PDF: with a project's yarns filled in, or blank for None. ProblemsFound where a yarn is not settled."""
    page = page_of(project, TITLE, "Help sheet", made_on, imperial=imperial, large_print=large_print)
    return typeset(
        "measuring-yarn.typ", page | code_data(opens) | measuring_data(project, imperial=imperial), {}, made_on
    )


def measuring_data(project: Project | None, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet, as the template places them."""
    yarns = lots(project) if project else ()
    return {
        "heads": _HEADS,
        "intro": _INTRO,
        "thick": _THICK,
        "thick_example": wraps_sum(EXAMPLE_WRAPS),
        "gauge_cm": "5 cm: wraps ÷ 5 = wraps per cm",
        "gauge_in": "2 in: wraps ÷ 2 = wraps per inch",
        "wraps_head": ["Yarn", "1st count", "2nd", "3rd", "Mean", "Over", "Wraps per cm", "per inch"],
        "wraps": [_wraps_row(lot) for lot in yarns] or [[""] * 8] * _BLANK_YARNS,
        "grist": _GRIST,
        "grist_example": weighings_sum(EXAMPLE_WEIGHINGS),
        "grist_head": ["Yarn", "10 m weigh", "again", "again", "Mean", "10 ÷ mean = metres per gram"],
        "grist_rows": [] if yarns else [[""] * 6] * _BLANK_YARNS,
        "grist_sums": [[_name(lot), *grist_sums(lot)] for lot in yarns],
        "much": _MUCH,
        "much_example": "118 g − 6 g = 112 g; 112 g × 3.1579 m/g = 353.6 m (386 yd)",
        "balls_head": ["Ball", "With core", "Core", "Net", "Metres per gram", "Metres"],
        "yarns": [_yarn(lot, part, imperial) for lot, part in zip(yarns, project.yarn if project else (), strict=True)]
        or [{"name": "Yarn:", "rows": [[str(n + 1), *[""] * 5] for n in range(_BLANK_BALLS)], "total": "In all:"}],
        "cautions": CAUTIONS,
    }


def wraps_sum(counts: tuple[int, ...]) -> str:
    """Counts over 5 cm as one line of sums."""
    total, mean = sum(counts), sum(counts) / len(counts)
    per_cm = round(mean / 5, 2)
    said = " + ".join(map(str, counts))
    return (
        f"({said}) ÷ {len(counts)} = {total} ÷ {len(counts)} = {plain_number(mean)} wraps in 5 cm; "
        f"{plain_number(mean)} ÷ 5 = {plain_number(per_cm)} per cm; "
        f"{plain_number(per_cm)} × 2.54 = {plain_number(round(per_cm * CM_PER_INCH, 2))} per inch"
    )


def weighings_sum(grams: tuple[float, ...], typed: str = "10 m weigh") -> str:
    """Weights of 10 m as one line of sums, to metres per gram."""
    mean = round(sum(grams) / len(grams), 4)
    said = " + ".join(f"{plain_number(one)} g" for one in grams)
    return (
        f"{typed} ({said}) ÷ {len(grams)} = {mean:g} g; 10 m ÷ {mean:g} g = {round(10 / mean, 4):g} m/g, "
        f"that is {in_both(f'{plain_number(round(1000 / mean, 1))} m/100 g')}"
    )


def grist_sums(lot: Lot) -> list[str]:
    """How a yarn's metres per gram come about, line by line; what holds for one ball is said of that ball."""
    lines = []
    if lot.grist:
        lines.append(_reading_sum(lot.grist[0]) if len(lot.grist) == 1 else _pooled(lot.grist))
    for number, ball in enumerate(lot.balls, 1):
        if ball.grist:
            lines.append(f"ball {number}: {_reading_sum(ball.grist)}")
    return lines


def _pooled(readings: tuple[GristReading, ...]) -> str:
    """Several readings, by the mean weight of 10 m."""
    typed = "; ".join(reading.typed for reading in readings)
    return f"{typed}: {weighings_sum(tuple(round(10 / one.m_per_g, 4) for one in readings), '10 m weigh')}"


def _reading_sum(reading: GristReading) -> str:
    """One reading: a length over its weight, or what a label or a count says."""
    if reading.of_metres is None:
        return in_both(f"{reading.typed} = {_m_per_g(reading.m_per_g)} m/g")
    metres, grams = (
        plain_number(round(reading.of_metres, 3)),
        plain_number(round(reading.of_metres / reading.m_per_g, 3)),
    )
    return f"{reading.typed}: {metres} m ÷ {grams} g = {in_both(f'{_m_per_g(reading.m_per_g)} m/g')}"


def _m_per_g(value: float) -> str:
    return f"{round(value, 4):g}"


def _name(lot: Lot) -> str:
    return shortened(literal(lot.name), LONGEST_NAME)


def _wraps_row(lot: Lot) -> list[str]:
    if not lot.wraps_per_cm:
        return [_name(lot), *[""] * 7]
    per_in = plain_number(round(lot.wraps_per_cm * CM_PER_INCH, 2))
    return [_name(lot), "", "", "", "", "", plain_number(round(lot.wraps_per_cm, 2)), per_in]


@dataclass(frozen=True)
class BallSum:
    """One ball as it is written; low and high ends are alike but for a core nobody weighed. `m_per_g` None: metered."""

    net_g: tuple[float, float]
    m_per_g: float | None
    metres: tuple[float, float]


def ball_sum(lot: Lot, ball: Ball) -> BallSum:
    """What is written for a ball: net to a hundredth of a gram, metres rounded down to a tenth."""
    if ball.metres is not None:
        return BallSum((0.0, 0.0), None, (_down(ball.metres), _down(ball.metres)))
    m_per_g = round(lot.ball_m_per_g(ball), 4)
    cores = (UNKNOWN_CORE_GRAMS.high, UNKNOWN_CORE_GRAMS.low)
    low, high = (round(max(0.0, lot.net_g(ball, core)), 2) for core in cores)
    return BallSum((low, high), m_per_g, (_down(low * m_per_g), _down(high * m_per_g)))


def _down(value: float) -> float:
    """Rounded down to a tenth."""
    return math.floor(value * 10 + 1e-6) / 10


def _yarn(lot: Lot, part: YarnPart, imperial: bool) -> dict[str, Any]:
    sums = [ball_sum(lot, ball) for ball in lot.balls]
    ends = [round(sum(one.metres[end] for one in sums), 1) for end in (0, 1)]
    whole = _span((ends[0], ends[1]))
    added = " + ".join(_bracketed(one.metres) for one in sums)
    total = f"{added} = {whole} m" if len(sums) > 1 else f"{whole} m"
    count_on = YARN.text(ends[0], imperial=imperial, rounding=Rounding.DOWN)
    rows = [_ball_row(number, *pair) for number, pair in enumerate(zip(part.balls, sums, strict=True), 1)]
    last = f"count on {count_on}." if lot.washed else "before washing: a fifth of this may vanish."
    return {"name": _name(lot), "rows": rows, "total": f"In all: {total}; {last}"}


def _ball_row(number: int, part: BallPart, one: BallSum) -> list[str]:
    if one.m_per_g is None:
        return [str(number), "–", "–", "metered", "–", _length(one.metres)]
    gross = typed_in_both(part.gross) if part.gross else "–"
    core = typed_in_both(part.core) if part.core else "not weighed" if part.gross else "–"
    return [str(number), gross, core, f"{_span(one.net_g)} g", f"× {one.m_per_g:g}", _length(one.metres)]


def _length(ends: tuple[float, float]) -> str:
    """Metres as they are written, and whole yards, rounded down as all that there is."""
    yards = [YARN.number(metres, imperial=True, rounding=Rounding.DOWN) for metres in ends]
    return f"{_span(ends)} m ({' to '.join(dict.fromkeys(yards))}\u00a0yd)"


def _bracketed(ends: tuple[float, float]) -> str:
    return _span(ends) if ends[0] == ends[1] else f"({_span(ends)})"


def _span(ends: tuple[float, float]) -> str:
    low, high = map(plain_number, ends)
    return low if low == high else f"{low} to {high}"
