"""From what was typed of a pattern to its pieces: drawn, or given as numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from clothwright.pattern import (
    MAIN_CLOTH,
    AlteredPiece,
    DrawingRefused,
    DrawingScale,
    Marks,
    Piece,
    PieceError,
    SaidOfPiece,
    Step,
    read_drawing,
    read_mark,
    rectangle,
    select,
    take_steps,
)
from clothwright.project.changing import change_of, fitted_size, with_made_sizes
from clothwright.project.document import Project
from clothwright.project.pattern_parts import MarkPart, PatternPart
from clothwright.project.problem import Problem, ProblemsFound


def pieces(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces to cut from the main cloth, and notes on what the drawing left open."""
    every, notes = every_piece(project, drawings)
    main = tuple(piece for piece in every if piece.material == MAIN_CLOTH)
    if not main:
        raise ProblemsFound(Problem(("pattern",), "no piece is cut from the main cloth; give a drawing or pieces"))
    return main, notes


@dataclass(frozen=True)
class ChangedPattern:
    """A pattern with its changes made: the pieces of the size and version asked for, and notes on the drawing.

    `every`: the pieces of all sizes and versions; `was`: beside each of them how it was brought in; `steps`: what came of
    each change, in the order typed.
    """

    pieces: tuple[Piece, ...]
    notes: tuple[str, ...]
    every: tuple[Piece, ...]
    was: tuple[AlteredPiece, ...]
    steps: tuple[Step, ...]

    @property
    def was_chosen(self) -> tuple[AlteredPiece, ...]:
        """How the pieces of the size and version asked for were brought in, in their order."""
        chosen = {id(piece) for piece in self.pieces}
        return tuple(was for was, now in zip(self.was, self.every, strict=True) if id(now) in chosen)

    @property
    def problems(self) -> list[Problem]:
        """Why steps could not be made, each at its change."""
        return [
            Problem(("pattern", "change", number), step.refused)
            for number, step in enumerate(self.steps)
            if step.refused is not None
        ]


def every_piece(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of the garment's size and version, from whatever cloth they are cut, and notes on the drawing."""
    found = changed_pattern(project, drawings)
    if found.problems:
        raise ProblemsFound(*found.problems)
    return found.pieces, found.notes


def changed_pattern(project: Project, drawings: Mapping[str, bytes], *, before: int | None = None) -> ChangedPattern:
    """The pattern brought in, changed, and its size and version chosen; with `before`, as it was before that change.

    Changes are counted from 1. ProblemsFound where there is no pattern, no such size, or no such change; a change that
    cannot be made is told in `problems`.
    """
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "the project has no pattern; give a drawing or pieces"))
    if before is not None and not 1 <= before <= len(pattern.change):
        there = f"there are {len(pattern.change)}, counted from 1" if pattern.change else "there is none"
        raise ProblemsFound(Problem(("pattern", "change"), f"no change {before}: {there}"))
    drawn, notes = _drawn(pattern, drawings)
    brought = with_made_sizes((*drawn, *_typed(pattern)), pattern)
    made = (None if before is not None and n >= before else change_of(part) for n, part in enumerate(pattern.change, 1))
    stepped = take_steps(brought, made, fitted_size=fitted_size(pattern))
    try:
        chosen = select(stepped.pieces, size=pattern.size, version=pattern.version)
    except PieceError as error:
        raise ProblemsFound(Problem(("pattern", "file"), str(error))) from None
    return ChangedPattern(chosen, notes, stepped.pieces, stepped.was, stepped.steps)


def _typed(pattern: PatternPart) -> tuple[Piece, ...]:
    """The pieces given as numbers."""
    return tuple(
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
        return drawing.pieces, drawing.notes
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
    return SaidOfPiece(part.piece, marks, part.leave_out)


def _mark(mark: str, text: str | None) -> Any:
    return None if text is None else read_mark(mark, text)
