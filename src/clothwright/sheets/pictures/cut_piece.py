"""A piece cut from the cloth: the stripes that fall on it, its stitching line dashed, its named notches where pieces meet."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from clothwright.pattern import Ring
from clothwright.planning.cloth.cloth_on_pieces import CutPiece
from clothwright.sheets.pictures.drawing import DEFAULT_ACROSS, EDGE, INK, PAPER, SMALL, Drawing, path_of, width_of
from clothwright.sheets.pictures.pieces import MIRRORED
from clothwright.sheets.pictures.real_cloth import RealCloth
from clothwright.sheets.pictures.rows import Frame, Row
from clothwright.sheets.wording import LENGTH, literal

_DOT: Final = 3.0
_MOST_PER_CM: Final = 14.0


def common_scale(pieces: tuple[CutPiece, ...], across: float = DEFAULT_ACROSS) -> float:
    """Units per cm at which the longest of the pieces fills the room, so that all are drawn alike."""
    longest = max((_box(piece.outline)[2] - _box(piece.outline)[0] for piece in pieces), default=1.0)
    return min(_MOST_PER_CM, (across - 2 * EDGE) / longest)


def cut_piece_svg(
    piece: CutPiece, real: RealCloth, scale: float, desc: str, *, imperial: bool = False, across: float = DEFAULT_ACROSS
) -> str:
    """The piece as it lies in the layout, by itself."""
    left, low, right, high = _box(piece.outline)
    drawing = Drawing(f"{literal(piece.name)}, cut from the cloth", desc, "cut-piece", across)
    frame = Frame(Row(left, right), EDGE, EDGE, scale, high - low)
    replace(real, across_cm=real.across_cm + low).draw(drawing, frame)
    _cut_out(drawing, frame, _seen(piece.outline, frame, low))
    if piece.stitching:
        _stitching(drawing, _seen(piece.stitching, frame, low))
    for name, point in piece.points:
        _notch(drawing, name, _seen((point,), frame, low)[0])
    drawing.height = frame.bottom + 4
    sides = (LENGTH.text(one, imperial=imperial) for one in (right - left, high - low))
    mirrored = f", {MIRRORED}" if piece.mirrored else ""
    drawing.paragraph(f"{piece.name}{mirrored}: {' by '.join(sides)}", size=SMALL)
    return drawing.svg()


def _box(ring: Ring) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def _seen(ring: Ring, frame: Frame, low: float) -> Ring:
    """An outline of the cloth in the drawing, whose frame begins at `low` above the selvedge."""
    return frame.ring(tuple((x, y - low) for x, y in ring))


def _cut_out(drawing: Drawing, frame: Frame, ring: Ring) -> None:
    """Paper over what is not the piece, and its cut line."""
    left, right = frame.left - 1, frame.x(frame.row.end) + 1
    room = ((left, frame.top - 1), (right, frame.top - 1), (right, frame.bottom + 1), (left, frame.bottom + 1))
    drawing.path("offcuts", path_of(room) + path_of(ring), fill=PAPER, fill_rule="evenodd")
    drawing.path("cut", path_of(ring), stroke=INK, stroke_width=1.4, stroke_linejoin="round")


def _stitching(drawing: Drawing, ring: Ring) -> None:
    drawing.path("stitching-halo", path_of(ring), stroke=PAPER, stroke_width=2.6)
    drawing.path("stitching", path_of(ring), stroke=INK, stroke_width=1.2, stroke_dasharray="5 3")


def _notch(drawing: Drawing, name: str, at: tuple[float, float]) -> None:
    """A dot on the stitching line, its name on a slip of paper beside it."""
    x, y = at
    drawing.add("circle", "notch", {"cx": x, "cy": y, "r": _DOT, "fill": PAPER, "stroke": INK, "stroke_width": 1.4})
    wide = width_of(name, SMALL)
    start = x + _DOT + 2 if x + _DOT + wide + 4 < drawing.across else x - _DOT - 4 - wide
    drawing.rect("slip", start - 1, y - SMALL * 0.7, wide + 2, SMALL * 1.25, rx=2, fill=PAPER)
    drawing.text(start, y + SMALL * 0.35, name, "notch", SMALL)
