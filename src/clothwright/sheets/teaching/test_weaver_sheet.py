"""The test weaver's sheet: what the leaflet asks of each cloth, and a box for everything that came of it, in the order of the form.

What is written on it is typed as the record of a project of the test weaver's own, and is evidence then.
"""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning import Leaflet
from clothwright.sheets.asked import TEST_WEAVER
from clothwright.sheets.asked_sheet import asked_data
from clothwright.sheets.code import Opens, code_data
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching import leaflet_words as words

_TOLD: Final = "What the leaflet says"


def sheet_of_test_pdf(
    leaflet: Leaflet,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
    opens: Opens | None = None,
) -> bytes:
    """The sheet as PDF, for any row of the leaflet."""
    which = f", version {leaflet.version}" if leaflet.version else ", not given out"
    how: dict[str, Any] = {"imperial": imperial, "large_print": large_print, "more": which}
    page = sheet_page(leaflet.name, "Test weaver\u2019s sheet", made_on, **how)
    data = page | sheet_of_test_data(leaflet, imperial=imperial) | code_data(opens)
    return typeset("test-weaver.typ", data, {}, made_on)


def sheet_of_test_data(leaflet: Leaflet, *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet, as the template places them."""
    return asked_data(TEST_WEAVER, None) | {
        "told": _TOLD,
        "head": list(words.HEAD),
        "groups": [{"name": name, "rows": rows} for name, rows in words.groups(leaflet, imperial=imperial)],
    }
