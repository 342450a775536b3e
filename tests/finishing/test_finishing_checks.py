"""Checks come with what the garment asks for, are ticked or put away with a reason, and cautions go with them."""

from __future__ import annotations

from typing import Any

import pytest
from finishing.cloths import found

from clothwright.finishing import STAGES, Check, check_keys


def checks(change: Any = lambda tree: tree) -> dict[str, Check]:
    return {one.key: one for one in found(change).checks}


def cotton(tree: dict[str, Any], grams: int) -> None:
    tree["yarn"][0]["fibre"] = "cotton"
    tree["off_loom"][2]["weight"] = f"{grams} g"


def test_they_stand_in_the_order_of_the_work() -> None:
    order = [STAGES.index(one.stage) for one in found().checks]
    assert order == sorted(order)
    assert set(order) == set(range(len(STAGES)))


def test_a_left_and_a_right_are_asked_for_only_where_pairs_are_cut() -> None:
    def alone(tree: dict[str, Any]) -> None:
        for piece in tree["pattern"]["piece"]:
            piece.pop("pair", None)

    assert "left and right" in checks()
    assert "left and right" not in checks(alone)


def test_panels_are_measured_against_each_other_only_where_pieces_are_joined() -> None:
    assert "same length" not in checks()
    join = [{"piece": "back", "at": "centre"}]
    assert {"same length", "even feed"} <= set(checks(lambda tree: tree["pattern"].update(join=join)))


def test_stripes_are_asked_to_meet_only_where_there_are_any() -> None:
    stripes = {"stripes": [{"repeat": "8 cm"}]}
    assert "stripes meet" not in checks()
    assert "stripes meet" in checks(lambda tree: tree.update(layout=stripes))


def test_open_cloth_is_stabilised_before_it_is_cut() -> None:
    """15 wraps an inch are 5.9 a cm: 3 ends a cm is about half of them, sewing cloth; 2 a cm is a third, and open."""
    assert "stabilise edges" not in checks()
    open_sett = {"heddle": "20/10 cm", "finish": "hand wash, dried flat"}

    def opener(tree: dict[str, Any]) -> None:
        tree["cloth"], tree["loom"]["heddles"] = open_sett, ["20/10 cm"]

    assert "stabilise edges" in checks(opener)


@pytest.mark.parametrize(("grams", "burns"), [(70, True), (80, False)])
def test_light_plant_fibre_is_told_to_burn(grams: int, burns: bool) -> None:
    """44.07 by 188 cm is 0.8285 m²: 70 g are 84.5 and 80 g are 96.6 g/m², about the 88 g/m² (2.6 oz/yd²) told of US rules."""
    assert ("fire" in checks(lambda tree: cotton(tree, grams))) is burns


def test_brushed_cotton_is_told_to_burn_whatever_it_weighs_and_wool_is_not() -> None:
    def brushed(tree: dict[str, Any]) -> None:
        cotton(tree, 200)
        tree["finishing"]["finish"] = "hand wash, then brushed"

    assert "burns quickly" in checks(brushed)["fire"].caution
    assert "fire" not in checks(lambda tree: tree["off_loom"][2].update(weight="60 g"))


def test_a_check_that_is_ticked_tells_its_day_and_one_put_away_its_reason() -> None:
    made = checks()
    assert (made["dry and pressed"].ticked, made["dry and pressed"].day) == (True, "2026-02-26")
    assert (made["cords"].ticked, made["cords"].settled, made["cords"].not_needed) == (False, True, "for a grown-up")
    assert not made["grain"].settled


def test_a_check_that_is_ticked_is_told_even_where_nothing_asks_for_it_now() -> None:
    assert checks(lambda tree: tree["checked"].append({"check": "stripes meet"}))["stripes meet"].ticked


def test_a_check_nobody_knows_is_told_and_kept() -> None:
    assert any("“starch”" in one for one in found(lambda tree: tree["checked"].append({"check": "starch"})).asked)
    assert "starch" not in check_keys()


def test_no_caution_blocks_and_each_defers_where_rules_differ() -> None:
    told = found(lambda tree: cotton(tree, 70))
    legal = [one.caution for one in told.checks if one.key in ("fire", "cords")]
    assert all("Rules differ by country" in one and "local authority or a professional" in one for one in legal)
    assert told.on_cloth is not None


def test_fulling_and_machine_washing_bring_their_cautions() -> None:
    def finished(how: str) -> str:
        return " ".join(found(lambda tree: tree["finishing"].update(finish=how)).cautions)

    assert "scald" in finished("fulled hard")
    assert "Stay beside the machine" in finished("machine wash, warm")
    assert "Stay beside" not in finished("hand wash, dried flat")
    assert "Wool felts" in finished("hand wash, dried flat")
