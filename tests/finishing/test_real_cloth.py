"""The cloth that there is: usable sizes by hand, flaws from log, cloth and plan each once, narrower places."""

from __future__ import annotations

from typing import Any

import pytest
from finishing.cloths import project

from clothwright.finishing import RealCloth, off_loom, real_cloth
from clothwright.finishing.real_cloth import narrower_places
from clothwright.project import ProblemsFound


def cloth(change: Any = lambda tree: tree) -> RealCloth:
    asked = project(change)
    return real_cloth(asked, off_loom(asked, drawings={}))


def test_the_least_width_less_both_trims_can_be_used() -> None:
    """43.6 − 2 × 0.5 = 42.6 cm wide; 188 − 2 × 1.5 = 185 cm long."""
    found = cloth(lambda tree: tree["real_cloth"].update(selvedge_trim="5 mm", squaring="1.5 cm"))
    assert found.usable_width_cm == pytest.approx(42.6)
    assert found.usable_length_cm == pytest.approx(185)


def test_trims_left_out_are_those_of_the_pattern() -> None:
    found = cloth(lambda tree: tree["pattern"].update(selvedge_trim="1 cm"))
    assert (found.trim_cm, found.squaring_cm) == (1.0, 2.0)


def test_a_knot_of_the_log_lies_where_this_cloth_shrank_it_to() -> None:
    """214 cm became 188: 58 cm is at 50.95, less 1. End 40 of 146 is 12.07 of 44.07 cm from the left, 32.0 from the right, less 1."""
    knot = next(one.flaw for one in cloth().flaws if one.called)
    assert knot.x_cm == pytest.approx(49.95, abs=0.06)
    assert knot.y_cm == pytest.approx(31.0, abs=0.06)


def test_floats_that_were_mended_are_no_flaw() -> None:
    assert {one.flaw.what for one in cloth().flaws} == {"knot", "stain"}


def test_a_flaw_found_near_where_the_log_has_it_is_that_one() -> None:
    def found_too(tree: dict[str, Any]) -> None:
        knot = {"at": "53 cm", "length": "1 cm", "from_selvedge": "30 cm", "width": "1 cm", "what": "the knot"}
        tree["real_cloth"]["flaw"].append(knot)

    assert sorted(one.flaw.what for one in cloth(found_too).flaws) == ["stain", "the knot"]


def test_a_flaw_found_elsewhere_is_another() -> None:
    def elsewhere(tree: dict[str, Any]) -> None:
        tree["real_cloth"]["flaw"].append({"at": "70 cm", "length": "1 cm", "what": "hole"})

    assert sorted(one.flaw.what for one in cloth(elsewhere).flaws) == ["hole", "knot", "stain"]


def test_a_flaw_of_the_log_may_be_let_be() -> None:
    assert [one.flaw.what for one in cloth(lambda tree: tree["real_cloth"].update(let_be=["knot at 58 cm"])).flaws] == [
        "stain"
    ]


def test_flaws_of_the_planned_layout_count_too() -> None:
    def planned(tree: dict[str, Any]) -> None:
        tree["layout"] = {"flaw": [{"at": "100 cm", "length": "2 cm", "what": "thin place"}]}

    assert "thin place" in {one.flaw.what for one in cloth(planned).flaws}


def test_a_log_that_counts_from_the_sample_is_brought_back_to_the_cloth() -> None:
    """With 14 cm of sample first, 200 cm of cloth were woven: (58 − 14) × 188 / 200 = 41.36, less 1."""

    def sampled(tree: dict[str, Any]) -> None:
        tree["cloth"]["on_warp_sample"] = "14 cm"
        tree["on_loom"]["counted_from"] = "sample"

    assert next(one.flaw for one in cloth(sampled).flaws if one.called).x_cm == pytest.approx(40.36, abs=0.06)


def test_before_it_is_measured_the_cloth_is_what_is_expected() -> None:
    found = cloth(lambda tree: tree["off_loom"].pop())
    assert found.expected
    assert found.length_cm == pytest.approx(188, rel=0.02)


def test_nothing_measured_is_asked_for_in_one_sentence() -> None:
    with pytest.raises(ProblemsFound, match="how large is the cloth"):
        cloth(lambda tree: tree.pop("off_loom"))


@pytest.mark.parametrize(("field", "said"), [("selvedge_trim", "leave nothing"), ("squaring", "leaves nothing")])
def test_trims_that_leave_nothing_are_refused_at_their_field(field: str, said: str) -> None:
    with pytest.raises(ProblemsFound, match=said) as refused:
        cloth(lambda tree: tree["real_cloth"].update({field: "1 m"}))
    assert refused.value.problems[0].path == ("real_cloth", field)


def test_places_narrower_than_the_widest_reach_from_the_far_selvedge_to_the_width_there() -> None:
    """Widths 43.6, 44.4, 44.2 evenly between: at a quarter of the way 44.0, so its strip leaves no more than that."""
    found = cloth()
    places = narrower_places(found)
    assert all(one.y_cm + (one.width_cm or 0) == pytest.approx(44.4) for one in places)
    assert places[0].y_cm == pytest.approx(43.6)
    quarter = next(one for one in places if one.x_cm <= 47 < one.x_cm + one.length_cm)
    assert 43.9 <= quarter.y_cm <= 44.0
    assert narrower_places(cloth(lambda tree: tree["off_loom"][2].update(width="44 cm"))) == ()
