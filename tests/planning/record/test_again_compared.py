"""Used again, a record gives ratios: its loom waste is added once, where proportion multiplies it."""

from __future__ import annotations

from typing import Any

import pytest
from planning.asking import planned

from clothwright.planning.record.again_compared import Compared, compared
from clothwright.project import read_project
from clothwright.project.record.past import history_of
from clothwright.project.record.used_again import Again, used_again

#: A scarf woven on 300 cm of warp of which 60 were wasted, 200 cm finished; its picks and its washing were not written down.
SCARF: dict[str, Any] = {
    "name": "Samphire scarf",
    "yarn": [{"name": "samphire", "fibre": "wool", "grist": "310 m/100 g", "balls": ["400 g"]}],
    "loom": {"heddles": ["30/10 cm"], "weaving_width": "60 cm"},
    "want": {"width": "27 cm", "length": "200 cm"},
    "record": {
        "date": "2026-01-05",
        "number": "2026-001",
        "ends": 90,
        "warp_wound": "300 cm",
        "waste": "60 cm",
        "width": {"finished": "27 cm"},
        "length": {"finished": "200 cm"},
    },
}


def again(length: str) -> Compared:
    before = read_project(SCARF)
    tree = used_again(SCARF, Again(length=length)).tree
    return compared(before, planned(tree, history=history_of([before], read_project(tree))))


@pytest.mark.parametrize(("length", "by_ratio", "by_proportion"), [("340 cm", 468, 510), ("100 cm", 180, 150)])
def test_the_waste_is_added_once(length: str, by_ratio: float, by_proportion: float) -> None:
    """(300 − 60) ÷ 200 = 1.20; 340 × 1.20 + 60 = 468, by proportion 510; 100 × 1.20 + 60 = 180, by proportion 150 (by hand)."""
    warp = again(length).lines[0]
    assert warp.last == 300
    assert warp.by_ratio == pytest.approx(by_ratio)
    assert warp.by_proportion == pytest.approx(by_proportion)
    assert warp.astray == pytest.approx(by_proportion - by_ratio)
    assert f"× 1.200 + 60 cm waste = {by_ratio} cm" in warp.sum


def test_the_plan_stays_near_the_ratio_and_adds_for_what_is_not_known() -> None:
    """Asked to be sure of the size, it never plans a shorter warp than the ratio gives, and adds less than a third."""
    for length in ("340 cm", "100 cm"):
        warp = again(length).lines[0]
        assert warp.by_ratio is not None
        assert warp.by_ratio <= warp.planned.expected < 1.33 * warp.by_ratio


def test_what_the_record_does_not_tell_is_named() -> None:
    missing = again("340 cm").missing
    assert {"the picks", "how it was washed", "the weft used"} <= set(missing)
    assert "the finished length" not in missing


def test_the_same_length_again_is_the_same_warp_by_ratio_and_by_proportion() -> None:
    warp = again("200 cm").lines[0]
    assert warp.by_ratio == pytest.approx(300)
    assert warp.astray == pytest.approx(0)
