"""Every sheet is set in one style: tagged, titled, dated, numbered, in black, within its margins, true to scale.

The tags are checked by outloud, which knows the conditions of PDF/UA-1 (ISO 14289-1) as the Matterhorn Protocol lists them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from ctypes import byref, c_double, c_uint
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import outloud
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from outloud.findings import Finding
from sheets.every_sheet import DAY, EVERY_WAY, drawn, named_of
from sheets.printed import reader

from clothwright import __version__
from clothwright.sheets import BY_KIND
from clothwright.sheets import page as sheets_page

MM = 25.4 / 72
SIDE_MM, FOOT_MM = 15.0, 14.0
#: Pictures reach into the margins by their empty edges: 14 units of 0.5 mm in large print.
PICTURE_EDGE_MM = 7.0
#: Pages of pieces and markers have a frame of their own.
OWN_FRAME = {"pieces", "pieces-copyshop", "photo-markers"}
#: What the checker of tags says of sheets that is as it should be: boxes to write in are empty, labels are short.
AS_IT_SHOULD_BE = {
    "TBL-012": "a table of empty cells is there to be written in",
    "TBL-014": "lines to write on, threads and rulers are drawn beside tables",
    "FIG-012": "the words for a picture of threads are mostly figures",
    "LNK-010": "an address on a label is there to be typed off it",
    "PAG-001": "rows of a list may be alike on every page, and a tile is found by its name",
}
#: Pictures that keep their size, and so their letters, in large print.
THREADS_AT_TRUE_SIZE = {"finding-sett", "sett-comparison"}
#: Sheets of words alone, where nothing is measured on the paper.
WORDS_ALONE = {"words", "class-sheet", "label"}
#: Sheets on which a box that goes on over a page is painted after what follows it; they are read in the right order.
PAINTED_LATER = {"class-sheet": "ORD-001"}
everywhere = pytest.mark.parametrize(("kind", "blank", "large"), EVERY_WAY)


@dataclass(frozen=True)
class Letter:
    """A letter on paper: its box in mm from the left and from the foot, its line, its size as printed, how light it is (0 black)."""

    text: str
    left: float
    foot: float
    right: float
    head: float
    line: float
    size_pt: float
    light: float


def letters(page: pypdfium2.PdfPage) -> Iterator[Letter]:
    words = page.get_textpage()
    x, y = c_double(), c_double()
    rgba, placed = [c_uint() for _ in range(4)], pdfium.FS_MATRIX()
    for n in range(words.count_chars()):
        text = chr(pdfium.FPDFText_GetUnicode(words, n))
        if text.isspace() or not text.isprintable():
            continue
        pdfium.FPDFText_GetCharOrigin(words, n, byref(x), byref(y))
        pdfium.FPDFText_GetFillColor(words, n, *map(byref, rgba))
        pdfium.FPDFText_GetMatrix(words, n, byref(placed))
        size = pdfium.FPDFText_GetFontSize(words, n) * abs(placed.a * placed.d - placed.b * placed.c) ** 0.5
        light = sum(
            share * linear(one.value / 255) for share, one in zip((0.2126, 0.7152, 0.0722), rgba[:3], strict=True)
        )
        yield Letter(text, *(one * MM for one in words.get_charbox(n)), y.value * MM, size, light)


def pages(pdf: bytes) -> list[pypdfium2.PdfPage]:
    return list(pypdfium2.PdfDocument(pdf))


@cache
def texts(kind: str, blank: bool, large: bool) -> list[str]:
    """The text of each page, its line ends taken as spaces."""
    read = (page.get_textpage().get_text_range() for page in pages(drawn(kind, blank=blank, large=large)))
    return [" ".join(one.replace("\u200b", "").replace("\u00a0", " ").split()) for one in read]


@cache
def lettered(kind: str, blank: bool, large: bool) -> list[tuple[float, float, list[Letter]]]:
    """Each page: how wide and high it is, mm, and its letters."""
    found = pages(drawn(kind, blank=blank, large=large))
    return [(page.get_width() * MM, page.get_height() * MM, list(letters(page))) for page in found]


@everywhere
def test_a_sheet_is_tagged_and_nothing_in_its_tags_is_wrong(
    kind: str, blank: bool, large: bool, tmp_path: Path
) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(drawn(kind, blank=blank, large=large))
    told = outloud.check(str(file))
    assert not told.error
    said = " ".join(texts(kind, blank, large))
    wrong = [
        (one.rule, one.message, one.page)
        for one in told.findings
        if one.severity == "error" and not said_again(one, said)
    ]
    doubtful = {one.rule: one.message for one in told.findings if one.severity == "warning"}
    assert wrong == []
    assert {
        rule: says for rule, says in doubtful.items() if rule not in AS_IT_SHOULD_BE and rule != PAINTED_LATER.get(kind)
    } == {}


def said_again(told: Finding, text: str) -> bool:
    """Whether what no reader is told is the foot of the page, or the head of a table again on its next page."""
    line = " ".join(str(told.evidence).split())
    return told.rule == "TAG-002" and ("Clothwright" in line or all(text.count(word) > 1 for word in line.split()))


@everywhere
def test_a_sheet_has_title_language_day_and_its_own_letters(kind: str, blank: bool, large: bool) -> None:
    pdf = reader(drawn(kind, blank=blank, large=large))
    root: Any = pdf.trailer["/Root"].get_object()
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"].value) == ("en-GB", True)
    assert pdf.metadata is not None
    assert pdf.metadata.title
    assert "D:20261126" in str(pdf.metadata.get("/CreationDate"))
    assert all(embedded for page in pdf.pages for embedded in fonts(page["/Resources"].get_object()))


def fonts(resources: Any) -> Iterator[bool]:
    """Whether each font has its file in the PDF (ISO 32000-1, 9.9)."""
    for font in resources.get("/Font", {}).values():
        every = font.get_object()
        for one in every.get("/DescendantFonts", [every]):
            descriptor = one.get_object()["/FontDescriptor"].get_object()
            yield bool({"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor))


@everywhere
def test_every_page_says_which_it_is_of_how_many_of_what_and_when(kind: str, blank: bool, large: bool) -> None:
    every = texts(kind, blank, large)
    if kind in ("pieces", "pieces-copyshop"):
        assert "26 November 2026" in " ".join(every)
        return
    for number, said in enumerate(every, 1):
        foot = f"26 November 2026 · Clothwright {__version__} page {number} of {len(every)}"
        assert foot.replace(" ", "") in said.replace(" ", ""), said[-90:]
        assert blank or named_of(kind) in said or kind in ("photo-markers", "leaflet")


@everywhere
def test_letters_are_dark_enough_to_read_and_lie_within_the_margins(kind: str, blank: bool, large: bool) -> None:
    """Contrast with white at least 4.5 to 1 (WCAG 2.2, 1.4.3); what is too long for a page would stand in its foot, or beyond it."""
    for width, high, every in lettered(kind, blank, large):
        for one in every:
            assert 1.05 / (one.light + 0.05) >= 4.5, one
            assert 0 <= one.left <= one.right <= width, one
            if kind in OWN_FRAME:
                assert one.foot >= 0, one
                continue
            in_foot = one.head < FOOT_MM and one.size_pt < 13
            tail = max(1.2, 0.2 * one.size_pt * 25.4 / 72)  # of a g on the last line, whose own line lies within
            assert in_foot or FOOT_MM - tail <= one.foot <= one.head <= high - 8, one
            out = 1.0 if abs(one.size_pt - (22.0 if large else 10.5)) < 0.1 else PICTURE_EDGE_MM
            assert SIDE_MM - out <= one.left <= one.right <= width - SIDE_MM + out, one


#: What stands beside the check ruler and the square.
RULER = re.compile("|".join(re.escape("".join(words.split())) for words in sheets_page.RULER.values()))
#: So much of the height of a page is filled at least, where it is not the first: some five lines of large print.
LEAST_FILLED = 0.14


@everywhere
def test_no_page_holds_next_to_nothing(kind: str, blank: bool, large: bool) -> None:
    """Not the check ruler alone, and not the last lines of what ran over."""
    if kind in OWN_FRAME:
        return
    for number, page in enumerate(pages(drawn(kind, blank=blank, large=large))[1:], 2):
        dark = page.render(scale=0.5, grayscale=True).to_numpy().squeeze() < 200
        high = dark.shape[0] * 2 * MM
        rows = np.flatnonzero(dark[: int((high - FOOT_MM - 3) / MM / 2)].any(axis=1))
        assert rows.size, number
        assert rows[-1] * 2 * MM > LEAST_FILLED * high, number
        above = "".join(one.text for one in lettered(kind, blank, large)[number - 1][2] if one.line > FOOT_MM)
        words = RULER.sub("", above)
        drawn_only = kind == "loom-marks"
        assert drawn_only or len(words) > 12, words


def linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


@pytest.mark.parametrize(("kind", "blank", "large"), [way for way in EVERY_WAY if way[2]])
def test_large_print_is_of_22_points_in_one_column(kind: str, blank: bool, large: bool) -> None:
    every = [one for _, _, found in lettered(kind, blank, large) for one in found]
    assert any(abs(one.size_pt - 22) < 0.1 for one in every)
    above = [one for one in every if one.line > FOOT_MM or one.size_pt > 13]
    assert sum(one.size_pt >= 14 for one in above) > 0.75 * len(above)
    assert min(one.size_pt for one in every) > (8.5 if kind in THREADS_AT_TRUE_SIZE else 10.5)
    for _, _, found in lettered(kind, blank, large):
        for line in lines([one for one in found if abs(one.size_pt - 22) < 0.1]):
            gaps = [after.left - before.right for before, after in pairwise(line)]
            assert max(gaps, default=0) < 20, "".join(one.text for one in line)


def lines(every: list[Letter]) -> list[list[Letter]]:
    """Letters that stand at one height, from the left."""
    found: dict[int, list[Letter]] = {}
    for one in every:
        found.setdefault(round(one.line), []).append(one)
    return [sorted(line, key=lambda one: one.left) for line in found.values()]


DPI = 400
DOT_MM = 25.4 / DPI


def runs_mm(dark: np.ndarray, least_mm: float) -> set[float]:
    """How long the unbroken dark runs along the rows are, mm, those of at least so much."""
    found = set()
    for row in dark[dark.sum(axis=1) * DOT_MM >= least_mm]:
        edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8), [0]))))
        found |= {float(size) for size in (edges[1::2] - edges[::2]) * DOT_MM if size >= least_mm}
    return found


@pytest.mark.parametrize(
    ("kind", "blank", "large"), [way for way in EVERY_WAY if way[0] not in {"pieces", "pieces-copyshop", *WORDS_ALONE}]
)
def test_ruler_and_square_measure_true_on_the_rendered_page(kind: str, blank: bool, large: bool) -> None:
    """10 cm, and 4 in = 101.6 mm, from edge to edge, to 0.2 mm; the square both ways."""
    has = [
        one
        for one in pages(drawn(kind, blank=blank, large=large))
        if "This line is" in one.get_textpage().get_text_range()
    ]
    assert has, "no ruler"
    across: set[float] = set()
    down: set[float] = set()
    for page in has:
        dark = page.render(scale=DPI / 72, grayscale=True).to_numpy().squeeze() < 190
        across |= runs_mm(dark, 90)
        down |= runs_mm(dark.T, 90)
    assert any(abs(one - 100) <= 0.2 for one in across), sorted(across)
    if kind != "photo-markers":
        assert any(abs(one - 101.6) <= 0.2 for one in across), sorted(across)
    if kind in ("measuring-yarn", "finding-sett", "sett-comparison", "cloth"):
        assert any(abs(one - 100) <= 0.2 for one in down), sorted(down)


def test_every_way_to_print_is_tried() -> None:
    assert {kind for kind, _, _ in EVERY_WAY} == set(BY_KIND)
    assert DAY.year == 2026
