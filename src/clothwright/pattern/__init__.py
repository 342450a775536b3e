"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.drawing import Drawing, read_drawing
from clothwright.pattern.drawing_findings import DrawingRefused
from clothwright.pattern.drawing_scale import DrawingScale
from clothwright.pattern.piece import (
    MAIN_CLOTH,
    Edge,
    MarkKind,
    Piece,
    PieceError,
    PieceMark,
    Point,
    Ring,
    rectangle,
)
from clothwright.pattern.sizes import select, sizes, versions

__all__ = [
    "MAIN_CLOTH",
    "Drawing",
    "DrawingRefused",
    "DrawingScale",
    "Edge",
    "MarkKind",
    "Piece",
    "PieceError",
    "PieceMark",
    "Point",
    "Ring",
    "read_drawing",
    "rectangle",
    "select",
    "sizes",
    "versions",
]
