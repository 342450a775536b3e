"""From what a project says of its layout to the rules the layout room keeps, and to a layout kept whole.

A project measures from the first end and the first selvedge of the finished cloth; a layout begins where squaring and trim
end. So a place in the project is squaring and trim further on than in the layout.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from clothwright.layout import (
    HALF_TURN,
    NO_RULES,
    Copy,
    Flaw,
    Layout,
    MatchPoint,
    Placed,
    Rules,
    SelvedgeEdge,
    Stripes,
    match_points,
    measured,
    selvedge_edges,
)
from clothwright.pattern import Piece
from clothwright.project.parts.layout_parts import FlawPart, LayoutPart, StripesPart


@dataclass(frozen=True)
class Asked:
    """What is asked of a layout: its rules, a layout kept whole, and what of it cannot be used, in words."""

    rules: Rules = NO_RULES
    kept: Layout | None = None
    told: tuple[str, ...] = ()


NOTHING_ASKED = Asked()


@dataclass(frozen=True)
class _Start:
    """Where laying begins: `along_cm` from the first end, `across_cm` from the first selvedge."""

    along_cm: float
    across_cm: float


def layout_asked(
    part: LayoutPart, pieces: tuple[Piece, ...], copies: tuple[Copy, ...], *, squaring_cm: float, trim_cm: float
) -> Asked:
    """The rules of a project for these copies, and its kept layout where every copy has a place."""
    start = _Start(squaring_cm, trim_cm)
    placed, told = _places(part, copies, start)
    kept = _kept(part, placed, copies, start)
    locked = tuple(one for one, said in placed if said)
    rules = _rules(part, pieces, locked, start)
    unheard = (*told, *_no_such_match(part, pieces), *_not_used(part, placed, kept, copies))
    return Asked(rules, kept, unheard)


def _rules(part: LayoutPart, pieces: tuple[Piece, ...], locked: tuple[Placed, ...], start: _Start) -> Rules:
    """All rules; edges of panels must lie on the selvedge once anything else is asked, and without it they do so anyway."""
    rules = Rules(
        gap_cm=part.gap.cm if part.gap else 0.0,
        grain_tolerance_deg=part.off_grain_deg,
        flaws=tuple(_flaw(one, start) for one in part.flaw),
        locked=locked,
        selvedge_cm=max(0.0, part.from_selvedge.cm - start.across_cm) if part.from_selvedge else 0.0,
        stripes=tuple(_stripes(one, start) for one in part.stripes),
        matches=_matches(part, pieces),
        whole_width=tuple(part.whole_width),
        lots=tuple(tuple(lot.pieces) for lot in part.lot),
    )
    if rules == NO_RULES:
        return rules
    edges = (*selvedge_edges(pieces), *(edge for piece in pieces for edge in _edges_that_must(piece)))
    return Rules(**{**vars(rules), "selvedges": edges})


def _edges_that_must(piece: Piece) -> Iterator[SelvedgeEdge]:
    """Edges of a panel that is joined by its selvedges."""
    yield from (
        SelvedgeEdge(piece.name, edge.line, must=True)
        for edge in piece.edges
        if edge.selvedge and edge.seam and piece.panel_of
    )


def _flaw(part: FlawPart, start: _Start) -> Flaw:
    across = part.from_selvedge.cm if part.from_selvedge else 0.0
    width = part.width.cm if part.width else None
    y = across - start.across_cm if width is not None else 0.0
    return Flaw(part.at.cm - start.along_cm, part.length.cm, y, width, part.what)


def _stripes(part: StripesPart, start: _Start) -> Stripes:
    across = part.runs == "across the cloth"
    begins = part.begins.cm if part.begins else 0.0
    offset = begins - (start.across_cm if across else start.along_cm)
    return Stripes(part.repeat.cm, offset, part.even, across)


def _matches(part: LayoutPart, pieces: tuple[Piece, ...]) -> tuple[MatchPoint, ...]:
    return tuple(point for point in match_points(pieces) if point.name in part.match)


def _no_such_match(part: LayoutPart, pieces: tuple[Piece, ...]) -> Iterator[str]:
    there = sorted({point.name for point in match_points(pieces)})
    words = f"the named notches are {', '.join(there)}" if there else "no notch of these pieces has a name"
    yield from (
        f"No notch is called {name}, so no stripes are matched there; {words}."
        for name in part.match
        if name not in there
    )


def _places(
    part: LayoutPart, copies: tuple[Copy, ...], start: _Start
) -> tuple[tuple[tuple[Placed, bool], ...], tuple[str, ...]]:
    """Each copy that has a place, with whether it is locked; and words for places of copies that are not cut."""
    cut = {(copy.piece, copy.number): copy for copy in copies}
    found, told = [], []
    for one in part.place:
        copy = cut.get((one.piece, one.number))
        if copy is None:
            told.append(
                f"{one.piece} number {one.number} has a place in the project, and is not cut: the place is not used."
            )
            continue
        x, y = one.along.cm - start.along_cm, one.across.cm - start.across_cm
        turn = HALF_TURN if one.turned else 0.0
        found.append((Placed(one.piece, one.number, x, y, turn, copy.mirrored), one.locked))
    return tuple(found), tuple(told)


def _kept(
    part: LayoutPart, placed: tuple[tuple[Placed, bool], ...], copies: tuple[Copy, ...], start: _Start
) -> Layout | None:
    """The layout kept whole: a width, and a place for every copy."""
    if part.kept_width is None or len(placed) < len(copies):
        return None
    width = part.kept_width.cm - 2 * start.across_cm
    return measured(copies, width, tuple(one for one, _ in placed)) if width > 0 else None


def _not_used(
    part: LayoutPart, placed: tuple[tuple[Placed, bool], ...], kept: Layout | None, copies: tuple[Copy, ...]
) -> Iterator[str]:
    """Places that are neither locked nor part of a layout kept whole."""
    loose = [one for one, locked in placed if not locked]
    if kept is not None or not (loose or part.kept_width):
        return
    if part.kept_width is None:
        yield "Places that are not locked are not used without kept_width, the width of cloth they are for."
        return
    there = {(one.piece, one.copy) for one, _ in placed}
    missing = [f"{copy.piece} {copy.number}" for copy in copies if (copy.piece, copy.number) not in there]
    why = f"no place is given for {', '.join(missing)}" if missing else "the trims leave nothing of its width"
    yield f"The kept layout is not used: {why}. Pieces that are locked stay."
