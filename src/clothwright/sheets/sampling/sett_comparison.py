"""The sett comparison: every heddle side by side on paper, what each leads to, and room for what its sample was like."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.cloth import Thickness, read_heddles, structure
from clothwright.planning import SettAnswer, SettQuestion, compare_setts, sett_question, tell_samples
from clothwright.project import ProblemsFound, Project
from clothwright.project.domain import yarns
from clothwright.sheets.both_units import in_both
from clothwright.sheets.page import LONGEST_NAME, page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import EDGE
from clothwright.sheets.pictures.sett import ACROSS_MM, UNIT_MM
from clothwright.sheets.sampling.samples import advice_sentence
from clothwright.sheets.sampling.setts import ShownSett, shown_setts, worth_drawing
from clothwright.sheets.wording import THREADS, literal, plain_number, shortened
from clothwright.yarn import RULER_WRAPS_PER_DIAMETER

TITLE: Final = "Setts side by side"
_BLANK_ROWS: Final = 6
_MOST_DRAWN: Final = 4

_HEADS: Final = {
    "answer": "Which to sample",
    "heddles": "Every heddle (or reed), nearest to the yarn first",
    "samples": "What your samples say of their sett",
    "true": "The threads at true size",
    "hand": "What each sample was like",
    "working": "The sums",
    "cautions": "Take care",
}
_INTRO: Final = [
    "There is never one right sett (set): this lays your heddles side by side, and says which to sample.",
    "Ranges hold nine times in ten; yarn is for a metre of finished cloth, loom waste left out.",
]
CAUTIONS: Final = [
    "Weave and wash a sample at two neighbouring setts before the real warp, and finish them as the cloth will be finished.",
    "A heddle is what is printed on it: 30/10 cm is 7.62 to the inch, not 8.",
    "Closer to be sewn; opener to be fulled, brushed, or to drape.",
]


def sett_comparison_pdf(
    project: Project | None, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF: for a project's yarn and heddles, or an example with boxes for None. ProblemsFound where a yarn is not settled."""
    page = page_of(project, TITLE, "Sheet", made_on, imperial=imperial, large_print=large_print)
    data, pictures = comparison_data(project, imperial=imperial)
    return typeset("sett-comparison.typ", page | data, pictures, made_on)


def _example() -> SettAnswer:
    """The worked example of the blank sheet: a yarn of 6 wraps per cm in three heddles."""
    touching = 6.0 / RULER_WRAPS_PER_DIAMETER
    thick = Thickness(6.0, 6.0, touching, touching)
    heddles = read_heddles(("30/10 cm", "40/10 cm", "7.5/in"))
    return compare_setts(SettQuestion(structure("plain"), thick, heddles, finished_width_cm=44.0, other_ways=False))


def comparison_data(project: Project | None, *, imperial: bool = False) -> tuple[dict[str, Any], dict[str, str]]:
    """Every word and figure of the sheet, as the template places them, and its drawings."""
    answer = compare_setts(sett_question(project, yarns(project))) if project else _example()
    every = shown_setts(answer, imperial=imperial)
    drawn = worth_drawing(every)[:_MOST_DRAWN]
    data = {
        "heads": _HEADS,
        "intro": _INTRO,
        "blank": project is None,
        "says": "Example, a yarn of 6 wraps per cm (15.24 per in)" if project is None else _yarn_name(project),
        "asked": f"By the wraps about {THREADS.text(answer.advised_per_cm, imperial=imperial)}; at the closest, where the threads touch, "
        f"{THREADS.text(answer.closest_per_cm, imperial=imperial)}.",
        "advice": list(answer.advice),
        "heddles_head": ["Heddle", "Sett", "Of the closest", "Cloth", "Leads to", "Sample it?"],
        "heddles": [_row(one) for one in every],
        "blank_head": ["Heddle, as printed", "Ends per cm", "Ends", "In the heddle ↔", "Finished ↔", "Cloth"],
        "samples": _verdicts(project),
        "true_says": "As sleyed, with the yarn as thick as it is calculated and as many picks as ends.",
        "drawn": [{"name": one.heddle, "picture": f"sett{number}"} for number, one in enumerate(drawn)],
        "alts": {f"sett{number}": f"Threads of 3 cm at {one.heddle}: {one.sett}." for number, one in enumerate(drawn)},
        "picture_mm": ACROSS_MM + 2 * EDGE * UNIT_MM,
        "edge_mm": EDGE * UNIT_MM,
        "hand_head": ["Heddle", "Picks per cm or in", "Finished width ↔", "Hand (handle)", "Closer, right, more open?"],
        "hand": [[one.heddle, "", "", "", ""] for one in every if one.sampled] if project else [[""] * 5] * 4,
        "rows": _BLANK_ROWS,
        "working": [
            in_both(f"{line.step}: {line.sum} = {plain_number(line.value)} {line.unit}".rstrip())
            for line in answer.working
        ],
        "cautions": [*CAUTIONS, *answer.cautions],
    }
    return data, {f"sett{number}": one.picture for number, one in enumerate(drawn)}


def _yarn_name(project: Project) -> str:
    return shortened(literal(yarns(project).warp[0].name), LONGEST_NAME)


def _row(one: ShownSett) -> list[str]:
    leads = "; ".join(f"{what.lower()} {much}" for what, much in one.facts) or one.hand
    sampled = {"first": "first", "yes": "yes"}.get(one.sampled, "–")
    return [one.heddle, f"{one.sett}, {one.against}", one.share, one.cloth, leads, sampled]


def _verdicts(project: Project | None) -> list[list[str]]:
    """What each washed sample says of its sett; nothing where there is none, or where it cannot be told yet."""
    if project is None or not project.sample:
        return []
    try:
        told = tell_samples(project)
    except ProblemsFound as why:
        return [["–", "–", f"not told: {why.problems[0].sentence}"]]
    return [[one.name, one.heddle, advice_sentence(one.sett)] for one in told.samples]
