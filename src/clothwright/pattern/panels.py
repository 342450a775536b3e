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
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any, Final

import shapely
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry import Point as ShapelyPoint

from clothwright.pattern.join_lines import lines_of
from clothwright.pattern.join_parts import Stretch, names_of, open_lines, parts_of, refuse_slivers, seams_between
from clothwright.pattern.join_place import JoinAt
from clothwright.pattern.joined import ON_CM, SHORTEST_CM, Join, JoinedPiece, JoinRefused, JoinSeam, Panel, join_table
from clothwright.pattern.piece import Edge, MarkKind, Piece, PieceMark, Ring, line_length, shifted

#: Coordinates are brought to this grid where shapes are put together, so that no hair's breadth opens between them.
_GRID_CM: Final = 1e-7
_STRAIGHT: Final = 1e-6
_NOTCH_CM: Final = 0.8


def join_piece(piece: Piece, join: Join) -> JoinedPiece:
    """The piece divided into panels; JoinRefused where the join does not divide it, or leaves a panel too narrow to sew."""
    lines = lines_of(piece, join.place)
    parts = parts_of(piece, lines)
    refuse_slivers(piece, parts)
    names = names_of(piece, parts, lines, join.place)
    seams = seams_between(piece, lines, parts)
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


def _panel(
    piece: Piece, join: Join, part: Polygon, name: str, parts: tuple[Polygon, ...], seams: tuple[Stretch, ...]
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


def _refuse_off_selvedge(piece: Piece, part: Polygon, own: list[Stretch]) -> None:
    _, low, _, high = part.bounds
    for seam in own:
        y = seam.line[0][1]
        if min(abs(y - low), abs(y - high)) > ON_CM:
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


def _new_edge(seam: Stretch, join: Join) -> Edge:
    return Edge(seam.line, seam=seam.name, allowance_cm=join.allowance_cm, selvedge=join.sewn.by_selvedge)


def _edges(piece: Piece, part: Polygon, own: list[Stretch]) -> Iterator[Edge]:
    """The edges of the piece that lie on the part, cut where a join cuts them."""
    reach = part.buffer(ON_CM)
    for edge in piece.edges:
        for line in open_lines(LineString(edge.line).intersection(reach)):
            middle = LineString(line).interpolate(0.5, normalized=True)
            if any(LineString(seam.line).distance(middle) < SHORTEST_CM for seam in own):
                continue
            whole, ease = edge.of_the_whole
            length = line_length(line)
            if length > edge.length_cm - SHORTEST_CM:
                yield replace(edge, line=edge.line)
            else:
                yield replace(edge, line=line, whole_cm=whole, ease_cm=ease * length / whole)


def _marks(piece: Piece, part: Polygon, parts: tuple[Polygon, ...], own: list[Stretch]) -> Iterator[PieceMark]:
    """The marks that lie on the part; a join line that became a join is a mark no more."""
    reach = part.buffer(ON_CM)
    for mark in piece.marks:
        shape = _drawn(mark)
        if mark.kind is MarkKind.JOIN and any(_is_seam(shape, seam) for seam in own):
            continue
        nearest = min(parts, key=lambda one: float(one.distance(shape)))
        if reach.contains(shape) or (nearest is part and not _touches_several(shape, parts)):
            yield mark
        elif _touches_several(shape, parts):
            yield from (replace(mark, points=line, closed=False) for line in open_lines(shape.intersection(reach)))


def _drawn(mark: PieceMark) -> Any:
    if len(mark.points) == 1:
        return ShapelyPoint(mark.points[0])
    return LinearRing(mark.points) if mark.closed and len(mark.points) > 2 else LineString(mark.points)


def _touches_several(shape: Any, parts: tuple[Polygon, ...]) -> bool:
    """Whether it lies on more than one part, by more than a touch."""
    return sum(bool(shape.intersection(part).length > SHORTEST_CM) for part in parts) > 1


def _is_seam(shape: Any, seam: Stretch) -> bool:
    """Whether a drawn line is the join itself."""
    line = LineString(seam.line)
    return bool(shape.interpolate(0.5, normalized=True).distance(line) < SHORTEST_CM)


def _match(seam: Stretch, join: Join, part: Polygon) -> Iterator[PieceMark]:
    """Match marks along a join: in the allowance where there is one, else points on the edge."""
    line = LineString(seam.line)
    count = max(1, round(line.length / float(join_table()["limits"]["marks_apart_cm"])))
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
