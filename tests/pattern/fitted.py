"""Pieces for the tests of changes: a bodice of two pieces with named seams, and published outlines with seams named by corner.

The bodice is our own, from numbers a draft could give: half widths, depths and slopes in cm. The outlines are those of
tests/published/nesting (CC0), see `garments`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st
from pattern.drawn import read
from pattern.garments import garment

from clothwright.pattern import Edge, MarkKind, Piece, PieceMark
from clothwright.pattern.seamline import CORNER_DEG, Corners, seamline_of, without_repeats


@dataclass(frozen=True)
class Numbers:
    """What a bodice is drawn from, cm: half width at the hem, side slant, depth of the armhole, length."""

    half: float = 24.0
    slant: float = 2.0
    depth: float = 20.0
    length: float = 60.0
    slope: float = 3.0


def drawn_bodice(numbers: Numbers = Numbers(), *, fold: bool = True) -> str:
    """Back on the fold and front cut as a pair, both by their stitching lines; neck, shoulder, armhole, side, hem, waist."""
    return "".join(
        (
            _half("back", 2.0, 3.0, numbers, "cut 1, fold left" if fold else "cut 2, pair"),
            _half("front", 32.0, 9.0, numbers, "cut 2, pair"),
        )
    )


def _half(name: str, left: float, neck: float, n: Numbers, marks: str) -> str:
    top, foot = 8.0, 8.0 + n.length
    under, side, hem = top + n.depth, left + n.half, left + n.half - n.slant
    waist = (under + foot) / 2
    at_waist = side - n.slant / 2
    return (
        f"<g><title>{name}: {marks}, stitch, grain y</title>"
        f'<path d="M {left} {top + neck} C {left + 4} {top + neck} {left + 7} {top + neck / 2} {left + 7.5} {top} '
        f"L {left + 17} {top + n.slope} C {left + 16} {top + n.depth / 2} {left + 17} {under - 1} {side} {under} "
        f'L {hem} {foot} H {left} Z"/>'
        f'<polyline points="{left},{top + neck} {left + 7},{top + neck * 0.6} {left + 7.5},{top}"><title>seam neck</title></polyline>'
        f'<polyline points="{left + 7.5},{top} {left + 17},{top + n.slope}"><title>seam shoulder</title></polyline>'
        f'<polyline points="{left + 17},{top + n.slope} {left + 16.6},{top + n.depth * 0.6} {side},{under}"><title>seam armhole {name}</title></polyline>'
        f'<polyline points="{side},{under} {hem},{foot}"><title>seam side</title></polyline>'
        f'<polyline points="{hem},{foot} {left},{foot}"><title>seam hem {name}, hem 4 cm</title></polyline>'
        f'<path d="M {at_waist} {waist} h -1" data-line="notch" data-match="waist"/></g>'
    )


def bodice(numbers: Numbers = Numbers(), *, allowance: float = 1.5) -> tuple[Piece, ...]:
    return read(drawn_bodice(numbers), seam_allowance_cm=allowance).pieces


def some_numbers() -> st.SearchStrategy[Numbers]:
    """Bodices of any build."""
    return st.builds(
        Numbers,
        half=st.floats(20, 26),
        slant=st.floats(-1, 4),
        depth=st.floats(16, 24),
        length=st.floats(44, 70),
        slope=st.floats(1.5, 5),
    )


def published(name: str) -> list[Piece]:
    """Published outlines whose stretches between corners are seams, each named by its place round its piece."""
    return [_with_seams(Piece(one.name, tuple((x, -y) for x, y in one.points))) for one in garment(name)]


def _with_seams(piece: Piece) -> Piece:
    line = seamline_of(piece)
    corners = np.flatnonzero(np.abs(line.turns_deg) >= CORNER_DEG)
    edges = []
    for number, (start, end) in enumerate(zip(corners, np.roll(corners, -1), strict=True)):
        points = line.corners[line.between(int(start), int(end))]
        edges.append(Edge(tuple(map(tuple, points.tolist())), seam=f"{piece.name} {number}"))
    notch = PieceMark(MarkKind.NOTCH, (piece.outline[0],), name=f"{piece.name} notch")
    return replace(piece, edges=tuple(edges), marks=(notch,))


def lengths(piece: Piece) -> dict[str, float]:
    return {edge.seam: edge.length_cm for edge in piece.edges if edge.seam}


def sharpest(piece: Piece) -> dict[str, float]:
    return {edge.seam: sharpest_turn_deg(np.array(edge.line)) for edge in piece.edges if edge.seam}


def sharpest_turn_deg(corners: Corners, *, below_deg: float = CORNER_DEG) -> float:
    """The sharpest turn of an open line that is no corner, degrees."""
    clean = without_repeats(corners)
    steps = np.diff(clean, axis=0)
    angles = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = [abs((after - before + 180) % 360 - 180) for before, after in pairwise(angles)]
    return float(max((turn for turn in turns if turn < below_deg), default=0.0))
