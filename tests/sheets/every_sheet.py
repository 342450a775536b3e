"""Every sheet of the set, drawn once for all tests: to fill in, and of a project, through the door of the command line."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

from clothwright.cli.papers import Asked, Given
from clothwright.cli.planned import demo_file
from clothwright.sheets import BY_KIND, SHEETS, How, Sheet, draw

DAY = datetime.date(2026, 11, 26)
_EXAMPLES = Path(__file__).parents[2] / "examples"
#: Sheets that the demo garment has nothing for.
_OTHER_FILES = {"leaflet": _EXAMPLES / "tideline-vest.toml"}


@cache
def _given(file: Path) -> Given:
    needs = frozenset(need for sheet in SHEETS for need in sheet.needs)
    return Given(file, Asked(seconds=0.0), needs)


@cache
def drawn(kind: str, *, blank: bool = False, imperial: bool = False, large: bool = False) -> bytes:
    """A sheet as PDF."""
    given = None if blank else _given(_OTHER_FILES.get(kind, demo_file()))
    return draw(BY_KIND[kind], given, How(DAY, imperial, large))


def ways(sheet: Sheet) -> list[tuple[str, bool, bool]]:
    """Kind, whether blank, whether large, for every way a sheet is printed."""
    blanks = [blank for blank, can in ((False, sheet.filled), (True, sheet.blank)) if can]
    return [(sheet.kind, blank, large) for blank in blanks for large in ((False, True) if sheet.large else (False,))]


EVERY_WAY = [way for sheet in SHEETS for way in ways(sheet)]
