"""What every sheet of the house is set on: paper, size of letters, check ruler, date and foot."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any, Final

from clothwright import __version__
from clothwright.sheets.wording import literal, shortened


@dataclass(frozen=True)
class Paper:
    """A paper size, by the name the typesetter knows, and its width between the margins of 15 mm."""

    name: str
    across_mm: float


A4: Final = Paper("a4", 180.0)
US_LETTER: Final = Paper("us-letter", 185.9)


@dataclass(frozen=True)
class Print:
    """How large letters are: type in points, and a unit of the pictures in mm; how high the rows of the layout may be."""

    size_pt: float
    unit_mm: float
    layout_mm: float


#: A letter of a picture is 13 units high, so it comes out at 10 pt, and in large print at 16 pt.
ORDINARY: Final = Print(10.5, 0.275, 125.0)
LARGE: Final = Print(19.0, 0.44, 170.0)

LONGEST_TITLE: Final = 90
RULER: Final = {
    "head": "Check the print",
    "cm": "This line is 10 cm: measure it; if it is not, the print was scaled.",
    "inch": "This line is 4 in.",
    "says": "Print at 100 %, “actual size”, not “fit to page”.",
}
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def in_words(date: datetime.date) -> str:
    """A date as a sheet writes it: 25 November 2026."""
    return f"{date.day} {_MONTHS[date.month - 1]} {date.year}"


def sheet_page(
    title: str, kind: str, made_on: datetime.date, *, imperial: bool, large_print: bool, more: str = ""
) -> dict[str, Any]:
    """What the house template needs: paper, letters, title, a line below it that says what sheet this is, date and foot."""
    name, date = shortened(literal(title), LONGEST_TITLE) or "untitled", in_words(made_on)
    return {
        "paper": (US_LETTER if imperial else A4).name,
        "size_pt": (LARGE if large_print else ORDINARY).size_pt,
        "large": large_print,
        "title": name,
        "subtitle": f"{kind} of {date}, Clothwright {__version__}{more}",
        "foot": f"{shortened(name, 36)}, {date}",
        "date": [made_on.year, made_on.month, made_on.day],
        "ruler": RULER,
    }
