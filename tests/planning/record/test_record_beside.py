"""The plan beside what came: the right figures, the right differences, and whether a forecast held."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from planning.asking import planned
from planning.past_projects import past_tree

from clothwright.measure import Interval
from clothwright.planning.forecast import Forecast
from clothwright.planning.job import job_of
from clothwright.planning.record.record_beside import Beside, beside
from clothwright.project import read_project


def lines(**record: Any) -> dict[str, Beside]:
    tree = past_tree("2026-03-14")
    tree["record"] |= {"left": [{"yarn": "slate tide", "weight": "12 g"}], **record}
    return {one.what: one for one in beside(read_project(tree), planned(tree))}


def test_every_figure_stands_beside_its_own() -> None:
    plan, found = planned(past_tree("2026-03-14")), lines()
    assert (found["Ends"].planned, found["Ends"].came) == (Interval.exactly(plan.warp.ends), 148)
    assert found["Loom waste ↕"].planned.expected == pytest.approx(plan.warp.waste_cm.expected)
    assert found["Picks on the loom"].came == pytest.approx(3.4)
    assert found["Picks on the loom"].planned == plan.weft.picks_per_cm_on_loom


def test_sizes_and_weft_are_forecast_of_the_cloth_that_was_put_on() -> None:
    """Half as many ends are half as wide and take half the weft; woven half as far, it is half as long (proportions by hand)."""
    whole, narrow = lines(), lines(ends=74)
    short = lines(length={"on_loom": "139.5 cm", "finished": "122 cm"})
    assert narrow["Finished width ↔"].planned.expected == pytest.approx(
        whole["Finished width ↔"].planned.expected / 2, rel=0.01
    )
    assert narrow["Weft of the cloth"].planned.expected == pytest.approx(
        whole["Weft of the cloth"].planned.expected / 2, rel=0.01
    )
    assert short["Finished length ↕"].planned.expected == pytest.approx(
        whole["Finished length ↕"].planned.expected / 2, rel=1e-6
    )


def test_the_plan_kept_when_the_warp_went_on_is_the_one_compared_with() -> None:
    tree = past_tree("2026-03-14")
    first = {"to_weave": "281 cm", "ends": 150, "warp_length": "350 cm"}
    tree["on_loom"] = {"first_plan": first}
    found = {one.what: one.planned.expected for one in beside(read_project(tree), planned(tree))}
    assert (found["Ends"], found["Warp length ↕"], found["Woven, under tension ↕"]) == (150, 350, 281)


def test_another_heddle_really_used_is_the_one_forecast() -> None:
    """148 ends stand 40 % wider at 30/10 cm than at 42/10 cm, and finish wider."""
    closer = lines(heddle="42/10 cm")
    assert closer["Finished width ↔"].planned.expected < 0.8 * lines()["Finished width ↔"].planned.expected


def test_what_is_left_is_what_there_was_less_warp_and_weft() -> None:
    """312 g at 10 m in 3.167 g are 985 m; 148 × 3.46 m are 512 m; the rest less the weft forecast, back in grams (by hand)."""
    found = lines()
    weft = found["Weft of the cloth"].planned.expected
    assert found["Left of slate tide"].planned.expected == pytest.approx((985 - 512 - weft) / 3.158, abs=4)
    assert found["Left of slate tide"].came == 12


def test_forecasts_of_cloths_drawn_from_belief_hold_nine_times_in_ten() -> None:
    """What came is drawn from the plan's own belief, which says nothing of real hands and all of the sums: 5 in 100 below, 5 above."""
    found = lines()["Finished length ↕"].planned
    ratios = Forecast(job_of(read_project(past_tree("2026-03-14")), {})).length_ratio
    inside = np.mean((ratios * 279 >= found.low) & (ratios * 279 <= found.high))
    assert inside == pytest.approx(0.9, abs=0.005)


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
    assert beside(read_project(tree), planned(tree)) == ()
