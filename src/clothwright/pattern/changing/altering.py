"""Changes to a pattern found on the mock-up (toile, American muslin), applied to every piece they concern.

A piece is altered along one line, its *seamline*: the stitching line where the cut line was made from that, else the cut
line. Its edges are runs of it. An alteration is a shift for every corner of the seamline; everything else follows:

- **Lengthened or shortened** at a line across the grain. On paper: cut there and spread by d, or fold d away, and true the
  line. All beyond the line moves by d along the grain, all before it stays. Where the seamline crosses at a slant the step is
  shared out over a stretch to both sides, which never goes over a corner, an end of an edge, or half-way to the next
  crossing: the shift there is d · s(t), s(t) = t²(3 − 2t), t from 0 to 1 along the stretch, so that the line has no kink. A
  line along the grain gains exactly d, one at an angle α to it about d · cos α.
- **Let out or taken in** along a seam by d. Each corner of the run moves by w · d · n, n square to the line (at a bend so that
  its two sides stay parallel), w the share of the change there: 1 for the whole seam, else growing evenly from nothing
  at the end named to all at the other. The line beside each end runs on straight to meet the moved seam, or is cut off
  where the seam now meets it. Where a seam runs on without a corner, there is nothing to meet, and the change is eased in.
- **Raised or lowered**, an edge: as before with n along the grain, and where the full end is at a fold w = sin(πt/2), so that
  the edge goes over the fold square to it.
- **Raised or lowered**, a corner where two seams meet: it moves by d along the grain, and each of the two edges follows with
  w growing evenly along it, so that a straight edge stays straight.

*Following.* A piece drawn by its stitching line gets its cut line anew from the altered one, with the allowances it had. A second
line round the piece, notches and ends of lines at the outline move with the place of the seamline nearest to them; what lies
inside moves only when the piece is spread or folded.

*Partners.* A change that names a seam is made on every edge of that name, on every piece, size and version, unless pieces are
named. The seams are walked before and after. An amount is the same for every size, or in proportion to the length of the seam
(or of the piece, when it is lengthened) against the fitted size; the line of a lengthening lies at the same share of the length
in every size.

*Where it stops being true.* A change much larger than the bend of a curve folds the curve onto itself; that is refused.

*Source:* cutting and spreading, folding, trueing, running seams on to meet, and walking seams are common practice of the
trade, no source; the sums are our own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final

import numpy as np

from clothwright.pattern.changing.moves import (
    Moved,
    MoveRefused,
    Taking,
    beyond,
    crosses_itself,
    move_runs,
    pull,
    spread,
    with_room,
)
from clothwright.pattern.piece import Edge, MarkKind, Piece, PieceError, PieceMark, Point, Ring
from clothwright.pattern.seamline import (
    Run,
    Seamline,
    as_points,
    cut_line,
    distance_to,
    follow,
    grown_from_stitching,
    ring_followed,
    seamline_of,
)

#: A mark's end this near to the outline goes with it. Common practice, no source.
_AT_THE_LINE_CM: Final = 0.6
_WALKED_WITHIN_CM: Final = 0.005


class ChangeRefused(ValueError):
    """A change that cannot be made; the message is one sentence."""


class Do(StrEnum):
    """What is done in a change."""

    LENGTHEN = "lengthen"
    SHORTEN = "shorten"
    LET_OUT = "let out"
    TAKE_IN = "take in"
    RAISE = "raise"
    LOWER = "lower"


_LESS: Final = {Do.SHORTEN, Do.TAKE_IN, Do.LOWER}
_ACROSS: Final = {Do.LENGTHEN, Do.SHORTEN}
_ALONG_THE_GRAIN: Final = {Do.RAISE, Do.LOWER}


@dataclass(frozen=True)
class Change:
    """A change as it is asked for; lengths cm.

    `pieces`: only these; none named, every piece it concerns. A piece is lengthened across the grain `at_cm` from its foot, or
    through the notch or line called `match`. `seam` is let out, taken in, raised or lowered, with nothing at the end
    `nothing_at`: top, bottom, or the seam met there. `corner`: the two seams that meet in it. `in_proportion`: for other sizes
    by the length of the seam or piece, else by the same amount.
    """

    do: Do
    by_cm: float
    pieces: tuple[str, ...] = ()
    at_cm: float | None = None
    match: str | None = None
    seam: str | None = None
    nothing_at: str | None = None
    corner: tuple[str, str] | None = None
    in_proportion: bool = False

    @property
    def signed_cm(self) -> float:
        """What is added, below nothing where something is taken away."""
        return -self.by_cm if self.do in _LESS else self.by_cm


@dataclass(frozen=True)
class Walked:
    """The length of a seam on one piece before a change and after it, cm."""

    seam: str
    piece: str
    size: str | None
    version: str | None
    before_cm: float
    after_cm: float


@dataclass(frozen=True)
class AlteredPiece:
    """A piece after a change; `moved`: how far its own origin moved on it, so that what lay at p lies at p − moved."""

    piece: Piece
    moved: Point = (0.0, 0.0)


@dataclass(frozen=True)
class Altered:
    """What came of a change: all pieces in their order, the seams whose length changed, and what is to be told."""

    pieces: tuple[AlteredPiece, ...]
    walked: tuple[Walked, ...]
    changed: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())


def alter(pieces: Iterable[Piece], change: Change, *, fitted_size: str | None = None) -> Altered:
    """The pieces with one change made on all it concerns; ChangeRefused in one sentence where it cannot be."""
    before = tuple(pieces)
    _names_are_there(before, change)
    concerned = [piece for piece in before if _concerns(change, piece)]
    if not concerned:
        raise ChangeRefused(_concerns_none(before, change))
    notes: list[str] = []
    after = tuple(
        _altered(piece, _for_size(change, piece, before, fitted_size), notes)
        if piece in concerned
        else AlteredPiece(piece)
        for piece in before
    )
    changed = tuple(dict.fromkeys(piece.name for piece in concerned))
    return Altered(after, _walk(before, after), changed, tuple(dict.fromkeys(notes)))


# --- which pieces ------------------------------------------------------------------------------------------------


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names)) or "none"


def _names_are_there(pieces: Sequence[Piece], change: Change) -> None:
    names = [piece.name for piece in pieces]
    for name in change.pieces:
        if name not in names:
            raise ChangeRefused(f"“{name}”: no piece has that name; there are {_listed(names)}")
    seams = [edge.seam for piece in pieces for edge in piece.edges if edge.seam]
    ends = [] if change.nothing_at in (None, "top", "bottom") else [change.nothing_at]
    for seam in filter(None, (change.seam, *(change.corner or ()), *ends)):
        if seam not in seams:
            raise ChangeRefused(f"“{seam}”: no piece has a seam of that name; there are {_listed(seams)}")
    marks = [mark.name for piece in pieces for mark in piece.marks if mark.name]
    if change.match is not None and change.match not in marks:
        raise ChangeRefused(f"“{change.match}”: no notch or line has that name; there are {_listed(marks)}")


def _concerns(change: Change, piece: Piece) -> bool:
    if change.pieces and piece.name not in change.pieces:
        return False
    if change.match is not None:
        return any(mark.name == change.match for mark in piece.marks)
    seams = {edge.seam for edge in piece.edges}
    if change.corner is not None:
        return set(change.corner) <= seams
    return change.seam is None or change.seam in seams


def _concerns_none(pieces: Sequence[Piece], change: Change) -> str:
    what = f"the notch or line “{change.match}”" if change.match else f"the seam “{change.seam}”"
    if change.corner:
        what = f"both the seams “{change.corner[0]}” and “{change.corner[1]}”"
    return f"none of {_listed(change.pieces or (piece.name for piece in pieces))} has {what}"


# --- how much, for a size ----------------------------------------------------------------------------------------


def _for_size(change: Change, piece: Piece, pieces: Sequence[Piece], fitted_size: str | None) -> Change:
    """The change as it is for a piece: its amount in proportion where asked for, its line at the same share of the length."""
    fitted = _same_in(fitted_size, piece, pieces)
    if fitted is None or fitted is piece:
        return change
    by = change.by_cm * _measure(change, piece) / _measure(change, fitted) if change.in_proportion else change.by_cm
    at = None if change.at_cm is None else change.at_cm * piece.length_cm / fitted.length_cm
    return replace(change, by_cm=by, at_cm=at)


def _same_in(size: str | None, piece: Piece, pieces: Sequence[Piece]) -> Piece | None:
    """The piece of the same name and version in another size; None where the piece has no size or none is fitted."""
    if piece.size is None or size is None:
        return None
    same = [one for one in pieces if one.name == piece.name and one.size == size]
    return next((one for one in same if one.version == piece.version), same[0] if same else None)


def _measure(change: Change, piece: Piece) -> float:
    """What a change in proportion goes by: the length of the seam, else of the piece."""
    of = [edge.length_cm for edge in piece.edges if edge.seam == change.seam and edge.seam]
    return of[0] if of else piece.length_cm


# --- one piece ---------------------------------------------------------------------------------------------------


def _altered(piece: Piece, change: Change, notes: list[str]) -> AlteredPiece:
    who = _who(piece)
    try:
        made = _made(piece, change, notes)
    except MoveRefused as refused:
        raise ChangeRefused(f"{_says(change)} on {who}: {refused}") from None
    except PieceError as error:
        raise ChangeRefused(f"{_says(change)} on {who} makes no piece: {error}; move it less") from None
    return made


def _who(piece: Piece) -> str:
    of = [f"size {piece.size}"] * bool(piece.size) + [f"version {piece.version}"] * bool(piece.version)
    return f"{piece.name} ({', '.join(of)})" if of else piece.name


def _says(change: Change) -> str:
    what = (
        f"“{change.seam}” " if change.seam else f"the corner of {' and '.join(change.corner)} " if change.corner else ""
    )
    return f"to {change.do} {what}by {change.by_cm:g} cm"


def _made(piece: Piece, change: Change, notes: list[str]) -> AlteredPiece:
    line = seamline_of(piece)
    if change.do in _ACROSS:
        at = _across_at(piece, change)
        moved = spread(line, at, change.signed_cm)

        def inside(points: Ring) -> Ring:
            return _plus(points, beyond(np.array(points), at, change.signed_cm))
    else:
        moved = _corner_pulled(line, change) if change.corner else _seam_moved(line, change)

        def inside(points: Ring) -> Ring:
            return points

    if moved.eased:
        seams = " and ".join(f"“{seam}”" for seam in moved.eased)
        notes.append(f"{seams} runs on without a corner at an end on {piece.name}, so the change is eased in there.")
    if crosses_itself(moved.after.corners):
        raise MoveRefused("the line would cross itself; move it less")
    return _with_all(piece, moved, inside)


def _across_at(piece: Piece, change: Change) -> float:
    """Where along the grain the line across lies, cm from the piece's foot."""
    if change.match is not None:
        marks = [point for mark in piece.marks if mark.name == change.match for point in mark.points]
        return (min(x for x, _ in marks) + max(x for x, _ in marks)) / 2
    at = change.at_cm if change.at_cm is not None else piece.length_cm / 2
    if not 0 < at < piece.length_cm:
        raise MoveRefused(
            f"{at:g} cm from its foot lies outside it, it is {piece.length_cm:.1f} cm long along the grain"
        )
    return at


def _seam_moved(line: Seamline, change: Change) -> Moved:
    line = with_room(line, change.seam, change.by_cm)
    runs = [run for run in line.runs if run.edge.seam == change.seam]
    direction = (1.0, 0.0) if change.do in _ALONG_THE_GRAIN else None
    return move_runs(line, [(run, _taking(line, run, runs, change)) for run in runs], change.signed_cm, direction)


def _taking(line: Seamline, run: Run, runs: Sequence[Run], change: Change) -> Taking:
    """How much of the change each place of a run takes."""
    if change.nothing_at is None:
        return np.ones_like
    first_is_nothing = _nothing_first(line, run, change.nothing_at)
    full = run.last if first_is_nothing else run.first
    goes_on = any(full in (other.first, other.last) for other in runs if other is not run)
    square = goes_on and change.do in _ALONG_THE_GRAIN

    def taking(along: np.ndarray) -> np.ndarray:
        from_nothing = along if first_is_nothing else 1 - along
        return np.sin(from_nothing * math.pi / 2) if square else from_nothing

    return taking


def _nothing_first(line: Seamline, run: Run, nothing_at: str) -> bool:
    """Whether the end of a run that takes nothing is its first."""
    first, last = line.corners[run.first], line.corners[run.last]
    if nothing_at in ("top", "bottom"):
        rises = float(last[0] - first[0])
        if abs(rises) < 0.1 * np.linalg.norm(last - first):
            raise MoveRefused(
                f"{nothing_at} says too little, as it runs across the grain; name the seam it meets where nothing is moved"
            )
        return (rises > 0) == (nothing_at == "bottom")
    there = {number for other in line.runs if other.edge.seam == nothing_at for number in (other.first, other.last)}
    meets = [_near(line, run.first, there), _near(line, run.last, there)]
    if meets[0] == meets[1]:
        where = "at both of its ends" if meets[0] else "at neither of its ends"
        raise MoveRefused(f"it meets “{nothing_at}” {where}; say top, bottom, or a seam it meets at one end")
    return meets[0]


def _near(line: Seamline, number: int, others: Iterable[int]) -> bool:
    return any(np.linalg.norm(line.corners[number] - line.corners[other]) < 0.3 for other in others)


def _corner_pulled(line: Seamline, change: Change) -> Moved:
    assert change.corner is not None  # asked for only there
    one, other = ([run for run in line.runs if run.edge.seam == seam] for seam in change.corner)
    corners = [
        (number, first, second)
        for first in one
        for second in other
        for number in {first.first, first.last} & {second.first, second.last}
    ]
    if not corners:
        raise MoveRefused(f"“{change.corner[0]}” and “{change.corner[1]}” do not meet there")
    return pull(line, corners, (change.signed_cm, 0.0))


# --- everything on the piece -------------------------------------------------------------------------------------


def _with_all(piece: Piece, moved: Moved, inside: Callable[[Ring], Ring]) -> AlteredPiece:
    """The piece with its lines, edges and marks as they are after a move."""
    edges = moved.after.edges()
    for edge in edges:
        if len(edge.line) < 2:
            raise MoveRefused(f"nothing would be left of the seam “{edge.seam}”; move it less")
    sewn = moved.after.plain_ring()
    outline = sewn
    stitching = ring_followed(moved.before, moved.after, piece.stitching) if piece.stitching else None
    if grown_from_stitching(piece):
        outline, stitching = cut_line(piece, sewn, edges), sewn
    left, low = min(x for x, _ in outline), min(y for _, y in outline)
    fold = _followed(piece.fold, moved)
    made = replace(
        piece,
        outline=outline,
        stitching=stitching,
        fold=(fold[0], fold[1]) if fold else None,
        edges=_said_as_before(piece.edges, edges),
        marks=tuple(_mark(mark, moved, inside) for mark in piece.marks),
    )
    return AlteredPiece(made, (left, low))


def _said_as_before(before: tuple[Edge, ...], after: tuple[Edge, ...]) -> tuple[Edge, ...]:
    return tuple(replace(was, line=now.line) for was, now in zip(before, after, strict=True))


def _followed(points: Sequence[Point] | None, moved: Moved) -> Ring | None:
    return None if points is None else _plus(tuple(points), follow(moved.before, moved.after, np.array(points)))


def _plus(points: Ring, shift: np.ndarray) -> Ring:
    return as_points(np.array(points, dtype=float) + shift)


def _mark(mark: PieceMark, moved: Moved, inside: Callable[[Ring], Ring]) -> PieceMark:
    """A mark in its place: a notch goes as a whole with the line, a line's ends at the outline too, the rest lies inside."""
    if mark.kind is MarkKind.NOTCH:
        nearest = min(mark.points, key=lambda point: distance_to(moved.before, point))
        shift = follow(moved.before, moved.after, np.array([nearest]))
        return replace(mark, points=_plus(mark.points, np.repeat(shift, len(mark.points), axis=0)))
    placed = list(inside(mark.points))
    for number in (0, -1) if not mark.closed else ():
        if distance_to(moved.before, mark.points[number]) <= _AT_THE_LINE_CM:
            placed[number] = _plus(
                (mark.points[number],), follow(moved.before, moved.after, np.array([mark.points[number]]))
            )[0]
    return replace(mark, points=tuple(placed))


# --- walked ------------------------------------------------------------------------------------------------------


def _walk(before: Sequence[Piece], after: Sequence[AlteredPiece]) -> tuple[Walked, ...]:
    """Every seam whose length changed, once for each piece."""
    found: dict[tuple[object, ...], Walked] = {}
    for was, now in zip(before, after, strict=True):
        for one, other in zip(was.edges, now.piece.edges, strict=True):
            apart = abs(one.length_cm - other.length_cm)
            if one.seam is not None and apart > _WALKED_WITHIN_CM:
                key = (one.seam, was.name, was.size, was.version)
                found.setdefault(key, Walked(one.seam, was.name, was.size, was.version, one.length_cm, other.length_cm))
    return tuple(found.values())
