"""The staircase tells its steps, what the layout needs, the chance of falling, and the width to finish at."""

from __future__ import annotations

import math

import numpy as np
import pytest
from planning.asking import changed, planned, tree

from clothwright.planning import job_of, lay
from clothwright.planning.weighing_up import weigh_up
from clothwright.project import read_project

ROWS = tree("rows-of-rectangles")


def laid(width_cm: float, **paths: object):
    return lay(read_project(changed(ROWS, want={"width": f"{width_cm} cm"}, **paths)), drawings={})


def test_at_48_cm_the_advice_is_to_finish_at_49_since_62_cm_more_would_be_needed() -> None:
    """Story 5: 252 cm at 42 and 47, 190 at 48 and 49; 48 is the step; finish at 49 or more."""
    advice = laid(48).width_advice
    assert (advice.needs_cm, advice.aim_cm) == pytest.approx((48, 49))
    assert advice.longer_cm == pytest.approx(62)
    assert advice.certain
    assert advice.chance_narrower == pytest.approx(0.5, abs=0.03)


def test_at_47_cm_the_step_up_to_48_is_told_with_what_it_saves() -> None:
    advice = laid(47).width_advice
    assert (advice.wider_cm, advice.shorter_by_cm) == pytest.approx((48, 62))


@pytest.mark.parametrize(("width", "bound"), [(42, 252), (47, 252), (48, 190), (49, 190)])
def test_the_bound_beside_the_layout_proves_the_waistcoat_shortest(width: int, bound: int) -> None:
    """For rows of rectangles the bound is the shortest length there is: the figures of story 5."""
    data = laid(width).as_json()
    assert data["layout"]["bound_cm"] == pytest.approx(bound, abs=0.05)
    assert data["layout"]["length_cm"] == pytest.approx(bound, abs=0.05)
    assert "side by side" in data["layout"]["bound_because"]


def test_only_the_step_is_marked_where_nothing_else_falls() -> None:
    falls = {round(step.width_cm): step.falls_cm for step in laid(48).staircase if step.falls_cm and step.width_cm > 40}
    assert falls[48] == pytest.approx(62)


def test_the_chance_of_each_width_is_the_share_of_drawn_cloths_that_finish_so_wide() -> None:
    project = read_project(ROWS)
    drawn = weigh_up(job_of(project, {})).outcome.finished_width
    for step in planned(ROWS).staircase:
        assert step.chance == pytest.approx(float(np.mean(drawn >= step.needs_cm - 0.005)), abs=1e-9)
    chances = [step.chance for step in sorted(planned(ROWS).staircase, key=lambda s: s.needs_cm)]
    assert chances == sorted(chances, reverse=True)


def test_the_chance_agrees_with_the_normal_law_of_the_width_believed() -> None:
    """Log width is nearly normal: a chance by the error function of the standard library, from mean and spread of the draws."""
    answer = planned(changed(ROWS, cloth__width_ratio="0.88 to 0.92"))
    drawn = np.log(
        weigh_up(job_of(read_project(changed(ROWS, cloth__width_ratio="0.88 to 0.92")), {})).outcome.finished_width
    )
    z = (math.log(answer.width_advice.needs_cm) - drawn.mean()) / drawn.std()
    assert answer.width_advice.chance_narrower == pytest.approx((1 + math.erf(z / math.sqrt(2))) / 2, abs=0.02)


def test_falling_costs_the_length_more_and_its_yarn_by_the_centimetre() -> None:
    answer = planned(ROWS)
    advice, weighed = answer.width_advice, weigh_up(job_of(read_project(ROWS), {}))
    assert advice.longer_cm is not None
    assert advice.more_m == pytest.approx(advice.longer_cm * float(np.median(weighed.metres_per_finished_cm)))


def test_more_doubt_in_the_width_makes_the_warp_aim_further_from_the_step() -> None:
    def beyond(ratio: str) -> float:
        advice = planned(changed(ROWS, cloth__width_ratio=ratio)).width_advice
        return advice.aim_cm - advice.needs_cm

    assert beyond("0.80 to 1.00") > beyond("0.89 to 0.91")


def test_a_trim_at_the_selvedges_counts_as_cloth_that_is_needed() -> None:
    advice = laid(50, pattern__selvedge_trim="1 cm").width_advice
    assert advice.needs_cm == pytest.approx(50)


def test_without_yarn_or_loom_there_is_an_advice_and_no_chance() -> None:
    given = changed(ROWS, want={"width": "48 cm"}, loom=None, cloth=None, yarn=None)
    advice = lay(read_project(given), drawings={}).width_advice
    assert (advice.aim_cm, advice.chance_narrower) == (49, None)


def test_by_hand_the_steps_are_told_without_chances() -> None:
    answer = planned(ROWS, by_hand=True)
    assert all(step.chance is None for step in answer.staircase)
    assert answer.width_advice.chance_narrower is None
    assert answer.width_advice.longer_cm is not None


def test_the_narrowest_cloth_of_all_has_nothing_to_fall_to() -> None:
    given = changed(ROWS, pattern__piece=[{"name": "back", "width": "24 cm", "length": "62 cm", "cut": 1}])
    advice = planned(given).width_advice
    assert (advice.longer_cm, advice.certain) == (None, True)


def test_a_cloth_wanted_without_pieces_has_no_staircase() -> None:
    answer = planned(tree("slate-tide-cloth"))
    assert answer.width_advice is None
    assert answer.as_json()["width_advice"] is None
