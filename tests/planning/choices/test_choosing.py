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


SMALL = {"name": "small tide loom", "weaving_width": "30 cm", "heddles": ["30/10 cm"], "waste": "20 cm"}


def test_three_warps_take_what_three_plans_of_their_pieces_take(answer: Choices) -> None:
    """Each warp pays its waste: the sum of three plans made apart; never in the front unless it takes less than one."""
    threes = [c for c in answer.choices if c.given_up == ("one warp", "two warps")]
    single = min(c.yarn_m for c in answer.choices if len(c.warps) == 1)
    assert len(threes) == 3  # four widths, three steps between them, two of those at a time
    for one in threes:
        yarn = 0.0
        for warp in one.warps:
            pieces = [piece for piece in ROWS["pattern"]["piece"] if piece["name"] in warp.pieces]
            plan = planned(changed(ROWS, pattern__piece=pieces))
            yarn += plan.warp.yarn_m.expected + plan.weft.yarn_m.expected
        assert one.yarn_m == pytest.approx(yarn, abs=1)
        assert sorted(name for warp in one.warps for name in warp.pieces) == ["back", "facing", "front", "side"]
        assert one not in answer.front or one.yarn_m < single


def test_each_warp_is_woven_on_the_loom_that_takes_least_for_it() -> None:
    """A small loom that wastes 20 cm takes the narrow pieces; the wide ones do not fit its 30 cm."""
    given = changed(ROWS, other_loom=[SMALL])
    answers = choose(read_project(given)).choices
    three = min((c for c in answers if len(c.warps) == 3), key=lambda c: c.yarn_m)
    before = {c.how: c.yarn_m for c in choose(read_project(ROWS)).choices}
    assert {warp.loom for warp in three.warps if warp.cloth_width_cm < 13} == {"small tide loom"}
    assert three.yarn_m < before[three.how]
    assert all(c.yarn_m <= before[c.how] + 1e-6 for c in answers if c.how in before)
    for warp in three.warps:
        on = changed(given, loom=ROWS["loom"] | SMALL) if warp.loom else given
        pieces = [piece for piece in ROWS["pattern"]["piece"] if piece["name"] in warp.pieces]
        plan = planned(changed(on, pattern__piece=pieces))
        assert warp.ends == plan.warp.ends
        assert warp.warp_cm == pytest.approx(plan.warp.length_cm, abs=0.5)


def test_the_whole_garment_on_another_loom_is_planned_as_if_it_were_the_projects() -> None:
    other = SMALL | {"weaving_width": "70 cm"}
    (one,) = [
        c for c in choose(read_project(changed(ROWS, other_loom=[other]))).choices if c.given_up == ("this loom",)
    ]
    plan = planned(changed(ROWS, loom=ROWS["loom"] | other))
    assert one.warps[0].loom == "small tide loom"
    assert one.yarn_m == pytest.approx(plan.warp.yarn_m.expected + plan.weft.yarn_m.expected, abs=0.5)


def test_a_loom_without_a_heddle_of_the_sett_is_not_taken() -> None:
    answers = choose(read_project(changed(ROWS, other_loom=[SMALL | {"heddles": ["50/10 cm"]}]))).choices
    assert not [c for c in answers if c.given_up == ("this loom",)]
    assert all(warp.loom == "" for c in answers for warp in c.warps)


def test_another_loom_has_a_name() -> None:
    with pytest.raises(ProblemsFound, match="other_loom"):
        read_project(changed(ROWS, other_loom=[{"waste": "20 cm"}]))
