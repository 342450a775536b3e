"""Candidate widths: the sums of pieces side by side, and an even spread between."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.layout import TooWide, candidate_widths, narrowest_cm
from layout.cases import garments, published, waistcoat


def test_the_step_of_the_waistcoat_is_a_candidate():
    """Two backs of 24 cm side by side: 48 cm. Own arithmetic."""
    assert 48.0 in candidate_widths(waistcoat(), least_cm=40, most_cm=60)


def test_few_candidates_hold_the_ends_and_sums():
    """Sums of two between 26 and 60 are 32, 34, 36, 38, 48, 50, 52: own arithmetic."""
    found = candidate_widths(waistcoat(), least_cm=20, most_cm=60, most=5)
    assert (found[0], found[-1], len(found)) == (26, 60, 5)
    assert set(found[1:-1]) & {32, 34, 36, 38, 48, 50, 52}


@given(garments(), st.floats(0, 20), st.floats(0.1, 40), st.integers(2, 30))
def test_candidates_are_in_order_between_their_ends(found, more, spread, most):
    least = narrowest_cm(found) + more
    widths = candidate_widths(found, least_cm=least, most_cm=least + spread, most=most)
    assert len(widths) == most
    assert (widths[0], widths[-1]) == (least, least + spread)
    assert all(low < high for low, high in pairwise(widths))


def test_gaps_are_filled():
    """No gap is wider than a tenth of the whole: a jacket from 42 to 75 cm in 24 steps."""
    _, found = published("synthetic_jacket")
    widths = candidate_widths(found, least_cm=30, most_cm=75)
    assert (widths[0], len(widths)) == (42.0, 24)
    assert max(high - low for low, high in pairwise(widths)) <= 3.3


def test_one_width_is_enough_when_there_is_no_choice():
    assert candidate_widths(waistcoat(), least_cm=26, most_cm=26) == (26,)


def test_a_piece_wider_than_the_widest_cloth_is_refused():
    with pytest.raises(TooWide, match="front"):
        candidate_widths(waistcoat(), least_cm=20, most_cm=25)


@pytest.mark.parametrize(("least", "most_cm", "most"), [(60, 50, 24), (40, 50, 1)])
def test_no_widths_at_all_is_an_error(least, most_cm, most):
    with pytest.raises(ValueError, match="no widths to try"):
        candidate_widths(waistcoat(), least_cm=least, most_cm=most_cm, most=most)
