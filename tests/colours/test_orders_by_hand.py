"""An order changed by hand: each step is the change asked for and no other."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.colours import (
    HandRun,
    first_ends,
    run_changed,
    run_held,
    run_moved,
    run_split,
    run_taken_away,
)

RUNS = (HandRun("kelp", 4, 1), HandRun("shale", 2, held=True), HandRun("dulse", 6))
ORDERS = st.lists(
    st.builds(HandRun, st.sampled_from(["kelp", "shale", "dulse"]), st.integers(1, 9)), min_size=1, max_size=8
).map(tuple)


def ends_of(runs: tuple[HandRun, ...]) -> list[str]:
    """The yarn of every end."""
    return [run.yarn for run in runs for _ in range(run.ends)]


def test_each_run_begins_where_the_one_before_it_ends() -> None:
    assert first_ends(RUNS) == (1, 5, 7)


def test_another_yarn_forgets_the_ball_and_the_same_keeps_it() -> None:
    assert run_changed(RUNS, 0, yarn="dulse", ends=4)[0] == HandRun("dulse", 4)
    assert run_changed(RUNS, 0, yarn="kelp", ends=6)[0] == HandRun("kelp", 6, 1)
    assert run_changed(RUNS, 0, yarn="kelp", ends=6)[1:] == RUNS[1:]


def test_a_run_is_held_and_released() -> None:
    held = run_held(RUNS, 2, held=True)
    assert held[2].held
    assert run_held(held, 2, held=False) == RUNS


@given(ORDERS, st.data())
def test_moving_keeps_every_end_and_stays_within_the_edges(runs: tuple[HandRun, ...], data: st.DataObject) -> None:
    number, by = data.draw(st.integers(0, len(runs) - 1)), data.draw(st.integers(-9, 9))
    moved, to = run_moved(runs, number, by)
    assert sorted(ends_of(moved)) == sorted(ends_of(runs))
    assert moved[to] == runs[number]
    assert to == min(max(number + by, 0), len(runs) - 1)


@given(ORDERS, st.data())
def test_splitting_changes_no_end(runs: tuple[HandRun, ...], data: st.DataObject) -> None:
    number, after = data.draw(st.integers(0, len(runs) - 1)), data.draw(st.integers(-1, 10))
    if not 0 < after < runs[number].ends:
        with pytest.raises(ValueError, match="can be split after"):
            run_split(runs, number, after)
        return
    split = run_split(runs, number, after)
    assert ends_of(split) == ends_of(runs)
    assert len(split) == len(runs) + 1


def test_a_run_is_taken_away_and_never_made_empty() -> None:
    assert run_taken_away(RUNS, 1) == (RUNS[0], RUNS[2])
    with pytest.raises(ValueError, match="one at least"):
        run_changed(RUNS, 1, yarn="shale", ends=0)
