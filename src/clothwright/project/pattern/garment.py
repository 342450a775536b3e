"""From what was typed of a pattern to its pieces: drawn, drafted from body measures, or given as numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from clothwright.pattern import (
    MAIN_CLOTH,
    AlteredPiece,
    Drawing,
    DrawingRefused,
    DrawingScale,
    Fault,
    Marks,
    Piece,
    PieceError,
    SaidOfPiece,
    Step,
    Stepped,
    look_at_drawing,
    read_drawing,
    read_edge_words,
    read_mark,
    rectangle,
    select,
    sizes,
    take_steps,
    versions,
)
from clothwright.project.document import Project
from clothwright.project.parts.pattern_parts import MarkPart, PatternPart, PiecePart
from clothwright.project.pattern.changing import change_of, fitted_size, with_made_sizes
from clothwright.project.pattern.drafting import drafted_names, drafted_pieces
from clothwright.project.pattern.joined import with_joins
from clothwright.project.problem import Problem, ProblemsFound


def pieces(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces to cut from the main cloth, and notes on what the drawing left open."""
    every, notes = every_piece(project, drawings)
    return of_main_cloth(every), notes


def of_main_cloth(every: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Those of the pieces that are cut from the main cloth; ProblemsFound where none is."""
    main = tuple(piece for piece in every if piece.material == MAIN_CLOTH)
    if not main:
        raise ProblemsFound(Problem(("pattern",), "no piece is cut from the main cloth; say main for one at least"))
    return main


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


@dataclass(frozen=True)
class Printed:
    """The pieces to print; `was`: beside each how it was brought in, empty where pieces are joined from panels."""

    pieces: tuple[Piece, ...]
    was: tuple[AlteredPiece, ...]


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
    """The pieces as the pattern has them with its changes made, before any is joined from panels."""
    found = _without_problems(changed_pattern(project, drawings, looking=looking))
    return found.pieces, found.notes


def pieces_to_print(project: Project, drawings: Mapping[str, bytes]) -> Printed:
    """The pieces at true size as they are cut, with how they were before their changes."""
    found = _without_problems(changed_pattern(project, drawings))
    joined, _ = with_joins(project, found.pieces)
    return Printed(joined, found.was_chosen if joined == found.pieces else ())


def _without_problems(found: ChangedPattern) -> ChangedPattern:
    if found.problems:
        raise ProblemsFound(*found.problems)
    return found


def changed_pattern(
    project: Project,
    drawings: Mapping[str, bytes],
    *,
    before: int | None = None,
    looking: bool = False,
    every_size: bool = False,
) -> ChangedPattern:
    """The pattern brought in, changed, and its size and version chosen; with `before`, as it was before that change.

    Changes are counted from 1. ProblemsFound where there is no pattern, no such size, or no such change; a change that
    cannot be made is told in `problems`. `looking`: as for `every_piece`.
    `every_size`: sizes of a garment made from measures that are not asked for are drafted too, as they are where there are changes.
    """
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "the project has no pattern; give a drawing, measures or pieces"))
    if before is not None and not 1 <= before <= len(pattern.change):
        there = f"there are {len(pattern.change)}, counted from 1" if pattern.change else "there is none"
        raise ProblemsFound(Problem(("pattern", "change"), f"no change {before}: {there}"))
    stepped, notes = _stepped(pattern, drawings, before=before, looking=looking, every_size=every_size)
    try:
        chosen = select(stepped.pieces, size=pattern.size, version=pattern.version)
    except PieceError as error:
        raise ProblemsFound(Problem(("pattern", "file"), str(error))) from None
    return ChangedPattern(chosen, notes, stepped.pieces, stepped.was, stepped.steps)


def sizes_and_versions(project: Project, drawings: Mapping[str, bytes]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sizes and the versions that the pattern's pieces name, whichever is asked for; none where there is no pattern."""
    if project.pattern is None or not project.pattern.holds_pieces:
        return (), ()
    stepped, _ = _stepped(project.pattern, drawings, before=None, looking=False, every_size=True)
    return sizes(stepped.pieces), versions(stepped.pieces)


def pieces_by_size(project: Project, drawings: Mapping[str, bytes]) -> Callable[[str, str], tuple[Piece, ...]]:
    """Gives the pieces of a size and version, as `every_piece` does, from a pattern brought in once.

    The empty text is a size or version that the pattern does not name. ProblemsFound as for `every_piece`, then or when asked.
    """
    pattern = project.pattern
    if pattern is None:
        raise ProblemsFound(Problem(("pattern",), "the project has no pattern; give a drawing, measures or pieces"))
    stepped, notes = _stepped(pattern, drawings, before=None, looking=False, every_size=True)

    def chosen(size: str, version: str) -> tuple[Piece, ...]:
        asked = pattern.model_copy(update={"size": size or None, "version": version or None})
        try:
            of_size = select(stepped.pieces, size=asked.size, version=asked.version)
        except PieceError as error:
            raise ProblemsFound(Problem(("pattern", "file"), str(error))) from None
        found = _without_problems(ChangedPattern(of_size, notes, stepped.pieces, stepped.was, stepped.steps))
        return with_joins(project.model_copy(update={"pattern": asked}), found.pieces)[0]

    return chosen


def _stepped(
    pattern: PatternPart, drawings: Mapping[str, bytes], *, before: int | None, looking: bool, every_size: bool
) -> tuple[Stepped, tuple[str, ...]]:
    """The pieces of every size brought in and changed, and notes on the drawing and the measures."""
    drawn, notes = _drawn(pattern, drawings, looking=looking)
    typed = tuple(_typed(part, number) for number, part in enumerate(pattern.piece))
    drafted, draft_notes = drafted_pieces(pattern, every_size=every_size or bool(pattern.change or pattern.made_size))
    brought = with_made_sizes((*drawn, *drafted, *typed), pattern)
    made = (None if before is not None and n >= before else change_of(part) for n, part in enumerate(pattern.change, 1))
    stepped = take_steps(brought, made, fitted_size=fitted_size(pattern))
    return stepped, (*notes, *draft_notes, *_unheard(pattern))


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
    return drawing.pieces, drawing.notes


def _read(pattern: PatternPart, drawings: Mapping[str, bytes], *, looking: bool) -> Drawing:
    where = ("pattern", "file")
    if pattern.file is None or pattern.file not in drawings:
        raise ProblemsFound(Problem(where, f"“{pattern.file}” was not found beside the project file"))
    scale = DrawingScale(pattern.scale.cm) if pattern.scale else None
    allowance = pattern.seam_allowance.cm if pattern.seam_allowance else 0.0
    drafted = drafted_names(pattern)
    try:
        return (look_at_drawing if looking else read_drawing)(
            drawings[pattern.file],
            seam_allowance_cm=allowance,
            scale=scale,
            name=pattern.file,
            said=tuple(_said(mark) for mark in pattern.mark if mark.piece not in drafted),
        )
    except DrawingRefused as refusal:
        raise ProblemsFound(*(Problem(where, sentence) for sentence in refusal.problems)) from None


def _unheard(pattern: PatternPart) -> Iterator[str]:
    """What is said of a piece that is neither drawn nor made from measures, where there is no drawing to say so."""
    if pattern.file is None:
        there = drafted_names(pattern)
        yield from (
            f"What is said of “{mark.piece}” is not used: no piece of that name is drawn or made from measures."
            for mark in pattern.mark
            if mark.piece not in there
        )


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
