"""What may come from another cloth, and what that saves, is a plan made anew."""

from __future__ import annotations

from typing import Any

import pytest
from pattern.drawn import page
from planning.asking import changed, planned, tree

from clothwright.planning import OtherCloth, propose_joins, written
from clothwright.planning.choices.other_cloth import what_may_move
from clothwright.project import read_project

ROWS = tree("rows-of-rectangles")
SMOCK = tree("wrack-smock")


def moved(given: dict[str, Any], drawings: dict[str, bytes] | None = None, **options: Any) -> OtherCloth:
    return what_may_move(read_project(given), drawings=drawings or {}, **options)


def yarn(given: dict[str, Any], drawings: dict[str, bytes] | None = None) -> float:
    made = planned(given, drawings=drawings or {})
    return made.warp.yarn_m.expected + made.weft.yarn_m.expected


def test_what_moving_a_piece_saves_is_the_difference_of_two_plans() -> None:
    pieces = ROWS["pattern"]["piece"]
    tall = changed(ROWS, pattern__piece=[*pieces, {"name": "pocket", "width": "30 cm", "length": "20 cm", "cut": 2}])
    (one,) = [one for one in moved(tall).movable if one.moved == ("pocket",)]
    assert one.guess
    assert one.saves_m == pytest.approx(yarn(tall) - yarn(ROWS), abs=1e-6)
    assert one.saves_m > 50
    assert one.saves_g == pytest.approx(one.saves_m / 3.1, rel=0.01)
    without = changed(tall, pattern__piece__4__material="lining")
    assert one.saves_m == pytest.approx(yarn(tall) - yarn(without), abs=1e-6)


def test_a_facing_that_fills_a_gap_saves_nothing() -> None:
    """The backs are as wide as cloth of 24 cm, and a facing (8) lies beside half a front (14.5), in a row that is there anyway."""
    joins = propose_joins(read_project(ROWS), cloth_width_cm=24)
    (facing,) = [one for one in moved(ROWS, joins=joins).movable if one.moved == ("facing",)]
    assert facing.saves_m == pytest.approx(0, abs=0.5)


def test_the_other_cloth_is_as_wide_as_asked_and_as_long_as_a_simple_layout_takes() -> None:
    (facing,) = moved(ROWS).movable
    assert facing.needs is not None
    assert (facing.needs.width_cm, facing.needs.length_cm) == (90, pytest.approx(64))
    (narrow,) = moved(ROWS, other_width_cm=10).movable
    assert narrow.needs is not None
    assert narrow.needs.length_cm == pytest.approx(128)
    (none,) = moved(ROWS, other_width_cm=5).movable
    assert none.needs is None


def test_a_garment_that_must_be_joined_is_reckoned_as_joined_in_the_best_way() -> None:
    answer = moved(SMOCK)
    assert {one.moved for one in answer.movable} == {("pocket",), ("neck facing",)}
    assert answer.together is not None
    assert set(answer.together.moved) == {"pocket", "neck facing"}
    assert answer.together.saves_m >= max(one.saves_m for one in answer.movable)


def test_what_comes_from_another_cloth_already_is_told_and_not_moved_again() -> None:
    answer = moved(changed(SMOCK, pattern__piece__4__material="sailcloth"))
    assert [(name, pieces) for name, pieces, _ in answer.already] == [("sailcloth", ("pocket",))]
    assert {one.moved for one in answer.movable} == {("neck facing",)}


HEMMED = page(
    '<g><title>skirt: cut 2, grain y, stitch</title><path d="M5,5 H35 V65 H5 Z"/>'
    '<polyline points="5,65 35,65"><title>hem 8 cm</title></polyline></g>'
)


def test_a_hem_can_be_faced_and_the_join_that_does_so_saves_what_is_told() -> None:
    given = changed(ROWS, pattern={"file": "skirt.svg", "seam_allowance": "15 mm"})
    drawings = {"skirt.svg": HEMMED}
    (hem,) = moved(given, drawings).movable
    assert not hem.guess
    assert hem.name == "hem of skirt"
    faced = changed(given, pattern__join=[written(part) for part in hem.hems])
    assert hem.saves_m == pytest.approx(yarn(given, drawings) - yarn(faced, drawings), abs=1e-6)
    assert hem.saves_m > 0
    assert hem.needs is not None
    assert hem.needs.length_cm == pytest.approx(8 + 1.5)
