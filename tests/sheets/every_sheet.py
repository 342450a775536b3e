"""Every sheet of the set, drawn once for all tests: to fill in, and of a project, through the door of the command line."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

from clothwright.cli.papers import Asked, Given
from clothwright.cli.planned import demo_file
from clothwright.library.files import read_project_file
from clothwright.project import read_project
from clothwright.sheets import BY_KIND, SHEETS, How, Need, Sheet, draw

DAY = datetime.date(2026, 11, 26)
_EXAMPLES = Path(__file__).parents[2] / "examples"
#: A record has its number from the library, and a label its address from the data folder.
_NUMBERED = {"record": {"date": "2026-11-20", "number": "2026-007", "ends": 170}}
_ADDRESS = "http://192.168.4.20:8765/"
#: Sheets that the demo garment has nothing for.
_OTHER_FILES = {"leaflet": _EXAMPLES / "tideline-vest.toml"}


@cache
def _given(file: Path) -> Given:
    needs = frozenset(need for sheet in SHEETS for need in sheet.needs)
    return Given(file, Asked(seconds=0.0), needs)


@cache
def _labelled() -> Given:
    project = read_project(read_project_file(demo_file())[0] | _NUMBERED)
    return Given(demo_file(), Asked(seconds=0.0), frozenset(), {Need.PROJECT: project, Need.LABEL_ADDRESS: _ADDRESS})


@cache
def drawn(kind: str, *, blank: bool = False, imperial: bool = False, large: bool = False) -> bytes:
    """A sheet as PDF."""
    given = None if blank else _labelled() if kind == "label" else _given(_OTHER_FILES.get(kind, demo_file()))
    return draw(BY_KIND[kind], given, How(DAY, imperial, large))


def ways(sheet: Sheet) -> list[tuple[str, bool, bool]]:
    """Kind, whether blank, whether large, for every way a sheet is printed."""
    blanks = [blank for blank, can in ((False, sheet.filled), (True, sheet.blank)) if can]
    return [(sheet.kind, blank, large) for blank in blanks for large in ((False, True) if sheet.large else (False,))]


EVERY_WAY = [way for sheet in SHEETS for way in ways(sheet)]
