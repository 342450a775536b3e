"""A piece divided into panels, for cloth narrower than the piece: the joins, and what goes along with each panel.

The theory. A piece lies with its grain along x, its outline where the scissors go. A *join* is a line across the outline,
straight along the grain, or drawn on the piece as a line where it may be joined; no join is made off the grain that is not
drawn. The joins divide the outline into parts. A *panel* is a part with an allowance beyond each of its joins:

    panel = part + a strip as wide as the allowance along each join, square at its ends

So panels are exact: the parts put together again are the piece, point for point, and

    area of the panels = area of the piece + 2 × allowance × length of the joins     (straight joins).

The seam is sewn on the join itself. Both its edges lie on the same line, carry the same seam name and are equally long, and
have match marks at the same places, so that the checks of a pattern walk a join as they walk any other seam.

A piece that was opened out at a fold is joined there by a centre seam: the fold was a habit of wide cloth folded in half,
and handwoven cloth is cut single.

Two *selvedges* may be joined instead of two cut edges: butted, with nothing turned in, or lapped, half of the lap on each
panel. Then the panel has to be cut with that edge on the selvedge, which its edge says (`selvedge`); it has to be straight
along the grain, and no part of the panel may reach beyond it.

Everything drawn on the piece goes with the part it lies on: its stitching line, edges, notches, drawn lines, and the hem. An
edge that a join cuts is on two panels, a part on each, and knows the length of the whole. Panels are cut as often as their
piece; of a pair half of every panel is mirrored, as the piece is. Left and right are as drawn: seen from the right side of
the cloth, grain upwards, so that left is where y is greatest.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache, cached_property
from importlib import resources
from itertools import combinations
from typing import Any, Final

import shapely
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.ops import linemerge, split

from clothwright.pattern.geometry import Flat
from clothwright.pattern.join_place import JoinAt, JoinPlace
from clothwright.pattern.line_ends import join_ends
from clothwright.pattern.piece import Edge, MarkKind, Piece, PieceMark, Point, Ring, line_length, shifted

#: Coordinates are brought to this grid where shapes are put together, so that no hair's breadth opens between them.
_GRID_CM: Final = 1e-7
_ON_CM: Final = 1e-5
_SHORTEST_CM: Final = 0.05
#: How far a drawn join line may end short of the line it is drawn to.
_REACH_CM: Final = 1.0
#: How far past its ends a hem line is carried, over the allowances beside it.
_PAST_HEM_CM: Final = 10.0
_STRAIGHT: Final = 1e-6
_NOTCH_CM: Final = 0.8
_ALONG: Final = {2: ("left", "right"), 3: ("left", "middle", "right")}
_ACROSS: Final = {2: ("upper", "lower"), 3: ("upper", "middle", "lower")}


class JoinRefused(ValueError):
    """A join that cannot be made on this piece; the message says why."""


class Sewn(StrEnum):
    """How two panels are put together."""

    SEAM = "seam"
    BUTTED = "selvedges butted"
    LAPPED = "selvedges lapped"

    @property
    def by_selvedge(self) -> bool:
        """Whether it joins selvedges rather than cut edges."""
        return self is not Sewn.SEAM

    @property
    def words(self) -> str:
        """What is done, in words."""
        return str(_sewn_row(self)["words"])

    @property
    def usual_allowance_cm(self) -> float:
        """Cloth beyond the join on each panel where the weaver has not said, cm."""
        return float(_sewn_row(self)["allowance_cm"])


@dataclass(frozen=True)
class Join:
    """How a piece is to be joined: where, how it is sewn, and the cloth beyond the join on each panel, cm.

    `material`: what a hem that is cut off for a facing is cut from.
    """

    place: JoinPlace
    sewn: Sewn = Sewn.SEAM
    allowance_cm: float = 1.5
    material: str | None = None


@dataclass(frozen=True)
class JoinSeam:
    """One join of a piece: its name, its line on the piece, and its length, cm."""

    name: str
    line: Ring

    @property
    def length_cm(self) -> float:
        """Length of the seam of one copy, cm."""
        return line_length(self.line)


@dataclass(frozen=True)
class Panel:
    """One panel: the piece to cut, and the part of the whole it becomes, where that lies on the whole.

    `corner`: where the panel's own origin lies on the whole.
    """

    piece: Piece
    part: Ring
    corner: Point

    def on_the_whole(self, line: Ring) -> Ring:
        """A line of the panel where it lies on the whole piece."""
        return shifted(line, *self.corner)


@dataclass(frozen=True)
class JoinedPiece:
    """A piece with its panels and joins."""

    whole: Piece
    join: Join
    panels: tuple[Panel, ...]
    seams: tuple[JoinSeam, ...]

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The panels as pieces to cut."""
        return tuple(panel.piece for panel in self.panels)

    @property
    def seam_cm(self) -> float:
        """Length of all joins of all copies, cm: what there is to sew."""
        return self.whole.cut * sum(seam.length_cm for seam in self.seams)


def join_piece(piece: Piece, join: Join) -> JoinedPiece:
    """The piece divided into panels; JoinRefused where the join does not divide it, or leaves a panel too narrow to sew."""
    lines = _lines(piece, join.place)
    parts = _parts(piece, lines)
    _refuse_slivers(piece, parts)
    names = _names(piece, parts, lines, join.place)
    seams = _seams(piece, lines, parts)
    if join.sewn.by_selvedge and not join.place.along_the_grain:
        raise JoinRefused(f"{piece.name}: a selvedge runs along the grain, so {join.place.at} cannot join two of them")
    made = (_panel(piece, join, part, name, parts, seams) for part, name in zip(parts, names, strict=True))
    return JoinedPiece(piece, join, tuple(made), tuple(JoinSeam(one.name, one.line) for one in seams))


def apply_join(pieces: Iterable[Piece], name: str, join: Join) -> tuple[Piece, ...]:
    """The pieces with the one of that name joined; JoinRefused as `join_piece`. Every size and version of it is joined."""
    found: list[Piece] = []
    for piece in pieces:
        found += join_piece(piece, join).pieces if piece.name == name else (piece,)
    return tuple(found)


# --- where the joins lie -----------------------------------------------------------------------------------------


def centre_cm(piece: Piece) -> float:
    """How far its centre is from the right edge, cm: its fold, or half its width; JoinRefused for a fold off the grain."""
    if piece.fold is None:
        return piece.width_cm / 2
    (_, low), (_, high) = piece.fold
    if abs(high - low) > _REACH_CM / 10:
        raise JoinRefused(
            f"{piece.name}: its fold runs at an angle to the grain, so a seam there would be off the grain"
        )
    return (low + high) / 2


def drawn_joins(piece: Piece) -> tuple[Ring, ...]:
    """The lines drawn on the piece where it may be joined; halves that meet at a fold are one."""
    return _end_to_end(mark.points for mark in piece.marks if mark.kind is MarkKind.JOIN and len(mark.points) > 1)


def hem_lines(piece: Piece) -> tuple[Ring, ...]:
    """The lines its hems are turned up at, where those lie inside the outline."""
    inside = piece.polygon.buffer(-_SHORTEST_CM)
    hems = _end_to_end(edge.line for edge in piece.edges if edge.hem)
    return tuple(line for line in hems if inside.contains(LineString(line).interpolate(0.5, normalized=True)))


def _end_to_end(lines: Iterable[Ring]) -> tuple[Ring, ...]:
    """The lines, those that end where another begins joined."""
    joined = join_ends(Flat(line, (True,) * (len(line) - 1), False) for line in lines)
    return tuple(flat.points for flat in joined if not flat.closed)


def _reach_cm(piece: Piece) -> float:
    """How far a drawn line may end short of the cut line: at the stitching line, or a little short of that."""
    return _REACH_CM + max((piece.allowance_cm, *(edge.allowance_cm or 0.0 for edge in piece.edges)))


def _lines(piece: Piece, place: JoinPlace) -> tuple[LineString, ...]:
    """The lines that divide the piece, long enough to reach past its outline."""
    if place.at is JoinAt.DRAWN:
        drawn = drawn_joins(piece)
        if not drawn:
            raise JoinRefused(f"{piece.name}: no join line is drawn on it; say where, as centre or 12 cm from the left")
        return tuple(_carried_on(line, _reach_cm(piece)) for line in drawn)
    if place.at is JoinAt.HEM:
        hems = hem_lines(piece)
        if not hems:
            raise JoinRefused(f"{piece.name}: no hem is marked on it; mark its edge in the drawing, as “hem 4 cm”")
        return tuple(_carried_on(line, _PAST_HEM_CM) for line in hems)
    return tuple(_straight(piece, y) for y in _across(piece, place))


def _across(piece: Piece, place: JoinPlace) -> tuple[float, ...]:
    """Where joins along the grain lie, y in the coordinates of the piece."""
    width = piece.width_cm
    if place.at is JoinAt.CENTRE:
        return (centre_cm(piece),)
    if place.at is JoinAt.EQUAL:
        return tuple(width * n / place.panels for n in range(1, place.panels))
    if place.at is JoinAt.SIDES:
        (side,) = place.lengths_cm
        if 2 * side >= width:
            raise JoinRefused(f"{piece.name} is {width:.1f} cm wide, so side panels of {side:g} cm leave no middle")
        return (side, width - side)
    for length in place.lengths_cm:
        if length >= width:
            raise JoinRefused(
                f"{piece.name} is {width:.1f} cm wide, so a join {length:g} cm from its edge lies outside it"
            )
    return tuple(dict.fromkeys(length if place.from_right else width - length for length in place.lengths_cm))


def _straight(piece: Piece, y: float) -> LineString:
    return LineString([(-1.0, y), (piece.length_cm + 1.0, y)])


def _carried_on(line: Ring, by_cm: float) -> LineString:
    """The line carried straight on past both its ends."""
    return LineString([_beyond(line[1], line[0], by_cm), *line, _beyond(line[-2], line[-1], by_cm)])


def _beyond(before: Point, end: Point, by_cm: float) -> Point:
    length = math.dist(before, end)
    return end[0] + (end[0] - before[0]) / length * by_cm, end[1] + (end[1] - before[1]) / length * by_cm


# --- the parts ---------------------------------------------------------------------------------------------------


def _parts(piece: Piece, lines: tuple[LineString, ...]) -> tuple[Polygon, ...]:
    """The outline divided by every line; JoinRefused where a line does not divide it."""
    parts = [piece.polygon]
    for line in lines:
        after = [one for part in parts for one in split(part, line).geoms if one.area > _ON_CM]
        if len(after) == len(parts):
            raise JoinRefused(f"{piece.name}: the join line does not run from edge to edge, so it divides nothing")
        parts = after
    return tuple(sorted(parts, key=lambda part: (-round(part.centroid.y, 6), -round(part.centroid.x, 6))))


def _refuse_slivers(piece: Piece, parts: tuple[Polygon, ...]) -> None:
    least = float(_table()["limits"]["narrowest_panel_cm"])
    for part in parts:
        left, low, right, high = part.bounds
        if (narrow := min(right - left, high - low)) < least:
            raise JoinRefused(
                f"{piece.name}: a panel would be {narrow:.1f} cm wide; one of {least:g} cm or more can be sewn"
            )


def _names(piece: Piece, parts: tuple[Polygon, ...], lines: tuple[LineString, ...], place: JoinPlace) -> list[str]:
    """A name for each part: by side, by height, or by number from the left."""
    if place.at is JoinAt.HEM:
        return _hem_names(piece, parts)
    count = len(parts)
    along = all(_runs_along(line) for line in lines)
    words = _ALONG if along else _ACROSS
    if count != len(lines) + 1 or count not in words or not (along or all(not _runs_along(line) for line in lines)):
        return [f"{piece.name}, panel {number} of {count}" for number in range(1, count + 1)]
    key = [(-part.centroid.y if along else -part.centroid.x) for part in parts]
    rank = {place: n for n, place in enumerate(sorted(range(count), key=key.__getitem__))}
    return [f"{piece.name}, {words[count][rank[n]]} panel" for n in range(count)]


def _runs_along(line: LineString) -> bool:
    (x0, y0), (x1, y1) = line.coords[0], line.coords[-1]
    return bool(abs(x1 - x0) >= abs(y1 - y0))


def _hem_names(piece: Piece, parts: tuple[Polygon, ...]) -> list[str]:
    """The largest part keeps the name of the piece; the others face its hems."""
    largest = max(parts, key=lambda part: part.area)
    hems = [part for part in parts if part is not largest]
    numbers = {id(part): f" {n}" if len(hems) > 1 else "" for n, part in enumerate(hems, 1)}
    return [piece.name if part is largest else f"{piece.name}, hem facing{numbers[id(part)]}" for part in parts]


# --- the seams ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Between:
    """A stretch of a join between two parts."""

    name: str
    line: Ring
    parts: tuple[int, int]


def _seams(piece: Piece, lines: tuple[LineString, ...], parts: tuple[Polygon, ...]) -> tuple[_Between, ...]:
    """Every stretch of every join, with the two parts it lies between."""
    near = [part.buffer(_ON_CM) for part in parts]
    found = [
        (stretch, pair)
        for line in (one.intersection(piece.polygon) for one in lines)
        for pair in combinations(range(len(parts)), 2)
        for stretch in _stretches(line, near[pair[0]], near[pair[1]])
    ]
    numbers = [f" {n}" if len(found) > 1 else "" for n in range(1, len(found) + 1)]
    return tuple(
        _Between(f"{piece.name}, join{number}", stretch, pair)
        for number, (stretch, pair) in zip(numbers, found, strict=True)
    )


def _stretches(line: Any, one: Polygon, other: Polygon) -> Iterator[Ring]:
    """The parts of a line that lie on both of two parts."""
    yield from _open_lines(line.intersection(one).intersection(other))


def _open_lines(shape: Any) -> Iterator[Ring]:
    """The lines of a shape that are long enough to be one."""
    lines = [one for one in getattr(shape, "geoms", [shape]) if one.geom_type == "LineString"]
    merged = linemerge(lines) if len(lines) > 1 else shape if lines and shape.geom_type == "LineString" else None
    for one in getattr(merged, "geoms", [merged]) if merged is not None else lines:
        if one.length > _SHORTEST_CM:
            yield tuple((float(x), float(y)) for x, y in one.coords)


# --- a panel -----------------------------------------------------------------------------------------------------


def _panel(
    piece: Piece, join: Join, part: Polygon, name: str, parts: tuple[Polygon, ...], seams: tuple[_Between, ...]
) -> Panel:
    """The part with its allowances, and with everything that lies on it."""
    index = next(n for n, one in enumerate(parts) if one is part)
    own = [seam for seam in seams if index in seam.parts]
    if join.sewn.by_selvedge:
        _refuse_off_selvedge(piece, part, own)
    strips = [_strip(seam.line, join.allowance_cm, part) for seam in own]
    outline = _put_together([part, *strips])
    cut_off = join.place.at is JoinAt.HEM and name != piece.name
    made = replace(
        piece,
        name=name,
        outline=_ring(outline),
        material=join.material if cut_off and join.material else piece.material,
        stitching=_stitching(piece, part),
        fold=None,
        edges=(*_edges(piece, part, own), *(_new_edge(seam, join) for seam in own)),
        marks=(*_marks(piece, part, parts, own), *(mark for seam in own for mark in _match(seam, join, part))),
        panel_of=piece.panel_of or piece.name,
    )
    return Panel(made, _ring(part), outline.bounds[:2])


def _refuse_off_selvedge(piece: Piece, part: Polygon, own: list[_Between]) -> None:
    _, low, _, high = part.bounds
    for seam in own:
        y = seam.line[0][1]
        if min(abs(y - low), abs(y - high)) > _ON_CM:
            raise JoinRefused(f"{piece.name}: a panel reaches beyond the join, so that edge cannot lie on a selvedge")


def _strip(line: Ring, allowance_cm: float, part: Polygon) -> Polygon:
    """The allowance beyond a join, on the side away from the part."""
    if allowance_cm <= 0:
        return Polygon()
    sides = [
        LineString(line).buffer(sign * allowance_cm, single_sided=True, cap_style="flat", join_style="mitre")
        for sign in (1, -1)
    ]
    return min(sides, key=lambda side: side.intersection(part).area)


def _put_together(shapes: list[Polygon]) -> Polygon:
    """One outline round all of them."""
    whole = shapely.union_all([shape for shape in shapes if not shape.is_empty], grid_size=_GRID_CM)
    largest = max(getattr(whole, "geoms", [whole]), key=lambda shape: float(shape.area))
    return Polygon(largest.exterior).simplify(_STRAIGHT)


def _ring(shape: Polygon) -> Ring:
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])


def _stitching(piece: Piece, part: Polygon) -> Ring | None:
    """The stitching line of the part: that of the piece, closed by the join."""
    if piece.stitching is None:
        return None
    inner = Polygon(piece.stitching).intersection(part)
    largest = max(getattr(inner, "geoms", [inner]), key=lambda shape: float(shape.area))
    return _ring(largest) if largest.geom_type == "Polygon" and largest.area > 0 else None


def _new_edge(seam: _Between, join: Join) -> Edge:
    return Edge(seam.line, seam=seam.name, allowance_cm=join.allowance_cm, selvedge=join.sewn.by_selvedge)


def _edges(piece: Piece, part: Polygon, own: list[_Between]) -> Iterator[Edge]:
    """The edges of the piece that lie on the part, cut where a join cuts them."""
    reach = part.buffer(_ON_CM)
    for edge in piece.edges:
        for line in _open_lines(LineString(edge.line).intersection(reach)):
            middle = LineString(line).interpolate(0.5, normalized=True)
            if any(LineString(seam.line).distance(middle) < _SHORTEST_CM for seam in own):
                continue
            whole, ease = edge.of_the_whole
            length = line_length(line)
            if length > edge.length_cm - _SHORTEST_CM:
                yield replace(edge, line=edge.line)
            else:
                yield replace(edge, line=line, whole_cm=whole, ease_cm=ease * length / whole)


def _marks(piece: Piece, part: Polygon, parts: tuple[Polygon, ...], own: list[_Between]) -> Iterator[PieceMark]:
    """The marks that lie on the part; a join line that became a join is a mark no more."""
    reach = part.buffer(_ON_CM)
    for mark in piece.marks:
        shape = _drawn(mark)
        if mark.kind is MarkKind.JOIN and any(_is_seam(shape, seam) for seam in own):
            continue
        nearest = min(parts, key=lambda one: float(one.distance(shape)))
        if reach.contains(shape) or (nearest is part and not _touches_several(shape, parts)):
            yield mark
        elif _touches_several(shape, parts):
            yield from (replace(mark, points=line, closed=False) for line in _open_lines(shape.intersection(reach)))


def _drawn(mark: PieceMark) -> Any:
    if len(mark.points) == 1:
        return ShapelyPoint(mark.points[0])
    return LinearRing(mark.points) if mark.closed and len(mark.points) > 2 else LineString(mark.points)


def _touches_several(shape: Any, parts: tuple[Polygon, ...]) -> bool:
    """Whether it lies on more than one part, by more than a touch."""
    return sum(bool(shape.intersection(part).length > _SHORTEST_CM) for part in parts) > 1


def _is_seam(shape: Any, seam: _Between) -> bool:
    """Whether a drawn line is the join itself."""
    line = LineString(seam.line)
    return bool(shape.interpolate(0.5, normalized=True).distance(line) < _SHORTEST_CM)


def _match(seam: _Between, join: Join, part: Polygon) -> Iterator[PieceMark]:
    """Match marks along a join: in the allowance where there is one, else points on the edge."""
    line = LineString(seam.line)
    count = max(1, round(line.length / float(_table()["limits"]["marks_apart_cm"])))
    for number in range(1, count + 1):
        at = line.interpolate(number / (count + 1), normalized=True)
        name = f"{seam.name}, {_letter(number)}" if count > 1 else seam.name
        yield PieceMark(MarkKind.NOTCH, _notch(at, line, join.allowance_cm, part), name=name)


def _letter(number: int) -> str:
    return chr(ord("a") + number - 1) if number <= 26 else str(number)


def _notch(at: ShapelyPoint, line: LineString, allowance_cm: float, part: Polygon) -> Ring:
    """A short line from the join out into the allowance."""
    here = (float(at.x), float(at.y))
    reach = min(_NOTCH_CM, allowance_cm)
    if reach <= 0:
        return (here,)
    place = line.project(at)
    before, after = line.interpolate(max(0.0, place - 0.01)), line.interpolate(min(line.length, place + 0.01))
    length = math.dist((before.x, before.y), (after.x, after.y))
    aside = ((before.y - after.y) / length * reach, (after.x - before.x) / length * reach)
    ends = [shifted([here], dx, dy)[0] for dx, dy in (aside, (-aside[0], -aside[1]))]
    return (here, max(ends, key=lambda end: float(part.distance(ShapelyPoint(end)))))


# --- the table ---------------------------------------------------------------------------------------------------


def narrowest_proposed_cm() -> float:
    """The narrowest panel that is proposed, cm; narrower ones are joined where they are asked for."""
    return float(_table()["limits"]["narrowest_proposed_cm"])


def _sewn_row(sewn: Sewn) -> dict[str, Any]:
    return next(row for row in _table()["sewn"] if row["name"] == sewn)


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("joins.toml").read_text(encoding="utf-8"))
