"""A panel joined by its selvedge lies with that edge at the side of the cloth, or the layout is not used."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import HALF_TURN, Step, faults, first_guess
from clothwright.pattern import Join, Piece, Sewn, join_piece, read_join_place, rectangle
from clothwright.planning.job import Garment
from clothwright.planning.pieces.selvedges import keeps_selvedges, off_selvedge, selvedge_widths
from clothwright.project import ProblemsFound


def butted(width: float, length: float, **more) -> tuple[Piece, ...]:
    whole = replace(rectangle("body", width_cm=width, length_cm=length), **more)
    return join_piece(whole, Join(read_join_place("centre"), Sewn.BUTTED, 0.0)).pieces


def step(garment: Garment, cloth: float) -> Step:
    layout = first_guess(garment.copies, cloth)
    return Step(cloth, layout, layout.length_cm)


@given(st.floats(20, 60), st.floats(20, 80), st.floats(0, 20), st.booleans(), st.integers(1, 3))
@settings(max_examples=40, deadline=None)
def test_layouts_that_are_kept_have_every_such_edge_on_the_cloths_edge(
    width: float, length: float, more_cm: float, pair: bool, cut: int
) -> None:
    """Reckoned anew from the placed copies: the edge's own line, mirrored and turned as the copy is."""
    garment = Garment(butted(width, length, cut=2 * cut, pair=pair), False, 0.0, 0.0)
    cloth = width / 2 + more_cm
    try:
        kept = keeps_selvedges(garment, [step(garment, cloth)])
    except ProblemsFound:
        assert more_cm > 0
        return
    for one in kept[0].layout.placed:
        piece = next(piece for piece in garment.pieces if piece.name == one.piece)
        (edge,) = [edge for edge in piece.edges if edge.selvedge]
        line = edge.line if not one.mirrored else tuple((x, piece.width_cm - y) for x, y in edge.line)
        ys = [y if one.rotation_deg == 0 else piece.width_cm - y for _, y in line]
        assert min(abs(ys[0] + one.y_cm), abs(ys[0] + one.y_cm - cloth)) < 0.06
    assert not faults(garment.copies, kept[0].layout)


def test_cloth_as_wide_as_a_panel_always_keeps_them() -> None:
    garment = Garment(butted(50, 60), True, 0.0, 0.0)
    assert selvedge_widths(garment) == (25.0,)
    assert keeps_selvedges(garment, [step(garment, 25.0)])


def test_a_panel_that_lies_the_wrong_way_is_seen() -> None:
    garment = Garment(butted(50, 60), False, 0.0, 0.0)
    layout = first_guess(garment.copies, 40.0)
    first = layout.placed[0]
    wrong = replace(first, rotation_deg=HALF_TURN - first.rotation_deg)
    both = (off_selvedge(garment, layout), off_selvedge(garment, replace(layout, placed=(wrong, *layout.placed[1:]))))
    assert (first.piece in both[0]) != (first.piece in both[1])


def test_one_way_cloth_that_leaves_no_selvedge_is_refused() -> None:
    middle = join_piece(
        rectangle("body", width_cm=60, length_cm=50), Join(read_join_place("3 equal panels"), Sewn.BUTTED, 0.0)
    ).pieces
    garment = Garment(middle, True, 0.0, 0.0)
    with pytest.raises(ProblemsFound, match="just as wide as a panel"):
        keeps_selvedges(garment, [step(garment, 25.0)])
