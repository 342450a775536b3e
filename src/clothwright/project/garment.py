"""From what was typed of a pattern to its pieces: drawn, or given as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from clothwright.pattern import (
    MAIN_CLOTH,
    Drawing,
    DrawingRefused,
    DrawingScale,
    Fault,
    Marks,
    Piece,
    PieceError,
    SaidOfPiece,
    look_at_drawing,
    read_drawing,
    read_edge_words,
    read_mark,
    rectangle,
    select,
)
from clothwright.project.document import Project
from clothwright.project.joined import with_joins
from clothwright.project.pattern_parts import MarkPart, PatternPart, PiecePart
from clothwright.project.problem import Problem, ProblemsFound


def pieces(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces to cut from the main cloth, and notes on what the drawing left open."""
    every, notes = every_piece(project, drawings)
    main = tuple(piece for piece in every if piece.material == MAIN_CLOTH)
    if not main:
        raise ProblemsFound(Problem(("pattern",), "no piece is cut from the main cloth; give a drawing or pieces"))
    return main, notes


def every_piece(
    project: Project, drawings: Mapping[str, bytes], *, looking: bool = False
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of the garment's size and version, from whatever cloth they are cut, and notes on the drawing.

    Pieces that are joined come as their panels. `looking`: a drawing with faults gives the pieces that have none, to be
    looked at; `faults` tells them.
    """
    whole, notes = whole_pieces(project, drawings, looking=looking)
    joined, more = with_joins(project, whole)
    return joined, (*notes, *more)


def whole_pieces(
    project: Project, drawings: Mapping[str, bytes], *, looking: bool = False
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces as the pattern has them, before any is joined from panels."""
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "the project has no pattern; give a drawing or pieces"))
    drawn, notes = _drawn(pattern, drawings, looking=looking)
    typed = tuple(_typed(part, number) for number, part in enumerate(pattern.piece))
    return (*drawn, *typed), notes


def faults(project: Project, drawings: Mapping[str, bytes]) -> tuple[Fault, ...]:
    """What keeps the project's drawing from being laid out, though it can be looked at."""
    if project.pattern is None or project.pattern.file is None:
        return ()
    return _read(project.pattern, drawings, looking=True).faults


def _typed(part: PiecePart, number: int) -> Piece:
    """A piece given as numbers, with what its edges are."""
    words = {
        side: read_edge_words(text) for side in ("left", "right", "top", "bottom") if (text := getattr(part, side))
    }
    try:
        return rectangle(
            part.name,
            width_cm=part.width.cm,
            length_cm=part.length.cm,
            cut=part.cut,
            pair=part.pair,
            fold=part.fold,
            one_way=part.one_way,
            material=part.material,
            allowance_cm=part.allowance.cm if part.allowance else 0.0,
            edges=words,
        )
    except PieceError as error:
        raise ProblemsFound(Problem(("pattern", "piece", number), str(error))) from None


def _drawn(
    pattern: PatternPart, drawings: Mapping[str, bytes], *, looking: bool
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    if pattern.file is None:
        return (), ()
    drawing = _read(pattern, drawings, looking=looking)
    try:
        return select(drawing.pieces, size=pattern.size, version=pattern.version), drawing.notes
    except PieceError as error:
        raise ProblemsFound(Problem(("pattern", "file"), str(error))) from None


def _read(pattern: PatternPart, drawings: Mapping[str, bytes], *, looking: bool) -> Drawing:
    where = ("pattern", "file")
    if pattern.file is None or pattern.file not in drawings:
        raise ProblemsFound(Problem(where, f"“{pattern.file}” was not found beside the project file"))
    scale = DrawingScale(pattern.scale.cm) if pattern.scale else None
    allowance = pattern.seam_allowance.cm if pattern.seam_allowance else 0.0
    try:
        return (look_at_drawing if looking else read_drawing)(
            drawings[pattern.file],
            seam_allowance_cm=allowance,
            scale=scale,
            name=pattern.file,
            said=tuple(map(_said, pattern.mark)),
        )
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(where, sentence) for sentence in refusal.problems)) from None


def _said(part: MarkPart) -> SaidOfPiece:
    """What is said of one piece beside the drawing."""
    marks = Marks(
        piece=part.name,
        cut=part.cut,
        pair=part.pair,
        fold=_mark("fold", part.fold),
        grain=_mark("grain", part.grain),
        line=part.line,
        allowance=part.allowance.cm if part.allowance else None,
        one_way=part.one_way,
        material=part.material,
        size=part.size,
        version=part.version,
    )
    return SaidOfPiece(part.piece, marks, part.leave_out, part.close)


def _mark(mark: str, text: str | None) -> Any:
    return None if text is None else read_mark(mark, text)
