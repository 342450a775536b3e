"""The test weaver's sheet: what the leaflet asks of each cloth, and a box for everything that came of it, in the order of the form.

What is written on it is typed as the record of a project of the test weaver's own, and is evidence then.
"""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning import Leaflet
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching import leaflet_words as words

_HEADS: Final = {
    "about": "You, your yarn and your loom",
    "told": "What the leaflet says",
    "came": "What came of it",
    "words": "In your words",
}
_INTRO: Final = (
    "Write down what happened, not what should have.",
    "Leave a box empty where you did not measure. Measure on the loom under tension, and the finished cloth dry and pressed.",
    "Your name and figures go to the designer alone; nothing of them is printed in the leaflet.",
)
ABOUT: Final = (
    "Your name, as the designer is to call you",
    "Size, version, heddle (reed) and width of cloth you wove",
    "Yarn: name, fibre (fiber), lot",
    "Metres in 100 g or yards in 1 lb, measured",
    "Wraps in 1 cm or 1 in",
    "Weight of your yarn before you began",
    "Loom, and the width it weaves",
)
CAME: Final = (
    "Finished on, day",
    "Ends put on",
    "Warp wound, length",
    "Waste cut off, front and back together",
    "Sample woven first, length",
    "Width at the fell",
    "Width off the loom",
    "Width finished: start, middle, end",
    "Woven length, under tension",
    "Length off the loom",
    "Length finished",
    "Picks counted, over what length, where",
    "Yarn left, by weight",
    "How it was washed and dried",
    "Balls used, and bought",
)
IN_WORDS: Final = (
    "What in the leaflet was wrong or unclear, and on which page",
    "Did the pieces fit on your cloth, and the garment on the body?",
    "Hours: warping, weaving, sewing",
)


def sheet_of_test_pdf(
    leaflet: Leaflet, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The sheet as PDF, for any row of the leaflet."""
    which = f", version {leaflet.version}" if leaflet.version else ", not given out"
    how: dict[str, Any] = {"imperial": imperial, "large_print": large_print, "more": which}
    page = sheet_page(leaflet.name, "Test weaver\u2019s sheet", made_on, **how)
    return typeset("test-weaver.typ", page | sheet_of_test_data(leaflet, imperial=imperial), {}, made_on)


def sheet_of_test_data(leaflet: Leaflet, *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the sheet, as the template places them."""
    return {
        "heads": _HEADS,
        "intro": list(_INTRO),
        "box_head": ["What", "Yours"],
        "about": [[one, ""] for one in ABOUT],
        "head": list(words.HEAD),
        "groups": [{"name": name, "rows": rows} for name, rows in words.groups(leaflet, imperial=imperial)],
        "came": [[one, ""] for one in CAME],
        "words": [[one, ""] for one in IN_WORDS],
    }
