"""Repeats in whole picks, against sums worked by hand."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from clothwright.project import read_project
from clothwright.project.parts.log_parts import OnLoomPart
from clothwright.sheets.loom.at_loom import sections
from clothwright.weaving import even_picks, forecast, logged, panel_count, repeat_plan
from clothwright.weaving.repeats import repeats_told


def test_a_check_of_eight_centimetres_is_thirty_six_picks() -> None:
    """Worked by hand: 8 cm × 1.14 × 4 per cm = 36.5 picks, 36 as settled, finishing at 7.89 cm, 19 of them 150.0 cm."""
    told = OnLoomPart.model_validate({"repeat": "8 cm", "panel": "150 cm"})
    plan = repeat_plan(told, 4.0, 1 / 1.14)
    assert plan is not None
    assert plan.exact_picks is not None
    assert plan.finished_cm is not None
    assert plan.panel_cm is not None
    assert round(plan.exact_picks, 1) == 36.5
    assert plan.picks == 36
    assert round(plan.finished_cm, 2) == 7.89
    assert plan.in_panel == 19
    assert round(plan.panel_cm, 1) == 150.0


def test_the_difference_runs_on_and_is_taken_back() -> None:
    """Worked by hand: 36, 37, 35, 36 of 36 run 0, +1, 0, 0."""
    assert panel_count("left", [36, 37, 35, 36], 36).running == (0, 1, 0, 0)
    ahead = panel_count("left", [36, 37], 36)
    assert ahead.next_picks == 35
    assert ahead.words == "you are +1; make the next −1: 35 picks"


def test_panels_run_apart_and_a_correction_counts() -> None:
    tree = {
        "cloth": {"picks": "4/cm", "length_ratio": "0.877"},
        "on_loom": {"to_weave": "350 cm", "repeat": "8 cm"},
        "log": [
            {"key": "a", "repeats": [36, 38], "panel": "left"},
            {"key": "b", "corrects": "a", "repeats": [36, 37], "panel": "left"},
            {"key": "c", "repeats": 35, "panel": "left"},
            {"key": "d", "repeats": [37, 37], "panel": "right"},
        ],
    }
    project = read_project(tree)
    told = repeats_told(project, logged(project), None, None)
    assert told is not None
    assert [(one.panel, one.running[-1]) for one in told.panels] == [("left", 0), ("right", 2)]


@given(st.floats(1.0, 500.0))
def test_the_even_number_is_the_nearest(exact: float) -> None:
    picks = even_picks(exact)
    assert picks % 2 == 0
    assert picks >= 2
    assert abs(picks - exact) <= 1 or picks == 2


@given(st.lists(st.integers(20, 50), min_size=1, max_size=30))
def test_following_what_is_said_brings_the_panel_even(picks: list[int]) -> None:
    woven = list(picks)
    for _ in range(500):
        count = panel_count("", woven, 36)
        if count.running[-1] == 0:
            return
        woven.append(count.next_picks)
    raise AssertionError(woven)


def test_a_childs_jacket_in_checks_is_told_from_its_log_alone() -> None:
    """Worked by hand: 150 cm ÷ (1 ÷ 1.14) is 171 cm to weave; repeats of 36, 37, 35, 36 run 0, +1, 0, 0."""
    tree = {
        "cloth": {"picks": "4/cm", "length_ratio": "0.8772"},
        "on_loom": {"repeat": "8 cm", "panel": "150 cm"},
        "log": [{"repeats": [36, 37]}, {"repeats": 35}, {"repeats": 36}],
    }
    for by_hand in (True, False):
        told = forecast(read_project(tree), by_hand=by_hand)
        assert round(told.to_weave_cm) == 171
        assert told.repeats is not None
        assert told.repeats.plan.picks == 36
        assert told.repeats.panels[0].running == (0, 1, 0, 0)
        said = " ".join(line for _, lines in sections(told, imperial=False) for line in lines)
        assert (
            "36.5 picks reckoned, 36 picks as settled, finishing at 7.89 cm (3.11 in); 19 repeats make a panel" in said
        )
        assert "running 0, +1, 0, 0" in said
