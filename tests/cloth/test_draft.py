"""Drafts: which ends lie over the weft follows from threading, tie-up and treadling."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import Draft, DraftError, draft_of, lifts_of, repeat_of, structure, structures


def shafts(*rows: int | tuple[int, ...]) -> tuple[frozenset[int], ...]:
    """Rows of shafts, written short."""
    return tuple(frozenset((row,) if isinstance(row, int) else row) for row in rows)


def test_a_straight_threading_of_a_twill_is_the_twill_of_the_handbooks() -> None:
    """Four shafts, 1-2, 2-3, 3-4, 4-1 lifted: every pick lies under two ends and moves by one. Common practice, no source."""
    draft = Draft(4, shafts(1, 2, 3, 4), shafts((1, 2), (2, 3), (3, 4), (4, 1)))
    assert draft.up.astype(int).tolist() == [[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1], [1, 0, 0, 1]]


@pytest.mark.parametrize("name", [one.name for one in structures()])
def test_every_structure_is_woven_back_from_its_draft(name: str) -> None:
    """The table of which ends are up is the structure's own, over and over."""
    one = structure(name)
    draft = draft_of(one, ends=3 * one.ends + 1, picks=2 * one.picks + 1)
    for pick, row in enumerate(draft.up):
        assert [str(int(up)) for up in row] == [one.draft[pick % one.picks][end % one.ends] for end in range(len(row))]


@given(st.data())
def test_the_table_agrees_with_looking_at_each_crossing(data: st.DataObject) -> None:
    """An end is up when any of its shafts is raised, crossing by crossing."""
    count = data.draw(st.integers(1, 8))
    some = st.frozensets(st.integers(1, count), max_size=3)
    threading = tuple(data.draw(st.lists(some, min_size=1, max_size=9)))
    tie_up = tuple(data.draw(st.lists(some, min_size=1, max_size=6)))
    treadling = tuple(
        data.draw(st.lists(st.frozensets(st.integers(1, len(tie_up)), max_size=2), min_size=1, max_size=9))
    )
    rising = data.draw(st.booleans())
    draft = Draft(count, threading, lifts_of(tie_up, treadling, count, rising=rising), tie_up, treadling, rising)
    for pick, trodden in enumerate(treadling):
        tied = {shaft for treadle in trodden for shaft in tie_up[treadle - 1]}
        raised = tied if rising or not trodden else set(range(1, count + 1)) - tied
        assert draft.up[pick].tolist() == [bool(end & raised) for end in threading]


def test_the_least_repeat_of_a_long_cloth_is_its_structure() -> None:
    """Sixteen ends and twelve picks of a 2/2 twill repeat after four and four."""
    draft = draft_of(structure("twill 2/2"), ends=16, picks=12)
    assert repeat_of(draft.up).shape == (4, 4)
    assert np.array_equal(np.tile(repeat_of(draft.up), (3, 4)), draft.up)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Draft(2, shafts(1, 3), shafts(1)), "end 2 names shaft 3, and there are 2 shafts"),
        (lambda: Draft(2, shafts(1), shafts(0)), "pick 1 names shaft 0"),
        (lambda: Draft(0, (), ()), "0 shafts"),
        (lambda: lifts_of(shafts(1), shafts(2), 2, rising=True), "pick 1 names treadle 2, and there are 1 treadles"),
    ],
)
def test_a_shaft_or_treadle_that_is_not_there_is_one_sentence(made: object, words: str) -> None:
    """Which end or pick, and what there is."""
    with pytest.raises(DraftError, match=words):
        made()  # type: ignore[operator]


@given(st.lists(st.sampled_from(["10", "01", "11"]), min_size=1, max_size=24))
def test_the_least_repeat_is_the_first_that_fits(rows: list[str]) -> None:
    """Against trying every number of rows."""
    table = np.array([[letter == "1" for letter in row] for row in rows])
    count = len(rows)
    first = next(step for step in range(1, count + 1) if rows[step:] == rows[: count - step])
    assert len(repeat_of(table)) == first
