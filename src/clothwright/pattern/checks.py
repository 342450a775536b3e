"""What looks wrong in a pattern, each with how to mend it. Nothing here refuses a pattern: it asks.

What cannot be laid out but can be looked at (an outline that crosses itself, a test square that is off) is told when a
drawing is read, see `faults`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import Final

import numpy as np
from shapely.affinity import scale, translate
from shapely.geometry import LinearRing, Polygon

from clothwright.pattern.piece import MarkKind, Piece, Ring

#: How far two edges sewn together may differ before it is said. Common practice, no source.
SEAM_WITHIN_CM: Final = 0.3
SYMMETRIC_WITHIN_CM: Final = 0.3
LARGEST_USUAL_CM: Final = 250.0
SMALLEST_USUAL_CM: Final = 2.0
_ALLOWANCES_CM: Final = (0.4, 5.0)
_EVEN_WITHIN: Final = 0.15


class CheckKind(StrEnum):
    """What a check looks at."""

    SEAM = "seam does not match"
    MIRROR = "mirror missing"
    ALLOWANCE = "allowance doubled"
    SCALE = "scale"
    GRAIN = "no grain"
    MATCH = "match point alone"
    OUTLINE = "outline crosses itself"
    OPEN = "outline is open"


@dataclass(frozen=True)
class Check:
    """Something that looks wrong: which pieces, what, and how to mend it."""

    kind: CheckKind
    pieces: tuple[str, ...]
    sentence: str
    mend: str


def check_pieces(pieces: Iterable[Piece]) -> tuple[Check, ...]:
    """Everything that looks wrong with pieces that are cut together: of one size and version."""
    found = tuple(pieces)
    alone = (check for piece in found for check in _of_one(piece))
    return (*alone, *_seams(found), *_match_points(found))


def check_every_size(pieces: Iterable[Piece]) -> tuple[Check, ...]:
    """What looks wrong in each size and version by itself, each thing said once."""
    found = tuple(pieces)
    kinds = sorted({(piece.size, piece.version) for piece in found}, key=str)
    together = (
        check_pieces(p for p in found if p.size in (None, size) and p.version in (None, version))
        for size, version in kinds
    )
    return tuple(dict.fromkeys(check for checks in together for check in checks))


def _of_one(piece: Piece) -> Iterator[Check]:
    for look in (_mirror, _allowance, _size, _grain):
        check = look(piece)
        if check is not None:
            yield check


# --- one piece ---------------------------------------------------------------------------------------------------


def _mirror(piece: Piece) -> Check | None:
    """An even number of a piece that is not its own mirror image, and no pair."""
    if piece.pair or piece.cut % 2 or piece.panel_of or is_symmetric(piece.outline):
        return None
    return Check(
        CheckKind.MIRROR,
        (piece.name,),
        f"{piece.name} is cut {piece.cut} times, all the same way round, and is not its own mirror image.",
        "If it has a left and a right, mark it “pair”; if all are the same way round, leave it as it is.",
    )


def is_symmetric(outline: Ring) -> bool:
    """Whether an outline is its own mirror image, along the grain or across it, to 3 mm."""
    whole = Polygon(outline)
    left, low, right, high = whole.bounds
    for across, along in ((-1, 1), (1, -1)):
        mirrored = scale(whole, across, along, origin=((left + right) / 2, (low + high) / 2))
        aligned = translate(mirrored, left - mirrored.bounds[0], low - mirrored.bounds[1])
        if whole.exterior.hausdorff_distance(aligned.exterior) <= SYMMETRIC_WITHIN_CM:
            return True
    return False


def _allowance(piece: Piece) -> Check | None:
    """An allowance added to a line that has a second line, evenly, inside it."""
    if piece.allowance_cm == 0 or piece.stitching is None:
        return None
    drawn = Polygon(piece.stitching)
    for mark in piece.marks:
        away = _evenly_inside(mark.points, drawn) if mark.kind is MarkKind.INSIDE and mark.closed else None
        if away is not None:
            return Check(
                CheckKind.ALLOWANCE,
                (piece.name,),
                f"{piece.name} is drawn by its stitching line, so {piece.allowance_cm:g} cm are added; but a second line lies "
                f"{away:.1f} cm inside it all round, as a stitching line inside a cut line does.",
                "If the outer line already is where you cut, mark it “cut” and the inner one “stitch”.",
            )
    return None


def _evenly_inside(line: Ring, outline: Polygon) -> float | None:
    """How far inside an outline a closed line lies, if that is the same all round and as wide as an allowance."""
    if len(line) < 3 or not outline.contains(Polygon(line).representative_point()):
        return None
    inner, outer = LinearRing(line), outline.exterior
    shares = np.linspace(0, 1, 60, endpoint=False)
    away = np.array([outer.distance(inner.interpolate(share, normalized=True)) for share in shares])
    middle = float(np.median(away))
    even = float((np.abs(away - middle) <= _EVEN_WITHIN * middle + 0.05).mean())
    return middle if even >= 0.9 and _ALLOWANCES_CM[0] <= middle <= _ALLOWANCES_CM[1] else None


def _size(piece: Piece) -> Check | None:
    largest = max(piece.length_cm, piece.width_cm)
    if SMALLEST_USUAL_CM <= largest <= LARGEST_USUAL_CM:
        return None
    return Check(
        CheckKind.SCALE,
        (piece.name,),
        f"{piece.name} is {piece.length_cm:.1f} x {piece.width_cm:.1f} cm, which is unusual for a piece of a garment.",
        "Measure a length you know on the pattern; if it is off, set the drawing's size or state its scale. "
        "A square marked “test 10 cm” in the drawing is checked each time.",
    )


def _grain(piece: Piece) -> Check | None:
    if piece.grain_stated:
        return None
    return Check(
        CheckKind.GRAIN,
        (piece.name,),
        f"Nothing says which way the grain of {piece.name} runs; up the page is taken.",
        "Draw a grain line in it, or say “grain y” (up the page), “grain x” or an angle.",
    )


# --- pieces together ---------------------------------------------------------------------------------------------


def _seams(pieces: tuple[Piece, ...]) -> Iterator[Check]:
    """Edges of one seam name on two pieces: as long as each other, but for the ease that was asked for."""
    sewn: dict[str, dict[str, tuple[float, float]]] = {}
    for piece in pieces:
        for edge in piece.edges:
            if edge.seam is not None:
                sewn.setdefault(edge.seam, {}).setdefault(piece.name, edge.of_the_whole)
    for seam, sides in sewn.items():
        if len(sides) == 1 and _edges_of(pieces, seam) < 2:
            yield _seam_alone(seam, next(iter(sides)))
        for (one, (long, ease)), (other, (length, other_ease)) in combinations(sides.items(), 2):
            apart = (long - ease) - (length - other_ease)
            if abs(apart) > SEAM_WITHIN_CM:
                yield _seam_apart(seam, (one, long), (other, length), apart)


def _edges_of(pieces: tuple[Piece, ...], seam: str) -> int:
    return sum(max(piece.cut, 1) for piece in pieces for edge in piece.edges if edge.seam == seam)


def _seam_alone(seam: str, piece: str) -> Check:
    return Check(
        CheckKind.SEAM,
        (piece,),
        f"The seam “{seam}” is on {piece} alone; it is sewn to nothing.",
        f"Write “seam {seam}” on the edge it is sewn to, or mend the spelling.",
    )


def _seam_apart(seam: str, one: tuple[str, float], other: tuple[str, float], apart: float) -> Check:
    longer = one[0] if apart > 0 else other[0]
    return Check(
        CheckKind.SEAM,
        (one[0], other[0]),
        f"The seam “{seam}” is {one[1]:.1f} cm long on {one[0]} and {other[1]:.1f} cm on {other[0]}: "
        f"{longer} is {abs(apart):.1f} cm longer than its partner, ease left out.",
        f"Shorten it by {abs(apart):.1f} cm, or if it is to be eased in, write “ease {abs(apart):.1f} cm” on the edge of {longer}.",
    )


def _match_points(pieces: tuple[Piece, ...]) -> Iterator[Check]:
    """A match point that is on one edge only; a named line, where a piece is lengthened, needs no partner."""
    named: dict[str, list[str]] = {}
    for piece in pieces:
        for mark in piece.marks:
            if mark.name is not None and mark.kind is MarkKind.NOTCH:
                named.setdefault(mark.name, []).extend([piece.name] * piece.cut)
    for name, there in named.items():
        if len(there) == 1:
            yield Check(
                CheckKind.MATCH,
                (there[0],),
                f"The match point “{name}” is on {there[0]} alone.",
                f"Write “match {name}” on the notch it meets, or mend the spelling.",
            )
