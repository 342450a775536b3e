"""From what was typed of a garment's measures to its drafting: sizes of a table, sizes of one's own, versions, one body."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from clothwright.pattern import Piece
from clothwright.pattern.drafting import (
    USUAL_ALLOWANCE_CM,
    Design,
    Drafted,
    DraftRefused,
    MeasureRefused,
    draft,
    measure_named,
    pieces_of,
    size_table,
)
from clothwright.project.parts.draft_parts import DraftPart
from clothwright.project.parts.pattern_parts import MarkPart, PatternPart
from clothwright.project.problem import Path, Problem, ProblemsFound

WHERE: Path = ("pattern", "from_measures")
Texts = tuple[tuple[str, str], ...]


def drafted_pieces(pattern: PatternPart, *, every_size: bool = False) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """The pieces of the size and version chosen, or of every one, and notes; none where nothing is drafted."""
    if pattern.from_measures is None:
        return (), ()
    drafted = drafted_sizes(pattern, chosen=not every_size)
    notes = [note for one in drafted for note in one.notes]
    taken = list(dict.fromkeys(one for each in drafted for one in each.taken))
    if pattern.seam_allowance is None:
        taken.append(f"seam allowance: {USUAL_ALLOWANCE_CM:g} cm (from memory: loosely woven cloth 20 to 25 mm)")
    notes += [f"Not said, and so taken: {'; '.join(taken)}."] if taken else []
    return as_said(pieces_of(drafted), pattern.mark), tuple(notes)


def as_said(pieces: tuple[Piece, ...], marks: Sequence[MarkPart]) -> tuple[Piece, ...]:
    """Drafted pieces with what is said of them beside; ProblemsFound where that cannot be said of a drafted piece."""
    problems = [
        Problem(("pattern", "mark", number, field), _ONLY_DRAWN.format(piece=mark.piece, field=field))
        for number, mark in enumerate(marks)
        for field in _OF_DRAWINGS & mark.model_fields_set
        if any(piece.name == mark.piece for piece in pieces)
    ]
    names = [mark.piece for mark in marks]
    problems += [
        Problem(("pattern", "mark", number), f"“{mark.piece}” is marked twice; mark a piece once")
        for number, mark in enumerate(marks)
        if mark.piece in names[:number] and any(piece.name == mark.piece for piece in pieces)
    ]
    if problems:
        raise ProblemsFound(*problems)
    return tuple(said for piece in pieces if (said := _said(piece, marks)) is not None)


#: What is said of a drawing's line, and not of a piece that was drafted.
_OF_DRAWINGS: Final = {"fold", "grain", "line", "allowance", "size", "version", "close"}
_ONLY_DRAWN: Final = (
    "{field} is said of drawn pieces; {piece} is made from measures: change its measures, ease or options"
)


def _said(piece: Piece, marks: Sequence[MarkPart]) -> Piece | None:
    """The piece as it is said to be; None where it is left out."""
    for mark in marks:
        if mark.piece != piece.name:
            continue
        if mark.leave_out:
            return None
        return replace(
            piece,
            name=mark.name or piece.name,
            cut=mark.cut or piece.cut,
            pair=piece.pair if mark.pair is None else mark.pair,
            one_way=piece.one_way if mark.one_way is None else mark.one_way,
            material=mark.material or piece.material,
        )
    return piece


def drafted_names(pattern: PatternPart) -> frozenset[str]:
    """The names of the pieces that are drafted; none where nothing is."""
    return (
        frozenset()
        if pattern.from_measures is None
        else frozenset(one.name for one in pieces_of(drafted_sizes(pattern)))
    )


def drafted_sizes(pattern: PatternPart, *, chosen: bool = False) -> tuple[Drafted, ...]:
    """Every size and version drafted, or only the one chosen; ProblemsFound with what is wrong, beside what was typed."""
    assert pattern.from_measures is not None
    allowance = USUAL_ALLOWANCE_CM if pattern.seam_allowance is None else pattern.seam_allowance.cm
    design = design_of(pattern.from_measures, allowance)
    if chosen:
        design = _narrowed(design, pattern)
    try:
        return draft(design)
    except DraftRefused as refusal:
        raise ProblemsFound(*(Problem((*WHERE, *one.where), one.sentence) for one in refusal.problems)) from None


def design_of(part: DraftPart, allowance_cm: float) -> Design:
    """The design a part of the document holds; ProblemsFound where its sizes are not clear."""
    sizes = (*_table_sizes(part), *((one.name, _texts(one.body)) for one in part.size))
    versions = tuple((one.name, _texts(one.options)) for one in part.version)
    for field, named in (("size", sizes), ("version", versions)):
        _each_once(field, [name for name, _ in named])
    return Design(
        part.garment,
        _in_full_names(part.body),
        _texts(part.ease),
        _texts(part.options),
        tuple((name, _in_full_names(dict(body))) for name, body in sizes),
        versions,
        allowance_cm,
    )


def _texts(typed: Mapping[str, str]) -> Texts:
    return tuple(typed.items())


def _in_full_names(typed: Mapping[str, str]) -> Texts:
    """Measures under their own names; ProblemsFound where one came under two of its names."""
    names = [_full_name(name) for name in typed]
    twice = next((name for place, name in enumerate(names) if name in names[:place]), None)
    if twice is not None:
        raise ProblemsFound(Problem((*WHERE, "body"), f"{twice} came twice, under two of its names; keep one"))
    return tuple(zip(names, typed.values(), strict=True))


def _full_name(name: str) -> str:
    """The measure's own name; what names none stays, to be asked about where it is drafted."""
    try:
        return measure_named(name).name
    except MeasureRefused:
        return name


def _table_sizes(part: DraftPart) -> tuple[tuple[str, Texts], ...]:
    if part.table is None:
        if part.sizes:
            raise ProblemsFound(
                Problem((*WHERE, "sizes"), "sizes are those of a table; name the table, or write your own under size")
            )
        return ()
    table = size_table(part.table)
    twice = [name for name, _ in table.measures if name in map(_full_name, part.body)]
    if twice:
        raise ProblemsFound(
            Problem(
                (*WHERE, "body"), f"{twice[0]} is typed, and the table of sizes gives it too; leave one of them out"
            )
        )
    try:
        return tuple((size, _texts(table.body(size))) for size in part.sizes or table.sizes)
    except KeyError as error:
        raise ProblemsFound(Problem((*WHERE, "sizes"), str(error.args[0]))) from None


def _each_once(field: str, names: list[str]) -> None:
    twice = next((name for place, name in enumerate(names) if name in names[:place]), None)
    if twice is not None:
        raise ProblemsFound(
            Problem((*WHERE, field), f"more than one {field} is called {twice}; give each its own name")
        )


def _narrowed(design: Design, pattern: PatternPart) -> Design:
    """The design with the size and version that were chosen alone; ProblemsFound if there are several and none was."""
    sizes = _chosen("size", pattern.size, design.sizes)
    return replace(design, sizes=sizes, versions=_chosen("version", pattern.version, design.versions))


def _chosen(what: str, asked: str | None, there: tuple[tuple[str, Texts], ...]) -> tuple[tuple[str, Texts], ...]:
    found = tuple(one for one in there if one[0] == asked)
    if there and not found:
        came = f"{what} {asked} is not among them" if asked is not None else f"no {what} was asked for"
        names = ", ".join(name for name, _ in there)
        raise ProblemsFound(
            Problem(("pattern", what), f"the garment has the {what}s {names}; {came}: say which {what} to lay out")
        )
    return found
