"""Threadings and lifts as a weaver writes them are read, filled to the last end, and written out again."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import Draft, WrittenError, read_sets, read_written, sets_out, written_out
from clothwright.cloth.draft import Shafts


def shafts(rows: tuple[Shafts, ...]) -> list[int]:
    """The one shaft of every end."""
    return [next(iter(row)) for row in rows]


@pytest.mark.parametrize(
    ("text", "ends", "expected"),
    [
        ("straight on 4", 8, [1, 2, 3, 4, 1, 2, 3, 4]),
        ("1-2-3-4", 6, [1, 2, 3, 4, 1, 2]),
        ("point on 4", 13, [1, 2, 3, 4, 3, 2, 1, 2, 3, 4, 3, 2, 1]),
        ("point on 3", 5, [1, 2, 3, 2, 1]),
        ("1-2-3-4 2 times; 3-2-1", 11, [1, 2, 3, 4, 1, 2, 3, 4, 3, 2, 1]),
        ("(1, 2) x3; 1 once", 7, [1, 2, 1, 2, 1, 2, 1]),
        ("4 3 2 1 × 2", 8, [4, 3, 2, 1, 4, 3, 2, 1]),
        ("straight on 3 2 times; point on 2 once", 8, [1, 2, 3, 1, 2, 3, 1, 2]),
    ],
)
def test_threadings_of_the_textbooks_are_read(text: str, ends: int, expected: list[int]) -> None:
    """Straight: one shaft after the next, over and over; point: there and back, each turning end once. Common practice, no source."""
    assert shafts(read_written(text).filled(ends)) == expected


def test_a_straight_threading_with_the_2_2_twill_tie_up_draws_the_twill() -> None:
    """Each pick under two ends, one further each time; a point threading turns its line. Common practice, no source."""
    lifts = read_sets("1+2, 2+3, 3+4, 1+4")
    straight = Draft(4, read_written("straight on 4").filled(8), lifts).up.astype(int).tolist()
    assert straight == [[1, 1, 0, 0] * 2, [0, 1, 1, 0] * 2, [0, 0, 1, 1] * 2, [1, 0, 0, 1] * 2]
    point = Draft(4, read_written("point on 4").filled(7), lifts).up
    assert (point == point[:, ::-1]).all()
    assert point[0].astype(int).tolist() == [1, 1, 0, 0, 0, 1, 1]


def test_plain_weave_on_four_shafts_is_over_one_under_one() -> None:
    """Shafts 1 and 3 against 2 and 4. Common practice, no source."""
    draft = Draft(4, read_written("straight on 4").filled(8), read_sets("1+3, 2+4"))
    assert draft.up.astype(int).tolist() == [[1, 0] * 4, [0, 1] * 4]


def test_an_end_may_be_on_two_shafts_or_on_none() -> None:
    assert read_written("1-2+3-0").filled(3) == (frozenset({1}), frozenset({2, 3}), frozenset())


rows = st.lists(st.frozensets(st.integers(1, 8), max_size=3), min_size=1, max_size=60).map(tuple)


@given(rows | st.tuples(rows, st.integers(2, 5)).map(lambda two: two[0] * two[1]))
def test_what_is_written_out_is_read_back(ends: tuple[Shafts, ...]) -> None:
    """Any ends, repeated or not."""
    assert read_written(written_out(ends)).filled(len(ends)) == ends
    whole = read_written(written_out(ends, whole=True))
    assert whole.filled(whole.counted) == ends
    assert read_sets(sets_out(ends)) == ends


def test_what_repeats_is_written_once() -> None:
    blocks = read_written("1-2-3-4 12 times; 4-3-2-1 12 times; 1 once").filled(97)
    assert written_out(blocks) == "1-2-3-4 12 times; 4-3-2-1 12 times; 1 once"
    assert written_out(read_written("straight on 4").filled(146)) == "1-2-3-4"


@pytest.mark.parametrize(
    ("text", "ends", "words"),
    [
        ("1-2-3-4 12 times", 50, "48 are written, and there are 50"),
        ("1-two", 4, "shafts are numbers"),
        ("", 4, "nothing came"),
        ("straight on 900", 4, "a loom has 1 to 128 shafts"),
        ("1-2 0 times", 4, "0 times"),
        ("1-2 99999 times", 4, "20000 are the most"),
        ("1-2; 3-4", 9, "4 are written, and there are 9"),
        ("1" * 200_000, 4, "letters came"),
        ("1-2-3-4 times", 4, "shafts are numbers"),
    ],
)
def test_a_threading_that_cannot_be_is_one_sentence(text: str, ends: int, words: str) -> None:
    with pytest.raises(WrittenError, match=words):
        read_written(text).filled(ends)


@given(st.text("0123456789-+;, timesxonc()", max_size=60))
def test_any_text_is_a_threading_or_a_sentence(text: str) -> None:
    """Never another error."""
    for read in (read_written, read_sets):
        with suppress(WrittenError):
            assert read(text)
