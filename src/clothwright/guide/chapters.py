"""The chapters of the guide in the order of the work: the one table. A text of `docs/` without a row is refused by a test.

Texts for weavers and texts for those who work on the program are told apart by their part.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

from clothwright.guide.texts import given_along, root_of_texts, text_of

FOR_WORKERS: Final = "For who works on the program"
#: Sections within chapters of the work that are for who works on the program: they stand folded at the chapter's end.
_WITHIN: Final = {
    "docs/layout.md": (
        *(
            "What a layout is",
            "The judge",
            "The rules",
            "The front door",
            "More than one machine",
            "The bound",
            "The first guess",
            "The search",
        ),
        *("Measured by the clock", "Measured beside the library alone", "What is not done"),
    ),
    "docs/sheets.md": ("Words and numbers", "Adding a sheet"),
    "docs/web.md": ("What is where", "From a typed number to the picture", "Safety", "How it fares"),
    "docs/finishing.md": ("For others in the house",),
}


@dataclass(frozen=True)
class Chapter:
    """A text of the guide: its name from the root of the source, the part it stands in, and what it answers in one line."""

    text: str
    part: str
    about: str

    @property
    def slug(self) -> str:
        """Its place in an address: yarn, contributing, reports-kills."""
        return re.sub(r"[^a-z]+", "-", self.text.removeprefix("docs/").removesuffix(".md").lower())

    @property
    def for_workers(self) -> tuple[str, ...]:
        """The headings of its sections that are for who works on the program."""
        return _WITHIN.get(self.text, ())

    @property
    def title(self) -> str:
        """Its own first heading."""
        return text_of(self.text).split("\n", 1)[0].removeprefix("# ").strip()


_TABLE: Final = (
    (
        "To begin with",
        (("first-cloth", "one garment from the yarn to its record, every step with its command and its page"),),
    ),
    (
        "Yarn, sett, sample",
        (
            ("yarn", "yarn numbers, folded yarns, weighing, washing tests, trying a yarn in the heddle"),
            ("sett", "wraps, structures, heddles side by side and what each leads to"),
            ("sampling", "what makes a plan unsure, what to measure next, the smallest sample"),
            ("samples", "how to measure a sample, what it tells, whether its sett was right"),
        ),
    ),
    (
        "Pieces",
        (
            ("measures", "garments made from body measures: tunic, wrap jacket, waistcoat, top, skirt, bag"),
            ("drawing-by-hand", "how to draw a piece on the page, or from a table of corners and sides"),
            ("drawings", "how to draw pieces so that they are read at true size"),
            ("photographs", "how to trace a paper piece from a photograph"),
            ("fit", "the mock-up, changes to a pattern as dated steps, sizes between sizes, provisional plans"),
        ),
    ),
    (
        "Layout and verdict",
        (
            ("layout", "how pieces are laid on narrow cloth, by the program and by hand"),
            ("narrow-cloth", "pieces wider than the cloth: joins, selvedges, pieces of other cloth"),
            ("forecast", "how the forecast is made and how far to trust it"),
            ("evidence", "what a finished project does for the next, and what a figure rests on"),
            ("trueness", "how right the forecasts were on real cloths"),
        ),
    ),
    (
        "Colours and warp",
        (
            ("colours", "balls to whole ends and to picks, the order of the colours of warp and weft under rules"),
            ("cloth-picture", "the cloth as it will look: true size, whole, cut into pieces, in whose eyes"),
            ("threading", "threading, sleying, where the warp stands, interchange files, warping"),
        ),
    ),
    (
        "Weaving, finishing, cutting",
        (
            ("weaving", "the weaving log, the forecast after each entry, ways to finish well from half way"),
            ("at-the-loom", "phones at the warping board and at the loom, with and without a network"),
            ("finishing", "measuring, finishing recipes, the pieces on the cloth that there is, cutting and sewing"),
        ),
    ),
    (
        "The record",
        (("record", "stages, photos, number and label, finding records again, using one again"),),
    ),
    (
        "For others",
        (
            ("sheets", "every printed sheet, filled and blank, ordinary and large print"),
            ("leaflet", "what readers of a pattern need for every size, version, heddle and cloth width"),
            ("classes", "one piece for many looms: class sheets, the teacher's summary, names that stay here"),
            ("studio", "one Clothwright for a guild or a class: setting it up, who sees what, leaving"),
        ),
    ),
    (
        "Keeping and looking up",
        (
            ("keeping", "copies of everything, put back; everything out as one open archive, and in again"),
            ("install", "installing on every system, as a service, in a container; newer versions"),
            ("web", "the pages, one by one"),
            ("words", "the kept words, British and American; sheets in other languages"),
            ("project-file", "every field of the project file, typed quantities, spreads"),
        ),
    ),
)
#: Part, text and what it answers; reports stand below them.
_FOR_WORKERS: Final = (
    ("CONTRIBUTING.md", "how to help"),
    ("docs/house.md", "where things live in the code"),
    ("docs/decisions.md", "what was decided, and why"),
    ("SECURITY.md", "what is guarded against, every limit, whom to tell"),
    ("CHANGELOG.md", "what changed"),
)


@cache
def chapters() -> tuple[Chapter, ...]:
    """Every chapter in order: those of the work, then those for who works on the program, then its reports."""
    of_work = [Chapter(f"docs/{name}.md", part, about) for part, rows in _TABLE for name, about in rows]
    for_workers = [Chapter(text, FOR_WORKERS, about) for text, about in _FOR_WORKERS]
    reports = [name for name in given_along(root_of_texts()) if name.startswith("docs/reports/")]
    return (*of_work, *for_workers, *(Chapter(name, FOR_WORKERS, "a report") for name in reports))


@cache
def by_slug() -> dict[str, Chapter]:
    """The chapters by their place in an address."""
    return {one.slug: one for one in chapters()}


def parts() -> list[tuple[str, list[Chapter]]]:
    """The parts in order, each with its chapters: the table of contents."""
    names = dict.fromkeys(one.part for one in chapters())
    return [(name, [one for one in chapters() if one.part == name]) for name in names]
