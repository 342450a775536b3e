"""A project from a record keeps what was made and not what happened to it once, and says what it changed."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from project.parts.test_record_parts import STOLE

from clothwright.project import read_project
from clothwright.project.record.used_again import Again, used_again

TREE: dict[str, Any] = deepcopy(STOLE) | {
    "want": {"width": "27 cm", "length": "165 cm"},
    "cloth": {"on_warp_sample": "20 cm", "finish": "hand wash"},
    "log": [{"key": "a", "woven": "30 cm"}],
    "on_loom": {"to_weave": "195 cm"},
    "layout": {"flaw": [{"along": "20 cm"}]},
}
TREE["record"] |= {
    "number": "2026-007",
    "finish": "machine wash, 30 °C",
    "left": [{"yarn": "sandbar", "weight": "31 g"}],
}


def test_what_happened_once_is_left_out_and_the_old_tree_stays() -> None:
    before = deepcopy(TREE)
    new = used_again(TREE, Again()).tree
    assert before == TREE
    assert not {"record", "log", "on_loom", "layout"} & new.keys()
    assert new["name"] == "Sandbar stole, again"
    assert read_project(new).from_record == "2026-007"


def test_heddle_and_finish_are_those_really_used_and_no_sample_comes_first() -> None:
    started = used_again(TREE, Again())
    assert started.tree["cloth"] == {"finish": "machine wash, 30 °C"}
    assert any("machine wash" in one for one in started.told)
    assert any("No sample is woven first" in one for one in started.told)


@pytest.mark.parametrize(
    ("stock", "balls"), [("as last time", ["200 g"]), ("what was left", [{"net": "31 g"}]), ("not yet", None)]
)
def test_the_yarn_is_as_asked(stock: str, balls: Any) -> None:
    assert used_again(TREE, Again(stock=stock)).tree["yarn"][0].get("balls") == balls


def test_sizes_are_those_asked_and_told() -> None:
    started = used_again(TREE, Again(length="340 cm"))
    assert started.tree["want"] == {"width": "27 cm", "length": "340 cm"}
    assert "Finished length 340 cm; last time 165 cm." in started.told


def test_a_colour_order_goes_where_the_size_differs_and_stays_where_it_does_not() -> None:
    order = [{"yarn": "sandbar", "ends": 90}]
    tree = TREE | {"colours": {"seed": 3, "order": order}}
    assert used_again(tree, Again()).tree["colours"]["order"] == order
    other = used_again(tree, Again(width="30 cm"))
    assert other.tree["colours"] == {"seed": 3}
    assert any("drawn anew" in one for one in other.told)


@pytest.mark.parametrize(
    ("again", "words"),
    [(Again(size="L"), "has no pattern"), (Again(stock="plenty"), "accepted are as last time")],
)
def test_what_does_not_fit_the_project_is_refused(again: Again, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        used_again(TREE, again)


def test_a_garment_of_a_pattern_has_no_width_to_ask_for() -> None:
    tree = {**TREE, "pattern": {"piece": [{"name": "back", "width": "20 cm", "length": "30 cm"}]}}
    del tree["want"]
    with pytest.raises(ValueError, match="cut from a pattern"):
        used_again(tree, Again(width="30 cm"))
