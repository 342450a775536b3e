"""Reads pattern pieces from a drawing: bytes in, pieces out.

Which reader is asked is told by how the bytes begin, not by the file's name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from clothwright.pattern.by_hand.as_drawing import Opened, open_pieces
from clothwright.pattern.faults import Fault
from clothwright.pattern.piece import Piece
from clothwright.pattern.reading.assembly import Assembly, Drawn, SaidOfPiece
from clothwright.pattern.reading.dxf import is_dxf, read_dxf
from clothwright.pattern.reading.findings import DrawingRefused, Findings
from clothwright.pattern.reading.pdf import is_pdf, read_pdf
from clothwright.pattern.reading.safety import inspect, parse_drawing
from clothwright.pattern.reading.scale import DrawingScale, Page, read_page
from clothwright.pattern.reading.tree import Walker

MOST_ALLOWANCE_CM = 20.0


@dataclass(frozen=True)
class Drawing:
    """The pieces of a drawing, in its order, and what was cleaned, left out or not understood.

    `faults`: what keeps it from being laid out, where it was only looked at.
    """

    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]
    faults: tuple[Fault, ...] = ()


def read_drawing(
    data: bytes,
    *,
    seam_allowance_cm: float = 0.0,
    scale: DrawingScale | None = None,
    name: str = "drawing",
    said: Iterable[SaidOfPiece] = (),
) -> Drawing:
    """The pattern pieces of a drawing: SVG, DXF or PDF.

    `seam_allowance_cm` is added to outlines marked as stitching lines, and to no other. `scale` is stated by the person
    where the drawing has no real size; it wins over the drawing's own. `name` is what a drawing of one nameless
    piece calls it. `said` is what the person says of pieces beside the drawing. DrawingRefused with every problem found;
    nothing else is ever raised for what the bytes hold.
    """
    return _read(data, seam_allowance_cm, scale, name, tuple(said), False)


def look_at_drawing(
    data: bytes,
    *,
    seam_allowance_cm: float = 0.0,
    scale: DrawingScale | None = None,
    name: str = "drawing",
    said: Iterable[SaidOfPiece] = (),
) -> Drawing:
    """As `read_drawing`, but what can still be looked at is told as a fault and not refused.

    A piece with a fault of its own is not among the pieces; where the scale is wrong, the pieces are as large as drawn.
    """
    return _read(data, seam_allowance_cm, scale, name, tuple(said), True)


def open_drawing(data: bytes, *, scale: DrawingScale | None = None, name: str = "drawing") -> Opened:
    """The pieces of a drawing in SVG as they can be drawn on by hand; DrawingRefused as `read_drawing`."""
    if is_dxf(data) or is_pdf(data):
        raise DrawingRefused(["Only a drawing in SVG can be drawn on; this one is DXF or PDF, and stays as it is."])
    findings = Findings()
    drawn = _read_svg(data, scale, findings)
    findings.refuse_if_any()
    return open_pieces(drawn, name)


@lru_cache(maxsize=8)
def _read(
    data: bytes,
    seam_allowance_cm: float,
    scale: DrawingScale | None,
    name: str,
    said: tuple[SaidOfPiece, ...],
    looking: bool,
) -> Drawing:
    if not 0 <= seam_allowance_cm <= MOST_ALLOWANCE_CM:
        raise DrawingRefused(
            [f"A seam allowance of {seam_allowance_cm} cm; 0 to {MOST_ALLOWANCE_CM:g} cm is accepted."]
        )
    findings = Findings(looking=looking)
    drawn = _reader(data)(data, scale, findings)
    pieces = tuple(Assembly(drawn, findings, seam_allowance_cm, name, said).pieces())
    findings.refuse_if_any()
    return Drawing(pieces, findings.as_notes(), tuple(findings.faults))


def _reader(data: bytes) -> Callable[[bytes, DrawingScale | None, Findings], Drawn]:
    """The reader for what the bytes are; one for SVG, which says what else came, if they are nothing known."""
    return read_dxf if is_dxf(data) else read_pdf if is_pdf(data) else _read_svg


def _read_svg(data: bytes, scale: DrawingScale | None, findings: Findings) -> Drawn:
    root = parse_drawing(data, findings)
    inspect(root, findings)
    page = read_page(root, scale, findings)
    walker = Walker(root, page or Page.unknown(), findings)
    if page is None:
        findings.refuse_if_any()
    else:
        findings.units_cm.add(page.to_cm.a)
    size = page or Page.unknown()
    width, height = (size.to_cm.a * units for units in size.viewport)
    return Drawn(tuple(walker.lines), tuple(walker.groups), tuple(walker.texts), (width, height))
