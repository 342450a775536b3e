"""Walks a drawing's tree, and gives every line that is really drawn, in centimetres on the page.

Groups, nested drawings, and `use` put elements inside each other; what is drawn is the *chain* of elements from
the root down to a shape. A shape that is used twice is drawn twice, with another chain. Transforms, visibility and
marks come down the chain. Hidden things, text, images and the like are left out and said so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cached_property
from xml.etree.ElementTree import Element

from clothwright.pattern.geometry import (
    MAX_POINTS,
    Affine,
    Flat,
    NotUnderstood,
    TooManyPoints,
    Track,
    flatten,
    read_numbers,
    read_transform,
)
from clothwright.pattern.reading.findings import DrawingRefused, Findings, quoted
from clothwright.pattern.reading.marks import LONGEST_LABEL, MarkReader, Marks
from clothwright.pattern.reading.safety import MAX_BYTES, MAX_DEPTH, MAX_ELEMENTS, is_svg, local_name, reference
from clothwright.pattern.reading.scale import (
    CM_PER,
    CM_PER_PX,
    Page,
    fit_view_box,
    read_view_box,
    split_length,
)
from clothwright.pattern.reading.svg_path import ellipse_track, polygon_track, read_path, rectangle_track

_GROUPS = {"g", "a", "switch", "svg"}
_SHAPES = {"path", "rect", "circle", "ellipse", "polygon", "polyline", "line"}
_DRAWN_ONLY_WHEN_USED = {
    "defs",
    "symbol",
    "title",
    "desc",
    "style",
    "script",
    "clipPath",
    "mask",
    "marker",
    "pattern",
}
_DRAWN_ONLY_WHEN_USED |= {
    "linearGradient",
    "radialGradient",
    "filter",
    "view",
    "cursor",
    "font",
    "color-profile",
}
_LEFT_OUT = {
    "image": "Images are not read",
    "foreignObject": "Left out, as it is no part of SVG",
    "metadata": "Left out, as it draws nothing",
}
_MOVING = {"animate", "animateTransform", "animateMotion", "animateColor", "set", "discard"}
_STYLED_GEOMETRY = {
    "transform",
    "translate",
    "rotate",
    "scale",
    "zoom",
    "d",
    "x",
    "y",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
}


#: Lines that may have a name of their own without being a notch.
NAMED_LINES = ("inside", "join")
#: Lines that are marks on a piece rather than outlines.
MARK_KINDS = ("grain", "fold", "join", "notch", "edge", "inside")


@dataclass(frozen=True, eq=False)
class Node:
    """One element as it is drawn once: its own marks, and what to call it."""

    tag: str
    marks: Marks
    where: str


@dataclass(frozen=True, eq=False)
class Line:
    """One drawn line, open or closed, with the chain of elements it stands in: the root first, the shape last.

    `track`: what it was before its curves became chords, and the transform of that to the page, where the reader knows.
    """

    chain: tuple[Node, ...]
    flat: Flat
    track: tuple[Track, Affine] | None = None

    @cached_property
    def marks(self) -> Marks:
        """The marks that hold for it: the shape's own, then those of the nearest group that states them."""
        found = self.chain[-1].marks
        for node in reversed(self.chain[:-1]):
            found = found.over(node.marks)
        return found

    @property
    def is_test(self) -> bool:
        """Whether it shows a length to check the scale by."""
        return self.chain[-1].marks.test is not None

    @property
    def is_edge(self) -> bool:
        """Whether it says something of an edge of a piece."""
        own = self.chain[-1].marks
        return own.is_edge or (own.allowance is not None and not self.flat.closed and own.line is None)

    @property
    def is_mark(self) -> bool:
        """Whether it is a mark on a piece."""
        return self.kind is not None

    @property
    def kind(self) -> str | None:
        """Which mark it is; None for an outline."""
        if self.is_test:
            return None
        if self.is_edge:
            return "edge"
        own = self.chain[-1].marks
        if own.match is not None:
            return own.line if own.line in NAMED_LINES else "notch"
        return self.marks.line if self.marks.line in MARK_KINDS else None

    @property
    def where(self) -> str:
        """What to call the line in a sentence: its name, or what it is and where it begins."""
        if self.marks.piece is not None:
            return quoted(self.marks.piece)
        return self.shape_where

    @property
    def shape_where(self) -> str:
        """What to call the shape itself, whatever piece it belongs to."""
        node, (x, y) = self.chain[-1], self.flat.points[0]
        if node.where.startswith("a "):
            return f"{node.where} near {x:.1f} cm across, {y:.1f} cm down"
        return node.where


@dataclass(frozen=True)
class Text:
    """A line of text, where it begins on the page, cm, and the chain of elements it stands in."""

    chain: tuple[Node, ...]
    at: tuple[float, float]
    text: str


@dataclass(frozen=True)
class _Place:
    """What an element gets from where it stands."""

    to_cm: Affine
    viewport: tuple[float, float]
    chain: tuple[Node, ...] = ()
    visible: bool = True
    used: tuple[str, ...] = ()


class Walker:
    """Walks the tree once; `lines` and `groups` hold what it found drawn."""

    def __init__(self, root: Element, page: Page, findings: Findings) -> None:
        self.lines: list[Line] = []
        self.groups: list[Node] = []
        self.texts: list[Text] = []
        self._findings = findings
        self._page = page
        self._by_id = _by_id(root)
        self._read: dict[Element, tuple[Marks, str]] = {}
        self._visits = 0
        self._letters = 0
        self._points = 0
        if root.get("transform"):
            findings.problem("The svg itself has a transform; put it on a group inside the drawing instead.")
        self._children(root, _Place(page.to_cm, page.viewport, (self._node(root),)))

    # --- one element -------------------------------------------------------------------------------------------

    def _children(self, element: Element, place: _Place) -> None:
        for child in element:
            self._visit(child, place)

    def _visit(self, element: Element, place: _Place) -> None:
        if self._is_drawn(element):
            self._count(element, place)
            inner = self._inside(element, place)
            if inner is not None:
                self._draw(element, inner)

    def _is_drawn(self, element: Element) -> bool:
        tag = local_name(element)
        if not is_svg(element):
            self._findings.leave_out("Left out, as a drawing program keeps it for itself", tag)
        elif tag in _LEFT_OUT:
            self._findings.leave_out(_LEFT_OUT[tag], tag)
        elif tag in _MOVING:
            self._findings.leave_out("Movement is not read, a piece is taken as it stands", tag)
        elif tag in _GROUPS or tag in _SHAPES or tag in ("use", "text"):
            return True
        elif tag not in _DRAWN_ONLY_WHEN_USED:
            self._findings.leave_out("Not known in SVG, so not used", quoted(tag))
        return False

    def _count(self, element: Element, place: _Place) -> None:
        """Stop where `use` makes much of little: by what is visited, by how deep it lies, by how much there is to read."""
        self._visits += 1
        self._letters += sum(len(key) + len(text) for key, text in element.attrib.items())
        if self._letters > 2 * MAX_BYTES:
            self._stop(f"With all that `use` repeats, the drawing is more than {2 * MAX_BYTES / 1e6:g} MB.")
        if self._visits > MAX_ELEMENTS:
            self._stop(f"With all that `use` repeats, the drawing has more than {MAX_ELEMENTS} elements.")
        if len(place.chain) > MAX_DEPTH:
            self._stop(f"Groups and `use` lie inside each other more than {MAX_DEPTH} deep; ungroup some of them.")

    def _stop(self, sentence: str) -> None:
        self._findings.problem(sentence)
        self._findings.refuse_if_any()
        raise DrawingRefused([sentence])

    def _node(self, element: Element) -> Node:
        """The element as drawn here; its marks are read, and complained of, once."""
        if element not in self._read:
            reader = MarkReader(element, self._findings)
            self._read[element] = (reader.read(), reader.where)
        return Node(local_name(element), *self._read[element])

    def _inside(self, element: Element, place: _Place) -> _Place | None:
        """The place for what stands in the element; None if it is hidden or cannot be read."""
        node = self._node(element)
        style = _style(element)
        if _property(element, style, "display") == "none":
            self._findings.leave_out(_HIDDEN, node.where)
            return None
        self._complain_of_style(node, style, element)
        try:
            own = read_transform(element.get("transform", ""))
        except (NotUnderstood, ArithmeticError) as error:
            self._findings.problem(f"{node.where}: its transform cannot be read: {error}.")
            return None
        visible = {"visible": True, "hidden": False, "collapse": False}.get(
            _property(element, style, "visibility"), place.visible
        )
        return replace(place, to_cm=own.inside(place.to_cm), chain=(*place.chain, node), visible=visible)

    def _complain_of_style(self, node: Node, style: dict[str, str], element: Element) -> None:
        moved = sorted(_STYLED_GEOMETRY & style.keys()) + ["transform-origin"] * ("transform-origin" in element.attrib)
        if moved:
            self._findings.problem(
                f"{node.where}: {', '.join(moved)} in its style is not read; write it as an attribute, without an origin."
            )
        if _property(element, style, "clip-path", "mask") not in ("", "none"):
            self._findings.note(f"{node.where} is clipped or masked; it is read whole, as drawn.")

    def _draw(self, element: Element, place: _Place) -> None:
        tag = local_name(element)
        try:
            if tag == "use":
                self._use(element, place)
            elif tag == "svg":
                self._viewport(element, place, (element.get("width"), element.get("height")))
            elif tag in _GROUPS:
                self._group(element, place)
            elif tag == "text":
                self._text(element, place)
            else:
                self._shape(element, place)
        except TooManyPoints:
            self._stop(
                f"The drawing's curves need more than {MAX_POINTS} points; is it larger than its pieces really are?"
            )
        except (NotUnderstood, ArithmeticError) as error:
            self._findings.problem(f"{place.chain[-1].where}: it cannot be read as SVG: {error}.")

    # --- groups ------------------------------------------------------------------------------------------------

    def _group(self, element: Element, place: _Place) -> None:
        self.groups.append(place.chain[-1])
        self._children(element, place)

    def _use(self, element: Element, place: _Place) -> None:
        target_id = (reference(element) or "").removeprefix("#")
        target = self._by_id.get(target_id)
        if target is None:
            self._findings.problem(f"{place.chain[-1].where} uses {quoted(target_id)}, which is not in the drawing.")
            return
        if target_id in place.used:
            self._findings.problem(f"{quoted(target_id)} uses itself; a `use` may not lead back to where it stands.")
            return
        self.groups.append(place.chain[-1])
        shift = Affine(e=self._length(element, "x", place), f=self._length(element, "y", place))
        moved = replace(place, to_cm=shift.inside(place.to_cm), used=(*place.used, target_id))
        if local_name(target) in ("symbol", "svg"):
            self._used_viewport(element, target, moved)
        else:
            self._visit(target, moved)

    def _used_viewport(self, use: Element, target: Element, place: _Place) -> None:
        self._count(target, place)
        inner = self._inside(target, place)
        if inner is not None:
            size = (use.get("width", target.get("width")), use.get("height", target.get("height")))
            self._viewport(target, inner, size)

    def _viewport(self, element: Element, place: _Place, size: tuple[str | None, str | None]) -> None:
        """A drawing inside the drawing, or a symbol: its own viewBox is fitted into its width and height."""
        shift = Affine(e=self._length(element, "x", place), f=self._length(element, "y", place))
        width = self._read_length(size[0] or "100%", "width", place.viewport[0])
        height = self._read_length(size[1] or "100%", "height", place.viewport[1])
        if width <= 0 or height <= 0:
            return
        box = read_view_box(element)
        fitted = fit_view_box(element, box, width, height) if box else Affine()
        viewport = (box.width, box.height) if box else (width, height)
        to_cm = fitted.inside(shift).inside(place.to_cm)
        self._group(element, replace(place, to_cm=to_cm, viewport=viewport))

    # --- shapes ------------------------------------------------------------------------------------------------

    def _shape(self, element: Element, place: _Place) -> None:
        node = place.chain[-1]
        if not place.visible:
            self._findings.leave_out(_HIDDEN, node.where)
            return
        for track in self._tracks(element, place):
            flat = flatten(track, place.to_cm)
            self._points += len(flat.points)
            if self._points > MAX_POINTS:
                raise TooManyPoints
            self.lines.append(Line(place.chain, flat, (track, place.to_cm)))

    def _text(self, element: Element, place: _Place) -> None:
        """Each line of a text, which begins at the first x and y that are stated for it."""
        spans = [child for child in element if local_name(child) == "tspan" and (child.get("x") or child.get("y"))]
        for span in spans or [element]:
            words = " ".join("".join(span.itertext()).split())
            x, y = (self._length_of_text(key, span, element, place) for key in ("x", "y"))
            if words and place.visible:
                self.texts.append(Text(place.chain, place.to_cm.at(x, y), words[:LONGEST_LABEL]))

    def _length_of_text(self, key: str, span: Element, text: Element, place: _Place) -> float:
        stated = (span.get(key) or text.get(key) or "0").replace(",", " ").split()
        return self._read_length(stated[0] if stated else "0", key, place.viewport[0 if key == "x" else 1])

    def _tracks(self, element: Element, place: _Place) -> list[Track]:
        tag = local_name(element)
        if tag == "path":
            data = element.get("d", "").strip()
            return [] if data == "none" else read_path(data)
        if tag in ("polygon", "polyline"):
            return polygon_track(_pairs(element.get("points", "")), closed=tag == "polygon")
        if tag == "line":
            x1, y1, x2, y2 = self._lengths(element, place, "x1", "y1", "x2", "y2")
            return polygon_track([(x1, y1), (x2, y2)], closed=False)
        if tag == "rect":
            x, y, width, height = self._lengths(element, place, "x", "y", "width", "height")
            return rectangle_track(x, y, width, height, self._radii(element, place))
        cx, cy = self._lengths(element, place, "cx", "cy")
        if tag == "circle":
            radius = self._length(element, "r", place)
            return ellipse_track(cx, cy, radius, radius)
        rx, ry = self._radii(element, place)
        return ellipse_track(cx, cy, rx, ry)

    def _radii(self, element: Element, place: _Place) -> tuple[float, float]:
        """`rx` and `ry`; one that is left out, or "auto", is as large as the other."""
        rx, ry = (_unless_auto(element.get(key)) for key in ("rx", "ry"))
        read_rx = self._read_length(rx or ry or "0", "rx", place.viewport[0 if rx else 1])
        read_ry = self._read_length(ry or rx or "0", "ry", place.viewport[1 if ry else 0])
        return read_rx, read_ry

    def _lengths(self, element: Element, place: _Place, *keys: str) -> list[float]:
        return [self._length(element, key, place) for key in keys]

    def _length(self, element: Element, key: str, place: _Place) -> float:
        across, down = place.viewport
        whole = across if "x" in key or key == "width" else down
        if key == "r":
            whole = ((across * across + down * down) / 2) ** 0.5
        return self._read_length(element.get(key, "0"), key, whole)

    def _read_length(self, text: str, key: str, whole: float) -> float:
        """A length in the drawing's units there; a percentage is of `whole`."""
        number, unit = split_length(text, key)
        if unit == "%":
            return number / 100 * whole
        if unit in ("", "px"):
            return number
        self._warn_of_unit(text)
        return number * CM_PER[unit] / CM_PER_PX

    def _warn_of_unit(self, text: str) -> None:
        if abs(self._page.to_cm.a / CM_PER_PX - 1) > 0.001:
            real = split_length(text, "")[0] * self._page.to_cm.a / CM_PER_PX
            self._findings.note(
                f"A length with a unit inside the drawing follows the drawing's scale, as SVG says: {quoted(text)} is "
                f"drawn {real:g} times the unit, not {split_length(text, '')[0]:g}; give lengths inside without units."
            )


_HIDDEN = "Left out, hidden in the drawing"


def _by_id(root: Element) -> dict[str, Element]:
    """The elements by their id; of two with the same id the first counts."""
    found: dict[str, Element] = {}
    for element in root.iter():
        found.setdefault(element.get("id", ""), element)
    found.pop("", None)
    return found


def _style(element: Element) -> dict[str, str]:
    """The properties of the style attribute."""
    pairs = (part.partition(":") for part in element.get("style", "").split(";"))
    return {key.strip().lower(): value.strip() for key, _, value in pairs if key.strip()}


def _property(element: Element, style: dict[str, str], *names: str) -> str:
    """A property's value: the style attribute's if it states it, else the attribute's own."""
    for name in names:
        value = style.get(name, element.get(name, ""))
        if value:
            return re.sub(r"\s*!important\s*$", "", value.strip().lower())
    return ""


def _pairs(text: str) -> list[tuple[float, float]]:
    numbers = read_numbers(text)
    if len(numbers) % 2:
        raise NotUnderstood("its points hold an odd count of numbers")
    return list(zip(numbers[0::2], numbers[1::2], strict=True))


def _unless_auto(text: str | None) -> str | None:
    return None if text is None or text.strip().lower() == "auto" else text
