"""The record on paper: the plan beside what came, yarn used, what was found out later; or blank, a few boxes a stage."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any, Final

from clothwright.planning.record.record_beside import Beside
from clothwright.project import Project
from clothwright.project.document import RecordPart
from clothwright.project.record.record_search import said_of
from clothwright.project.record.record_stages import still_wanting
from clothwright.sheets.asked import RECORD
from clothwright.sheets.asked_sheet import asked_data
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.record import record_words as words
from clothwright.sheets.wording import literal, shortened

_LONGEST_NAME: Final = 40
_SNIPS: Final = "Tape a snip of each yarn here, and write its name"


def record_pdf(
    project: Project | None,
    lines: Sequence[Beside] | None = None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The record of a project beside its plan; to fill in for None."""
    number = project.record.number if project and project.record else ""
    more = f", number {number}" if number else ", to fill in" if project is None else ""
    title = shortened(literal(project.name), _LONGEST_NAME) if project else "Record"
    page = sheet_page(title, "Record", made_on, imperial=imperial, large_print=large_print, more=more)
    data = page | record_data(project, lines or (), imperial=imperial) | code_data(opens)
    return typeset("record.typ", data, {}, made_on)


def record_data(project: Project | None, lines: Sequence[Beside], *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet."""
    filled = _filled(project, lines, imperial) if project else _NOTHING
    parts = [] if project else asked_data(RECORD, None)["parts"]
    return {"snips": _SNIPS, "parts": parts, "number_box": "Number" if project is None else "", **filled}


_NOTHING: Final[dict[str, Any]] = {"short": [], "head": [], "rows": [], "said": [], "lists": [], "wanting": []}


def _filled(project: Project, lines: Sequence[Beside], imperial: bool) -> dict[str, Any]:
    record = project.record or RecordPart()
    later = [
        f"{day}, {about}" + (f": {says}" if says else "")
        for _, day, about, says, counts in words.later_lines(record.later)
        if counts
    ]
    lists = {
        "Yarn used and cloth left": [
            *words.used_lines(project, imperial=imperial),
            *words.remnant_lines(project, imperial=imperial),
        ],
        "The garment": [one for one in (literal(record.garment.fit), literal(record.notes)) if one],
        "Found out later": later,
    }
    return {
        "short": words.short_of(said_of(project), imperial=imperial),
        "head": list(words.BESIDE_HEAD),
        "rows": [list(words.beside_row(one, imperial=imperial)) for one in lines],
        "said": [one for one in (words.held_sentence(lines), words.first_plan_sentence(project)) if one],
        "lists": [{"head": head, "lines": found} for head, found in lists.items() if found],
        "wanting": [one.what for one in still_wanting(project)],
    }
