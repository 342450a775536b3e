"""Yarns of one warp by thickness and fibre, and what is said of the odd ones."""

from __future__ import annotations

from typing import Any

import pytest
from planning.colours.test_colour_plan import BALLS, basket, colours_of

from clothwright.planning.colours.thickness_families import Family, odd_yarn_notes, thickness_families
from clothwright.project import read_project
from clothwright.project.domain import yarns
from clothwright.yarn import Lot


def lots(**of: dict[str, Any]) -> tuple[Lot, ...]:
    yarn = [{"name": name, "balls": ["100 g"]} | said for name, said in of.items()]
    return yarns(read_project({"yarn": yarn})).warp


def test_a_basket_of_nearly_equal_yarns_is_one_family_and_nothing_is_said() -> None:
    """3.6 to 4.4 m/g: √(4.4 ÷ 3.6) = 1.106, by hand."""
    answer = colours_of(basket())
    assert not any("thicker" in note for note in answer.notes)


def test_a_yarn_much_thicker_is_named_with_what_to_do() -> None:
    """2.0 m/g beside 4.4: √2.2 = 1.48 times as thick."""
    answer = colours_of(basket(BALLS | {"rope": (60, 2.0)}))
    (note,) = (note for note in answer.notes if "thicker" in note)
    assert note.startswith("rope:")
    assert "Spread its ends" in note


def test_wraps_count_where_every_yarn_has_them() -> None:
    """10 and 12 wraps are a fifth apart, 10 and 13 more; the grist would say otherwise."""
    grist = {"grist": "4 m/g"}
    alike = lots(kelp=grist | {"wraps": "10/in"}, shale={"grist": "9 m/g", "wraps": "12/in"})
    apart = lots(kelp=grist | {"wraps": "10/in"}, shale=grist | {"wraps": "13/in"})
    assert [family.yarns for family in thickness_families(alike)] == [("shale", "kelp")]
    assert len(thickness_families(apart)) == 2


@pytest.mark.parametrize(("fibre", "families"), [("wool", 1), ("linen", 2)])
def test_another_fibre_is_another_family(fibre: str, families: int) -> None:
    found = thickness_families(
        lots(
            kelp={"grist": "4 m/g", "fibre": "wool"},
            dulse={"grist": "4 m/g", "fibre": "wool"},
            shale={"grist": "4 m/g", "fibre": fibre},
        )
    )
    assert len(found) == families
    assert isinstance(found[0], Family)
    assert "kelp" in found[0].yarns


def test_one_yarn_alone_has_nothing_to_be_unlike() -> None:
    assert list(odd_yarn_notes(lots(kelp={"grist": "4 m/g"}))) == []
