"""Choices: each is a real plan, the plan as it stands is among them, and two warps each pay their waste."""

from __future__ import annotations

import pytest
from planning.asking import changed, planned, tree

from clothwright.planning import Choices, choose
from clothwright.project import ProblemsFound, read_project

ROWS = tree("rows-of-rectangles")


@pytest.fixture(scope="module")
def answer() -> Choices:
    return choose(read_project(ROWS))


def test_the_plan_as_it_stands_is_the_choice_that_gives_up_nothing(answer: Choices) -> None:
    plan = planned(ROWS)
    (one,) = [c for c in answer.choices if not c.given_up]
    assert one.yarn_m == pytest.approx(plan.warp.yarn_m.expected + plan.weft.yarn_m.expected, abs=0.5)
    assert one.warps[0].ends == plan.warp.ends
    assert one.chance_enough == pytest.approx(plan.chance_enough)


def test_what_comes_from_other_cloth_plans_as_the_garment_without_it(answer: Choices) -> None:
    (one,) = [c for c in answer.choices if c.given_up == ("other cloth",)]
    bare = [piece for piece in ROWS["pattern"]["piece"] if piece["name"] != "facing"]
    plan = planned(changed(ROWS, pattern__piece=bare))
    assert one.yarn_m == pytest.approx(plan.warp.yarn_m.expected + plan.weft.yarn_m.expected, abs=0.5)


def test_two_warps_take_what_two_plans_of_their_pieces_take(answer: Choices) -> None:
    """Each warp pays its waste: the sum of two plans made apart."""
    for one in (c for c in answer.choices if c.given_up == ("one warp",)):
        yarn = 0.0
        for warp in one.warps:
            pieces = [piece for piece in ROWS["pattern"]["piece"] if piece["name"] in warp.pieces]
            plan = planned(changed(ROWS, pattern__piece=pieces))
            yarn += plan.warp.yarn_m.expected + plan.weft.yarn_m.expected
        assert one.yarn_m == pytest.approx(yarn, abs=1)
        assert sorted(name for warp in one.warps for name in warp.pieces) == ["back", "facing", "front", "side"]


def test_two_warps_that_each_would_do_may_not_do_together() -> None:
    """Both draw on the same balls: with 180 g each warp lasts, the two need more than there is."""
    given = changed(ROWS, yarn__0__balls=["180 g"])
    pairs = [c for c in choose(read_project(given)).choices if c.given_up == ("one warp",)]
    assert pairs
    assert all(one.chance_enough < 0.01 for one in pairs)
    pieces = [piece for piece in ROWS["pattern"]["piece"] if piece["name"] in pairs[0].warps[1].pieces]
    assert planned(changed(given, pattern__piece=pieces)).chance_enough > 0.99


def test_the_front_falls_in_yarn_as_more_is_given_up(answer: Choices) -> None:
    yarns = [one.yarn_m for one in answer.front]
    assert yarns == sorted(yarns, reverse=True)
    assert answer.front[0].given_up == ()


def test_each_heddle_owned_is_planned() -> None:
    given = changed(ROWS, loom__heddles=["30/10 cm", "40/10 cm"], cloth__heddle="30/10 cm")
    assert {one.heddle for one in choose(read_project(given)).choices} == {"30/10 cm", "40/10 cm"}


def test_choices_within_two_per_cent_of_the_best_of_their_kind_are_told_as_equal(answer: Choices) -> None:
    for one in answer.choices:
        least = min(c.yarn_m for c in answer.choices if c.given_up == one.given_up)
        assert one.as_good == (one.yarn_m <= least * 1.02)


def test_a_cloth_wanted_without_pieces_has_nothing_to_choose() -> None:
    with pytest.raises(ProblemsFound, match="no pattern"):
        choose(read_project(tree("slate-tide-cloth")))
