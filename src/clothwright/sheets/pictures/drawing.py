"""The drawing board: SVG made as a tree, so that everything typed is escaped, and looks given as attributes.

Lengths here are units of the drawing; a drawing is `DEFAULT_ACROSS` units across unless more are asked for, so that
its letters can still be read when it is shown 360 pixels wide. From `WIDE_FROM` on it is meant for paper: letters are
known to be our own, and words stand side by side. Nothing carries a style attribute or an id, so that
a strict content security policy lets it through and several drawings can stand on one page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final
from xml.etree import ElementTree

from clothwright.pattern import Point
from clothwright.sheets.wording import literal

Look = float | str

DEFAULT_ACROSS: Final = 400.0
WIDE_FROM: Final = 560.0
EDGE: Final = 14.0
LETTERS: Final = 13.0
SMALL: Final = 11.0
FONT: Final = "Atkinson Hyperlegible Next, Atkinson Hyperlegible, system-ui, sans-serif"
#: Widths of letters in hundredths of their height: Atkinson Hyperlegible Next, Regular, from its own table of widths.
_WIDTHS: Final = {
    16: "'", 20: ",.:;", 24: "`ijl|", 28: " !\u00a0", 32: '"()[]ft{}', 36: "-_r", 40: "/1I\\", 44: "y", 48: "*?cksvxz",
    52: "7Ja", 56: "23<>EFLTY^bdeghnopqu~", 60: "$+4569BPRSVZ", 64: "#08=ACKX", 68: "DGHNUw", 72: "&OQ", 80: "@M", 84: "m",
    88: "W", 92: "%",
}  # fmt: skip
_WIDTH_OF: Final = {letter: width / 100 for width, letters in _WIDTHS.items() for letter in letters}
_OTHERS: Final = 0.8  # letters beyond these are narrower, or stand for ones we do not know
_BOLD: Final = 1.07
#: How much wider the letters may be that stand in for ours on a screen.
_ON_SCREEN: Final = 1.2
_ON_PAPER: Final = 1.03

INK: Final = "#1d2a33"
FAINT: Final = "#5b6b74"
PAPER: Final = "#ffffff"
SAND: Final = "#f4ecdc"
FOAM: Final = "#dbe9ea"
TIDE: Final = "#1f5f70"
KELP: Final = "#6d5213"
SIGNAL: Final = "#8f1d2c"


def coordinate(value: float) -> str:
    """A coordinate to a hundredth of a unit, without needless noughts."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def path_of(points: Iterable[Point], *, closed: bool = True) -> str:
    """Points as the data of a path."""
    return "M" + "L".join(f"{coordinate(x)} {coordinate(y)}" for x, y in points) + ("Z" if closed else "")


def lines_of(lines: Iterable[tuple[Point, Point]]) -> str:
    """Separate straight lines as the data of one path."""
    return "".join(path_of(line, closed=False) for line in lines)


def width_of(text: str, size: float) -> float:
    """How wide text comes out at most, on a screen."""
    return _width(text) * size * _ON_SCREEN


def _width(text: str) -> float:
    """The width of text in our letters, for a height of one."""
    return sum(_WIDTH_OF.get(letter, _OTHERS) for letter in text)


def fitting(text: str, most: float) -> str:
    """Text cut with … to a width, for letters of a height of one."""
    if _width(text) <= most:
        return text
    kept = len(text)
    while kept and _width(text[:kept]) + _OTHERS > most:
        kept -= 1
    return text[:kept].rstrip() + "…"


def broken(text: str, most: float) -> list[str]:
    """Text broken between words into lines of a width, for letters of a height of one; a word too long is cut."""
    lines: list[str] = []
    for word in literal(text).split(" "):
        if lines and _width(f"{lines[-1]} {word}") <= most:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(fitting(word, most))
    return lines


@dataclass
class Drawing:
    """A drawing that grows from the top: `title` names it, `desc` says in words what it shows."""

    title: str
    desc: str
    name: str
    across: float = DEFAULT_ACROSS
    height: float = 0.0
    #: A unit in mm, where the drawing is to be shown at true size.
    unit_mm: float | None = None
    #: What it is to those who do not see it: one picture, or a group of things that can be reached one by one.
    role: str = "img"
    #: What a script of our own reads off it, as `data-…`.
    told: Mapping[str, str] = field(default_factory=dict)
    _nodes: list[ElementTree.Element] = field(default_factory=list)

    def add(self, tag: str, css: str, looks: Mapping[str, Look], text: str | None = None) -> None:
        """An element of class `cw-…`; looks as Python names them, `stroke_width` for `stroke-width`."""
        node = ElementTree.Element(tag, {"class": f"cw-{css}"})
        for name, value in looks.items():
            shown = value if isinstance(value, str) else coordinate(value)
            node.set(name.replace("_", "-"), shown)
        node.text = None if text is None else literal(text)
        self._nodes.append(node)

    def text(self, x: float, y: float, text: str, css: str = "text", size: float = LETTERS, **looks: Look) -> None:
        """A line of text, its baseline at y."""
        self.add("text", css, {"x": x, "y": y, "font_size": size, "fill": INK, **looks}, text)

    def rect(self, css: str, x: float, y: float, width: float, height: float, **looks: Look) -> None:
        """A rectangle."""
        self.add("rect", css, {"x": x, "y": y, "width": width, "height": height, **looks})

    def path(self, css: str, data: str, **looks: Look) -> None:
        """A path; not filled unless told."""
        self.add("path", css, {"d": data, "fill": "none", **looks})

    def line(self, css: str, start: Point, end: Point, **looks: Look) -> None:
        """A straight line."""
        ends: dict[str, Look] = {"x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]}
        self.add("line", css, {**ends, "stroke": INK, "stroke_width": 1.0, **looks})

    def paragraph(self, text: str, *, size: float = LETTERS, indent: float = 0.0, bold: bool = False) -> None:
        """Text below everything so far, broken into lines that fit."""
        self._lines(broken(text, self._most(size, self.room - indent, bold)), size, indent, bold)

    def one_line(self, text: str, *, size: float = LETTERS, indent: float = 0.0, bold: bool = False) -> None:
        """Text below everything so far, cut to what fits one line."""
        self._lines([fitting(text, self._most(size, self.room - indent, bold))], size, indent, bold)

    def _most(self, size: float, room: float, bold: bool) -> float:
        """How wide a line may be, for letters of a height of one."""
        return room / size / (_ON_PAPER if self.wide else _ON_SCREEN) / (_BOLD if bold else 1.0)

    def _lines(self, lines: Iterable[str], size: float, indent: float, bold: bool = False) -> None:
        for line in lines:
            self.height += size * 1.35
            self.text(EDGE + indent, self.height, line, size=size, font_weight="bold" if bold else "normal")

    def columns(self, texts: Sequence[str]) -> None:
        """Texts below everything so far, read downwards, in two columns where there is room for them."""
        across = self.room / 2 if self.wide else self.room
        half = (len(texts) + 1) // 2 if self.wide else len(texts)
        top, lowest = self.height, self.height
        for start in range(0, len(texts), half or 1):
            self.height = top
            for text in texts[start : start + half]:
                self._lines(broken(text, self._most(LETTERS, across - 6, False)), LETTERS, across if start else 0.0)
            lowest = max(lowest, self.height)
        self.height = lowest

    @property
    def wide(self) -> bool:
        """Whether it is meant for paper."""
        return self.across >= WIDE_FROM

    @property
    def room(self) -> float:
        """How wide it is between its edges."""
        return self.across - 2 * EDGE

    def triangle(self, css: str, x: float, y: float, size: float, **looks: Look) -> None:
        """A small triangle that points up to (x, y)."""
        self.path(css, path_of([(x, y), (x + size / 2, y + size), (x - size / 2, y + size)]), **looks)

    def zigzag(self, x: float, top: float, bottom: float) -> None:
        """A torn edge: the strip goes on elsewhere."""
        points = [(x + (2 if n % 2 else -2), top + n * 6) for n in range(int((bottom - top) / 6) + 1)]
        self.path("torn", path_of(points, closed=False), stroke=FAINT, stroke_width=1.2)

    def dimension(self, css: str, start: Point, end: Point, *, butts: float = 3.0, stroke_width: float = 1.0) -> None:
        """A line along or across, with butt ends."""
        along = start[1] == end[1]
        ends = [
            ((x, y - butts), (x, y + butts)) if along else ((x - butts, y), (x + butts, y)) for x, y in (start, end)
        ]
        self.path(css, lines_of([(start, end), *ends]), stroke=INK, stroke_width=stroke_width)

    @property
    def svg_height(self) -> float:
        """How high the whole picture is, its lower edge with it."""
        return self.height + EDGE / 2

    def svg(self) -> str:
        """The drawing as text."""
        high = self.svg_height
        size = {"viewBox": f"0 0 {coordinate(self.across)} {coordinate(high)}"}
        if self.unit_mm:
            sides = (("width", self.across), ("height", high))
            size |= {side: f"{coordinate(long * self.unit_mm)}mm" for side, long in sides}
        looks = {"font-family": FONT, "class": f"cw-picture cw-{self.name}"}
        root = ElementTree.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "role": self.role} | size | looks)
        for key, value in self.told.items():
            root.set(f"data-{key}", value)
        for tag, text in (("title", self.title), ("desc", self.desc)):
            ElementTree.SubElement(root, tag).text = literal(text)
        ElementTree.SubElement(root, "rect", {"class": "cw-paper", "width": "100%", "height": "100%", "fill": PAPER})
        root.extend(self._nodes)
        return ElementTree.tostring(root, encoding="unicode")
