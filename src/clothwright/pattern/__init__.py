"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.assembly import SaidOfPiece
from clothwright.pattern.checks import Check, CheckKind, check_every_size, check_pieces
from clothwright.pattern.drawing import Drawing, read_drawing
from clothwright.pattern.drawing_findings import DrawingRefused
from clothwright.pattern.drawing_geometry import Flat
from clothwright.pattern.drawing_marks import Marks, read_mark
from clothwright.pattern.drawing_out import pieces_svg
from clothwright.pattern.drawing_scale import DrawingScale
from clothwright.pattern.markers import PITCH_CM as MARKER_PITCH_CM
from clothwright.pattern.markers import SIDE_CM as MARKER_SIDE_CM
from clothwright.pattern.markers import Marker, markers
from clothwright.pattern.photo import TracedBy, Tracing, outline_svg, trace
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
from clothwright.pattern.tiles import Frame, within

__all__ = [
    "MAIN_CLOTH",
    "MARKER_PITCH_CM",
    "MARKER_SIDE_CM",
    "Check",
    "CheckKind",
    "Drawing",
    "DrawingRefused",
    "DrawingScale",
    "Edge",
    "Flat",
    "Frame",
    "MarkKind",
    "Marker",
    "Marks",
    "Piece",
    "PieceError",
    "PieceMark",
    "Point",
    "Ring",
    "SaidOfPiece",
    "TracedBy",
    "Tracing",
    "check_every_size",
    "check_pieces",
    "markers",
    "outline_svg",
    "pieces_svg",
    "read_drawing",
    "read_mark",
    "rectangle",
    "select",
    "sizes",
    "trace",
    "versions",
    "within",
]
