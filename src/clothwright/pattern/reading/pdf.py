"""Reads PDF: the lines that its pages draw, at the size they print.

Layers (optional content) are folders that may carry marks, as an SVG drawing's are; text is a label; lines that end where
others begin are joined. Pages that carry a frame and their place are joined to one drawing (`tiles`); other pages lie one
below the other. A piece that runs over pages without such marks is refused, and never glued by guessing.

Sizes are true: a PDF's unit is 1/72 inch, or what the page says (`UserUnit`).

*Source:* ISO 32000-1:2008, 8.3.2.3 (user space), 14.11.2 (page boundaries).
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final
from xml.etree.ElementTree import Element

from clothwright.pattern.geometry import Affine, Flat
from clothwright.pattern.line_ends import join_ends
from clothwright.pattern.reading.assembly import Drawn
from clothwright.pattern.reading.findings import DrawingRefused, Findings
from clothwright.pattern.reading.marks import LAYER_LABEL, LAYER_MODE, LONGEST_LABEL, MarkReader, Marks
from clothwright.pattern.reading.scale import CM_PER_INCH, DrawingScale
from clothwright.pattern.reading.tiles import Frame, common_frame, frame_of, moved, place_of, within
from clothwright.pattern.reading.tree import Line, Node, Text

if TYPE_CHECKING:
    from pypdf import PageObject, PdfReader

MAX_BYTES: Final = 10_000_000
MAX_PAGES: Final = 100
MAX_TEXTS: Final = 5_000
CM_PER_POINT: Final = CM_PER_INCH / 72
_BREAKS_OFF_CM: Final = 3.0
_AT_EDGE_CM: Final = 1.5
_SAME_CM: Final = 0.001


@dataclass
class _Page:
    """One page: its size in cm, its lines by layer, its texts."""

    size: tuple[float, float]
    lines: list[tuple[str, Flat]]
    texts: list[tuple[tuple[float, float], str]]

    @property
    def flats(self) -> list[Flat]:
        """Its lines, whatever their layer."""
        return [flat for _, flat in self.lines]


def is_pdf(data: bytes) -> bool:
    """Whether the bytes begin as PDF does."""
    return b"%PDF-" in data[:1024]


def read_pdf(data: bytes, scale: DrawingScale | None, findings: Findings) -> Drawn:
    """What the pages draw, in cm; DrawingRefused if they cannot be read at all."""
    if len(data) > MAX_BYTES:
        raise DrawingRefused(
            [f"The file is {len(data) / 1e6:.1f} MB large; a PDF of at most {MAX_BYTES / 1e6:g} MB is accepted."]
        )
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        pages = list(_pages(data, scale, findings))
    except DrawingRefused:
        raise
    except Exception as error:  # noqa: BLE001 - a stranger's file: whatever the library trips over is that file's fault
        raise DrawingRefused(
            [f"The file cannot be read as PDF ({type(error).__name__}: {str(error)[:120]}); print it to a new PDF."]
        ) from None
    return _joined(pages, findings)


def _pages(data: bytes, scale: DrawingScale | None, findings: Findings) -> Iterator[_Page]:
    from pypdf import PdfReader

    from clothwright.pattern.reading.pdf_content import Budget, PageReader

    reader = PdfReader(io.BytesIO(data), strict=False)
    if reader.is_encrypted:
        raise DrawingRefused(["The PDF has a password or is protected; save it without protection and try again."])
    if len(reader.pages) > MAX_PAGES:
        raise DrawingRefused(
            [f"The PDF has {len(reader.pages)} pages; at most {MAX_PAGES} are read: save only those with the pattern."]
        )
    _refuse_scripts(reader, findings)
    hidden, budget = _hidden_layers(reader), Budget()
    for page in reader.pages:
        to_cm, size = _placed(page, scale, findings)
        drawn = PageReader(page, to_cm, hidden, findings, budget).read()
        yield _Page(size, _without_doubles(drawn.lines), _texts(page, to_cm))


def _refuse_scripts(reader: PdfReader, findings: Findings) -> None:
    names: Any = reader.root_object.get("/Names")
    opened: Any = reader.root_object.get("/OpenAction")
    opened = opened.get_object() if opened is not None else None
    scripted = isinstance(opened, dict) and opened.get("/S") == "/JavaScript"
    if scripted or (names is not None and "/JavaScript" in names.get_object()):
        findings.problem("The PDF holds a script; scripts are not accepted: print it to a new PDF.")


def _hidden_layers(reader: PdfReader) -> set[str]:
    """The names of layers that are switched off as the file is opened."""
    content: Any = reader.root_object.get("/OCProperties")
    settings = content.get_object().get("/D") if content is not None else None
    off = settings.get_object().get("/OFF") if settings is not None else None
    return {str(layer.get_object().get("/Name", "")) for layer in off.get_object()} if off is not None else set()


def _placed(page: PageObject, scale: DrawingScale | None, findings: Findings) -> tuple[Affine, tuple[float, float]]:
    """From the page's points, y upwards, to cm as the page is shown, y downwards; and its size."""
    unit = float(page.get("/UserUnit", 1.0) or 1.0) * CM_PER_POINT
    if scale is not None:
        if abs(scale.cm_per_unit / unit - 1) > 0.001:
            findings.note(
                f"One point of the PDF is taken as {scale.cm_per_unit:g} cm, as stated; it prints as {unit:.5f} cm."
            )
        unit = scale.cm_per_unit
    findings.units_cm.add(unit)
    box = page.cropbox
    left, low, right, top = (float(side) for side in (box.left, box.bottom, box.right, box.top))
    width, height = (right - left) * unit, (top - low) * unit
    upright = Affine(a=unit, d=-unit, e=-left * unit, f=top * unit)
    turns = int(page.get("/Rotate", 0) or 0) // 90 % 4
    for _ in range(turns):
        upright = upright.inside(Affine(0.0, 1.0, -1.0, 0.0, height, 0.0))
        width, height = height, width
    return upright, (width, height)


def _texts(page: PageObject, to_cm: Affine) -> list[tuple[tuple[float, float], str]]:
    """The lines of text of a page and where each begins, cm."""
    found: list[tuple[tuple[float, float], str]] = []

    def keep(text: str, cm: Any, tm: Any, _font: Any, _size: Any) -> None:
        words = " ".join(text.split())[:LONGEST_LABEL]
        if words and len(found) < MAX_TEXTS:
            place = Affine(*map(float, tm)).inside(Affine(*map(float, cm)))
            found.append((to_cm.at(place.e, place.f), words))

    page.extract_text(visitor_text=keep)
    return found


def _without_doubles(lines: list[tuple[str, Flat]]) -> list[tuple[str, Flat]]:
    """The lines without those that are drawn over another: filled first and stroked then."""
    kept: dict[tuple[object, ...], tuple[str, Flat]] = {}
    for layer, flat in lines:
        points = (tuple(round(value / _SAME_CM) for value in point) for point in flat.points)
        kept.setdefault((layer, flat.closed, *points), (layer, flat))
    return list(kept.values())


# --- several pages to one drawing --------------------------------------------------------------------------------


def _joined(pages: list[_Page], findings: Findings) -> Drawn:
    drawn = [page for page in pages if page.lines]
    tiles = [(place, page) for page in drawn if (place := place_of(text for _, text in page.texts)) is not None]
    frames = common_frame([page.flats for _, page in tiles]) if len(tiles) > 1 else None
    if frames is not None and len({place for place, _ in tiles}) == len(tiles):
        return _as_one(tiles, frames, findings)
    _refuse_broken(drawn, findings)
    return _below_each_other(drawn, findings)


def _as_one(tiles: list[tuple[tuple[int, int], _Page]], frames: list[Frame], findings: Findings) -> Drawn:
    builder = _Builder(findings)
    across, down = frames[0].size
    for ((row, column), page), frame in zip(tiles, frames, strict=True):
        dx, dy = column * across - frame.left, row * down - frame.top
        inner = [(layer, flat) for layer, flat in page.lines if not _is_frame(flat, frame)]
        parts = [(layer, moved(part, dx, dy)) for layer, flat in inner for part in within(flat, frame)]
        texts = [((x + dx, y + dy), text) for (x, y), text in page.texts if frame.left <= x <= frame.right]
        builder.add(parts, texts, ())
    findings.note(f"{len(tiles)} pages are joined to one drawing by their frames and places; check the test square.")
    return builder.drawn()


def _is_frame(flat: Flat, frame: Frame) -> bool:
    own = frame_of(flat)
    return own is not None and own.lies_as(frame)


def _below_each_other(pages: list[_Page], findings: Findings) -> Drawn:
    builder, top = _Builder(findings), 0.0
    for number, page in enumerate(pages, 1):
        node = Node("g", Marks(), f"page {number}")
        shifted = [(layer, moved(flat, 0.0, top)) for layer, flat in page.lines]
        texts = [((x, y + top), text) for (x, y), text in page.texts]
        builder.add(shifted, texts, (node,) if len(pages) > 1 else ())
        top += page.size[1]
    return builder.drawn(pages[0].size if len(pages) == 1 else (0.0, 0.0))


def _refuse_broken(pages: list[_Page], findings: Findings) -> None:
    """A problem if long lines break off at the edges of several pages: a pattern that is still to be glued."""
    broken = [number for number, page in enumerate(pages, 1) if _breaks_off(page)]
    if len(broken) > 1:
        findings.problem(
            f"The pattern runs over pages {', '.join(map(str, broken[:8]))}, which carry no marks to join them by: each needs a "
            "frame, as large on every page, and its place, as “A2” or “row 1, column 2”; or save it as one large page."
        )


def _breaks_off(page: _Page) -> bool:
    """Whether an open line ends near the page's edge, or a line runs over it."""
    width, height = page.size
    for flat in page.flats:
        ends = flat.points if flat.closed else (flat.points[0], flat.points[-1])
        margin = 0.0 if flat.closed else _AT_EDGE_CM
        outside = any(not (margin <= x <= width - margin and margin <= y <= height - margin) for x, y in ends)
        xs, ys = zip(*flat.points, strict=True)
        if outside and max(max(xs) - min(xs), max(ys) - min(ys)) >= _BREAKS_OFF_CM and not frame_of(flat):
            return True
    return False


class _Builder:
    """Gathers lines and texts, and joins the lines of each layer."""

    def __init__(self, findings: Findings) -> None:
        self._findings = findings
        self._root = Node("pdf", Marks(), "the drawing")
        self._layers: dict[str, Node] = {}
        self._lines: dict[tuple[Node, ...], list[Flat]] = {}
        self._texts: list[Text] = []

    def add(
        self,
        lines: list[tuple[str, Flat]],
        texts: list[tuple[tuple[float, float], str]],
        around: tuple[Node, ...],
    ) -> None:
        """Lines by layer, and texts, within the nodes around."""
        for layer, flat in lines:
            inner = (self._layer(layer),) if layer else ()
            self._lines.setdefault((self._root, *around, *inner), []).append(flat)
        self._texts += [Text((self._root, *around), at, text) for at, text in texts]

    def drawn(self, page_cm: tuple[float, float] = (0.0, 0.0)) -> Drawn:
        """Everything gathered."""
        shape = Node("path", Marks(), "a line")
        lines = [Line((*chain, shape), flat) for chain, flats in self._lines.items() for flat in join_ends(flats)]
        return Drawn(tuple(lines), (), tuple(self._texts), page_cm)

    def _layer(self, name: str) -> Node:
        if name not in self._layers:
            reader = MarkReader(Element("g", {LAYER_LABEL: name, LAYER_MODE: "layer"}), self._findings)
            self._layers[name] = Node("g", reader.read(), reader.where)
        return self._layers[name]
