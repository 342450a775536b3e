"""The plan beside what came: the right figures, the right differences, and whether a forecast held."""

from __future__ import annotations

import pytest
from asking import planned
from past_projects import past_tree

from clothwright.measure import Interval
from clothwright.planning.record_beside import Beside, beside
from clothwright.project import read_project


def lines() -> dict[str, Beside]:
    tree = past_tree("2026-03-14")
    tree["record"]["left"] = [{"yarn": "slate tide", "weight": "12 g"}]
    return {one.what: one for one in beside(planned(tree), read_project(tree))}


def test_every_figure_stands_beside_the_plan_s_own() -> None:
    tree = past_tree("2026-03-14")
    plan, found = planned(tree), lines()
    assert found["Ends"].came == 148
    assert found["Ends"].planned == Interval.exactly(plan.warp.ends)
    assert found["Loom waste ↕"].planned == plan.warp.waste_cm
    assert found["Picks on the loom"].came == pytest.approx(3.4)
    assert found["Finished length ↕"].difference == pytest.approx(244 - plan.cloth.finished_length_cm.expected)


def test_what_is_left_is_beside_what_the_plan_leaves_in_grams() -> None:
    """The plan's metres to spare ÷ metres per gram of the yarn: 30 m in 3.1 + 3.4 + 3.0 g are 3.158 m/g."""
    tree, one = past_tree("2026-03-14"), lines()["Left of slate tide"]
    assert one.came == 12
    assert one.planned.expected == pytest.approx(planned(tree).yarns[0].spare_m.expected / 3.158, rel=0.01)


@pytest.mark.parametrize(
    ("planned_at", "came", "least", "word"),
    [
        (Interval(40, 44, 48), 41, False, "within the forecast"),
        (Interval(40, 44, 48), 49, False, "more than forecast"),
        (Interval(40, 44, 48), 39, False, "less than forecast"),
        (Interval.exactly(148), 148, False, "as planned"),
        (Interval.exactly(148), 142, False, "less than planned"),
        (Interval.exactly(42), 41.8, True, "narrower than asked"),
        (Interval.exactly(42), 42.0, True, "wide enough"),
    ],
)
def test_a_word_says_whether_it_held(planned_at: Interval, came: float, least: bool, word: str) -> None:
    assert Beside("finished", "width", "cm", planned_at, came, least).word == word


def test_without_a_record_there_is_nothing_beside() -> None:
    tree = past_tree("2026-03-14")
    del tree["record"]
    assert beside(planned(tree), read_project(tree)) == ()
