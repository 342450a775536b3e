"""The yarn of every end and pick of a planned cloth."""

from __future__ import annotations

import tomllib
from pathlib import Path

from clothwright.planning import colours_of_cloth, plan, plan_colours, planned_picks, planned_warp
from clothwright.project import read_project

BASKET = Path(__file__).parents[3] / "examples" / "basket-of-balls.toml"


def test_the_threads_are_those_of_the_orders() -> None:
    """Every end of the order in its place, every pick to where the weaving stops, every colour as typed."""
    project = read_project(tomllib.loads(BASKET.read_text("utf-8")))
    planned = plan(project)
    cloth = colours_of_cloth(project, planned)
    order = plan_colours(project, planned_warp(project, planned)).order
    assert cloth.warp == tuple(run.yarn for run in order for _ in range(run.ends))
    assert len(cloth.warp) == 120
    assert set(cloth.weft) == {"sandflat"}
    assert abs(len(cloth.weft) - planned.weft.weave_to_cm * planned.weft.picks_per_cm_on_loom.expected) <= 1
    assert len(cloth.weft) == planned_picks(planned)
    assert cloth.hex_of["dulse"] == "#7a2e3a"
    assert "sandflat" not in cloth.hex_of


def test_without_rules_of_colour_a_cloth_is_of_its_first_yarns() -> None:
    """The example without its colours: one warp yarn, one weft yarn, as many ends as planned."""
    project = read_project(tomllib.loads(BASKET.read_text("utf-8")))
    plain = project.model_copy(update={"colours": None})
    planned = plan(plain)
    cloth = colours_of_cloth(plain, planned)
    assert set(cloth.warp) == {"marram"}
    assert len(cloth.warp) == planned.warp.ends
