"""Samples that do not agree are questioned in one sentence that names both."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from planning.asking import planned
from planning.sampled import USUAL, told, tree


def other(finished: str = "21.0 cm", **more: Any) -> dict[str, Any]:
    one = deepcopy(USUAL) | {"name": "ebb square"} | more
    return one | {"width": {"in_heddle": "24.0 cm", "finished": finished}}


def test_two_samples_that_agree_are_not_questioned() -> None:
    assert told(USUAL, other("21.4 cm")).conflicts == ()


def test_two_alike_that_differ_are_questioned_by_name_with_what_differs() -> None:
    (one,) = told(USUAL, other("18.6 cm")).conflicts
    assert {one.one, one.other} == {"tide square", "ebb square"}
    for words in (
        "tide square",
        "ebb square",
        "width finished over in the heddle",
        "87.5 %",
        "77.5 %",
        "Both are kept",
    ):
        assert words in one.says
    assert one.spreads > 2.576


@pytest.mark.parametrize(
    "more",
    [{"finish": "fulled hot"}, {"heddle": "40/10 cm"}, {"structure": "twill 2/2"}],
    ids=["finish", "sett", "structure"],
)
def test_samples_that_are_not_alike_may_differ(more: dict[str, Any]) -> None:
    assert told(USUAL, other("18.6 cm", **more)).conflicts == ()


def test_a_recipe_written_with_other_commas_is_the_same_recipe() -> None:
    assert told(
        {**USUAL, "finish": "Hand wash, dried flat"}, other("18.6 cm", finish="hand wash  dried flat")
    ).conflicts


def test_a_card_loom_may_differ_further() -> None:
    loom, card = (told(USUAL, other("19.2 cm", woven_on=on)).conflicts for on in ("loom", "card loom"))
    assert loom
    assert not card


def test_the_plan_asks_too_and_keeps_both() -> None:
    plan = planned(tree(USUAL, other("18.6 cm")))
    assert any("tide square and ebb square" in note for note in plan.notes)
    assert [one.sample for one in plan.width_forecasts] == ["tide square", "ebb square"]
