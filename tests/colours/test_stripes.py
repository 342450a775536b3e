"""Stripes in finished centimetres become whole threads, and fill the cloth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.colours.stripes import (
    Balance,
    Stripe,
    StripeThreads,
    across,
    in_threads,
    is_even,
    is_symmetric,
    repeats_in,
)

KELP, DULSE = Stripe("kelp", 3.0), Stripe("dulse", 1.0)


def test_a_stripe_is_the_nearest_whole_number_of_pairs() -> None:
    """3 ends to the cm at 30/10, 90 % of the width left: 3.333 to a finished cm; 3 cm are 10 ends, 1 cm is 4 (a 3.3 by hand)."""
    kelp, dulse = in_threads((KELP, DULSE), 3 / 0.9, step=2)
    assert (kelp.threads, dulse.threads) == (10, 4)
    assert kelp.finished_cm == pytest.approx(3.0)
    assert dulse.finished_cm == pytest.approx(1.2)


def test_a_check_of_8_cm_comes_to_a_whole_even_number_of_picks() -> None:
    """8 cm finished × 1.14 × 4 picks per cm = 36.48: 36 picks, which finish at 7.89 cm. By hand."""
    (check,) = in_threads((Stripe("kelp", 8.0),), 1.14 * 4, step=2)
    assert check.threads == 36
    assert check.finished_cm == pytest.approx(36 / 4.56)


def test_a_hair_of_a_stripe_is_never_left_out() -> None:
    """1 mm at 3 to the cm is one pair."""
    assert in_threads((Stripe("kelp", 0.1),), 3.0, step=2)[0].threads == 2


REPEATS = st.lists(
    st.tuples(st.sampled_from(["kelp", "dulse", "shale"]), st.integers(1, 9)), min_size=1, max_size=4
).map(lambda told: tuple(StripeThreads(yarn, 2 * many, 2 * many / 3.0) for yarn, many in told))


@given(REPEATS, st.integers(1, 80), st.sampled_from(Balance))
def test_the_cloth_is_filled_to_the_thread_with_parts_of_the_repeat(
    repeat: tuple[StripeThreads, ...], turns: int, balance: Balance
) -> None:
    """The threads add up, and turn after turn is the repeat's, from some place of it on."""
    filled = across(repeat, 2 * turns, step=2, balance=balance)
    assert sum(stripe.threads for stripe in filled) == 2 * turns
    told = [stripe.yarn for stripe in filled for _ in range(stripe.threads // 2)]
    turn = [stripe.yarn for stripe in repeat for _ in range(stripe.threads // 2)]
    endless = turn * (turns // len(turn) + 2)
    assert any(endless[start : start + turns] == told for start in range(len(turn)))


@given(st.integers(1, 6), st.integers(1, 6), st.integers(1, 60))
def test_two_stripes_balanced_on_the_first_read_alike_from_both_sides(kelp: int, dulse: int, half: int) -> None:
    """Where the middle falls on a turn or between two, as the first stripe's own middle does."""
    repeat = (StripeThreads("kelp", 2 * kelp, 1.0), StripeThreads("dulse", 2 * dulse, 2 * dulse / (2 * kelp)))
    turns = 2 * half + kelp % 2
    assert is_symmetric(across(repeat, 2 * turns, step=2, balance=Balance.STRIPE_IN_THE_MIDDLE))


def test_threads_that_are_no_whole_pairs_are_refused() -> None:
    """Seven ends cannot be wound in pairs."""
    with pytest.raises(ValueError, match="7 threads are no whole number of 2"):
        across((StripeThreads("kelp", 2, 1.0),), 7, step=2, balance=Balance.AS_THEY_FALL)


def test_nineteen_repeats_of_a_matched_check_finish_at_150_cm() -> None:
    """36 picks that finish at 7.89 cm; 150 cm ÷ 7.89 cm are 19, and 19 × 36 ÷ (4 × 1.14) = 150.0 cm. By hand."""
    repeat = in_threads((Stripe("kelp", 8.0),), 1.14 * 4, step=2)
    found = repeats_in(repeat, 150.0)
    assert (found.threads, found.number) == (36, 19)
    assert round(found.finished_cm, 2) == 7.89
    assert round(found.all_finish_cm, 1) == 150.0


@pytest.mark.parametrize(
    ("threads", "even"),
    [
        ([("kelp", 4), ("dulse", 2)], True),
        ([("kelp", 4), ("dulse", 2), ("shell", 2), ("dulse", 2)], True),
        ([("kelp", 4), ("dulse", 2), ("shell", 2)], False),
        ([("kelp", 2), ("dulse", 2), ("shell", 2), ("marram", 4)], False),
    ],
)
def test_a_repeat_is_even_where_some_place_in_it_mirrors_it(threads: list[tuple[str, int]], even: bool) -> None:
    """Two stripes always are; three unlike ones never. An even check may be turned end for end, common practice, no source."""
    assert is_even([StripeThreads(yarn, count, count / 4) for yarn, count in threads]) is even
