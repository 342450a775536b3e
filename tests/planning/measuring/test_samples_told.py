"""Everything the samples of a project tell."""

from __future__ import annotations

import json
from copy import deepcopy

import pytest
from planning.asking import planned
from planning.sampled import USUAL, YARN, told, tree

from clothwright.planning import tell_samples
from clothwright.project import ProblemsFound, read_project


def test_a_washed_square_narrows_the_forecast_by_at_least_two_fifths() -> None:
    narrows = told(USUAL).samples[0].narrows
    assert narrows["finished_width"] >= 0.40
    assert narrows["finished_length"] >= 0.40
    assert 0 < narrows["weft"] < 1


def test_the_width_is_told_two_ways_and_fused_as_in_the_plan() -> None:
    given = tree(USUAL)
    one = told(USUAL).samples[0].width_forecast
    plan = planned(given)
    assert one is not None
    assert plan.width_forecasts == (one,)
    assert one.fused_cm == plan.cloth.finished_width_cm
    assert plan.as_json()["width_forecasts"][0]["same_share_cm"]["expected"] == pytest.approx(
        plan.warp.width_in_heddle_cm * 21 / 24
    )
    steps = {line.step: line for line in plan.working}
    assert steps["Finished width at the same share"].value == pytest.approx(one.same_share_cm.expected, abs=1e-3)
    assert steps["Finished width at the same loss"].value == pytest.approx(plan.warp.width_in_heddle_cm - 3.0, abs=1e-3)


def test_neighbours_are_the_nearest_heddles_owned_to_either_side() -> None:
    one = told(USUAL).samples[0]
    assert [(each.way, each.heddle) for each in one.neighbours] == [("more open", "20/10 cm"), ("closer", "40/10 cm")]
    assert one.owned
    low, high = (each.leads_to.g_per_m2.expected for each in one.neighbours if each.leads_to.g_per_m2)
    assert low < high


def test_at_one_end_of_the_heddles_owned_there_is_one_neighbour() -> None:
    one = told(USUAL, loom={"heddles": ["30/10 cm", "40/10 cm"]}).samples[0]
    assert [each.way for each in one.neighbours] == ["closer"]


def test_a_project_without_a_cloth_wanted_still_tells_its_samples() -> None:
    answer = told(USUAL, want=None)
    assert answer.samples[0].width_forecast is None
    assert "what is to be woven?" in answer.notes[0]
    assert answer.samples[0].sett.advice is not None


def test_yarn_need_not_be_in_hand_to_tell_what_a_sample_of_it_was() -> None:
    yarn = {key: value for key, value in YARN.items() if key != "balls"}
    assert told(USUAL, yarn=[yarn], want=None).samples[0].narrows["finished_width"] > 0.4


def test_without_any_heddle_it_is_asked_for() -> None:
    sample = {key: value for key, value in USUAL.items() if key != "heddle"}
    with pytest.raises(ProblemsFound, match="which heddle"):
        told(sample, loom={}, cloth={})


def test_a_project_without_samples_says_so() -> None:
    with pytest.raises(ProblemsFound, match="no sample is given yet"):
        told()


def test_parts_have_their_own_recipe_and_ratios() -> None:
    one = deepcopy(USUAL) | {
        "parts": [
            {"name": "gentle", "after": {"width": "21.6 cm"}},
            {
                "name": "hot",
                "finish": "fulled hot",
                "before": {"length": "14 cm"},
                "after": {"width": "18 cm", "length": "11.9 cm"},
            },
        ]
    }
    gentle, hot = told(one).samples[0].parts
    assert [round(each.ratio, 3) for each in gentle.ratios] == [0.9]
    assert {(each.side, round(each.ratio, 3)) for each in hot.ratios} == {("width", 0.75), ("length", 0.85)}
    assert hot.finish == "fulled hot"


def test_a_finished_sample_that_was_weighed_has_its_mass() -> None:
    """11.3 g over 21.0 × 26.9 cm is 200 g/m² (arithmetic)."""
    one = told({**USUAL, "weight": {"finished": "11.3 g"}}).samples[0]
    assert one.g_per_m2 == pytest.approx(11.3 / (21.0 * 26.9) * 1e4)


def test_weft_weighed_tells_of_the_weft_through_its_grist() -> None:
    weighed = told({**USUAL, "weft_used": {"weight": "7.2 g"}}).samples[0]
    assert weighed.narrows["weft"] > told(USUAL).samples[0].narrows["weft"] + 0.02


def test_the_answer_is_plain_data() -> None:
    answer = told(USUAL, {**USUAL, "name": "other", "width": {"in_heddle": "24 cm", "finished": "18 cm"}}).as_json()
    again = json.loads(json.dumps(answer))
    assert again["samples"][0]["sett"]["advice"] in ("closer", "right", "more open")
    assert again["samples"][0]["neighbours"][0]["leads_to"]["ends"] > 0
    assert again["conflicts"][0]["says"].count("other") >= 1


def test_a_yarn_only_sampled_is_no_yarn_of_the_cloth_and_needs_no_balls() -> None:
    kelp = {"name": "kelp", "fibre": "cotton", "use": "only sampled", "grist": "8/2 cotton"}
    sample = {**USUAL, "name": "kelp square", "warp": "kelp", "weft": "kelp", "weft_used": {"weight": "7 g"}}
    with_it, without = planned(tree(USUAL, sample, yarn=[YARN, kelp])), planned(tree(USUAL))
    assert [one.name for one in with_it.yarns] == ["eelgrass"]
    assert with_it.cloth.finished_width_cm.expected == pytest.approx(without.cloth.finished_width_cm.expected, rel=0.03)
    told_both = told(USUAL, sample, yarn=[YARN, kelp])
    assert [one.name for one in told_both.samples] == ["tide square", "kelp square"]


def test_drawings_are_read_for_tracings() -> None:
    given = read_project(tree({**USUAL, "traced": {"drawing": "square.svg"}}))
    with pytest.raises(ProblemsFound, match=r"square\.svg"):
        tell_samples(given)
