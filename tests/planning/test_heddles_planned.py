"""A plan is made on a heddle as it is sleyed: doubled, in a reed with an order, or in pairs that weave as one."""

from __future__ import annotations

from typing import Any

import pytest
from planning.asking import changed, planned

from clothwright.project import ProblemsFound

FINE: dict[str, Any] = {
    "yarn": [
        {"name": "spray", "fibre": "wool", "made": "mill", "wraps": "24/in", "grist": "8 m/g", "balls": ["600 g"]}
    ],
    "loom": {"heddles": ["30/10 cm"], "weaving_width": "60 cm", "waste": "50 cm"},
    "cloth": {"width_ratio": "0.9", "length_ratio": "0.9", "picks": "6/cm", "warp_take_up": "5 % of warp"},
    "want": {"width": "45 cm", "length": "90 cm"},
}


def on(heddle: str, **paths: Any) -> dict[str, Any]:
    """The cloth on a heddle."""
    return changed(FINE, cloth__heddle=heddle, **paths)


@pytest.mark.parametrize(
    ("heddle", "kind", "per_cm"),
    [
        ("30/10 cm", "rigid heddle", 3),
        ("30/10 cm, 1 in 2 heddles", "rigid heddle", 6),
        ("12/in reed, 1-2", "shaft", 18 / 2.54),
    ],
)
def test_ends_and_width_follow_from_the_heddle_as_sleyed(heddle: str, kind: str, per_cm: float) -> None:
    """45 cm finished at 0.9 are 50 cm in the heddle, and ends are 50 cm × ends per cm, up to pairs: by arithmetic."""
    plan = planned(on(heddle, loom__kind=kind), by_hand=True)
    assert plan.warp.ends_per_cm == pytest.approx(per_cm)
    assert plan.warp.ends == 2 * -(-50 * per_cm // 2)
    assert plan.warp.width_in_heddle_cm == pytest.approx(plan.warp.ends / per_cm, abs=0.01)
    assert plan.warp.heddle == heddle
    (line,) = (one for one in plan.working if one.step == "Ends")
    assert f"{round(per_cm, 4):g} ends per cm" in line.sum


def test_two_heddles_hold_what_one_of_twice_the_count_does() -> None:
    """Two 30/10 cm heddles are 6 ends per cm in true plain weave, as a 60/10 cm heddle is: the same plan."""
    double, single = planned(on("30/10 cm, 1 in 2 heddles")), planned(on("60/10 cm"))
    assert (double.warp.ends, double.warp.length_cm) == (single.warp.ends, single.warp.length_cm)
    assert double.yarns[0].need_m == single.yarns[0].need_m
    assert any("two such heddles" in note for note in double.notes)


def test_pairs_that_weave_as_one_are_planned_as_what_they_weave() -> None:
    """Two ends in each place make plain weave a half basket (drafts); ends come in pairs, and the plan says so."""
    plan = planned(on("30/10 cm, 2", loom__warping="indirect", cloth__repeat_ends=3))
    assert plan.warp.ends % 6 == 0
    assert any("plain becomes half basket, ends in pairs" in note for note in plan.notes)
    named = planned(
        on("60/10 cm", loom__warping="indirect", cloth__repeat_ends=6, cloth__structure="half basket, ends in pairs")
    )
    assert plan.warp.ends == named.warp.ends
    assert plan.yarns[0].need_m == named.yarns[0].need_m


def test_in_a_reed_two_ends_in_a_dent_stay_plain() -> None:
    """The shafts part them."""
    plan = planned(on("30/10 cm, 2", loom__kind="shaft"))
    assert not any("becomes" in note for note in plan.notes)
    assert plan.warp.ends_per_cm == pytest.approx(6)


def test_a_heddle_owned_as_it_is_sleyed_is_chosen_when_it_comes_nearest() -> None:
    """24 wraps to the inch ask for 4.7 per cm in plain weave: 25/10 cm doubled is nearer than 30/10 cm."""
    plan = planned(
        changed(FINE, loom__heddles=["30/10 cm", "25/10 cm, 1 in 2 heddles", "25/10 cm for 20 cm + 50/10 cm for 20 cm"])
    )
    assert plan.warp.heddle == "25/10 cm, 1 in 2 heddles"
    assert plan.warp.ends_per_cm == pytest.approx(5)


@pytest.mark.parametrize(
    "paths", [{"cloth__heddle": "30/10 cm for 20 cm + 40/10 cm for 10 cm"}, {"loom__heddles": ["30/10 cm for 20 cm"]}]
)
def test_a_heddle_of_sections_is_refused_in_one_sentence(paths: dict[str, Any]) -> None:
    """It is kept as typed, and compared by the sett command; a plan for it would be a guess."""
    with pytest.raises(ProblemsFound, match="a heddle of sections cannot be planned yet") as refusal:
        planned(changed(FINE, **paths))
    assert len(refusal.value.problems) == 1


def test_two_heddles_on_a_loom_with_shafts_are_a_problem_of_that_field() -> None:
    """What came and where."""
    with pytest.raises(ProblemsFound, match="30/10 cm, 1 in 2 heddles”: a reed stands alone") as refusal:
        planned(on("30/10 cm, 1 in 2 heddles", loom__kind="shaft"))
    assert refusal.value.problems[0].path == ("cloth", "heddle")


def test_a_sample_says_the_heddle_it_was_woven_in() -> None:
    """A sample in a doubled heddle tells of 6 ends to the cm; one in pairs that weave as one of a half basket."""
    sample = {"width": {"in_heddle": "30 cm", "finished": "26 cm"}, "finish": ""}
    base = on("30/10 cm, 1 in 2 heddles", cloth__width_ratio=None)
    same = planned(base | {"sample": [sample | {"heddle": "30/10 cm, 1 in 2 heddles"}]})
    unsaid = planned(base | {"sample": [sample]})
    basket = planned(base | {"sample": [sample | {"heddle": "30/10 cm, 2"}]})
    assert same.cloth.finished_width_cm == unsaid.cloth.finished_width_cm
    assert basket.cloth.finished_width_cm != unsaid.cloth.finished_width_cm
