"""A layout on the narrowest cloth it holds on keeps its length and stands before the judge."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import Layout, Placed, copies, faults, first_guess, narrowed, narrowest_cm
from clothwright.pattern import rectangle

from .cases import garments, waistcoat


@settings(deadline=None, max_examples=25)
@given(garments(), st.floats(30, 60))
def test_no_layout_gets_longer_or_wider_or_faulty(found, width) -> None:
    layout = first_guess(found, width)
    narrow = narrowed(found, layout)
    assert narrow.width_cm <= layout.width_cm
    assert narrow.width_cm >= narrowest_cm(found) - 1e-9
    assert narrow.length_cm == pytest.approx(layout.length_cm, abs=1e-9)
    assert faults(found, narrow) == ()


@pytest.mark.parametrize(("width", "needs"), [(49, 48), (47, 42)])
def test_the_waistcoat_needs_the_sums_of_what_lies_side_by_side(width: int, needs: int) -> None:
    """Backs of 24 cm side by side; a front of 26 beside a facing of 8; worked out by hand. 42 is a front and two facings."""
    assert narrowed(waistcoat(), first_guess(waistcoat(), width)).width_cm <= needs + 0.01


def test_a_piece_far_across_slides_to_the_selvedge() -> None:
    one = copies((rectangle("strip", width_cm=5, length_cm=20),), one_way=True)
    assert narrowed(one, Layout(30, 20, 100 / 600, (Placed("strip", 1, 0, 25, 0, False),))).width_cm == pytest.approx(5)
