"""The help sheet “finding the sett”: from wraps to the heddles worth a sample; blank, or with a project's yarn and heddles.

What is printed is the answer of the `sett` command for the project: the same candidates, sums and spreads.
"""

from __future__ import annotations

import datetime
import math
from typing import Any, Final

from clothwright.cloth import (
    SettCandidate,
    Thickness,
    firmness_bands,
    read_heddles,
    structure,
    structures,
    usual_heddles,
)
from clothwright.measure import CM_PER_INCH
from clothwright.planning.job import sett_question
from clothwright.planning.setts.side_by_side import LeadsTo, SettAnswer, SettQuestion, compare_setts
from clothwright.planning.working import WorkingLine
from clothwright.project import Project
from clothwright.project.domain import yarns
from clothwright.sheets.both_units import in_both
from clothwright.sheets.page import LONGEST_NAME, page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import EDGE
from clothwright.sheets.pictures.sett import ACROSS_MM, UNIT_MM
from clothwright.sheets.sampling.setts import ShownSett, shown_setts, worth_drawing
from clothwright.sheets.wording import CLOTH_WEIGHT, LENGTH, YARN, literal, percent, plain_number, shortened
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER

TITLE: Final = "Finding the sett"
_BLANK_ROWS: Final = 6
_MOST_DRAWN: Final = 4

_HEADS: Final = {
    "wraps": "1. By the wraps",
    "closest": "2. The closest the threads can lie",
    "heddles": "3. Your heddles (or reeds)",
    "leads": "4. What each leads to",
    "width": "5. The sums of one",
    "true": "The threads at true size",
    "sample": "6. What the samples were like",
    "cautions": "Take care",
}
_INTRO: Final = [
    "There is never one right sett (set): these sums say which heddles to sample.",
    "Start from wraps per cm (wraps per inch ÷ 2.54), counted as on the sheet “Measuring your yarn”.",
]
CAUTIONS: Final = [
    "Weave and wash a sample at two neighbouring setts before the real warp.",
    "Wraps round a ruler and threads that touch are two scales: wraps are about 0.7 of what touches. Do not mix them.",
    "Closer to be sewn; opener to be fulled, brushed, or to drape.",
    "A heddle is what is printed on it: 30/10 cm is 7.62 to the inch, not 8.",
    "For a warp of several yarns, wrap them together in the proportion in which they will lie.",
]


def _example() -> SettQuestion:
    """The worked example of the blank sheet: the yarn of 6 wraps per cm, in plain weave, 44 cm wide."""
    wraps, touching = 6.0, 6 / RULER_WRAPS_PER_DIAMETER
    return SettQuestion(
        structure=structure("plain"),
        thickness=Thickness(wraps, wraps, touching, touching),
        heddles=read_heddles(["30/10 cm, 40/10 cm, 7.5/in"]),
        finished_width_cm=44.0,
        width_ratio=0.9,
        other_ways=False,
    )


def sett_sheet_pdf(
    project: Project | None, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF: for a project's warp yarn and heddles, or blank for None. ProblemsFound where a yarn is not settled."""
    page = page_of(project, TITLE, "Help sheet", made_on, imperial=imperial, large_print=large_print)
    data, pictures = sett_data(project, imperial=imperial)
    return typeset("finding-sett.typ", page | data, pictures, made_on)


def sett_data(project: Project | None, *, imperial: bool = False) -> tuple[dict[str, Any], dict[str, str]]:
    """Every word and figure of the sheet, as the template places them, and its drawings."""
    question = sett_question(project, yarns(project)) if project else _example()
    answer, blank = compare_setts(question), project is None
    drawn = worth_drawing(shown_setts(answer, imperial=imperial))[:_MOST_DRAWN]
    data = {
        "heads": _HEADS,
        "intro": _INTRO,
        "says": "Example" if blank else shortened(literal(question.warp), LONGEST_NAME),
        "blank": blank,
        "wraps_sum": _wraps_sum(answer),
        "wraps_head": ["Yarn", "Wraps per cm", "× share", "= ends per cm"],
        "shares": _shares(),
        "closest_sums": _closest_sums(answer),
        "closest_head": ["Yarn", "Touching per cm", "× share", "= closest, ends per cm"],
        "heddles_head": ["Heddle, as printed", "Ends per cm", "per inch", "÷ closest = share", "Cloth", "Sample it?"],
        "heddles": [_heddle_row(answer, one) for one, _ in answer.candidates],
        "exact_says": "What the heddles commonly sold are, exactly:",
        "exact": _exact(),
        "bands": [[_band_words(one.least_share, one.most_share), one.name] for one in firmness_bands()],
        "bands_head": ["Share of the closest", "Cloth"],
        "leads_says": _leads_says(question, imperial),
        "leads_head": ["Heddle", "Ends", "In the heddle", "Finished width", "Warp", "Weft", "Weight"],
        "leads": [_leads_row(one, leads, imperial) for one, leads in answer.candidates],
        "advice": [*answer.advice, *answer.cautions],
        "width_says": f"For {literal(answer.sample[0].named)}, in its middle figures, each as it is written:",
        "width_sums": [_sum_of(line) for line in _leads_of(answer, answer.sample[0]).working],
        "width_head": ["Finished width", "÷ ratio", "= in the heddle", "× ends per cm", "Ends, up to pairs"],
        "true_says": "Plain weave at the spacing of each heddle, as sleyed, with the yarn as thick as it is calculated.",
        "drawn": [{"name": literal(one.heddle), "picture": f"sett{n}"} for n, one in enumerate(drawn)],
        "alts": {f"sett{n}": _alt(one) for n, one in enumerate(drawn)},
        "picture_mm": ACROSS_MM + 2 * EDGE * UNIT_MM,
        "edge_mm": EDGE * UNIT_MM,
        "sample_head": [
            "Heddle",
            "Ends",
            "Width in heddle",
            "Picks per cm or in",
            "Finished width",
            "Too open, right, too firm?",
        ],
        "rows": _BLANK_ROWS,
        "cautions": CAUTIONS,
    }
    return data, {f"sett{n}": one.picture for n, one in enumerate(drawn)}


def _shares() -> list[list[str]]:
    """Each share, and the weaves that have it; the same for wraps and for threads that touch."""
    found: dict[str, list[str]] = {}
    for one in structures():
        found.setdefault(plain_number(round(one.wraps_share, 3)), []).append(one.name)
    return [[share, "; ".join(found[share])] for share in sorted(found, key=float)]


def _leads_of(answer: SettAnswer, candidate: SettCandidate) -> LeadsTo:
    return next(leads for one, leads in answer.candidates if one == candidate)


def _alt(one: ShownSett) -> str:
    return f"Threads of 3 cm of plain weave at {literal(one.heddle)}: {one.sett}."


def _wraps_sum(answer: SettAnswer) -> str:
    """Wraps times the share of the weave; of unlike yarns, the room of each end and of the weft between."""
    of, thick, advised = answer.question.structure, answer.question.thickness, answer.question.thickness.advised
    found = f"{plain_number(round(advised(of), 2))} ends per cm, that is {plain_number(round(advised(of) * CM_PER_INCH, 2))} per inch"
    if not math.isclose(thick.warp_wraps, thick.weft_wraps):
        return f"{_of_both(thick.warp_wraps, thick.weft_wraps, of.crossing_share)} ({of.name}) = {found}"
    share = plain_number(round(of.wraps_share, 3))
    return f"{plain_number(round(thick.warp_wraps, 3))} wraps per cm × {share} ({of.name}) = {found}"


def _closest_sums(answer: SettAnswer) -> list[str]:
    """Threads that touch, and how close they can lie in the weave."""
    of, thick = answer.question.structure, answer.question.thickness
    closest = (
        f"{_two(answer.closest_per_cm)} ends per cm ({_two(answer.closest_per_cm * CM_PER_INCH)} per in) at the closest"
    )
    told = math.isclose(thick.warp_wraps / RULER_WRAPS_PER_DIAMETER, thick.warp_touching)
    wrapped = f"{_two(thick.warp_wraps)} wraps ÷ 0.7 = {_two(thick.warp_touching)} threads that touch per cm ({_two(thick.warp_touching * CM_PER_INCH)} per in)"
    calculated = f"{_two(thick.warp_touching)} threads that touch per cm ({_two(thick.warp_touching * CM_PER_INCH)} per in), calculated from length and weight"
    first = wrapped if told else calculated
    if not math.isclose(thick.warp_touching, thick.weft_touching):
        both = _of_both(thick.warp_touching, thick.weft_touching, of.crossing_share)
        return [f"{first}; of the weft {_two(thick.weft_touching)}", f"{both} ({of.name}) = {closest}"]
    return [first, f"{_two(thick.warp_touching)} × {plain_number(round(of.weave_factor, 3))} ({of.name}) = {closest}"]


def _of_both(warp: float, weft: float, crossing_share: float) -> str:
    return f"1 ÷ (1 ÷ {_two(warp)} + {plain_number(round(crossing_share, 2))} ÷ {_two(weft)})"


def _two(value: float) -> str:
    return plain_number(round(value, 2))


def _leads_says(question: SettQuestion, imperial: bool) -> str:
    asked = question.finished_width_cm
    for_width = (
        f"For {LENGTH.text(asked, imperial=imperial)} finished. "
        if asked
        else f"For {LENGTH.text(10, imperial=imperial)} finished. "
    )
    return f"{for_width}Ranges hold nine times in ten; yarn is for a metre of finished cloth, loom waste left out."


def _leads_row(one: SettCandidate, leads: LeadsTo, imperial: bool) -> list[str]:
    """What a heddle leads to, with its spread."""
    return [
        shortened(literal(one.named), LONGEST_NAME),
        str(leads.ends) if leads.fits else f"{leads.ends} of {leads.ends_needed}",
        LENGTH.text(leads.width_in_heddle_cm, imperial=imperial),
        LENGTH.range(leads.finished_width_cm, imperial=imperial),
        YARN.range(leads.warp_m_per_m, imperial=imperial),
        YARN.range(leads.weft_m_per_m, imperial=imperial),
        CLOTH_WEIGHT.range(leads.g_per_m2, imperial=imperial) if leads.g_per_m2 else "not known",
    ]


def _sum_of(line: WorkingLine) -> str:
    return literal(f"{in_both(f'{line.step}: {line.sum} = {plain_number(line.value)} {line.unit}')} ({line.source})")


def _heddle_row(answer: SettAnswer, one: SettCandidate) -> list[str]:
    closest = one.ends_per_cm / one.share_of_closest
    share = round(round(one.ends_per_cm, 2) / round(closest, 2), 2)
    return [
        shortened(literal(one.named), LONGEST_NAME),
        _two(one.ends_per_cm),
        _two(one.ends_per_inch),
        f"{_two(one.ends_per_cm)} ÷ {_two(closest)} = {percent(share)}",
        one.firmness,
        "first" if one in answer.sample else "yes" if one.sample_this else "",
    ]


def _exact() -> list[str]:
    """What the heddles commonly sold are, exactly."""
    return [
        f"{name}: {plain_number(round(per_cm, 2))} per cm, {plain_number(round(per_cm * CM_PER_INCH, 2))} per in"
        for name, per_cm in usual_heddles().items()
    ]


def _band_words(least: float, most: float) -> str:
    if least <= 0:
        return f"below {percent(most)}"
    return f"{percent(least)} and more" if most > 2 else f"{percent(least)} to {percent(most)}"
