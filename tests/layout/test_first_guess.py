"""The first guess is quick, always valid, always the same."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import copies, faults, first_guess, least_length_cm, narrowest_cm, turn
from clothwright.layout.first_guess import tries_for
from clothwright.pattern import Piece, rectangle
from layout.cases import garments, published, waistcoat


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize(("width", "length"), [(42, 252), (47, 252), (48, 190), (49, 190)])
def test_a_waistcoat_takes_what_the_arithmetic_by_hand_says(width, length, seed):
    """Rows by hand: 62 + 62 + 64 + 64 below 48 cm, 62 + 64 + 64 from 48 on. Own arithmetic."""
    layout = first_guess(waistcoat(), width, seed=seed)
    assert faults(waistcoat(), layout) == ()
    assert layout.length_cm == pytest.approx(length, abs=1e-9)


def test_at_50_cm_it_is_not_the_careless_packer():
    """Back beside front wherever it fits takes 192 cm, though 190 are enough at 48. Own arithmetic."""
    assert first_guess(waistcoat(), 50).length_cm <= 190


@settings(deadline=None)
@given(garments(), st.floats(0, 40), st.integers(0, 5))
def test_every_first_guess_is_valid(found, spare, seed):
    width = narrowest_cm(found) + spare
    assert faults(found, first_guess(found, width, seed=seed)) == ()


@settings(deadline=None, max_examples=20)
@given(garments(), st.floats(0, 20))
def test_a_piece_drawn_as_the_half_turn_of_another_is_turned_by_its_own_drawing(found, spare):
    """A left panel turned end for end looks like the right one: each copy keeps its own turn to come to lie so."""
    twins = tuple(replace(copy, piece=f"{copy.piece} turned", outline=turn(copy.outline, 180.0)) for copy in found)
    width = narrowest_cm(found) + spare
    assert faults((*found, *twins), first_guess((*found, *twins), width)) == ()


def test_panels_of_a_published_outline_do_not_overlap():
    """The halves of piece p2 of dagli, tests/published/nesting: one the half turn of the other."""
    half = ((0.0, 0.0), (11.333, 0.0), (11.333, 7.682), (9.273, 13.864), (2.061, 13.864), (0.0, 7.682))
    left = Piece("left panel", half, cut=2)
    right = Piece("right panel", turn(half, 180.0), cut=2)
    found = copies((left, right, rectangle("band", width_cm=8, length_cm=20)), one_way=False)
    for width in (14.0, 20.0, 27.8, 34.0):
        assert faults(found, first_guess(found, width)) == ()


@pytest.mark.parametrize("name", ["dagli", "trousers", "shirts"])
def test_published_garments_are_laid_out_validly_and_not_wastefully(name):
    """`best_known`: record layouts, see tests/published/nesting. 1.35 is well above what was measured."""
    facts, found = published(name)
    layout = first_guess(found, facts["strip_width"])
    assert faults(found, layout) == ()
    assert facts["best_known"]["length"] <= layout.length_cm <= 1.35 * facts["best_known"]["length"]


@pytest.mark.parametrize("width", [42.0, 45.0, 60.0])
def test_a_jacket_is_laid_out_validly(width):
    """Between area ÷ width and one and a half times the best of many runs of `spyrrow`."""
    _, found = published("synthetic_jacket")
    layout = first_guess(found, width)
    assert faults(found, layout) == ()
    best_seen = {42.0: 386.4, 45.0: 352.8, 60.0: 250.5}[width]
    assert least_length_cm(found, width) <= layout.length_cm <= 1.5 * best_seen


def test_the_same_question_has_the_same_answer():
    _, found = published("synthetic_jacket")
    assert first_guess(found, 60, seed=7) == first_guess(found, 60, seed=7)


def test_more_tries_are_never_longer():
    _, found = published("synthetic_jacket")
    lengths = [first_guess(found, 60, tries=tries).length_cm for tries in (1, 4, 16)]
    assert lengths == sorted(lengths, reverse=True)


def test_the_number_of_tries_shrinks_as_copies_grow():
    assert [tries_for(count) for count in (1, 8, 12, 30, 100)] == [60, 60, 31, 5, 3]


def test_nothing_to_cut_takes_no_cloth():
    assert first_guess((), 40).length_cm == 0
    assert faults((), first_guess((), 40)) == ()


def test_turning_end_for_end_is_used_only_where_allowed():
    """Two wedges fill their box exactly when one is turned: 20 cm instead of more. School geometry."""
    wedge = Piece("wedge", ((0, 0), (20, 0), (0, 10)), cut=2)
    assert first_guess(copies((wedge,), one_way=False), 10).length_cm == pytest.approx(20)
    assert first_guess(copies((wedge,), one_way=True), 10).length_cm > 30


def test_a_hundred_equal_labels_fill_their_rows():
    """5 across × 20 along of 8 × 3 cm on 40 cm: 60 cm. Own arithmetic."""
    labels = copies((rectangle("label", width_cm=8, length_cm=3, cut=100),), one_way=True)
    layout = first_guess(labels, 40)
    assert faults(labels, layout) == ()
    assert layout.length_cm == pytest.approx(60)
