"""Loom waste is learned: her figure, the warps seen on this loom, and those on her others."""

from __future__ import annotations

import math

import numpy as np
import pytest

from clothwright.evidence import WasteSeen, known_as, table, waste_believed
from clothwright.evidence.waste import between_warps

PARTS = table()["waste"]["parts"]
USUAL = table()["waste"]["rigid_heddle"]
TYPED = (math.log(55.0), 0.06)


def seen(*cms: float, loom: str = "window loom", kind: str = "rigid heddle") -> list[WasteSeen]:
    return [WasteSeen(loom, kind, cm, 0.02, f"waste of warp {number}") for number, cm in enumerate(cms)]


def test_a_loom_nobody_spoke_of_takes_what_is_usual_for_its_kind() -> None:
    """55 cm with a log spread of 0.25, whatever parts it is made of. *Source*: the table, with its public reports."""
    found = waste_believed("window loom", "rigid heddle", [])
    assert math.exp(found.mean) == pytest.approx(USUAL["median"])
    assert found.sd == pytest.approx(USUAL["log_sd"], abs=0.003)
    assert math.exp(waste_believed("big loom", "shaft", []).mean) == pytest.approx(80)


def test_her_figure_alone_is_taken_with_its_spread() -> None:
    found = waste_believed("window loom", "rigid heddle", [], TYPED)
    assert (found.mean, found.sd, found.on_this_loom) == (*TYPED, 0)


def test_warps_seen_draw_the_figure_to_themselves_and_sharpen_it() -> None:
    """Typed 55 cm, three warps of 62 to 64: near their mean, and surer than the figure alone."""
    one, three = (waste_believed("window loom", "rigid heddle", seen(*cms), TYPED) for cms in ((63,), (63, 62, 64)))
    assert 55 < math.exp(one.mean) < math.exp(three.mean) < 63
    assert three.sd < one.sd < TYPED[1]
    assert three.on_this_loom == 3


def test_belief_is_the_conditional_normal_of_the_three_parts() -> None:
    """Two looms, three warps: by numpy, from the covariance written out by hand. *Source*: any text on normal models."""
    warps = [*seen(60.0, 66.0), *seen(48.0, loom="porch loom")]
    found = waste_believed("window loom", "rigid heddle", warps)
    between = between_warps(warps)
    same = np.array([[1, 1, 0, 1], [1, 1, 0, 1], [0, 0, 1, 0], [1, 1, 0, 1]])
    whole = PARTS["weaver"] ** 2 + PARTS["loom"] ** 2 * same + np.diag([between**2 + 0.02**2] * 3 + [between**2])
    off = np.log([60.0, 66.0, 48.0]) - math.log(USUAL["median"])
    pull = np.linalg.solve(whole[:3, :3], whole[:3, 3])
    assert found.mean == pytest.approx(math.log(USUAL["median"]) + pull @ off, abs=1e-9)
    assert found.sd == pytest.approx(math.sqrt(whole[3, 3] - pull @ whole[:3, 3]), abs=1e-9)


def test_another_of_her_looms_tells_of_her_habit_and_another_kind_of_loom_nothing() -> None:
    other = waste_believed("window loom", "rigid heddle", seen(80, 82, 81, loom="porch loom"))
    assert 55 < math.exp(other.mean) < 80
    assert (other.on_this_loom, other.on_others) == (0, 3)
    shaft = waste_believed("window loom", "rigid heddle", seen(120, kind="shaft"))
    assert math.exp(shaft.mean) == pytest.approx(55)


def test_warps_that_differ_much_widen_the_spread_from_warp_to_warp() -> None:
    """The table's 4 % counts as four warps. By hand: two warps of 40 and 60 add one free square of ln(1.5)² ÷ 2."""
    squares = 4 * 0.04**2 + math.log(1.5) ** 2 / 2
    assert between_warps(seen(40, 60)) == pytest.approx(math.sqrt(squares / 5))
    assert between_warps([]) == pytest.approx(0.04)
    steady, wild = (waste_believed("window loom", "rigid heddle", seen(*cms)) for cms in ((50, 50, 50), (40, 50, 62)))
    assert wild.sd > 1.5 * steady.sd


def test_a_warp_far_from_the_others_is_asked_about() -> None:
    found = waste_believed("window loom", "rigid heddle", seen(55, 54, 56, 55, 54, 170))
    assert [one.what for one in found.questioned] == ["waste of warp 5"]


def test_a_loom_is_known_by_its_name_whatever_its_capitals_and_by_its_kind_without_one() -> None:
    assert known_as(" Window Loom ", "rigid heddle") == known_as("window loom", "shaft") == "window loom"
    assert known_as("", "shaft") == "shaft"
