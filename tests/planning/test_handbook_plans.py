"""Plans by hand against what handbooks and weavers' logs say of warp, weft, losses and waste."""

from __future__ import annotations

from typing import Any

import pytest
from planning.asking import changed, planned

from clothwright.evidence import table
from clothwright.planning import Plan

PLAIN: dict[str, Any] = {
    "yarn": [{"name": "mill grey", "fibre": "wool", "made": "mill", "grist": "5 m/g", "balls": ["2 kg"]}],
    "loom": {"heddles": ["30/10 cm"], "waste": "0 cm", "kind": "rigid heddle"},
    "cloth": {
        "width_ratio": "0.9",
        "length_ratio": "0.9",
        "picks": "3/cm",
        "warp_take_up": "10 % of warp",
        "weft_take_up": "5 % of width in heddle",
    },
    "want": {"width": "45 cm", "length": "100 cm"},
}


def value(plan: Plan, step: str) -> float:
    """The value of a line of the working."""
    return next(line.value for line in plan.working if line.step == step)


@pytest.mark.parametrize(
    ("take_up", "warp_cm"), [("10 % of warp", 100 / 0.9 / 0.9), ("10 % of woven length", 100 / 0.9 * 1.1)]
)
def test_losses_divide_and_a_take_up_is_of_what_it_says(take_up: str, warp_cm: float) -> None:
    """100 finished, 10 % lost in finishing, 10 % taken up: 123.46 of the warp, 122.22 as crimp of the cloth. By arithmetic."""
    plan = planned(changed(PLAIN, cloth__warp_take_up=take_up), by_hand=True)
    assert value(plan, "Warp used by the weaving") == pytest.approx(warp_cm, abs=0.03)


def test_weft_is_figured_on_the_width_in_the_heddle() -> None:
    """On the reed, not on the cloth: J. T. Taylor, Cotton Weaving and Designing, 1909, p. 245; C. P. Brooks, Cotton Manufacturing."""
    plan = planned(PLAIN, by_hand=True)
    width = plan.warp.width_in_heddle_cm
    (line,) = (line for line in plan.working if line.step == "Weft of one pick")
    assert line.sum.startswith(f"{width:g} cm ×")
    assert line.value == pytest.approx(width * 1.05, abs=0.006)
    assert width > plan.cloth.finished_width_cm.expected


@pytest.mark.parametrize(
    ("wound", "tied", "woven", "left", "waste_in"), [(90, 7, 75, 10, 17), (104, 9, 84, 12, 21)], ids=["wool", "cotton"]
)
def test_a_warp_that_stretched_is_read_as_it_was_measured(
    wound: int, tied: int, woven: int, left: int, waste_in: int
) -> None:
    """A weaver's log: 90 in of warp gave 7 + 75 + 10, 104 in 9 + 84 + 12; the parts come to more, the warp stretched.

    https://www.therogueweaver.com/blog/2025/8/22/warp-length-take-up-and-waste
    """
    assert tied + left == waste_in
    length = {"wound": f"{wound} in", "waste": f"{waste_in} in", "on_loom": f"{woven} in"}
    tree = changed(PLAIN, cloth__warp_take_up=None) | {"sample": [{"name": "scarf", "length": length}]}
    plan = planned(tree, by_hand=True)
    (line,) = (line for line in plan.working if line.step == "Warp used by the weaving")
    assert woven / (wound - waste_in) > 1
    assert line.value == pytest.approx(
        value(plan, "Weave, on the loom under tension") * (wound - waste_in) / woven, rel=2e-4
    )


@pytest.mark.parametrize(("kind", "low", "high"), [("rigid_heddle", 30, 60), ("shaft", 60, 90)])
def test_loom_waste_nobody_measured_is_a_usual_one(kind: str, low: float, high: float) -> None:
    """12 to 24 in on a rigid heddle loom, 24 to 36 in on a loom with shafts: from memory of the trade, so only a range."""
    assert low <= table()["waste"][kind]["median"] <= high
