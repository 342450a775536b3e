"""Reads what a PDF draws: straight lines, rectangles and their sizes on the paper, in mm."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72
Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]
_UNMOVED: Matrix = (1, 0, 0, 1, 0, 0)


@dataclass(frozen=True)
class Drawn:
    """A path as painted: its points in mm on the paper, how it was painted, its line width in mm and cap."""

    points: tuple[Point, ...]
    painted: str
    line_mm: float
    cap: int

    @property
    def size(self) -> Point:
        xs, ys = zip(*self.points, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    """All text, spaces made plain and line ends taken as spaces."""
    pages = " ".join(page.extract_text() for page in reader(pdf).pages)
    return " ".join(pages.replace("\u200b", "").replace("\u00a0", " ").split())


#: The foot of a page: the sheet or its project, the day, the version, page n of m.
_FOOT = re.compile(r"[^\n]*· \d+ \w+ \d{4} · Clothwright \S+\s+page \d+ of \d+")


def body_of(pdf: bytes) -> str:
    """The same without the foot of each page, which stands in the middle of what goes on over a page."""
    pages = " ".join(_FOOT.sub(" ", page.extract_text().replace("\u00a0", " ")) for page in reader(pdf).pages)
    return " ".join(pages.replace("\u200b", "").split())


def paths(pdf: bytes, page: int | None = None) -> list[Drawn]:
    """Every path painted on a page, or on all, those within pictures too."""
    source = reader(pdf)
    pages = source.pages if page is None else [source.pages[page]]
    return [
        path
        for one in pages
        for path in _Pen(source, one["/Resources"], _UNMOVED).follow(ContentStream(one.get_contents(), source))
    ]


class _Pen:
    """Follows the drawing operators of a content stream (ISO 32000-2, 8.5)."""

    def __init__(self, source: PdfReader, resources: Any, matrix: Matrix) -> None:
        self.source, self.resources = source, resources
        self.state = (matrix, 1.0, 0)
        self.kept: list[tuple[Matrix, float, int]] = []
        self.points: list[Point] = []

    def follow(self, stream: ContentStream) -> Iterator[Drawn]:
        for operands, operator in stream.operations:
            name = operator.decode() if isinstance(operator, bytes) else operator
            if name == "Do":
                yield from self._inner(operands[0])
            elif name in _PAINTS:
                yield from self._paint(name)
            elif name in _MOVES:
                self.points += [_at(self.state[0], *point) for point in _MOVES[name](*map(float, operands))]
            else:
                self._set(name, operands)

    def _set(self, name: str, operands: Any) -> None:
        matrix, width, cap = self.state
        if name == "q":
            self.kept.append(self.state)
        elif name == "Q":
            self.state = self.kept.pop()
        elif name == "cm":
            self.state = (_times(tuple(map(float, operands)), matrix), width, cap)
        elif name == "w":
            self.state = (matrix, float(operands[0]), cap)
        elif name == "J":
            self.state = (matrix, width, int(operands[0]))

    def _paint(self, name: str) -> Iterator[Drawn]:
        matrix, width, cap = self.state
        if self.points and name != "n":
            yield Drawn(tuple(self.points), name, width * abs(matrix[0] or matrix[1]) * MM_PER_POINT, cap)
        self.points = []

    def _inner(self, name: str) -> Iterator[Drawn]:
        inner = self.resources["/XObject"][name].get_object()
        if inner["/Subtype"] == "/Form":
            moved = _times(tuple(map(float, inner.get("/Matrix", _UNMOVED))), self.state[0])
            pen = _Pen(self.source, inner.get("/Resources", self.resources), moved)
            yield from pen.follow(ContentStream(inner, self.source))


_PAINTS = {"S", "s", "f", "f*", "B", "B*", "n"}
_MOVES: dict[str, Callable[..., list[Point]]] = {
    "m": lambda x, y: [(x, y)],
    "l": lambda x, y: [(x, y)],
    "c": lambda *numbers: [numbers[4:]],
    "re": lambda x, y, w, h: [(x, y), (x + w, y), (x + w, y + h), (x, y + h)],
}


def _times(first: Any, then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    g, h, i, j, k, l = then  # noqa: E741
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + l)


def _at(matrix: Matrix, x: float, y: float) -> Point:
    a, b, c, d, e, f = matrix
    return ((a * x + c * y + e) * MM_PER_POINT, (b * x + d * y + f) * MM_PER_POINT)
