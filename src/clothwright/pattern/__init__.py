"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.assembly import SaidOfPiece
from clothwright.pattern.drawing import Drawing, read_drawing
from clothwright.pattern.drawing_findings import DrawingRefused
from clothwright.pattern.drawing_marks import Marks, read_mark
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
    "Marks",
    "Piece",
    "PieceError",
    "PieceMark",
    "Point",
    "Ring",
    "SaidOfPiece",
    "read_drawing",
    "read_mark",
    "rectangle",
    "select",
    "sizes",
    "versions",
]
