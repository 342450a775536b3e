"""The finishing sheet: the cloth to measure, the recipe to tick off at its times, the pieces on the cloth that there is, the checks."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.finishing import Finish, RecipeStep, finish, plan_of_the_cloth
from clothwright.planning import Plan
from clothwright.project import Project
from clothwright.project.parts.finishing_parts import STATES_OFF
from clothwright.sheets.asked import FINISHING
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.loom import finishing as words
from clothwright.sheets.page import A4, LARGE, ORDINARY, US_LETTER, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import EDGE
from clothwright.sheets.pictures.finished_cloth import finished_cloth_svg
from clothwright.sheets.pieces.cutting_sheet import cutting_sheet_with
from clothwright.sheets.wording import LENGTH, WEIGHT, literal

TITLE: Final = "Finishing sheet"
_HEADS: Final = {
    "measured": "Measure it",
    "recipe": "The recipe",
    "cloth": "The cloth that there is",
    "cautions": "Take care",
}
_PLACES: Final = 3
_MEASURED: Final = next(part.rows for part in FINISHING.parts if part.rows)


def finishing_sheet_pdf(
    found: Finish | None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The sheet as PDF; what was measured and done already stands on it. Blank for None, with the gentlest recipe."""
    of, more = (found.name, "") if found else (None, ", to fill in")
    found = found or finish(Project())
    paper, size = US_LETTER if imperial else A4, LARGE if large_print else ORDINARY
    across = paper.across_mm / size.unit_mm + 2 * EDGE
    page = sheet_page(TITLE, "Sheet", made_on, imperial=imperial, large_print=large_print, of=of, more=more)
    page |= {"across_mm": across * size.unit_mm, "edge_mm": EDGE * size.unit_mm}
    pictures = {}
    if found.cloth:
        pictures["cloth"] = finished_cloth_svg(found.cloth, found.on_cloth, imperial=imperial, across=across)
    return typeset(
        "finishing.typ", page | finishing_data(found, imperial=imperial) | code_data(opens), pictures, made_on
    )


def real_cutting_sheet_pdf(
    found: Finish,
    plan: Plan,
    project: Project,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """The cutting sheet drawn for the cloth that there is, its flaws crossed; ProblemsFound where not all is cut from it."""
    real = plan_of_the_cloth(plan, found)
    assert found.cloth is not None  # a plan of the cloth has one
    flaws = [one.flaw for one in found.cloth.flaws]
    told = [
        "For the finished cloth as it was measured."
        if not found.cloth.expected
        else "The cloth has not been measured finished: this is what is expected. Measure it, and print this again, before you cut.",
        *(words.flaw_sentence(one, imperial=imperial) for one in found.cloth.flaws),
    ]
    return cutting_sheet_with(
        real, project, imperial=imperial, made_on=made_on, large_print=large_print, flaws=flaws, told=told
    )


def finishing_data(found: Finish, *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet, as the template places them."""
    cloth = found.cloth
    return {
        "heads": _HEADS,
        "intro": [*FINISHING.intro, *_missed(found, imperial)],
        "measured_head": [one.label for one in _MEASURED.columns],
        "measured": [_measured(found, state, imperial) for state in STATES_OFF],
        "recipe_says": [*words.recipe_sentences(found.recipe), *map(literal, found.recipe.asked)],
        "look": "Look after, min",
        "steps": [_step(found, one, imperial) for one in found.recipe.steps],
        "cloth": [
            *(words.cloth_sentences(cloth, found.on_cloth, imperial=imperial) if cloth else ()),
            *(words.answer_sentences(found.on_cloth, imperial=imperial) if found.on_cloth else ()),
            *(words.flaw_sentence(one, imperial=imperial) for one in (cloth.flaws if cloth else ())),
        ],
        "alts": {"cloth": "The finished cloth with the pieces in place and its flaws crossed; they are told above it."},
        "stages": [
            {
                "title": stage,
                "checks": [
                    {
                        "do": one.do,
                        "done": one.ticked,
                        "state": f"({words.check_state(one)})" if one.settled else "",
                    }
                    for one in checks
                ],
            }
            for stage, checks in words.checks_by_stage(found)
        ],
        "cautions": words.cautions(found),
    }


def _missed(found: Finish, imperial: bool) -> list[str]:
    missed = found.measured.missed
    return list(words.missed_sentences(missed, imperial=imperial)) if missed else []


def _measured(found: Finish, state: str, imperial: bool) -> list[str]:
    """A row of boxes, filled where it was measured; fewer widths than three stand from the start on."""
    one = found.measured.of(state)
    widths = [LENGTH.text(cm, imperial=imperial) for cm in one.widths_cm[:_PLACES]]
    length = LENGTH.text(one.length_cm, imperial=imperial) if one.length_cm else ""
    weight = WEIGHT.text(one.weight_g, imperial=imperial) if one.weight_g else ""
    blank = [""] * (_PLACES - len(widths))
    return [state.capitalize(), *widths, *blank, length, weight, literal(one.rested)]


def _step(found: Finish, step: RecipeStep, imperial: bool) -> dict[str, Any]:
    done = found.is_done(step)
    lines = [step.do, *([step.stop] if step.stop else [])]
    return {
        "title": words.step_title(step, imperial=imperial),
        "lines": [*lines, *(literal(words.done_in_words(step, one)) for one in step.done)],
        "looks": [] if done else list(map(str, step.looks)),
        "done": done,
        "fill": "" if done else _fill(step),
    }


def _fill(step: RecipeStep) -> str:
    """What is to be written down beside a step."""
    asked = [word for word, planned in (("minutes", step.minutes), ("water", step.water_c)) if planned]
    return f"Really: {', '.join((*asked, 'how'))}"
