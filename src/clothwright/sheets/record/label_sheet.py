"""Labels to tie on finished cloth: the record's number to read, a code that opens its record, and what it is in few lines.

Ten to a page, each 88 by 45 mm, with a ring where the thread goes through and dashed lines to cut along; in large print two. The code
is drawn as modules of 0.6 mm or more, with the quiet edge of four that a reader needs.

*Source*: ISO/IEC 18004 for the quiet edge of four modules (from memory); the size of a module is common practice, no source.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import segno

from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.record.record_search import RecordSaid, said_of
from clothwright.sheets.page import in_words, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.record.record_words import short_of
from clothwright.sheets.wording import literal, shortened

MOST_LABELS: Final = 200
#: The longest address that still makes a code large enough to be read.
LONGEST_ADDRESS: Final = 120
_LONGEST_NAME: Final = 46
_LONGEST_LINE: Final = 70
_SAYS: Final = "Tie it on the cloth; the code opens the record of this number."


@dataclass(frozen=True)
class Label:
    """One label: the record's number, the name of the garment, what it is in short, and what its code says."""

    number: str
    name: str
    lines: tuple[str, ...]
    code: str


def label_of(said: RecordSaid, address: str = "", *, imperial: bool = False) -> Label:
    """The label of a record; `address` is where its pages are reached, empty where nobody said: the code then says the number.

    ProblemsFound where the record has no number yet.
    """
    if not said.number:
        sentence = f"{literal(said.name)} has no number yet; it gets one on its page when it is finished, or write number in [record]"
        raise ProblemsFound(Problem(("record", "number"), sentence))
    day = [f"finished {_day(said.day)}"] if said.day else []
    lines = tuple(shortened(one, _LONGEST_LINE) for one in (*day, *short_of(said, imperial=imperial)))
    return Label(said.number, shortened(literal(said.name), _LONGEST_NAME), lines, code_of(said.number, address))


def code_of(number: str, address: str) -> str:
    """What the code of a record says: the address of its page, or its number in words."""
    base = address.rstrip("/")
    return f"{base}/record/{number}/" if base else f"Clothwright record {number}"


def _day(day: str) -> str:
    return in_words(datetime.date.fromisoformat(day))


def label_pdf(
    address: str, project: Project, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The label of a project's record: two, one for the cloth and one for the notebook."""
    label = label_of(said_of(project), address, imperial=imperial)
    return labels_pdf([label], copies=2, imperial=imperial, made_on=made_on, large_print=large_print)


def labels_pdf(
    labels: Sequence[Label],
    *,
    copies: int = 1,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """Labels on paper, each so many times; ProblemsFound where there are none or too many for one print."""
    every = [one for one in labels for _ in range(copies)]
    if not 0 < len(every) <= MOST_LABELS:
        raise ProblemsFound(Problem((), f"{len(every)} labels came; from 1 to {MOST_LABELS} are printed together"))
    page = sheet_page("Labels", "Labels to tie on", made_on, imperial=imperial, large_print=large_print)
    pictures = {f"code-{number}": _code_svg(one.code) for number, one in enumerate(labels)}
    return typeset("label.typ", page | _data(labels, copies), pictures, made_on)


def _data(labels: Sequence[Label], copies: int) -> dict[str, Any]:
    return {
        "says": _SAYS,
        "labels": [
            {
                "number": one.number,
                "name": one.name,
                "lines": list(one.lines),
                "code": f"code-{place}",
                "alt": f"Code to scan: {one.code}",
                "written": one.code if one.code.startswith("http") else "",
            }
            for place, one in enumerate(labels)
            for _ in range(copies)
        ],
    }


def _code_svg(text: str) -> str:
    """The code as a drawing, dark on white with its quiet edge."""
    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(out, kind="svg", border=4, dark="#000", light="#fff", xmldecl=False)
    return out.getvalue().decode()
