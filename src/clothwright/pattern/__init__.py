"""Pattern pieces: as numbers, and from drawings."""

from clothwright.pattern.by_hand.as_drawing import Opened, hand_svg, outline_path, side_steps
from clothwright.pattern.by_hand.as_table import (
    LONGEST_TEXT,
    HandRefused,
    hand_table,
    in_unit,
    read_hand_piece,
    told,
)
from clothwright.pattern.by_hand.sides import MOST_CORNERS as MOST_HAND_CORNERS
from clothwright.pattern.by_hand.sides import MOST_PIECES as MOST_HAND_PIECES
from clothwright.pattern.by_hand.sides import (
    HandPiece,
    Notch,
    Side,
    bent,
    notch_line,
    outline_fold,
    point_at,
    side_at,
    split,
    with_point,
)
from clothwright.pattern.changing.altering import Altered, AlteredPiece, Change, ChangeRefused, Do, Walked, alter
from clothwright.pattern.changing.grading import Between, GradingRefused, grade
from clothwright.pattern.changing.steps import Step, Stepped, take_steps
from clothwright.pattern.checks import Check, CheckKind, check_every_size, check_pieces
from clothwright.pattern.drawing import Drawing, look_at_drawing, open_drawing, read_drawing
from clothwright.pattern.drawing_out import pieces_svg
from clothwright.pattern.faults import Fault
from clothwright.pattern.geometry import Flat
from clothwright.pattern.join_lines import centre_cm, drawn_joins, hem_lines
from clothwright.pattern.join_place import JoinAt, JoinPlace, read_join_place
from clothwright.pattern.joined import Join, JoinedPiece, JoinRefused, JoinSeam, Panel, Sewn, narrowest_proposed_cm
from clothwright.pattern.other_cloth import OTHER_CLOTH, often_of_other_cloth, other_cloth_width_cm
from clothwright.pattern.panels import apply_join, join_piece
from clothwright.pattern.photographs.markers import PITCH_CM as MARKER_PITCH_CM
from clothwright.pattern.photographs.markers import SIDE_CM as MARKER_SIDE_CM
from clothwright.pattern.photographs.markers import Marker, markers
from clothwright.pattern.photographs.tracing import TracedBy, Tracing, outline_svg, trace
from clothwright.pattern.piece import (
    MAIN_CLOTH,
    Edge,
    MarkKind,
    Piece,
    PieceError,
    PieceMark,
    Point,
    Ring,
    crossing_place,
)
from clothwright.pattern.reading.assembly import SaidOfPiece
from clothwright.pattern.reading.edge_words import EdgeWords, read_edge_words
from clothwright.pattern.reading.findings import DrawingRefused
from clothwright.pattern.reading.marks import MOST_COPIES, Marks, read_mark
from clothwright.pattern.reading.scale import DrawingScale
from clothwright.pattern.reading.tiles import Frame, within
from clothwright.pattern.rectangle import EDGE_NAMES, rectangle
from clothwright.pattern.sizes import select, sizes, versions

__all__ = [
    "EDGE_NAMES",
    "LONGEST_TEXT",
    "MAIN_CLOTH",
    "MARKER_PITCH_CM",
    "MARKER_SIDE_CM",
    "MOST_COPIES",
    "MOST_HAND_CORNERS",
    "MOST_HAND_PIECES",
    "OTHER_CLOTH",
    "Altered",
    "AlteredPiece",
    "Between",
    "Change",
    "ChangeRefused",
    "Check",
    "CheckKind",
    "Do",
    "Drawing",
    "DrawingRefused",
    "DrawingScale",
    "Edge",
    "EdgeWords",
    "Fault",
    "Flat",
    "Frame",
    "GradingRefused",
    "HandPiece",
    "HandRefused",
    "Join",
    "JoinAt",
    "JoinPlace",
    "JoinRefused",
    "JoinSeam",
    "JoinedPiece",
    "MarkKind",
    "Marker",
    "Marks",
    "Notch",
    "Opened",
    "Panel",
    "Piece",
    "PieceError",
    "PieceMark",
    "Point",
    "Ring",
    "SaidOfPiece",
    "Sewn",
    "Side",
    "Step",
    "Stepped",
    "TracedBy",
    "Tracing",
    "Walked",
    "alter",
    "apply_join",
    "bent",
    "centre_cm",
    "check_every_size",
    "check_pieces",
    "crossing_place",
    "drawn_joins",
    "grade",
    "hand_svg",
    "hand_table",
    "hem_lines",
    "in_unit",
    "join_piece",
    "look_at_drawing",
    "markers",
    "narrowest_proposed_cm",
    "notch_line",
    "often_of_other_cloth",
    "open_drawing",
    "other_cloth_width_cm",
    "outline_fold",
    "outline_path",
    "outline_svg",
    "pieces_svg",
    "point_at",
    "read_drawing",
    "read_edge_words",
    "read_hand_piece",
    "read_join_place",
    "read_mark",
    "rectangle",
    "select",
    "side_at",
    "side_steps",
    "sizes",
    "split",
    "take_steps",
    "told",
    "trace",
    "versions",
    "with_point",
    "within",
]
