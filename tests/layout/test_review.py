"""A review says what the judge says, whatever is moved, and at once."""

import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.layout import Flaw, Layout, Rules, faults, first_guess, narrowest_cm, review
from layout.cases import garments, published

RULES = (Rules(), Rules(gap_cm=1.0), Rules(flaws=(Flaw(10.0, 3.0),), selvedge_cm=0.5))


@settings(deadline=None, max_examples=40)
@given(garments(), st.sampled_from(RULES), st.data())
def test_a_review_says_what_the_judge_says_after_every_move(found, rules, data):
    seen = review(found, first_guess(found, narrowest_cm(found) + 5), rules)
    assert sorted(seen.faults) == sorted(faults(found, seen.layout, rules=rules))
    for _ in range(3):
        one = data.draw(st.sampled_from(seen.layout.placed))
        seen = seen.moved(replace(one, x_cm=data.draw(st.floats(-5, 60)), y_cm=data.draw(st.floats(-5, 40))))
        assert sorted(seen.faults) == sorted(faults(found, seen.layout, rules=rules))


def test_thirty_pieces_are_judged_again_within_thirty_milliseconds():
    """The time a drag leaves; processor time, so that a busy machine does not count. dagli: see tests/published."""
    facts, found = published("dagli")
    seen = review(found, first_guess(found, facts["strip_width"]), Rules(gap_cm=0.5))
    took = []
    for one in seen.layout.placed[:10]:
        began = time.process_time()
        assert seen.moved(replace(one, x_cm=one.x_cm + 1.0)).faults
        took.append(time.process_time() - began)
    assert sorted(took)[5] < 0.03


def test_a_layout_that_lacks_a_copy_is_not_reviewed():
    _, found = published("dagli")
    with pytest.raises(ValueError, match="every copy"):
        review(found, Layout(60.0, 0.0, 0.0, ()))
