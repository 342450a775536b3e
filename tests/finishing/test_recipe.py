"""The recipe is that of the sample's treatment, and no step is warmer, or watched less, than its fibre bears."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import Any

import pytest
from finishing.cloths import project

from clothwright.finishing import recipe_of, step_titles
from clothwright.project import read_project

TABLE: dict[str, Any] = tomllib.loads(
    resources.files("clothwright.finishing").joinpath("recipes.toml").read_text(encoding="utf-8")
)
#: The hand-wash sign of care labels: at most 40 °C. ISO 3758, from memory.
HAND_WASH_C = 40
#: Skin is burnt after six hours at 44 °C and after seconds at 60 °C. Moritz and Henriques 1947, from memory.
SCALDS_C = 44


def wool(**more: Any) -> dict[str, Any]:
    return {"yarn": [{"name": "kelp", "fibre": "wool"}], **more}


def sample(finish: str, **more: Any) -> dict[str, Any]:
    return {"name": finish, "finish": finish, "width": {"in_heddle": "24 cm", "finished": "22 cm"}, **more}


@pytest.mark.parametrize("row", TABLE["recipe"], ids=lambda row: row["name"])
def test_gentle_washing_of_wool_and_silk_is_no_warmer_than_the_hand_wash_sign_allows(row: dict[str, Any]) -> None:
    if row["fibre"] in ("wool", "silk", "unknown") and row["finish"] == "gentle":
        assert max(step.get("water_c", 0) for step in row["step"]) <= HAND_WASH_C
    assert all(0 < step.get("water_c", 30) <= 60 for step in row["step"])


@pytest.mark.parametrize("row", [row for row in TABLE["recipe"] if row["fibre"] in ("wool", "unknown")], ids=str)
def test_whatever_may_felt_wool_is_stopped_and_looked_at_every_two_minutes_and_says_when_it_is_enough(
    row: dict[str, Any],
) -> None:
    worked = [step for step in row["step"] if step["key"] in ("wash", "full")]
    assert worked
    assert all(step["look"] <= 2 and step["stop"] for step in worked)


def test_a_step_is_looked_at_each_time_until_its_end() -> None:
    """Worked by hand: four minutes, every minute; twenty, every ten."""
    looks = {step.key: step.looks for step in recipe_of(project()).steps}
    assert looks["wash"] == (1, 2, 3, 4)
    assert looks["soak"] == (10, 20)
    assert looks["dry"] == ()


def test_the_sample_that_was_washed_decides_where_nothing_is_planned() -> None:
    recipe = recipe_of(read_project(wool(sample=[sample("fulled in the tub, brushed")])))
    assert (recipe.finish, recipe.how) == ("fulled in the tub, brushed", "fulled")
    assert "as fulled in the tub, brushed was treated" in recipe.because
    assert {"full", "brush"} <= {step.key for step in recipe.steps}
    assert recipe.asked == ()


def test_a_sample_that_was_not_washed_decides_nothing() -> None:
    unwashed = {"name": "square", "finish": "boiled", "width": {"in_heddle": "24 cm"}}
    recipe = recipe_of(read_project(wool(sample=[unwashed])))
    assert recipe.finish == ""
    assert "no sample says how it was washed" in recipe.asked[0]


def test_samples_finished_unlike_each_other_are_asked_about() -> None:
    recipe = recipe_of(read_project(wool(sample=[sample("hand wash"), sample("machine wash")])))
    assert "which treatment is this cloth to have" in recipe.asked[0]


def test_a_finish_that_no_sample_had_is_asked_about() -> None:
    recipe = recipe_of(read_project(wool(cloth={"finish": "machine wash"}, sample=[sample("hand wash")])))
    assert recipe.how == "machine"
    assert "no sample was (hand wash: hand wash)" in recipe.asked[0]


def test_fibres_together_are_treated_as_the_most_delicate_and_one_only_sampled_is_none_of_them() -> None:
    yarns = [{"name": "a", "fibre": "cotton"}, {"name": "b", "fibre": "wool"}]
    assert recipe_of(read_project({"yarn": yarns})).fibre == "unknown"
    yarns[1]["use"] = "only sampled"
    assert recipe_of(read_project({"yarn": yarns})).fibre == "cotton"


def test_a_recipe_that_is_not_in_the_table_is_the_gentle_one_and_says_so() -> None:
    recipe = recipe_of(read_project({"yarn": [{"name": "a", "fibre": "silk"}], "cloth": {"finish": "machine wash"}}))
    assert recipe.name == "silk or viscose, washed gently"
    assert any("no recipe for silk, machine" in one for one in recipe.asked)


def test_several_colours_are_tested_for_bleeding_before_any_water() -> None:
    two = [{"name": "a", "fibre": "wool", "colour": "#aa1111"}, {"name": "b", "fibre": "wool", "colour": "#eeeeee"}]
    keys = [step.key for step in recipe_of(read_project({"yarn": two})).steps]
    assert keys.index("colour test") < keys.index("soak")
    assert "colour test" not in [step.key for step in recipe_of(project()).steps]


def test_what_was_done_stands_at_its_step_and_what_is_no_step_of_it_is_kept() -> None:
    recipe = recipe_of(project(lambda tree: tree["finishing"]["done"].append({"step": "full", "minutes": 4})))
    (wash,) = [step.done for step in recipe.steps if step.key == "wash"]
    assert [one.minutes for one in wash] == [3]
    assert [one.step for one in recipe.other] == ["full"]


def test_hot_water_is_what_scalds() -> None:
    fulled = recipe_of(read_project(wool(cloth={"finish": "fulled"})))
    assert fulled.hot == any((step.water_c or 0) >= SCALDS_C for step in fulled.steps)
    assert fulled.hot
    assert not recipe_of(project()).hot


def test_every_step_has_one_title_whatever_recipe_it_is_in() -> None:
    steps = [step for row in TABLE["recipe"] for step in row["step"]]
    steps += [*TABLE["always"]["before"], *TABLE["always"]["after"]]
    assert {step["key"] for step in steps} == set(step_titles())
    assert all(step["source"] for step in steps)
