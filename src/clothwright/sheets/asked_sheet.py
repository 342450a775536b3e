"""The sheets that ask: boxes in the order of `asked.py`, blank, or with what a project says already."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any, Final

from clothwright.project import Project
from clothwright.sheets.asked import ASKED, Ask, AskPart, AskRows, AskSheet
from clothwright.sheets.both_units import typed_in_both
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import page_of
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import GRIST, literal, plain_number, shortened

_LONGEST_ANSWER: Final = 100


def asked_pdf(
    project: Project | None,
    *,
    kind: str,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The sheet of that kind, of the list `ASKED`: filled where the project says something, blank for None."""
    sheet = ASKED[kind]
    page = page_of(project, sheet.title, "Sheet", made_on, imperial=imperial, large_print=large_print)
    return typeset("asked.typ", page | asked_data(sheet, project) | code_data(opens), {}, made_on)


def asked_data(sheet: AskSheet, project: Project | None) -> dict[str, Any]:
    """Every word of a sheet, filled where the project says something."""
    return {
        "intro": list(sheet.intro),
        "parts": [_part(part, number, project) for part, number in _parts(sheet, project)],
        "cautions": list(sheet.cautions),
        "cautions_head": "Take care",
    }


def _parts(sheet: AskSheet, project: Project | None) -> Iterator[tuple[AskPart, int]]:
    """The parts in printed order, with the row they are about: those of one row stay together."""
    of_each = next((part.each for part in sheet.parts if part.each), "")
    many = len(answer_at(project, of_each) or []) if of_each and project else 1
    for number in range(max(1, many)):
        yield from ((part, number) for part in sheet.parts if part.each or number == 0)


def _part(part: AskPart, number: int, project: Project | None) -> dict[str, Any]:
    return {
        "title": part.title,
        "says": list(part.says),
        "asks": [[ask.label, _answer(project, ask, number)] for ask in part.asks],
        "columns": part.columns,
        "head": [ask.label for ask in part.rows.columns] if part.rows else [],
        "rows": _rows(part.rows, project) if part.rows else [],
        "wide": list(part.rows.wide) if part.rows else [],
        "rooms": list(part.rooms),
        "room_mm": part.room_mm,
        "new_page": part.begins_page or bool(part.each and number and part.title == "The yarn"),
    }


def _rows(rows: AskRows, project: Project | None) -> list[list[str]]:
    """A row for every entry of the list, and empty ones up to as many as a blank sheet has."""
    many = len(answer_at(project, rows.path) or [])
    filled = [[_answer(project, ask, number) for ask in rows.columns] for number in range(many)]
    return filled + [[""] * len(rows.columns)] * max(0, rows.blank - many)


def _answer(project: Project | None, ask: Ask, number: int) -> str:
    value = answer_at(project, ask.path.replace("*", str(number))) if ask.path else None
    return shortened(literal(said(value)), _LONGEST_ANSWER)


def answer_at(project: Project | None, path: str) -> Any:
    """What a project says at a place; None where it says nothing."""
    found: Any = project
    for step in path.split("."):
        if isinstance(found, list):
            found = found[int(step)] if int(step) < len(found) else None
        elif found is not None:
            found = getattr(found, step, None)
    return found


def said(value: Any) -> str:
    """An answer as it was typed: several with a semicolon between, a length that was weighed in words; no code of a colour."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return plain_number(value)
    if isinstance(value, list | tuple):
        return "; ".join(map(said, value))
    if hasattr(value, "length") and hasattr(value, "weight"):
        return f"{value.length} weighs {value.weight}: {GRIST.text(value.length.cm / 100 / value.weight.grams)}"
    text = typed_in_both(value)
    return "" if text.startswith("#") else text
