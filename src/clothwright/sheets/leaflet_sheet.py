"""The leaflet's requirement pages: what a reader needs, what is assumed, and a box for her own sample."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning import Leaflet
from clothwright.sheets import leaflet_words as words
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset

_HEADS: Final = {
    "proof": "PROOF, NOT TO BE GIVEN OUT",
    "advice": "Worth knowing",
    "missing": "Not on every cloth",
    "spread": "How far it may be from this",
    "own": "Your own sample",
    "assumed": "What the figures stand on",
    "cautions": "Take care",
}


def leaflet_pdf(
    leaflet: Leaflet, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The pages as PDF; stamped as a proof, with the reasons, while it is not to be given out."""
    page = sheet_page(leaflet.name, "Leaflet, what you need,", made_on, imperial=imperial, large_print=large_print)
    return typeset("leaflet.typ", page | leaflet_data(leaflet, imperial=imperial), {}, made_on)


def leaflet_data(leaflet: Leaflet, *, imperial: bool = False) -> dict[str, Any]:
    """Every word of the pages, as the template places them."""
    return {
        "heads": _HEADS,
        "proof": [f"{why[:1].upper()}{why[1:].rstrip('.')}." for why in words.not_to_be_given_out(leaflet)],
        "intro": [
            "Yarn for the whole cloth, by the width it is to finish at.",
            "Find your heddle and size, then the widest cloth your loom weaves that has no advice against it below.",
            *filter(None, (words.balls_in_words(leaflet),)),
        ],
        "head": list(words.HEAD),
        "groups": [{"name": name, "rows": rows} for name, rows in words.groups(leaflet, imperial=imperial)],
        "advice": [f"{one[:1].upper()}{one[1:]}" for one in leaflet.advice],
        "missing": list(words.missing(leaflet)),
        "spread": list(words.low_and_high(leaflet, imperial=imperial)),
        "own_head": ["Measure", "Yours"],
        "own": [[one, ""] for one in words.OWN_SAMPLE],
        "own_sums": list(words.OWN_SUMS),
        "assumed": list(leaflet.assumed),
        "cautions": list(leaflet.cautions),
    }
