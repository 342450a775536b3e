"""From what was typed of a pattern to its pieces: drawn, drafted from body measures, or given as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from clothwright.pattern import (
    MAIN_CLOTH,
    DrawingRefused,
    DrawingScale,
    Marks,
    Piece,
    PieceError,
    SaidOfPiece,
    read_drawing,
    read_mark,
    rectangle,
    select,
)
from clothwright.project.document import Project
from clothwright.project.drafting import drafted_pieces
from clothwright.project.pattern_parts import MarkPart, PatternPart
from clothwright.project.problem import Problem, ProblemsFound


def pieces(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces to cut from the main cloth, and notes on what the drawing left open."""
    every, notes = every_piece(project, drawings)
    main = tuple(piece for piece in every if piece.material == MAIN_CLOTH)
    if not main:
        raise ProblemsFound(Problem(("pattern",), "no piece is cut from the main cloth; give a drawing or pieces"))
    return main, notes


def every_piece(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of the garment's size and version, from whatever cloth they are cut, and notes on the drawing."""
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "the project has no pattern; give a drawing or pieces"))
    drawn, notes = _drawn(pattern, drawings)
    drafted, draft_notes = drafted_pieces(pattern)
    typed = tuple(
        rectangle(
            part.name,
            width_cm=part.width.cm,
            length_cm=part.length.cm,
            cut=part.cut,
            pair=part.pair,
            fold=part.fold,
            one_way=part.one_way,
            material=part.material,
        )
        for part in pattern.piece
    )
    return (*drawn, *drafted, *typed), (*notes, *draft_notes)


def _drawn(pattern: PatternPart, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    if pattern.file is None:
        return (), ()
    where = ("pattern", "file")
    if pattern.file not in drawings:
        raise ProblemsFound(Problem(where, f"“{pattern.file}” was not found beside the project file"))
    scale = DrawingScale(pattern.scale.cm) if pattern.scale else None
    allowance = pattern.seam_allowance.cm if pattern.seam_allowance else 0.0
    try:
        drawing = read_drawing(
            drawings[pattern.file],
            seam_allowance_cm=allowance,
            scale=scale,
            name=pattern.file,
            said=tuple(map(_said, pattern.mark)),
        )
        return select(drawing.pieces, size=pattern.size, version=pattern.version), drawing.notes
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(where, sentence) for sentence in refusal.problems)) from None
    except PieceError as error:
        raise ProblemsFound(Problem(where, str(error))) from None


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
    return SaidOfPiece(part.piece, marks, part.leave_out)


def _mark(mark: str, text: str | None) -> Any:
    return None if text is None else read_mark(mark, text)
