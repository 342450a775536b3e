"""The weft's order on paper: run by run with running lengths to tick off, where balls run out, and what they hold."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning import ColourPlan, WeftAnswer
from clothwright.planning.colours.weft_answer import WeftRunLine
from clothwright.project import Project
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.colours import weft_words as words
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import LENGTH, counted, literal, shortened

_LONGEST_YARN: Final = 30


def weft_order_pdf(
    answer: ColourPlan, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The weft order to tick off at the loom; ValueError where the answer tells no weft."""
    if answer.weft is None:
        raise ValueError("this answer tells no weft: its picks are neither planned nor typed")
    page = sheet_page("Weft order", "Sheet", made_on, imperial=imperial, large_print=large_print, of=project.name)
    return typeset("weft-order.typ", page | weft_data(answer.weft, imperial=imperial), {}, made_on)


def weft_data(answer: WeftAnswer, *, imperial: bool = False) -> dict[str, Any]:
    """Every word and figure of the sheet."""
    picks, half = sum(run.picks for run in answer.order), _half(answer)
    reach = _reach(answer, picks, imperial)
    return {
        "intro": [
            words.weft_sum(answer, imperial=imperial),
            "Lengths are from the first pick of the cloth, on the loom under tension, then as the cloth finishes. Tick a run when it "
            "is woven, and write beside it where it really ended.",
        ],
        "joins": words.join_sentences(answer, imperial=imperial),
        "runs": [_run(run, imperial) | {"half": run is half} for run in answer.order],
        "half_says": f"Measure now: {_reach(answer, half.last, imperial)}?" if half else "",
        "end_says": f"The end: {reach}? Count {counted(picks, 'pick')}.",
        "balls_head": [*words.BALLS_HEAD[:-1], "oz after" if imperial else "g after"],
        "balls": [[*row[:-1], ""] for row in words.ball_rows(answer, imperial=imperial)],
        "stripes": list(words.stripe_sentences(answer, imperial=imperial)),
        "rules": each_in_both(answer.rules),
        "notes": each_in_both(answer.notes),
    }


def _half(answer: WeftAnswer) -> WeftRunLine | None:
    """The run that ends nearest to half of the picks, where there are several."""
    half = sum(run.picks for run in answer.order) / 2
    return min(answer.order[:-1], key=lambda run: abs(run.last - half), default=None)


def _reach(answer: WeftAnswer, picks: int, imperial: bool) -> str:
    """How far so many picks reach, else the picks themselves."""
    on_loom = answer.wefted.loom_cm(picks)
    return f"{LENGTH.text(on_loom, imperial=imperial)} on the loom" if on_loom is not None else counted(picks, "pick")


def _run(run: WeftRunLine, imperial: bool) -> dict[str, Any]:
    begins = [
        f"begins at {LENGTH.text(run.begins_on_loom_cm, imperial=imperial)}"
        if run.begins_on_loom_cm is not None
        else "",
        f"finished {LENGTH.text(run.begins_finished_cm, imperial=imperial)}"
        if run.begins_finished_cm is not None
        else "",
    ]
    return {
        "picks": f"{run.first} to {run.last}",
        "yarn": f"{counted(run.picks, 'pick')} of {shortened(literal(run.yarn), _LONGEST_YARN)}, ball {run.ball}",
        "begins": "; ".join(filter(None, begins)),
        "after": words.AFTER[run.after].capitalize(),
    }
