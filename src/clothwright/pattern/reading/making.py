"""From one outline on the page to a piece: opened out at its fold, its allowances added, turned to its grain.

The order matters: a fold gets no allowance, and a grain that is at an angle to the fold is kept. Marks and edges go the
same way as the outline they are drawn on.
"""

from __future__ import annotations

from dataclasses import replace

from clothwright.pattern.faults import crossed
from clothwright.pattern.outline import (
    EdgeUnclear,
    Fold,
    FoldRefused,
    add_allowances,
    direction_deg,
    ends_off,
    fold_line,
    is_straight,
    stretch_of,
    turn_to_grain,
)
from clothwright.pattern.piece import (
    MAIN_CLOTH,
    CrossedOutline,
    Edge,
    MarkKind,
    Piece,
    PieceError,
    PieceMark,
    Ring,
    tidy_ring,
)
from clothwright.pattern.reading.findings import Findings, quoted
from clothwright.pattern.reading.tree import Line

UP_THE_PAGE_DEG = 90.0
SAME_DIRECTION_DEG = 1.0
_KINDS = {"notch": MarkKind.NOTCH, "join": MarkKind.JOIN}


class Making:
    """Makes one piece; what is wrong with it is kept as a problem."""

    def __init__(self, line: Line, name: str, findings: Findings, allowance_cm: float) -> None:
        self._line = line
        self._marks = line.marks
        self._name = name
        self._findings = findings
        stated = self._marks.allowance
        self._allowance_cm = allowance_cm if stated is None else stated

    def piece(self, marks: list[Line], inner: list[Line]) -> Piece | None:
        """The piece with its marks and what is drawn inside it; None, with the problem kept, if there is none."""
        grain = self._grain_deg([line for line in marks if line.kind == "grain"])
        self._check_pair()
        try:
            made = self._made(marks, inner)
            return None if grain is None else _turned(made, grain)
        except CrossedOutline as error:
            self._findings.fault(crossed(self._name, self._refusal(error), error.ring, error.place))
        except (PieceError, FoldRefused) as error:
            self._findings.problem(self._refusal(error))
        return None

    def _refusal(self, error: ValueError) -> str:
        return f"{quoted(self._name)}: {str(error).removeprefix(f'{self._name}: ')}."

    def _made(self, marks: list[Line], inner: list[Line]) -> Piece:
        half = tuple(self._line.flat.points)
        tidy_ring(self._name, half)
        fold = self._fold([line for line in marks if line.kind == "fold"])
        drawn = fold.opened(self._line.flat) if fold else half
        tidy_ring(self._name, drawn)
        stitched = self._marks.line == "stitch"
        sewn = next((line for line in inner if _is_stitching(line) and not stitched), None)
        drawn_lines = (half,) if sewn is None else (half, sewn.flat.points)
        edges = self._edges([line for line in marks if line.kind == "edge"], drawn_lines, fold)
        outline = self._grown(drawn, edges) if stitched else drawn
        stated, own = self._marks, [line for line in inner if line is not sewn]
        return Piece(
            self._name,
            outline,
            cut=stated.cut or 1,
            pair=bool(stated.pair),
            one_way=bool(stated.one_way),
            material=_material(stated.material),
            size=stated.size,
            version=stated.version,
            stitching=drawn if stitched else self._opened_mark(sewn, fold)[0] if sewn else None,
            allowance_cm=self._allowance_cm if stitched else 0.0,
            fold=(fold.start, fold.end) if fold else None,
            grain_stated=stated.grain is not None or any(line.kind == "grain" for line in marks),
            edges=edges,
            marks=tuple(mark for line in (*marks, *own) for mark in self._piece_marks(line, fold)),
        )

    # --- the fold ----------------------------------------------------------------------------------------------

    def _fold(self, lines: list[Line]) -> Fold | None:
        side = self._marks.fold
        if side is not None and lines:
            raise FoldRefused("its fold is both drawn as a line and named by a side; keep one")
        if side is not None:
            return Fold(*self._named_fold(side))
        if not lines:
            return None
        if len(lines) > 1 or not is_straight(lines[0].flat.points):
            raise FoldRefused("its fold is not one straight line; a piece is opened out once")
        return Fold(lines[0].flat.points[0], lines[0].flat.points[-1])

    def _named_fold(self, side: str) -> tuple[tuple[float, float], tuple[float, float]]:
        try:
            return fold_line(self._line.flat, side)
        except FoldRefused as error:
            raise FoldRefused(
                f"its fold is at the {side}, but the outermost edge there {error}; draw it straight along the page"
            ) from None

    def _opened_mark(self, line: Line, fold: Fold | None) -> tuple[Ring, ...]:
        """A line on the piece, and its mirror image where the piece was opened out."""
        points = line.flat.points
        if fold is None:
            return (points,)
        try:
            return (fold.opened(line.flat),) if line.flat.closed else (points, fold.reflected(points))
        except FoldRefused:
            return points, fold.reflected(points)

    # --- edges and allowances ----------------------------------------------------------------------------------

    def _edges(self, lines: list[Line], drawn: tuple[Ring, ...], fold: Fold | None) -> tuple[Edge, ...]:
        """The edges; each along the cut line or, where a stitching line is drawn too, along the one its ends lie nearer to."""
        edges: list[Edge] = []
        for line in lines:
            edge = self._edge(line, min(drawn, key=lambda ring: ends_off(ring, line.flat.points)))
            if edge is not None:
                edges += [edge, replace(edge, line=fold.reflected(edge.line))] if fold else [edge]
        return tuple(edges)

    def _edge(self, line: Line, half: Ring) -> Edge | None:
        own = line.chain[-1].marks
        if line.flat.closed:
            self._findings.problem(
                f"{line.where}: a seam, hem, ease or selvedge belongs to one edge; say it on an open line along that edge."
            )
            return None
        try:
            along = stretch_of(half, line.flat.points)
        except EdgeUnclear as error:
            self._findings.problem(f"{quoted(self._name)}: the edge line {line.shape_where}: {error}.")
            return None
        if own.hem is not None and own.allowance is not None and own.hem != own.allowance:
            self._findings.problem(
                f"{quoted(self._name)}: an edge has a hem of {own.hem:g} cm and an allowance of {own.allowance:g} cm; keep one."
            )
        return Edge(
            along,
            seam=own.seam,
            ease_cm=own.ease or 0.0,
            allowance_cm=own.allowance if own.hem is None else own.hem,
            hem=own.hem is not None,
            selvedge=bool(own.selvedge),
        )

    def _grown(self, ring: Ring, edges: tuple[Edge, ...]) -> Ring:
        own = [(edge.line, edge.allowance_cm) for edge in edges if edge.allowance_cm is not None]
        if self._allowance_cm == 0 and not own:
            self._findings.leave_out("Drawn by the stitching line, but the seam allowance is 0", quoted(self._name))
            return ring
        grown, filled = add_allowances(ring, self._allowance_cm, own)
        if filled:
            self._findings.note(
                f"{quoted(self._name)}: its seam allowance closes an opening, which is laid out as cloth."
            )
        return grown

    # --- marks -------------------------------------------------------------------------------------------------

    def _piece_marks(self, line: Line, fold: Fold | None) -> list[PieceMark]:
        if line.kind in ("grain", "fold", "edge"):
            return []
        kind = _KINDS.get(line.kind or "", MarkKind.INSIDE)
        name = line.chain[-1].marks.match
        return [PieceMark(kind, points, line.flat.closed, name) for points in self._opened_mark(line, fold)]

    # --- grain and pair --------------------------------------------------------------------------------------------

    def _grain_deg(self, lines: list[Line]) -> float | None:
        """The grain's direction on the page; None, with the problem kept, if it is not one clear direction."""
        stated = self._marks.grain
        drawn = [_direction(line) for line in lines if not line.flat.closed]
        if lines and None in (drawn or [None]):
            self._findings.problem(f"{self._line.where}: its grain line is not one straight open line.")
            return None
        directions = [*([] if stated is None else [stated]), *(d for d in drawn if d is not None)]
        if any(_between(directions[0], other) > SAME_DIRECTION_DEG for other in directions[1:]):
            came = " and ".join(f"{d:.1f}°" for d in directions)
            self._findings.problem(f"{self._line.where} has its grain in more than one direction: {came}; keep one.")
            return None
        return directions[0] if directions else UP_THE_PAGE_DEG

    def _check_pair(self) -> None:
        marks, name = self._marks, self._name
        if not marks.pair:
            return
        cut = marks.cut or 1
        if cut == 1:
            came = "cut 1" if marks.cut else "no number to cut, which means 1"
            self._findings.problem(f"{quoted(name)} is a pair with {came}; a pair is cut 2, or another even number.")
        elif cut % 2:
            self._findings.note(f"{quoted(name)} is a pair, cut {cut}: {cut // 2} of them mirrored.")


def _turned(piece: Piece, grain_deg: float) -> Piece:
    """The piece as it lies on the cloth, with everything drawn on it."""

    def turn(ring: Ring) -> Ring:
        return turn_to_grain(ring, grain_deg)

    fold = turn(piece.fold) if piece.fold is not None else None
    return replace(
        piece,
        outline=turn(piece.outline),
        stitching=turn(piece.stitching) if piece.stitching is not None else None,
        fold=(fold[0], fold[1]) if fold else None,
        edges=tuple(replace(edge, line=turn(edge.line)) for edge in piece.edges),
        marks=tuple(replace(mark, points=turn(mark.points)) for mark in piece.marks),
    )


def _is_stitching(line: Line) -> bool:
    return line.chain[-1].marks.line == "stitch"


def _material(stated: str | None) -> str:
    return MAIN_CLOTH if stated is None or stated.lower() == MAIN_CLOTH else stated


def _direction(line: Line) -> float | None:
    points = line.flat.points
    return direction_deg(points[0], points[-1]) if is_straight(points) else None


def _between(one: float, other: float) -> float:
    """The angle between two grain directions, which have no head, degrees."""
    apart = abs(one - other) % 180
    return min(apart, 180 - apart)
