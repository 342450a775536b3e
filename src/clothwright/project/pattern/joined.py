"""The last step from a pattern to its pieces: those that are joined become their panels."""

from __future__ import annotations

from collections.abc import Iterable

from clothwright.pattern import Join, JoinRefused, Piece, Sewn, apply_join, read_join_place
from clothwright.project.document import Project
from clothwright.project.parts.pattern_parts import JoinPart, PatternPart
from clothwright.project.problem import Problem, ProblemsFound


def with_joins(project: Project, pieces: tuple[Piece, ...]) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces with the joins of the project made, one after the other, and notes on those set aside."""
    pattern = project.pattern
    if pattern is None:
        return pieces, ()
    problems: list[Problem] = []
    for number, part in enumerate(pattern.join):
        if not part.set_aside:
            pieces = _joined(pieces, part, pattern, ("pattern", "join", number), problems)
    if problems:
        raise ProblemsFound(*problems)
    return pieces, tuple(_notes(pattern))


def join_of(part: JoinPart, pattern: PatternPart | None) -> Join:
    """The join a part means; a seam takes the allowance stated, else the pattern's, else the usual one."""
    sewn = Sewn(part.sewn)
    stated = part.allowance or (pattern.seam_allowance if pattern and not sewn.by_selvedge else None)
    allowance = stated.cm if stated else sewn.usual_allowance_cm
    return Join(read_join_place(part.at), sewn, allowance, part.material)


def _joined(
    pieces: tuple[Piece, ...],
    part: JoinPart,
    pattern: PatternPart,
    where: tuple[str | int, ...],
    problems: list[Problem],
) -> tuple[Piece, ...]:
    """The pieces with one join made; as they were, with the problem kept, where it cannot be."""
    if all(piece.name != part.piece for piece in pieces):
        problems.append(Problem((*where, "piece"), _no_such(part.piece, pieces)))
        return pieces
    if part.sewn == str(Sewn.BUTTED) and part.allowance and part.allowance.cm > 0:
        sentence = f"selvedges that are butted have no allowance; “{part.allowance}” goes with a seam or a lap"
        problems.append(Problem((*where, "allowance"), sentence))
        return pieces
    try:
        return apply_join(pieces, part.piece, join_of(part, pattern))
    except JoinRefused as refused:
        problems.append(Problem((*where, "at"), str(refused)))
        return pieces


def _no_such(name: str, pieces: Iterable[Piece]) -> str:
    """What is wrong with the name of a piece to join, with those there are."""
    panels = tuple(dict.fromkeys(piece.name for piece in pieces if piece.panel_of == name))
    if panels:
        return f"“{name}” is joined already; name one of its panels to join that: {', '.join(panels)}"
    names = ", ".join(dict.fromkeys(piece.name for piece in pieces)) or "none"
    return f"there is no piece “{name}” to join; the pieces are {names}"


def _notes(pattern: PatternPart) -> Iterable[str]:
    """Joins that are set aside, and allowances nobody stated."""
    for part in pattern.join:
        if part.set_aside:
            yield f"The join of {part.piece} at {part.at} is set aside and not used: {part.set_aside}."
        elif part.allowance is None and pattern.seam_allowance is None and part.sewn != str(Sewn.BUTTED):
            usual = Sewn(part.sewn).usual_allowance_cm
            yield f"No allowance is stated for the join of {part.piece}: {usual:g} cm on each panel is taken."
