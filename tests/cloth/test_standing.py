"""The warp stands in the middle of its heddle, every end in a place, counted from the left edge."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import WrittenError, ends_in_places, in_the_middle, places_in, read_heddle, read_sleying


@pytest.mark.parametrize(
    ("sleying", "ends", "expected"),
    [
        ("1", 4, (1, 1, 1, 1)),
        ("1-2", 7, (1, 2, 1, 2, 1)),
        ("0-1-1", 5, (1, 1, 0, 1, 1, 0, 1)),
        ("2 for 4 ends; 1 for 3 ends; 2", 9, (2, 2, 1, 1, 1, 2)),
        ("2-2-3", 14, (2, 2, 3, 2, 2, 3)),
        ("1-1-0", 4, (1, 1, 0, 1, 1)),
    ],
)
def test_ends_fill_one_dent_after_the_other(sleying: str, ends: int, expected: tuple[int, ...]) -> None:
    """Common practice, no source; empty places before the first end and behind the last are left to the heddle."""
    assert ends_in_places(read_sleying(sleying), ends) == expected


def test_a_warp_stands_in_the_middle_of_a_heddle_by_hand() -> None:
    """A heddle of 30/10 over 60 cm has 180 places; 148 leave 16 on either side, so that the first is place 17. By hand."""
    places = places_in(read_heddle("30/10 cm"), 60.0)
    assert places is not None
    assert places.count == 180
    standing = in_the_middle(places, 148)
    assert standing is not None
    assert (standing.first, standing.last) == (17, 164)
    assert standing.off_middle_cm == pytest.approx(0)
    assert standing.width_cm == pytest.approx(148 / 3)


def test_a_first_end_that_must_be_a_hole_moves_the_warp_by_one_place_at_most() -> None:
    """Place 1 is a slot, so holes have even numbers; place 16 or 18 is the nearest, a third of a centimetre off."""
    places = places_in(read_heddle("30/10 cm"), 60.0)
    assert places is not None
    standing = in_the_middle(places, 148, every=2, among=1)
    assert standing is not None
    assert standing.first in (16, 18)
    assert abs(standing.off_middle_cm) == pytest.approx(1 / 3)


def test_places_counted_by_hand_count_before_the_width_of_the_loom() -> None:
    places = places_in(read_heddle("30/10 cm"), 60.0, counted=181)
    assert places is not None
    assert places.count == 181
    assert places_in(read_heddle("30/10 cm"), None) is None
    assert places_in(read_heddle("70 Stockport"), 60.0) is None


def test_sections_of_different_setts_stand_in_the_middle_of_their_whole_width() -> None:
    """20 cm at 3 per cm and 10 cm at 4: 60 and 40 places, 30 cm. All 100 places fill it; 40 stand about 15 cm."""
    heddle = read_heddle("30/10 cm for 20 cm + 40/10 cm for 10 cm")
    places = places_in(heddle, None)
    assert places is not None
    assert (places.count, places.width_cm) == (100, 30.0)
    whole = in_the_middle(places, 100)
    assert whole is not None
    assert whole.first == 1
    assert whole.off_middle_cm == pytest.approx(0, abs=0.05)
    part = in_the_middle(places, 40)
    assert part is not None
    middle = (places.middles_cm[part.first - 1] + places.middles_cm[part.last - 1]) / 2
    assert middle == pytest.approx(15, abs=1 / 3)


@given(st.integers(1, 300), st.integers(1, 300), st.booleans())
def test_no_other_place_is_nearer_to_the_middle(count: int, used: int, on_holes: bool) -> None:
    """Against trying every first place."""
    places = places_in(read_heddle("40/10 cm"), None, counted=count)
    assert places is not None
    every, among = (2, 1) if on_holes else (1, 0)
    standing = in_the_middle(places, used, every=every, among=among)
    firsts = [n for n in range(1, count - used + 2) if (n - 1) % every == among]
    if standing is None:
        assert not firsts
        return
    free_left, free_right = standing.first - 1, count - standing.last
    assert standing.first in firsts
    assert abs(free_left - free_right) == min(abs((n - 1) - (count - n - used + 1)) for n in firsts)


@given(st.lists(st.integers(0, 4), min_size=1, max_size=6).filter(any), st.integers(1, 200))
def test_places_hold_every_end(order: list[int], ends: int) -> None:
    """No end is lost, and the first and last place are filled."""
    held = ends_in_places(read_sleying("-".join(map(str, order))), ends)
    assert sum(held) == ends
    assert min(held[0], held[-1]) > 0


@pytest.mark.parametrize(
    ("text", "ends", "words"),
    [
        ("2; 1", 9, "for how many ends"),
        ("2 for 20 ends; 1 for 20 ends", 50, "of 40 ends, and there are 50"),
        ("2 for 60 ends", 50, "of 60 ends, and there are 50"),
        ("0-0", 5, "how many ends go into one place"),
        ("99", 5, "how many ends go into one place"),
        ("two", 5, "how many ends go into one place"),
        ("", 5, "nothing came"),
    ],
)
def test_a_sleying_that_cannot_be_is_one_sentence(text: str, ends: int, words: str) -> None:
    with pytest.raises(WrittenError, match=words):
        ends_in_places(read_sleying(text), ends)
