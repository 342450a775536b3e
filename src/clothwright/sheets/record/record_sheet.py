"""The record on paper: the plan beside what came, yarn used, what was found out later; or blank, a few boxes a stage."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any, Final

from clothwright.planning.record.record_beside import Beside
from clothwright.project import Project
from clothwright.project.document import RecordPart
from clothwright.project.record_search import said_of
from clothwright.project.record_stages import still_wanting
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.record import record_words as words
from clothwright.sheets.wording import literal, shortened

_BOXES: Final[tuple[tuple[str, tuple[str, ...]], ...]] = (
    ("Yarn", ("There was, without cores", "Is left, without cores", "Weft used, if weighed")),
    ("Warp", ("Ends put on", "Warp wound ↕", "Waste cut off ↕", "Heddle (reed)")),
    ("On the loom", ("Woven, under tension ↕", "Wide at the fell ↔", "Picks counted, over")),
    ("Off the loom", ("Wide, rested ↔", "Long, rested ↕", "Rested for")),
    ("Finished", ("Wide at start, middle, end ↔", "Long ↕", "How it was washed", "On which day")),
    ("Garment", ("How it fits", "Weight", "Minutes of cutting and sewing", "Remnants: wide × long")),
    ("Later", ("Liked it", "Would change", "Wear", "Wash")),
)
_LONGEST_NAME: Final = 40
_SNIPS: Final = "Tape a snip of each yarn here, and write its name"


def record_pdf(
    project: Project | None,
    lines: Sequence[Beside] | None = None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """The record of a project beside its plan; to fill in for None."""
    number = project.record.number if project and project.record else ""
    more = f", number {number}" if number else ", to fill in" if project is None else ""
    title = shortened(literal(project.name), _LONGEST_NAME) if project else "Record"
    page = sheet_page(title, "Record", made_on, imperial=imperial, large_print=large_print, more=more)
    return typeset("record.typ", page | record_data(project, lines or (), imperial=imperial), {}, made_on)


def record_data(project: Project | None, lines: Sequence[Beside], *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet."""
    filled = _filled(project, lines, imperial) if project else _NOTHING
    boxes = [] if project else [{"stage": stage, "rows": list(rows)} for stage, rows in _BOXES]
    return {"snips": _SNIPS, "boxes": boxes, "number_box": "Number" if project is None else "", **filled}


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
