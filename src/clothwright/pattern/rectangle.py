"""A rectangular piece given as numbers, and what its edges are.

Sizes are as they are cut. An allowance or a hem lies within the size, so the stitching line is the rectangle less what
is turned at each edge, and edges run along it. The piece lies with its grain along x: as on its page with the grain
upwards, its top is at the far end of x, its left at the far end of y.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from clothwright.pattern.piece import MAIN_CLOTH, Edge, Piece, PieceError, Ring
from clothwright.pattern.reading.edge_words import NOTHING_SAID, EdgeWords

EDGE_NAMES: Final = ("left", "right", "top", "bottom")


def rectangle(
    name: str,
    *,
    width_cm: float,
    length_cm: float,
    cut: int = 1,
    pair: bool = False,
    fold: bool = False,
    one_way: bool = False,
    material: str = MAIN_CLOTH,
    allowance_cm: float = 0.0,
    edges: Mapping[str, EdgeWords] | None = None,
) -> Piece:
    """A rectangular piece: `width_cm` across, `length_cm` along the grain; on a fold the width is half, and doubled.

    `allowance_cm` of the size is seam allowance at each edge that says nothing else. PieceError where nothing is left
    between allowances, or an edge that lies on the fold is said to be something.
    """
    words = {edge: (edges or {}).get(edge, NOTHING_SAID) for edge in EDGE_NAMES}
    if fold:
        words = _on_fold(name, words)
    width = 2 * width_cm if fold else width_cm
    ring = ((0.0, 0.0), (length_cm, 0.0), (length_cm, width), (0.0, width))
    turned = {edge: allowance_cm if said.turned_cm is None else said.turned_cm for edge, said in words.items()}
    sewn = _inside(name, length_cm, width, turned)
    stitched = any(turned.values())
    return Piece(
        name,
        ring,
        cut=cut,
        pair=pair,
        one_way=one_way,
        material=material,
        stitching=sewn if stitched else None,
        allowance_cm=allowance_cm,
        fold=((0.0, width / 2), (length_cm, width / 2)) if fold else None,
        edges=tuple(_edge(said, sewn, edge) for edge, said in words.items() if said.said),
    )


def _on_fold(name: str, words: Mapping[str, EdgeWords]) -> dict[str, EdgeWords]:
    """The edges of the whole piece: its left lies on the fold, and what its right is holds for both."""
    if words["left"].said:
        raise PieceError(f"{name}: it is on the fold, which is its left; say what its other edges are")
    return {**words, "left": words["right"]}


def _inside(name: str, length: float, width: float, turned: Mapping[str, float]) -> Ring:
    """The rectangle less what is turned at each edge."""
    x0, x1, y0, y1 = turned["bottom"], length - turned["top"], turned["right"], width - turned["left"]
    if x1 - x0 <= 0 or y1 - y0 <= 0:
        raise PieceError(f"{name}: its allowances and hems leave nothing of {width:g} x {length:g} cm")
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def _edge(words: EdgeWords, sewn: Ring, edge: str) -> Edge:
    corner = {"right": 0, "top": 1, "left": 2, "bottom": 3}[edge]
    line = (sewn[corner], sewn[(corner + 1) % 4])
    return Edge(line, words.seam, words.ease_cm or 0.0, words.turned_cm, words.hem_cm is not None, words.selvedge)
