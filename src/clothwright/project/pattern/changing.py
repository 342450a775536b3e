"""From what was typed of a mock-up to changes of the pattern, in words too; and sizes made between those drawn."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from clothwright.pattern import Between, Change, Do, GradingRefused, Piece, grade
from clothwright.project.document import Project
from clothwright.project.parts.pattern_parts import BetweenPart, ChangePart, PatternPart
from clothwright.project.problem import Problem, ProblemsFound

_VERBS = {
    Do.LENGTHEN: "lengthened",
    Do.SHORTEN: "shortened",
    Do.LET_OUT: "let out",
    Do.TAKE_IN: "taken in",
    Do.RAISE: "raised",
    Do.LOWER: "lowered",
}


def change_of(part: ChangePart) -> Change | None:
    """A change as the pattern's room takes it; None where it is set aside."""
    if part.set_aside:
        return None
    return Change(
        do=part.do,
        by_cm=part.by.cm,
        pieces=tuple(part.piece),
        at_cm=part.at.cm if part.at else None,
        match=part.match or None,
        seam=part.seam or None,
        nothing_at=part.nothing_at or None,
        corner=(part.corner[0], part.corner[1]) if part.corner else None,
        in_proportion=part.other_sizes == "in proportion",
    )


def change_in_words(part: ChangePart) -> str:
    """What a change does, as a sentence: “side” let out by 1 cm, to nothing at the top, on front and back."""
    what = f"“{part.seam}”" if part.seam else f"the corner of “{'” and “'.join(part.corner)}”" if part.corner else ""
    where = f" through “{part.match}”" if part.match else f" {part.at} from the foot" if part.at else ""
    on = " and ".join(part.piece)
    if part.do in (Do.LENGTHEN, Do.SHORTEN):
        said = f"{_VERBS[part.do]} by {part.by}{where}, on {on or 'every piece that has it'}"
    else:
        tail = f", to nothing at the {part.nothing_at}" if part.nothing_at in ("top", "bottom") else ""
        tail = tail or (f", to nothing at “{part.nothing_at}”" if part.nothing_at else "")
        said = f"{what} {_VERBS[part.do]} by {part.by}{tail}" + (f", on {on} only" if on else "")
    size = ", other sizes in proportion" if part.other_sizes == "in proportion" else ""
    return f"{said[0].upper()}{said[1:]}{size}."


def fitted_size(pattern: PatternPart) -> str | None:
    """The size the mock-up was sewn in, else the garment's."""
    return (pattern.mock_up.size if pattern.mock_up else None) or pattern.size


def with_made_sizes(pieces: Iterable[Piece], pattern: PatternPart) -> tuple[Piece, ...]:
    """The pieces, and those of the sizes made between two; ProblemsFound where one cannot be made."""
    drawn = tuple(pieces)
    problems, made = [], list(drawn)
    for number, part in enumerate(pattern.made_size):
        try:
            made += grade(drawn, _between(part))
        except GradingRefused as refused:
            problems.append(Problem(("pattern", "made_size", number), str(refused)))
    if problems:
        raise ProblemsFound(*problems)
    return tuple(made)


def _between(part: BetweenPart) -> Between:
    return Between(part.size, part.between[0], part.between[1], part.share.expected)


def provisional_because(project: Project) -> str:
    """Why a plan is provisional until the mock-up fits; empty where it is not, or nothing is sewn from pieces."""
    pattern = project.pattern
    if pattern is None or not pattern.holds_pieces:
        return ""
    mock_up = pattern.mock_up
    if mock_up is not None and mock_up.fits:
        return ""
    tick = "Sew one in cheap cloth, write down what has to change, and tick it when it fits"
    if mock_up is None or not mock_up.sewn:
        return f"Provisional: no mock-up (toile, American muslin) of this pattern has been sewn. {tick}."
    return f"Provisional: the mock-up (toile, American muslin) sewn {day_in_words(mock_up.sewn)} is not ticked as fitting. {tick}."


def day_in_words(day: str) -> str:
    """A day as a person writes it: 3 October 2026."""
    found = datetime.date.fromisoformat(day)
    return f"{found.day} {found:%B %Y}"
