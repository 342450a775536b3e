"""A weft order becomes picks ball by ball, with every join in its place and every metre counted."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.colours import TAIL_M, After, Join, Picks, WeftBall, one_after_another, turn_about, woven

NAMES = ("dulse", "kelp", "shell")


def ball(yarn: str, number: int, picks: float) -> WeftBall:
    """A ball of so many picks of half a metre, and its two tails."""
    return WeftBall(yarn, number, 0.5 * picks + 2 * TAIL_M)


def test_a_ball_that_runs_out_is_joined_to_the_next_and_the_place_is_named() -> None:
    """By hand: 40 picks in the first ball, so that the second begins with pick 41."""
    found = woven([Picks("kelp", 60)], [ball("kelp", 1, 40), ball("kelp", 2, 30)], pick_m=0.5, carried_picks=8)
    assert [(run.ball, run.first, run.last, run.after) for run in found.runs] == [
        (1, 1, 40, After.JOIN),
        (2, 41, 60, After.END),
    ]
    assert found.joins == (Join(40, "kelp", 1, "kelp", 2),)


def test_yarns_one_after_another_go_on_until_each_is_used() -> None:
    """Kelp's 41 picks make 40 in even picks; shell goes on from there."""
    order = one_after_another(["kelp", "shell"], 70, step=2, most={"kelp": 41, "shell": 20})
    assert order == (Picks("kelp", 40), Picks("shell", 30))


def test_a_yarn_is_carried_over_few_picks_and_cut_before_many() -> None:
    """Over 4 picks of shell kelp is carried with no tail; over 12 it is cut, with two."""
    order = [Picks("kelp", 6), Picks("shell", 4), Picks("kelp", 6), Picks("shell", 12), Picks("kelp", 2)]
    found = woven(order, [ball("kelp", 1, 90), ball("shell", 1, 90)], pick_m=0.5, carried_picks=8)
    assert [run.after for run in found.runs] == [After.CARRY, After.CARRY, After.CUT, After.CUT, After.END]
    assert found.tails == {("kelp", 1): 4, ("shell", 1): 2}


def test_two_shuttles_take_turns_with_two_balls_of_one_yarn_until_one_is_used_up() -> None:
    """Two picks of each ball; the first holds 5 picks, so that from then on the second goes alone."""
    order = turn_about([("kelp", 1), ("kelp", 2)], 20, step=2, most={"kelp": 40})
    found = woven(order, [ball("kelp", 1, 5), ball("kelp", 2, 40)], pick_m=0.5, carried_picks=8)
    assert [(run.ball, run.picks) for run in found.runs] == [(1, 2), (2, 2), (1, 2), (2, 2), (1, 1), (2, 11)]
    assert found.joins == (Join(9, "kelp", 1, "kelp", 2),)


def test_a_yarn_used_up_leaves_the_others_to_take_turns() -> None:
    """Kelp has 4 picks: after two turns shell goes on alone."""
    order = turn_about([("kelp", 1), ("shell", 1)], 12, step=2, most={"kelp": 4, "shell": 99})
    assert [one.yarn for one in order] == ["kelp", "shell", "kelp", "shell", "shell", "shell"]


@st.composite
def wefts(draw: st.DrawFn) -> tuple[list[Picks], list[WeftBall], float, int]:
    """An order of any runs and any balls of its yarns, often too few."""
    yarns = st.sampled_from(NAMES)
    order = draw(st.lists(st.builds(Picks, yarns, st.integers(1, 40), st.integers(1, 2)), min_size=1, max_size=12))
    balls = [
        WeftBall(yarn, number, draw(st.floats(0, 30)))
        for yarn in NAMES
        for number in range(1, draw(st.integers(1, 4)) + 1)
    ]
    return order, balls, draw(st.floats(0.2, 1.5)), draw(st.integers(0, 20))


@given(wefts())
def test_every_pick_is_woven_once_and_in_order_and_no_ball_is_overdrawn_while_another_has_a_pick(
    asked: tuple[list[Picks], list[WeftBall], float, int],
) -> None:
    """A separate adder: picks thread by thread, and metres of each ball with its tails."""
    order, balls, pick_m, carried = asked
    found = woven(order, balls, pick_m=pick_m, carried_picks=carried)
    yarns = [run.yarn for run in found.runs for _ in range(run.picks)]
    assert yarns == [use.yarn for use in order for _ in range(use.picks)]
    assert [run.first for run in found.runs] == [
        1 + sum(r.picks for r in found.runs[:n]) for n in range(len(found.runs))
    ]
    used: Counter[tuple[str, int]] = Counter()
    for run in found.runs:
        used[run.yarn, run.ball] += run.picks
    left = {(one.yarn, one.number): one.metres - used[one.yarn, one.number] * pick_m for one in balls}
    for yarn in NAMES:
        tucked_in = {key: metres - TAIL_M * found.tails.get(key, 0) for key, metres in left.items() if key[0] == yarn}
        over = [key for key in tucked_in if left[key] < -1e-6]
        assert len(over) <= len({use.shuttle for use in order if use.yarn == yarn})
        assert not over or all(metres < pick_m + TAIL_M + 1e-6 for metres in tucked_in.values())


@given(wefts())
def test_every_join_stands_where_one_ball_ends_and_another_begins(
    asked: tuple[list[Picks], list[WeftBall], float, int],
) -> None:
    """Thread by thread: before the join the one ball, after it the other."""
    order, balls, pick_m, carried = asked
    found = woven(order, balls, pick_m=pick_m, carried_picks=carried)
    threads = [(run.yarn, run.ball) for run in found.runs for _ in range(run.picks)]
    for join in found.joins:
        assert threads[join.pick - 1] == (join.yarn, join.ball)
        assert threads[join.pick] == (join.next_yarn, join.next_ball)
        assert (join.yarn, join.ball) not in threads[join.pick :] or join.yarn == join.next_yarn


def test_an_order_of_nothing_is_nothing() -> None:
    assert woven([], [], pick_m=0.5, carried_picks=4).runs == ()
    assert turn_about([("kelp", 1)], 0, step=2, most={"kelp": 4}) == ()


@pytest.mark.parametrize("yarns", [["kelp"], ["kelp", "shell"]])
def test_the_last_yarn_goes_on_where_all_are_used_up(yarns: list[str]) -> None:
    """What is missing is for the plan to say; no pick is left out."""
    order = one_after_another(yarns, 100, step=2, most={"kelp": 10, "shell": 10})
    assert sum(one.picks for one in order) == 100
    assert order[-1].yarn == yarns[-1]
