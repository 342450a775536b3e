"""Panels that are joined by their selvedges have to be cut with that edge on the selvedge of the cloth.

Such a panel lies with its edge at one side of the strip, on 0 or on the width. A panel as wide as the cloth lies so
wherever it is, which is how cloth woven narrow has always been joined; so its width is among those that are tried. In a
layout on wider cloth a panel that lies the wrong way is turned end for end, or moved across to its selvedge, where the judge
finds no fault with that; layouts in which an edge still lies elsewhere are not used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import Final

from clothwright.layout import HALF_TURN, Layout, Placed, Step, faults
from clothwright.pattern import Edge, Piece
from clothwright.planning.job import Garment
from clothwright.project import Problem, ProblemsFound

_WITHIN_CM: Final = 0.05


def selvedge_edges(piece: Piece) -> tuple[Edge, ...]:
    """The edges of a panel that have to lie on a selvedge."""
    return tuple(edge for edge in piece.edges if edge.selvedge and edge.seam and piece.panel_of)


def selvedge_widths(garment: Garment) -> tuple[float, ...]:
    """The widths of panels joined by selvedges: on cloth of such a width the panel has a selvedge on both sides."""
    return tuple(sorted({piece.width_cm for piece in garment.pieces if selvedge_edges(piece)}))


def refuse_trimmed_selvedges(garment: Garment) -> None:
    """ProblemsFound where selvedges are to be joined that are to be trimmed off."""
    joined = [piece.panel_of for piece in garment.pieces if selvedge_edges(piece)]
    if joined and garment.trim_cm > 0:
        sentence = (
            f"{joined[0]} is joined by its selvedges, and they are trimmed off; leave the trim out, or join by a seam"
        )
        raise ProblemsFound(Problem(("pattern", "selvedge_trim"), sentence))


def keeps_selvedges(garment: Garment, steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps at which every edge that has to lie on a selvedge does; ProblemsFound where there are none."""
    if not any(map(selvedge_edges, garment.pieces)):
        return tuple(steps)
    brought = (replace(step, layout=_brought_to_selvedge(garment, step.layout)) for step in steps)
    kept = tuple(step for step in brought if not off_selvedge(garment, step.layout))
    if kept:
        return kept
    names = ", ".join(dict.fromkeys(piece.name for piece in garment.pieces if selvedge_edges(piece)))
    widths = " and ".join(f"{width:.1f} cm" for width in selvedge_widths(garment))
    sentence = (
        f"no layout was found that keeps the selvedge edges of {names} on the selvedge; they lie so on cloth just as wide "
        f"as a panel ({widths}), where every other piece must fit as well; or join them by a seam"
    )
    raise ProblemsFound(Problem(("pattern", "join"), sentence))


def off_selvedge(garment: Garment, layout: Layout) -> tuple[str, ...]:
    """The panels that lie with an edge away from the selvedge it has to lie on."""
    by_name = {piece.name: piece for piece in garment.pieces}
    return tuple(one.piece for one in layout.placed if any(_away(by_name[one.piece], one, layout.width_cm)))


def _brought_to_selvedge(garment: Garment, layout: Layout) -> Layout:
    """The layout with each panel that lies off its selvedge turned or moved to it, where there is room."""
    pieces = {piece.name: piece for piece in garment.pieces}
    for number, one in enumerate(layout.placed):
        if any(_away(pieces[one.piece], one, layout.width_cm)):
            found = (
                replace(layout, placed=(*layout.placed[:number], other, *layout.placed[number + 1 :]))
                for other in _other_ways(garment, pieces[one.piece], one, layout.width_cm)
            )
            layout = next((other for other in found if not faults(garment.copies, other)), layout)
    return layout


def _other_ways(garment: Garment, piece: Piece, one: Placed, cloth_cm: float) -> Iterator[Placed]:
    """Other ways for a panel to lie at the same place along the cloth, with its edges on the selvedge."""
    turns = (0.0,) if garment.one_way or piece.one_way else (0.0, HALF_TURN)
    for turn, y in product(turns, (one.y_cm, 0.0, cloth_cm - piece.width_cm)):
        other = replace(one, rotation_deg=turn, y_cm=y)
        if not any(_away(piece, other, cloth_cm)):
            yield other


def _away(piece: Piece, placed: Placed, cloth_cm: float) -> Iterator[bool]:
    """For each edge that has to lie on a selvedge, whether it lies away from it."""
    flipped = placed.mirrored != (placed.rotation_deg % 360 == HALF_TURN)
    for edge in selvedge_edges(piece):
        high = edge.line[0][1] > piece.width_cm / 2
        side = placed.y_cm + piece.width_cm - cloth_cm if high != flipped else placed.y_cm
        yield abs(side) > _WITHIN_CM
