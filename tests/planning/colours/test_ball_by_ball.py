"""A plan with rules of colours has a verdict for every ball, by the same drawn cloths."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from clothwright.planning import Plan, Verdict, plan
from clothwright.project import read_project

BASKET = Path(__file__).parents[3] / "examples" / "basket-of-balls.toml"


def planned(**colours: Any) -> Plan:
    """The basket of balls, planned with these rules of colours beside its own."""
    tree = tomllib.loads(BASKET.read_text("utf-8"))
    tree["colours"] |= colours
    return plan(read_project(tree))


def test_a_ball_whose_every_turn_is_used_is_too_close_though_the_yarn_lasts_in_all() -> None:
    """Lichen is used up, four pairs of 26.4 m: 6.6 m a pair against 6.2, known to some per cent; sandflat is plenty."""
    found = planned()
    assert found.by_ball is not None
    by_name = {line.yarn: line for line in found.by_ball.balls}
    assert by_name["lichen"].warp_ends == 8
    assert by_name["lichen"].warp_m == pytest.approx(24.8)
    assert by_name["sandflat"].weft_picks > 0
    assert by_name["sandflat"].verdict is Verdict.ENOUGH
    assert sum(line.warp_ends for line in found.by_ball.balls) == 120
    assert found.by_ball.chance_all_last <= min(line.chance_lasts for line in found.by_ball.balls)


def test_only_what_is_sure_makes_every_ball_enough() -> None:
    """Balls counted at the chance asked each last at it; all of them together may be less sure."""
    found = planned(balls_last="sure")
    assert found.by_ball is not None
    assert all(line.verdict is Verdict.ENOUGH for line in found.by_ball.balls)


def test_every_ball_is_added_up_again() -> None:
    """What it holds, less warp and weft, is what is left."""
    found = planned()
    assert found.by_ball is not None
    for line in found.by_ball.balls:
        assert line.left_m == pytest.approx(line.have_m.expected - line.warp_m - line.weft_m, abs=1e-6)


def test_colours_that_clash_are_a_note_and_stop_no_plan() -> None:
    """200 ends of 91 pairs."""
    found = planned(ends=200)
    assert found.by_ball is None
    assert any("The order of colours is not settled" in note and "too few" in note for note in found.notes)


def test_a_plan_without_colours_has_no_verdict_by_ball() -> None:
    tree = tomllib.loads(BASKET.read_text("utf-8"))
    del tree["colours"]
    assert plan(read_project(tree)).by_ball is None
