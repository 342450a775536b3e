"""The sheet of marker strips for photographing paper pieces: four strips of four, at true size."""

from __future__ import annotations

import datetime
from itertools import groupby
from typing import Any, Final

from clothwright.pattern import MARKER_PITCH_CM, MARKER_SIDE_CM, Marker, markers
from clothwright.project import Project
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset

TITLE: Final = "Marker strips for photographs"
#: Paper between a marker and the cut: a marker is found by the white around it.
_MARGIN_MM: Final = 6.0
_HOW: Final = [
    "Print at 100 %, “actual size”. The line below the strips must measure 10 cm.",
    "Cut along the dashes. Lay the paper piece flat on a plain table of another brightness, and all strips flat around it, "
    "wherever there is room.",
    "Photograph from above and not too near, in even light, with all strips whole in the picture.",
]
_CHECK: Final = "This line is 10 cm: measure it; if it is not, the print was scaled and the piece would come out wrong."


def marker_sheet_pdf(_project: Project | None, *, imperial: bool = False, made_on: datetime.date) -> bytes:
    """The sheet as PDF; it is the same for every project, and its letters stay small beside the strips."""
    page = sheet_page(TITLE, "To cut out", made_on, imperial=imperial, large_print=False)
    return typeset("photo-markers.typ", page | _data(), {}, made_on)


def _data() -> dict[str, Any]:
    by_strip = groupby(markers().values(), key=lambda marker: marker.strip)
    strips = [[_squares(marker) for marker in of_strip] for _, of_strip in by_strip]
    side, pitch = 10 * MARKER_SIDE_CM, 10 * MARKER_PITCH_CM
    across = (len(strips[0]) - 1) * pitch + side + 2 * _MARGIN_MM
    return {
        "how": _HOW,
        "check": _CHECK,
        "strips": strips,
        "side_mm": side,
        "pitch_mm": pitch,
        "margin_mm": _MARGIN_MM,
        "strip_mm": [across, side + 2 * _MARGIN_MM],
        "across": len(strips[0][0]),
    }


def _squares(marker: Marker) -> list[list[bool]]:
    return [list(row) for row in marker.squares]
