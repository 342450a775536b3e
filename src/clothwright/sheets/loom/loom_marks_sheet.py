"""Marks at true size along the cloth: paper strips to tape together and pin to the selvedge, and the same as a list to tick off.

A strip is a stretch of the cloth, its first pick at the foot. Each has a scale at its left, and across it what comes there: her
marks with what to weigh for, where pieces begin and end, bands, and where to stop. Words that would lie on one another are moved
up along the strip, and a thin line leads to their place.
"""

from __future__ import annotations

import datetime
import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from clothwright.measure import CM_PER_INCH
from clothwright.project import Project
from clothwright.sheets.loom.at_loom import stop_in_short
from clothwright.sheets.loom.loom_log_sheet import marks_to_come
from clothwright.sheets.page import sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.wording import LENGTH, literal
from clothwright.weaving import LoomForecast

#: How long a strip is: what fits between the margins of its paper (A4, US Letter) with room to glue.
STRIP_CM: Final = {False: 25.0, True: 9 * CM_PER_INCH}
#: More is not printed; the sheet says so.
MOST_STRIPS: Final = 120
_BLANK_CM: Final = {False: 250.0, True: 99 * CM_PER_INCH}
_NEAR_CM: Final = 0.25


@dataclass(frozen=True)
class _Look:
    """How strips are set: how many stand side by side, letters in points, and what a line and a letter take, mm."""

    beside: int
    size_pt: float
    line_mm: float
    letters: int


_ORDINARY: Final = _Look(4, 8.0, 3.3, 19)
_LARGE: Final = _Look(2, 14.0, 5.8, 24)


@dataclass(frozen=True)
class Place:
    """What comes at a place along the cloth, cm from its first pick: its kind, and in words."""

    cm: float
    kind: str
    words: str


def places(
    project: Project | None, told: LoomForecast | None, end_cm: float | None, *, imperial: bool
) -> tuple[Place, ...]:
    """Everything that comes along the cloth, in the order of weaving."""
    found = [Place(cm, "mark", "weigh, measure") for cm in marks_to_come(project, end_cm, imperial=imperial)]
    if told is not None:
        found = [*_watched(found, told, imperial), *_of_pieces(told), *_of_bands(told, imperial)]
        if told.woven_cm:
            found.append(Place(told.woven_cm, "woven", "woven so far"))
    if end_cm:
        found.append(Place(end_cm, "stop", "STOP: the cloth ends here"))
    return tuple(sorted(found, key=lambda one: (one.cm, one.kind)))


def _watched(marks: Sequence[Place], told: LoomForecast, imperial: bool) -> Iterator[Place]:
    """The marks, with the stop lines that fall on them, and those that fall between."""
    lines = {line.at_cm: [one for one in told.stop_lines if one.at_cm == line.at_cm] for line in told.stop_lines}
    for mark in marks:
        here = lines.pop(next((cm for cm in lines if abs(cm - mark.cm) < _NEAR_CM), math.nan), [])
        said = [stop_in_short(one, imperial=imperial) for one in here]
        yield replace(mark, words=". ".join([mark.words, *said]))
    for cm, here in lines.items():
        yield Place(cm, "mark", ". ".join(["weigh", *(stop_in_short(one, imperial=imperial) for one in here)]))
    if told.weigh_next_at_cm is not None and all(
        abs(told.weigh_next_at_cm - cm) > _NEAR_CM
        for cm in (*(one.cm for one in marks), *(one.at_cm for one in told.stop_lines))
    ):
        yield Place(told.weigh_next_at_cm, "mark", "weigh next")


def _of_pieces(told: LoomForecast) -> Iterator[Place]:
    """Where pieces begin and end, those that do so together in one line."""
    ends: dict[tuple[float, str], list[str]] = {}
    for one in told.outlines:
        xs = [x for x, _ in one.outline]
        for cm, what in ((min(xs), "begins"), (max(xs), "ends")):
            ends.setdefault((round(cm, 1), what), []).append(literal(f"{one.piece} {one.copy}"))
    for (cm, what), names in ends.items():
        yield Place(cm, "piece", f"{', '.join(names)} {what if len(names) == 1 else what[:-1]}")


def _of_bands(told: LoomForecast, imperial: bool) -> Iterator[Place]:
    for start, end in told.bands:
        yield Place(start, "band", f"another yarn from here to {LENGTH.text(end, imperial=imperial)}")
        yield Place(end, "band", "back to the first yarn")


# --- on paper -----------------------------------------------------------------------------------------------------


def loom_marks_pdf(
    project: Project | None,
    end_cm: float | None = None,
    told: LoomForecast | None = None,
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """The strips, and the list to tick off; a bare scale for None."""
    of = project.name if project else None
    page = sheet_page("Marks along the cloth", "Strips", made_on, imperial=imperial, large_print=large_print, of=of)
    data = loom_marks_data(project, told, end_cm, imperial=imperial, large_print=large_print)
    return typeset("loom-marks.typ", page | data, {}, made_on)


def loom_marks_data(
    project: Project | None, told: LoomForecast | None, end_cm: float | None, *, imperial: bool, large_print: bool
) -> dict[str, Any]:
    """Every word and line of the strips; places in mm from the foot of their strip."""
    whole = end_cm or _BLANK_CM[imperial]
    every = places(project, told, end_cm, imperial=imperial)
    look, long = _LARGE if large_print else _ORDINARY, STRIP_CM[imperial]
    count = min(MOST_STRIPS, math.ceil(whole / long - 1e-9))
    return {
        "how": _how(whole, count * long, imperial),
        "beside": look.beside,
        "letters_pt": look.size_pt,
        "line_mm": look.line_mm,
        "strip_mm": long * 10,
        "strips": [_strip(number, count, every, look, imperial) for number in range(count)],
        "done": "Done",
        "head": ["Place", "What comes there"],
        "list": [[LENGTH.text(one.cm, imperial=imperial), f"{one.words[0].upper()}{one.words[1:]}"] for one in every],
    }


def _how(whole_cm: float, printed_cm: float, imperial: bool) -> list[str]:
    long = LENGTH.text(whole_cm, imperial=imperial)
    cut = [] if printed_cm >= whole_cm else [f"Printed to {LENGTH.text(printed_cm, imperial=imperial)} of {long}."]
    return [
        f"A ruler {long} long: every {'inch' if imperial else 'cm'} of it is one of cloth on the loom under tension.",
        "Print at 100 % and check the line below. Cut out the strips. Glue each on the tab of the one before, edge on line, by number.",
        "Pin it along the selvedge (selvage) with 0 at the first pick, move it on when you wind on, and tick what is done.",
        *cut,
    ]


def _strip(number: int, count: int, every: Sequence[Place], look: _Look, imperial: bool) -> dict[str, Any]:
    long = STRIP_CM[imperial]
    start, last = number * long, number == count - 1
    here = [one for one in every if start <= one.cm < start + long or (last and one.cm == start + long)]
    words = [(one, textwrap.wrap(one.words, look.letters)) for one in here]
    return {
        "name": f"{number + 1} of {count}",
        "tab": not last,
        "scale": list(_scale(number, imperial)),
        "places": [
            {"at": round((one.cm - start) * 10, 3), "kind": one.kind, "words": said, "words_at": at}
            for (one, said), at in zip(words, _apart(words, start, look, long * 10), strict=True)
        ],
    }


def _apart(words: Sequence[tuple[Place, list[str]]], start: float, look: _Look, long_mm: float) -> list[float]:
    """The foot of each one's words, mm: at its place, moved up where those below reach so far, down where the strip ends."""
    highs = [len(said) * look.line_mm + 1 for _, said in words]
    feet: list[float] = []
    for one, _ in words:
        below = feet[-1] + highs[len(feet) - 1] if feet else 0.0
        feet.append(max((one.cm - start) * 10 + 0.6, below))
    top = long_mm
    for number in range(len(feet) - 1, -1, -1):
        feet[number] = max(0.0, min(feet[number], top - highs[number]))
        top = feet[number]
    return [round(one, 3) for one in feet]


def _scale(number: int, imperial: bool) -> Iterator[dict[str, Any]]:
    """The ticks of a strip: every cm with a number at every five, or every half inch with one at every inch."""
    unit, step, named = (CM_PER_INCH, 0.5, 1.0) if imperial else (1.0, 1.0, 5.0)
    first = number * STRIP_CM[imperial] / unit
    for tick in range(round(STRIP_CM[imperial] / unit / step) + 1):
        value = first + tick * step
        whole = abs(value / named - round(value / named)) < 1e-6
        yield {
            "at": round(tick * step * unit * 10, 4),
            "long": whole,
            "says": f"{value:g}" if whole else "",
        }
