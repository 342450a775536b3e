"""The parts that joins divide a piece into, what each is called, and the stretches of join between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Final

from shapely.geometry import LineString, Polygon
from shapely.ops import linemerge, split

from clothwright.pattern.join_place import JoinAt, JoinPlace
from clothwright.pattern.joined import ON_CM, SHORTEST_CM, JoinRefused, join_table
from clothwright.pattern.piece import Piece, Ring

_ALONG: Final = {2: ("left", "right"), 3: ("left", "middle", "right")}
_ACROSS: Final = {2: ("upper", "lower"), 3: ("upper", "middle", "lower")}


def parts_of(piece: Piece, lines: tuple[LineString, ...]) -> tuple[Polygon, ...]:
    """The outline divided by every line; JoinRefused where a line does not divide it."""
    parts = [piece.polygon]
    for line in lines:
        after = [one for part in parts for one in split(part, line).geoms if one.area > ON_CM]
        if len(after) == len(parts):
            raise JoinRefused(f"{piece.name}: the join line does not run from edge to edge, so it divides nothing")
        parts = after
    return tuple(sorted(parts, key=lambda part: (-round(part.centroid.y, 6), -round(part.centroid.x, 6))))


def refuse_slivers(piece: Piece, parts: tuple[Polygon, ...]) -> None:
    """JoinRefused where a part is too narrow to be sewn."""
    least = float(join_table()["limits"]["narrowest_panel_cm"])
    for part in parts:
        left, low, right, high = part.bounds
        if (narrow := min(right - left, high - low)) < least:
            raise JoinRefused(
                f"{piece.name}: a panel would be {narrow:.1f} cm wide; one of {least:g} cm or more can be sewn"
            )


def names_of(piece: Piece, parts: tuple[Polygon, ...], lines: tuple[LineString, ...], place: JoinPlace) -> list[str]:
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


@dataclass(frozen=True)
class Stretch:
    """A stretch of a join between two parts."""

    name: str
    line: Ring
    parts: tuple[int, int]


def seams_between(piece: Piece, lines: tuple[LineString, ...], parts: tuple[Polygon, ...]) -> tuple[Stretch, ...]:
    """Every stretch of every join, with the two parts it lies between."""
    near = [part.buffer(ON_CM) for part in parts]
    found = [
        (stretch, pair)
        for line in (one.intersection(piece.polygon) for one in lines)
        for pair in combinations(range(len(parts)), 2)
        for stretch in _stretches(line, near[pair[0]], near[pair[1]])
    ]
    numbers = [f" {n}" if len(found) > 1 else "" for n in range(1, len(found) + 1)]
    return tuple(
        Stretch(f"{piece.name}, join{number}", stretch, pair)
        for number, (stretch, pair) in zip(numbers, found, strict=True)
    )


def _stretches(line: Any, one: Polygon, other: Polygon) -> Iterator[Ring]:
    """The parts of a line that lie on both of two parts."""
    yield from open_lines(line.intersection(one).intersection(other))


def open_lines(shape: Any) -> Iterator[Ring]:
    """The lines of a shape that are long enough to be one."""
    lines = [one for one in getattr(shape, "geoms", [shape]) if one.geom_type == "LineString"]
    merged = linemerge(lines) if len(lines) > 1 else shape if lines and shape.geom_type == "LineString" else None
    for one in getattr(merged, "geoms", [merged]) if merged is not None else lines:
        if one.length > SHORTEST_CM:
            yield tuple((float(x), float(y)) for x, y in one.coords)
