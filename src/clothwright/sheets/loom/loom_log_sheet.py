"""The log of the weaving on paper: a row for every mark to come, in the order in which a phone asks, to be typed in later."""

from __future__ import annotations

import datetime
import math
from typing import Any, Final

from clothwright.measure import CM_PER_INCH
from clothwright.project import Project
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.loom.at_loom import stop_sentence
from clothwright.sheets.page import page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import LENGTH
from clothwright.weaving import LoomForecast

#: Where the weaver says no step of her own: a mark every 25 cm, or every 10 in. Common practice, no source.
_STEP_CM: Final = {False: 25.0, True: 10 * CM_PER_INCH}
_MOST_MARKS: Final = 400
_BLANK_ROWS: Final = 12
_HOW: Final = [
    "Measure on the loom under tension, from the first pick. Put a pin or thread at every mark, and tick it.",
    "Weigh the ball or shuttle as it is, and write its core beside it; of several balls of one yarn, each.",
    "Write knots, breaks and joins with the place along the cloth and the end from the left, so that cutting can avoid them.",
    "The columns stand in the order in which the page At the loom asks for them.",
]


def marks_to_come(project: Project | None, end_cm: float | None, *, imperial: bool) -> list[float]:
    """Marks along the cloth on the loom, cm from its first pick, at the weaver's step or a usual one, to before the end."""
    every = ((project and project.on_loom) or OnLoomPart()).marks_every
    step = every.cm if every and every.cm > 0 else _STEP_CM[imperial]
    count = math.ceil(end_cm / step - 1e-9) if end_cm else 0
    return [round(number * step, 3) for number in range(1, min(count, _MOST_MARKS))]


def loom_log_pdf(
    project: Project | None,
    end_cm: float | None = None,
    told: LoomForecast | None = None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The log to write in, with the marks to come up to where the weaving ends and the stop lines of a forecast; blank for None."""
    page = page_of(project, "At the loom", "Log", made_on, imperial=imperial, large_print=large_print)
    return typeset(
        "loom-log.typ", page | code_data(opens) | loom_log_data(project, end_cm, told, imperial=imperial), {}, made_on
    )


def loom_log_data(
    project: Project | None, end_cm: float | None, told: LoomForecast | None = None, *, imperial: bool
) -> dict[str, Any]:
    """Every word of the log."""
    marks = [LENGTH.text(cm, imperial=imperial) for cm in marks_to_come(project, end_cm, imperial=imperial)]
    over, weight, length = (
        " or ".join(reversed(units) if imperial else units) for units in (("10 cm", "4 in"), ("g", "oz"), ("cm", "in"))
    )
    end = [LENGTH.text(end_cm, imperial=imperial)] if end_cm else []
    return {
        "intro": [*([f"Weave to {end[0]}, under tension."] if end else []), *_HOW],
        "watch": [stop_sentence(one, imperial=imperial) for one in told.stop_lines] if told else [],
        "head": [
            "Mark",
            f"Woven, {length}",
            f"Weighed, {weight}, which yarn",
            f"Its core, {weight}",
            f"Picks over {over}",
            "Knot, break, join: where, end",
            f"Wide at the fell, {length}",
            "Minutes, note",
        ],
        "rows": [[mark, *[""] * 7] for mark in ([*marks, *end] or [""] * _BLANK_ROWS)],
    }
