"""What changed between two versions of a leaflet, figure by figure as printed: the change list, and the corrections page.

Printed figures are compared and not those behind them, since a reader holds the paper: what rounds to the same is no change. A correction
says where it stands, what was printed and what it is now.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from clothwright.planning import Leaflet
from clothwright.planning.teaching.leaflet_versions import PublishedVersion
from clothwright.sheets.both_units import each_in_both
from clothwright.sheets.page import in_words, sheet_page
from clothwright.sheets.paper import typeset
from clothwright.sheets.teaching import leaflet_words as words
from clothwright.sheets.wording import LENGTH

HEAD: Final = ("Where", "What", "Printed", "Is now")
_NOT_THERE: Final = "not in it"
_GONE: Final = "no longer in it"
_LINE: Final = "a line"
Printed = Mapping[tuple[str, str], str]


@dataclass(frozen=True)
class Change:
    """One printed figure or line: where it stands, what it is of, how it was printed and how it is now."""

    where: str
    what: str
    was: str
    now: str

    @property
    def sentence(self) -> str:
        """The correction in a sentence."""
        return f"{self.where}: {self.what} printed as {self.was} is {self.now}."

    @property
    def cells(self) -> list[str]:
        """The correction as a row of the page."""
        return [self.where, self.what, self.was, self.now]


def changes(before: Leaflet, after: Leaflet, *, imperial: bool = False) -> tuple[Change, ...]:
    """Every printed figure and line that differs, in the order of the later leaflet, then those that are gone."""
    was, now = (printed(one, imperial=imperial) for one in (before, after))
    changed = [
        Change(*place, was.get(place, _NOT_THERE), text) for place, text in now.items() if was.get(place) != text
    ]
    gone = [Change(*place, text, _GONE) for place, text in was.items() if place not in now]
    return (*changed, *gone)


def printed(leaflet: Leaflet, *, imperial: bool) -> dict[tuple[str, str], str]:
    """Every figure and line of a leaflet as printed, by where it stands and what it is of."""
    return dict(_printed(leaflet, imperial))


def _printed(leaflet: Leaflet, imperial: bool) -> Iterator[tuple[tuple[str, str], str]]:
    for row in leaflet.rows:
        where = ", ".join(
            filter(
                None,
                (
                    row.size and f"Size {row.size}",
                    row.version,
                    f"{row.heddle} heddle",
                    f"cloth {LENGTH.text(row.cloth_width_cm, imperial=imperial)} wide",
                ),
            )
        )
        yield from (((where, what), text) for what, text in words.figures_by_name(row, imperial=imperial))
    for title, head, rows in words.tables(leaflet, imperial=imperial):
        for first, *rest in rows:
            yield from (
                ((f"{title.split(':')[0]}, {first}", what), text) for what, text in zip(head[1:], rest, strict=True)
            )
    yield ("All tables", "balls"), words.balls_in_words(leaflet) or "not told"
    for title, lines in (
        ("Worth knowing", each_in_both(leaflet.advice)),
        ("Not on every cloth", tuple(words.missing(leaflet))),
        ("How far it may be from this", tuple(words.low_and_high(leaflet, imperial=imperial))),
        ("Order of making", leaflet.contents.making),
        ("Care", leaflet.contents.care),
        ("What the figures stand on", each_in_both(leaflet.assumed)),
        ("Take care", leaflet.cautions),
    ):
        yield from (((title, line), line) for line in lines)


def corrections_pdf(
    versions: tuple[PublishedVersion, PublishedVersion],
    *,
    imperial: bool = False,
    made_on: datetime.date,
    large_print: bool = False,
) -> bytes:
    """The corrections page of a version as PDF: what readers of the one before are to change."""
    before, after = versions
    page = sheet_page(
        after.leaflet.name,
        "Corrections",
        made_on,
        imperial=imperial,
        large_print=large_print,
        more=f", {between(before, after)}",
    )
    found = changes(before.leaflet, after.leaflet, imperial=imperial)
    data = {"intro": [between(before, after), intro(found)], "head": list(HEAD), "rows": [one.cells for one in found]}
    return typeset("corrections.typ", page | data, {}, made_on)


def between(before: PublishedVersion, after: PublishedVersion) -> str:
    """Which two versions are compared."""
    return (
        f"version {before.version} of {in_words(before.day)} against version {after.version} of {in_words(after.day)}"
    )


def intro(found: tuple[Change, ...]) -> str:
    """What a reader of the earlier version is to do."""
    if not found:
        return "Nothing that is printed has changed."
    return "If your leaflet is the earlier version, change these on it. All else is as printed."
