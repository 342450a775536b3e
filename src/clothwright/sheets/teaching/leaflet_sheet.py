"""The leaflet's requirement pages: what a reader needs, what is assumed, and a box for her own sample."""

from __future__ import annotations

import datetime
from typing import Any, Final

from clothwright.planning import Leaflet
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.page import A4, LARGE, ORDINARY, US_LETTER, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.pictures.drawing import DEFAULT_ACROSS, EDGE
from clothwright.sheets.pictures.lay import cloth_laid, cloth_laid_svg
from clothwright.sheets.teaching import leaflet_words as words

_HEADS: Final = {
    "proof": "PROOF, NOT TO BE GIVEN OUT",
    "advice": "Worth knowing",
    "missing": "Not on every cloth",
    "spread": "How far it may be from this",
    "own": "Your own sample",
    "yarns": "Other yarns that do",
    "own_yarn": "Your own yarn",
    "measures": "The finished garment",
    "pieces": "Pieces",
    "layouts": "How the pieces lie",
    "making": "Order of making",
    "words": "Words",
    "care": "Care",
    "assumed": "What the figures stand on",
    "cautions": "Take care",
}


def leaflet_pdf(
    leaflet: Leaflet, *, imperial: bool = False, made_on: datetime.date, large_print: bool = False
) -> bytes:
    """The pages as PDF; stamped as a proof, with the reasons, while it is not to be given out."""
    paper, size = US_LETTER if imperial else A4, LARGE if large_print else ORDINARY
    across = paper.across_mm / size.unit_mm + 2 * EDGE
    which = f", version {leaflet.version}" if leaflet.version else ", not given out"
    how: dict[str, Any] = {"imperial": imperial, "large_print": large_print, "more": which}
    page = sheet_page(leaflet.name, "Leaflet, what you need,", made_on, **how)
    page |= {"across_mm": across * size.unit_mm, "edge_mm": EDGE * size.unit_mm}
    drawn = drawn_layouts(leaflet, imperial=imperial, across=across)
    data = leaflet_data(leaflet, imperial=imperial) | {
        "layouts": [{"name": str(n), "says": says} for n, (says, _) in enumerate(drawn)],
        "alts": {str(n): says for n, (says, _) in enumerate(drawn)},
    }
    return typeset("leaflet.typ", page | data, {str(n): svg for n, (_, svg) in enumerate(drawn)}, made_on)


def drawn_layouts(leaflet: Leaflet, *, imperial: bool, across: float = DEFAULT_ACROSS) -> list[tuple[str, str]]:
    """What each layout that matters is of, and its drawing."""
    found = []
    for one in words.layouts_that_matter(leaflet):
        says = words.layout_in_words(one, imperial=imperial)
        cloth = cloth_laid(says, one.layout, one.outlines)
        found.append((says, cloth_laid_svg(cloth, imperial=imperial, across=across)))
    return found


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
        "advice": [f"{one[:1].upper()}{one[1:]}" for one in each_in_both(leaflet.advice)],
        "missing": list(words.missing(leaflet)),
        "spread": list(words.low_and_high(leaflet, imperial=imperial)),
        "own_head": ["Measure", "Yours"],
        "own": [[one, ""] for one in words.OWN_SAMPLE],
        "own_sums": list(words.OWN_SUMS),
        "yarns": [{"says": says, "rows": rows} for says, rows in words.yarn_rows(leaflet)],
        "yarn_head": list(words.YARN_HEAD),
        "yarn_says": words.YARN_SAYS,
        "own_yarn": [[one, ""] for one in words.OWN_YARN],
        "measure_head": list(words.MEASURE_HEAD),
        "measures": words.measure_rows(leaflet, imperial=imperial),
        "piece_head": list(words.PIECE_HEAD),
        "pieces": words.piece_rows(leaflet, imperial=imperial),
        "making": list(leaflet.contents.making),
        "word_head": list(words.WORD_HEAD),
        "words": words.word_rows(),
        "care": list(leaflet.contents.care),
        "assumed": list(each_in_both(leaflet.assumed)),
        "cautions": list(leaflet.cautions),
    }
