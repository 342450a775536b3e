"""Ways out taken together: only where one alone does not reach, and each what its two parts are."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from weaving.at_looms import tabard

from clothwright.layout import faults
from clothwright.layout.arrangement import Layout, Placed
from clothwright.planning.ways_out import garment_changes
from clothwright.project import read_project
from clothwright.weaving import LoomForecast, forecast, standing
from clothwright.weaving.rest import MOST_LIGHTER


def with_left(grams: int) -> dict[str, Any]:
    """The tabard with so much weft at 120 of 226 cm."""
    tree = tabard(5)
    tree["log"][-1]["weft_left"]["eelgrass"] = f"{grams} g"
    return tree


@cache
def told(grams: int) -> LoomForecast:
    return forecast(read_project(with_left(grams)))


def taken_together(one: LoomForecast) -> list[str]:
    return [way.what for way in one.ways_out if way.what.startswith("Beat lighter, and") or ", and smaller" in way.what]


def test_where_one_way_reaches_with_this_yarn_none_are_taken_together() -> None:
    assert any(way.chance_enough >= 0.95 and not way.another_yarn for way in told(52).ways_out if way.chance_enough)
    assert taken_together(told(52)) == []


@pytest.mark.parametrize("grams", [48, 45, 42])
def test_what_is_taken_together_reaches_where_no_part_of_it_does(grams: int) -> None:
    one = told(grams)
    alone = {way.what: way for way in one.ways_out}
    together = taken_together(one)
    assert together
    for what in together:
        way = alone[what]
        assert way.chance_enough is not None
        assert way.chance_enough >= one.trust
        assert way.spare_g > alone["Beat lighter"].spare_g
        if not way.another_yarn:
            assert way.spare_g > alone["Cut what does not show from another cloth"].spare_g
    assert all(
        (way.chance_enough or 0) < one.trust
        for way in one.ways_out
        if way.what not in together and not way.another_yarn
    )


def test_the_beat_is_no_lighter_than_serves_and_never_by_more_than_a_tenth() -> None:
    """Less short is less lighter; by hand from what is printed: the share is whole per cents from 2 to 10."""
    shares = []
    for grams in (48, 45):
        what = "Beat lighter, and cut what does not show from another cloth"
        way = next(one for one in told(grams).ways_out if one.what == what)
        shares.append(int(way.change.split("%")[0]))
    assert 2 <= shares[0] < shares[1] <= MOST_LIGHTER * 100


def test_two_changes_of_the_garment_are_one_layout_that_the_judge_finds_no_fault_with() -> None:
    one = next(way for way in told(42).ways_out if ", and smaller seam allowances" in way.what)
    assert one.layout is not None
    assert one.other_cloth == ("front facing",)
    keys = ("piece", "copy", "x_cm", "y_cm", "rotation_deg", "mirrored")
    placed = tuple(Placed(*(row[key] for key in keys)) for row in one.layout["placed"])
    assert "front facing" not in {row.piece for row in placed}
    stands = standing(read_project(with_left(42)))
    assert stands.warped is not None
    assert stands.warped.job.garment is not None
    changed = {what: garment for what, _, garment in garment_changes(stands.warped.job.garment)}
    without_facing = changed["Cut what does not show from another cloth"]
    both = {what: garment for what, _, garment in garment_changes(without_facing)}["Smaller seam allowances"]
    layout = Layout(one.layout["width_cm"], one.layout["length_cm"], one.layout["used_share"], placed)
    assert not faults(both.copies, layout)
    assert faults(without_facing.copies, layout)


def test_nothing_reaches_where_far_too_little_is_left() -> None:
    assert taken_together(told(34)) == []
