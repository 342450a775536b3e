"""What every sheet of the house is set on: paper, size of letters, check ruler, date and foot."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any, Final

from clothwright import __version__
from clothwright.project import Project
from clothwright.sheets.pictures.drawing import EDGE
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


#: A letter of a picture is 13 units high, so it comes out at 10 pt, and in large print at 18 pt.
ORDINARY: Final = Print(10.5, 0.275, 125.0)
LARGE: Final = Print(22.0, 0.5, 155.0)

LONGEST_TITLE: Final = 90
LONGEST_NAME: Final = 40
_LONGEST_IN_FOOT: Final = 30
RULER: Final = {
    "head": "Check the print",
    "cm": "This line is 10 cm: measure it; if it is not, the print was scaled.",
    "inch": "This line is 4 in.",
    "square": "Each side of this square is 10 cm: measure it both ways. If one is not, the print was scaled, and nothing on this sheet is at true size.",
    "says": "Print at 100 %, “actual size”, not “fit to page”.",
}
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


@dataclass(frozen=True)
class Across:
    """How wide the pictures of a sheet are, their empty edges in the margins: a unit of theirs in mm, and the paper between margins."""

    unit_mm: float
    paper_mm: float

    @property
    def units(self) -> float:
        """The width in units of the picture."""
        return self.paper_mm / self.unit_mm + 2 * EDGE

    @property
    def data(self) -> dict[str, float]:
        """What the template places pictures by."""
        return {"across_mm": self.units * self.unit_mm, "edge_mm": EDGE * self.unit_mm}


def pictures_across(*, imperial: bool, large_print: bool) -> Across:
    """How wide pictures are on the paper and with the letters asked for."""
    return Across((LARGE if large_print else ORDINARY).unit_mm, (US_LETTER if imperial else A4).across_mm)


def in_words(date: datetime.date) -> str:
    """A date as a sheet writes it: 25 November 2026."""
    return f"{date.day} {_MONTHS[date.month - 1]} {date.year}"


def sheet_page(
    title: str,
    kind: str,
    made_on: datetime.date,
    *,
    imperial: bool,
    large_print: bool,
    of: str | None = None,
    more: str = "",
) -> dict[str, Any]:
    """What the house template needs: paper, letters, title, a line below it that says what sheet this is, date and foot.

    `of`: the project the sheet is for; `more`: what else the line below the title says.
    """
    name, date = shortened(literal(title), LONGEST_TITLE) or "untitled", in_words(made_on)
    whose = f", for {shortened(literal(of), LONGEST_NAME)}" if of else ""
    return {
        "paper": (US_LETTER if imperial else A4).name,
        "size_pt": (LARGE if large_print else ORDINARY).size_pt,
        "large": large_print,
        "title": name,
        "document": f"{name}{whose}",
        "subtitle": f"{kind} of {date}, Clothwright {__version__}{whose}{more}",
        "foot": f"{_for_foot(title, of)} · {date} · Clothwright {__version__}",
        "date": [made_on.year, made_on.month, made_on.day],
        "ruler": RULER,
    }


def page_of(
    project: Project | None, title: str, kind: str, made_on: datetime.date, *, imperial: bool, large_print: bool
) -> dict[str, Any]:
    """The page of a sheet that is printed of a project or, for None, to fill in; `kind` says what it is where it is filled."""
    kind, of = (kind, project.name) if project else (f"{kind} to fill in", None)
    return sheet_page(title, kind, made_on, imperial=imperial, large_print=large_print, of=of)


def _for_foot(title: str, of: str | None) -> str:
    """The sheet and its project, short enough for the foot of a page in large print."""
    names = [title, *([of] if of else [])]
    return ", for ".join(shortened(literal(name), _LONGEST_IN_FOOT) or "untitled" for name in names)
