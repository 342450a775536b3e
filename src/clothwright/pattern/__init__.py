"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.assembly import SaidOfPiece
from clothwright.pattern.checks import Check, CheckKind, check_every_size, check_pieces
from clothwright.pattern.drawing import Drawing, read_drawing
from clothwright.pattern.drawing_findings import DrawingRefused
from clothwright.pattern.drawing_geometry import Flat
from clothwright.pattern.drawing_marks import Marks, read_mark
from clothwright.pattern.drawing_scale import DrawingScale
from clothwright.pattern.join_place import JoinAt, JoinPlace, read_join_place
from clothwright.pattern.markers import PITCH_CM as MARKER_PITCH_CM
from clothwright.pattern.markers import SIDE_CM as MARKER_SIDE_CM
from clothwright.pattern.markers import Marker, markers
from clothwright.pattern.other_cloth import OTHER_CLOTH, often_of_other_cloth, other_cloth_width_cm
from clothwright.pattern.panels import (
    Join,
    JoinedPiece,
    JoinRefused,
    JoinSeam,
    Panel,
    Sewn,
    apply_join,
    centre_cm,
    drawn_joins,
    hem_lines,
    join_piece,
    narrowest_proposed_cm,
)
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
    "OTHER_CLOTH",
    "Check",
    "CheckKind",
    "Drawing",
    "DrawingRefused",
    "DrawingScale",
    "Edge",
    "Flat",
    "Frame",
    "Join",
    "JoinAt",
    "JoinPlace",
    "JoinRefused",
    "JoinSeam",
    "JoinedPiece",
    "MarkKind",
    "Marker",
    "Marks",
    "Panel",
    "Piece",
    "PieceError",
    "PieceMark",
    "Point",
    "Ring",
    "SaidOfPiece",
    "Sewn",
    "TracedBy",
    "Tracing",
    "apply_join",
    "centre_cm",
    "check_every_size",
    "check_pieces",
    "drawn_joins",
    "hem_lines",
    "join_piece",
    "markers",
    "narrowest_proposed_cm",
    "often_of_other_cloth",
    "other_cloth_width_cm",
    "outline_svg",
    "read_drawing",
    "read_join_place",
    "read_mark",
    "rectangle",
    "select",
    "sizes",
    "trace",
    "versions",
    "within",
]
