"""Reads DXF: what a general drawing program saves, and apparel exchange files.

A file is an apparel exchange file if a block of it says its piece name; what its layers and texts mean is then told by the
standard (`dxf_apparel`). In any other file, layers are folders that may carry marks, as the layers of an SVG drawing do,
a block that is inserted is a group of its name, and text is a label.

DXF says its unit in `$INSUNITS`, or not at all: then it is asked for.

*Source:* the DXF reference of its publisher, as the library ezdxf reads it; `$INSUNITS` values from there.
"""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element

from clothwright.pattern.geometry import MAX_POINTS, Affine, Flat
from clothwright.pattern.line_ends import join_ends
from clothwright.pattern.reading.assembly import Drawn
from clothwright.pattern.reading.dxf_apparel import ApparelFile
from clothwright.pattern.reading.dxf_walk import TOO_MANY, Walk, where_of, words_of
from clothwright.pattern.reading.findings import DrawingRefused, Findings
from clothwright.pattern.reading.marks import LAYER_LABEL, LAYER_MODE, LONGEST_LABEL, MarkReader, Marks
from clothwright.pattern.reading.scale import DrawingScale
from clothwright.pattern.reading.tree import Line, Node, Text

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

MAX_BYTES: Final = 10_000_000
_BINARY: Final = b"AutoCAD Binary DXF"
_BEGINS: Final = re.compile(rb"\A(?:\xef\xbb\xbf)?\s*(?:999[^\r\n]*\r?\n[^\r\n]*\r?\n\s*)*0\s*\r?\n\s*SECTION\b")
_A_POINT: Final = re.compile(rb"\n[ \t]*10[ \t]*\r?\n")
#: cm per unit of the drawing by `$INSUNITS`.
_UNITS: Final = {1: 2.54, 2: 30.48, 4: 0.1, 5: 1.0, 6: 100.0, 10: 91.44, 14: 10.0}
NO_UNIT: Final = (
    "The drawing does not say its unit, as DXF often does not: state the scale, what one unit of it is "
    "(1 mm, 1 cm or 1 in; look at a size you know)."
)


def is_dxf(data: bytes) -> bool:
    """Whether the bytes begin as DXF does."""
    return data.startswith(_BINARY) or _BEGINS.match(data) is not None


def read_dxf(data: bytes, scale: DrawingScale | None, findings: Findings) -> Drawn:
    """What the drawing holds, in cm; DrawingRefused if it cannot be read at all."""
    document = _document(data)
    apparel = ApparelFile(document, findings)
    own = apparel.cm_per_unit if apparel.is_one else None
    to_cm = _to_cm(own or _UNITS.get(int(document.header.get("$INSUNITS", 0) or 0)), scale, findings)
    return apparel.drawn(to_cm) if apparel.is_one else _Plain(document, to_cm, findings).drawn()


def _document(data: bytes) -> Document:
    if data.startswith(_BINARY):
        raise DrawingRefused(["The file is binary DXF; save it as DXF in text form (ASCII) and try again."])
    if len(data) > MAX_BYTES:
        raise DrawingRefused(
            [
                f"The file is {len(data) / 1e6:.1f} MB large; a DXF drawing of at most {MAX_BYTES / 1e6:g} MB is accepted."
            ]
        )
    if len(_A_POINT.findall(data)) > MAX_POINTS:
        raise DrawingRefused([TOO_MANY])
    from ezdxf import recover

    try:
        document, _ = recover.read(io.BytesIO(data))
    except Exception as error:  # noqa: BLE001 - a stranger's file: whatever the library trips over is that file's fault
        raise DrawingRefused(
            [
                f"The file cannot be read as DXF ({type(error).__name__}: {str(error)[:120]}); save it anew as DXF, R12 or later."
            ]
        ) from None
    return document


def _to_cm(own: float | None, scale: DrawingScale | None, findings: Findings) -> Affine:
    """From the drawing's units, y upwards, to cm on the page, y downwards."""
    stated = scale.cm_per_unit if scale else None
    if stated and own and abs(stated / own - 1) > 0.001:
        findings.note(f"One unit is taken as {stated:g} cm, as stated; by the drawing itself it would be {own:g} cm.")
    cm = stated or own
    if cm is None:
        findings.problem(NO_UNIT)
        cm = 0.1
    findings.units_cm.add(cm)
    return Affine(a=cm, d=-cm)


class _Plain:
    """A drawing of a general program: lines joined within their layer and block, text as labels."""

    def __init__(self, document: Document, to_cm: Affine, findings: Findings) -> None:
        self._walk = Walk(document, findings)
        self._space = document.modelspace()
        self._to_cm = to_cm
        self._findings = findings
        self._root = Node("dxf", Marks(), "the drawing")
        self._nodes: dict[tuple[str, ...], Node] = {}

    def drawn(self) -> Drawn:
        """Its lines and text."""
        lines: dict[tuple[Node, ...], list[Flat]] = {}
        texts: list[Text] = []
        for entity, place, blocks in self._walk.entities(self._space):
            chain = self._chain(entity.dxf.get("layer", "0"), blocks)
            words = words_of(entity)
            if words is None:
                lines.setdefault(chain, []).extend(self._walk.flats(entity, place, self._to_cm))
            elif words:
                texts.append(Text(chain, where_of(entity, place, self._to_cm), words[:LONGEST_LABEL]))
        self._walk.tell()
        shape = Node("path", Marks(), "a line")
        made = [Line((*chain, shape), flat) for chain, flats in lines.items() for flat in join_ends(flats)]
        return Drawn(tuple(made), (), tuple(texts))

    def _chain(self, layer: str, blocks: tuple[str, ...]) -> tuple[Node, ...]:
        named = tuple(self._node("block", name) for name in blocks if not name.startswith("*"))
        return self._root, *named, self._node("layer", layer)

    def _node(self, kind: str, name: str) -> Node:
        key = (kind, name)
        if key not in self._nodes:
            element = Element("g", {LAYER_LABEL: name} if name not in ("0", "") else {})
            if kind == "layer":
                element.set(LAYER_MODE, "layer")
            reader = MarkReader(element, self._findings)
            self._nodes[key] = Node("g", reader.read(), reader.where)
        return self._nodes[key]
