"""The separate sums that a leaflet must pass before it is given out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from planning.asking import changed, tree

from clothwright.planning import Leaflet, disagreements, leaflet
from clothwright.project import read_project

VEST = tree("tideline-vest")


def made(**changes: object) -> Leaflet:
    """The vest's leaflet with something changed."""
    return leaflet(read_project(changed(VEST, **changes)), drawings={})


@pytest.mark.parametrize("by_hand", [True, False])
@pytest.mark.parametrize("heddles", [[], ["30/10 cm", "7.5/in", "12/in reed, 1-2"]])
def test_a_leaflet_as_it_is_made_agrees_with_itself(by_hand: bool, heddles: list[str]) -> None:
    """Every row, by sums and at the trust, at heddles of either unit."""
    assert disagreements(made(leaflet__by_hand=by_hand, leaflet__heddles=heddles)) == ()


@pytest.mark.parametrize(
    ("of_row", "of_warp"),
    [
        ({"ends": 141}, {}),
        ({"width_in_heddle_cm": 47.0}, {}),
        ({"warp_length_cm": 200.0}, {}),
        ({"warp_length_cm": 330.0}, {}),
        ({"cloth_width_cm": 60.0}, {}),
        ({}, {"m": 449.0}),
        ({}, {"m": 447.0}),
        ({}, {"grams": 120.0}),
        ({}, {"balls": 2}),
        ({}, {"balls": 4}),
        ({}, {"low_m": 460.0}),
    ],
    ids=str,
)
def test_one_wrong_figure_in_a_row_is_found(of_row: dict[str, float], of_warp: dict[str, float]) -> None:
    """Any figure that a reader could check with those beside it."""
    right = made()
    row = right.rows[0]
    wrong = replace(row, **of_row, warp=replace(row.warp, **of_warp))  # type: ignore[arg-type]
    assert disagreements(replace(right, rows=(wrong, *right.rows[1:])))
