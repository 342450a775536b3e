"""Wraps as counted, with how they were taken."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import read_wraps, read_wraps_taken
from clothwright.measure import QuantityError


@given(st.integers(1, 9), st.integers(1, 9), st.integers(6, 60), st.integers(6, 60))
def test_a_mixed_warp_wraps_as_its_widths_add(some: int, others: int, fine: int, thick: int) -> None:
    """n of one and m of the other fill n/a + m/b inches."""
    wraps = read_wraps(f"{some} x {fine}/in + {others} × {thick}/in")
    assert (some + others) / (wraps.per_cm * 2.54) == pytest.approx(some / fine + others / thick)


def test_one_yarn_is_what_was_counted() -> None:
    assert read_wraps("15/in").per_cm == pytest.approx(15 / 2.54)
    assert read_wraps("30 wraps per 5 cm").per_cm == pytest.approx(6)


@given(st.floats(1, 20), st.integers(1, 20))
def test_counting_over_more_tells_more(per_cm: float, cm: int) -> None:
    """Half a wrap over twice the length is half as far out."""
    once, twice = read_wraps_taken(f"over {cm} cm"), read_wraps_taken(f"over {2 * cm} cm, just touching")
    assert twice.either_way(per_cm) == pytest.approx(once.either_way(per_cm) / 2)
    assert read_wraps_taken("packed").either_way(per_cm) is None


def test_how_firmly_has_a_word_and_a_leaning() -> None:
    assert read_wraps_taken("over 2 in, pulled tight").how == "pushed together"
    assert "opener" in read_wraps_taken("over 2 in, pulled tight").leans
    assert read_wraps_taken("just touching; over 5 cm").over_cm == 5
    assert read_wraps_taken("").how is None


@pytest.mark.parametrize("text", ["over twice", "by eye", "over 0 cm", "over 5"])
def test_what_says_nothing_of_counting_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        read_wraps_taken(text)
