"""Garments drafted from body measures: what is asked, and pieces with the finished garment beside the body.

The way of one garment: `asking` reads measures, eases and options; the garment's own file finds its lengths and draws its parts
upright; `shaping` makes pieces of them that lie with the grain. Each garment's file begins with its theory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Final

from clothwright.pattern.drafting.asking import (
    USUAL_ALLOWANCE_CM,
    Asks,
    DraftProblem,
    DraftRefused,
    Figures,
    Option,
    garment_named,
    garments,
    key_of,
    read_figures,
)
from clothwright.pattern.drafting.bag import bag
from clothwright.pattern.drafting.drafted import Drafted, Finished
from clothwright.pattern.drafting.measures import (
    Measure,
    MeasureRefused,
    SizeTable,
    measure_named,
    measures,
    proportions,
    read_measure,
    size_table,
    size_tables,
)
from clothwright.pattern.drafting.sewn import Garment
from clothwright.pattern.drafting.shaping import made
from clothwright.pattern.drafting.skirt import skirt
from clothwright.pattern.drafting.top import top
from clothwright.pattern.drafting.tunic import tunic
from clothwright.pattern.drafting.waistcoat import waistcoat
from clothwright.pattern.drafting.wrap_jacket import wrap_jacket
from clothwright.pattern.piece import Piece, PieceError

_DRAWN: Final[Mapping[str, Callable[[Figures], Garment]]] = {
    "tunic": tunic,
    "wrap jacket": wrap_jacket,
    "waistcoat": waistcoat,
    "top": top,
    "skirt": skirt,
    "bag": bag,
}
Texts = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Design:
    """A garment asked for, as typed: `sizes` and `versions` are names with the measures or options they change.

    Texts are pairs of name and text. Without sizes or versions there is one garment, of `body`.
    """

    garment: str
    body: Texts = ()
    ease: Texts = ()
    options: Texts = ()
    sizes: tuple[tuple[str, Texts], ...] = ()
    versions: tuple[tuple[str, Texts], ...] = ()
    allowance_cm: float = field(default=USUAL_ALLOWANCE_CM)


@lru_cache(maxsize=64)
def draft(design: Design) -> tuple[Drafted, ...]:
    """Each size and version drafted; DraftRefused with everything wrong, said once."""
    asks = garment_named(design.garment)
    drafted: list[Drafted] = []
    problems: dict[DraftProblem, None] = {}
    for size, measured in design.sizes or ((None, ()),):
        for version, chosen in design.versions or ((None, ()),):
            try:
                drafted.append(_one(asks, design, size, measured, version, chosen))
            except DraftRefused as refusal:
                problems |= dict.fromkeys(_of(problem, size, version) for problem in refusal.problems)
    if problems:
        raise DraftRefused(*problems)
    return tuple(drafted)


def _of(problem: DraftProblem, size: str | None, version: str | None) -> DraftProblem:
    """The problem with the size and version it was found in; what was typed for all is said once for all."""
    told = [f"size {size}"] if size is not None and problem.where[:1] != ("options",) else []
    told += [f"version {version}"] if version is not None and problem.where[:1] == ("options",) else []
    return replace(problem, sentence=f"{', '.join(told)}: {problem.sentence}") if told else problem


def _one(asks: Asks, design: Design, size: str | None, measured: Texts, version: str | None, chosen: Texts) -> Drafted:
    figures = read_figures(
        asks,
        dict(design.body) | dict(measured),
        dict(design.ease),
        dict(design.options) | dict(chosen),
        design.allowance_cm,
    )
    sewn = _DRAWN[asks.name](figures)
    try:
        made_up = tuple(made(part, design.allowance_cm) for part in sewn.parts)
    except PieceError as error:
        raise DraftRefused.at(("body",), f"these measures do not go together: {error}") from None
    pieces = tuple(replace(piece, size=size, version=version) for piece in made_up)
    return Drafted(pieces, sewn.finished, sewn.notes, figures.taken, size, version)


def pieces_of(drafted: Iterable[Drafted]) -> tuple[Piece, ...]:
    """Every piece once: what is the same in all sizes, or all versions, belongs to every one."""
    every = [piece for one in drafted for piece in one.pieces]
    of_every_version = _shared(every, lambda piece: piece.version, lambda piece: replace(piece, version=None))
    return _shared(of_every_version, lambda piece: piece.size, lambda piece: replace(piece, size=None))


def _shared(
    pieces: Iterable[Piece], belongs: Callable[[Piece], str | None], freed: Callable[[Piece], Piece]
) -> tuple[Piece, ...]:
    every = tuple(pieces)
    kinds = {belongs(piece) for piece in every}
    groups: dict[Piece, list[Piece]] = {}
    for piece in every:
        groups.setdefault(freed(piece), []).append(piece)
    found: list[Piece] = []
    for alike, members in groups.items():
        found += [alike] if len(members) == len(kinds) > 1 else members
    return tuple(found)


__all__ = [
    "USUAL_ALLOWANCE_CM",
    "Asks",
    "Design",
    "DraftProblem",
    "DraftRefused",
    "Drafted",
    "Figures",
    "Finished",
    "Measure",
    "MeasureRefused",
    "Option",
    "SizeTable",
    "draft",
    "garment_named",
    "garments",
    "key_of",
    "measure_named",
    "measures",
    "pieces_of",
    "proportions",
    "read_measure",
    "size_table",
    "size_tables",
]
