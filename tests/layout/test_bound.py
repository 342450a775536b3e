"""The bound is never above a valid layout, and meets it where rows can be counted by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import Flaw, Rules, copies, first_guess, least_length_cm, lower_bound, narrowest_cm
from clothwright.layout.bound import _by_count, _rounded, _without_narrow
from clothwright.layout.ruled import ruled_guess
from clothwright.pattern import rectangle
from layout.cases import garments, published, waistcoat


@pytest.mark.parametrize("name", ["albano", "dagli", "shirts", "swim", "trousers"])
def test_the_bound_is_below_the_best_length_published(name):
    """`best_known`: record layouts, see tests/published/nesting."""
    facts, found = published(name)
    bound = lower_bound(found, facts["strip_width"]).length_cm
    assert 0.99 * least_length_cm(found, facts["strip_width"]) <= bound <= facts["best_known"]["length"]


@pytest.mark.parametrize(("width", "length"), [(42, 252), (47, 252), (48, 190), (49, 190)])
def test_the_bound_meets_the_waistcoat_counted_by_hand(width, length):
    """Rows by hand: 2 × 62 + 2 × 64 = 252 where no two lie side by side, 62 + 128 = 190 from 48. Own arithmetic."""
    assert lower_bound(waistcoat(), width).length_cm == pytest.approx(length, abs=1e-6)


def test_three_that_do_not_fit_side_by_side_take_two_rows_for_four():
    """Widths of 0.34, 0.4 and the like: two a row, so four of 10 cm take 20. Textbook case of the rounding family."""
    four = copies((rectangle("panel", width_cm=34, length_cm=10, cut=4),), one_way=True)
    assert lower_bound(four, 100).length_cm == pytest.approx(20, abs=1e-6)


def test_a_gap_and_the_whole_width_and_lots_and_flaws_make_it_longer():
    """Own arithmetic: two of 10 × 20 on 21 cm lie side by side; not with a gap of 2; nor in two lots."""
    two = copies((rectangle("a", width_cm=10, length_cm=20), rectangle("b", width_cm=10, length_cm=20)), one_way=True)
    assert lower_bound(two, 21).length_cm == pytest.approx(20, abs=0.1)
    assert lower_bound(two, 21, Rules(gap_cm=2)).length_cm == pytest.approx(40, abs=0.1)
    assert lower_bound(two, 21, Rules(whole_width=("a",))).length_cm == pytest.approx(40, abs=0.1)
    assert lower_bound(two, 21, Rules(lots=(("a",), ("b",)))).length_cm == pytest.approx(40, abs=0.1)
    assert lower_bound(two, 21, Rules(flaws=(Flaw(5.0, 3.0),))).length_cm == pytest.approx(23, abs=0.1)


@settings(deadline=None, max_examples=60)
@given(garments(), st.floats(0, 30))
def test_no_valid_layout_is_shorter_than_the_bound(found, spare):
    width = narrowest_cm(found) + spare
    assert lower_bound(found, width).length_cm <= first_guess(found, width).length_cm + 1e-6


@settings(deadline=None, max_examples=20)
@given(garments(), st.sampled_from([0.0, 1.0]), st.integers(0, 2))
def test_no_layout_that_keeps_the_rules_is_shorter_than_the_bound(found, gap, kind):
    names = list(dict.fromkeys(copy.piece for copy in found))
    more = ({}, {"whole_width": (names[0],)}, {"lots": ((names[-1],), tuple(names[:-1]))})[kind]
    rules = Rules(gap_cm=gap, flaws=(Flaw(4.0, 2.0),), **more)
    layout = ruled_guess(found, 35.0, rules, tries=2)
    assert layout is None or lower_bound(found, 35.0, rules).length_cm <= layout.length_cm + 1e-6


@settings(max_examples=300)
@given(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=12), st.floats(0.03, 0.5), st.integers(1, 8))
def test_dual_feasible_functions_keep_their_promise_on_random_shares(shares, step, count):
    """Definition of Fekete and Schepers (2001): shares that add up to 1 at most still do so afterwards; never falling."""
    share = np.array(shares) / max(1.0, sum(shares))
    rising = np.linspace(0, 1, 997)
    for f in (_rounded(count), _without_narrow(step), _by_count(step)):
        assert f(share).sum() <= 1 + 1e-6
        assert (np.diff(f(rising)) >= -1e-9).all()


def test_nothing_to_cut_takes_no_cloth():
    assert lower_bound((), 40.0).length_cm == 0
