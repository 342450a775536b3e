"""Cloth in hand kept in a project is the cloth typed in a line, and wrong cloth is one sentence at its place."""

from __future__ import annotations

import pytest

from clothwright.measure import QuantityError
from clothwright.project import ProblemsFound, read_project
from clothwright.project.parts.remnants import cloth_said, read_cloth

LINE = "wrack blue: 48 cm x 75 in; knot at 84 cm; hole at 120 cm, 10 cm from the left"


def test_a_cloth_kept_is_the_cloth_typed() -> None:
    project = read_project({"clothwright": 1, "cloth_in_hand": [cloth_said(LINE)]})
    assert [part.cloth for part in project.cloth_in_hand] == [read_cloth(LINE)]
    assert project.cloth_in_hand[0].line == LINE
    assert project.cloth_in_hand[0].cloth.length_cm == pytest.approx(75 * 2.54)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": "a"}, "width"),
        ({"name": "a", "width": "48", "length": "2 m"}, "48 what"),
        ({"name": "a", "width": "48 cm", "length": "2 m", "flaws": ["knot"]}, "not a flaw at a place"),
        ({"name": "a", "width": "48 cm", "length": "2 m", "flaws": ["knot at 3 m"]}, "not on a cloth of 48 by 200 cm"),
        ({"name": "a: b", "width": "48 cm", "length": "2 m"}, "name"),
    ],
)
def test_a_wrong_cloth_is_refused_at_its_place(wrong: dict[str, object], said: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_project({"clothwright": 1, "cloth_in_hand": [wrong]})
    assert said in str(found.value)
    assert found.value.problems[0].path[:2] == ("cloth_in_hand", 0)


@pytest.mark.parametrize("kind", ["cloth_in_hand", "other_loom"])
def test_two_of_one_name_are_refused(kind: str) -> None:
    one = {"name": "kelp", "width": "48 cm", "length": "2 m"} if kind == "cloth_in_hand" else {"name": "kelp"}
    with pytest.raises(ProblemsFound, match="are called kelp; give each its own name"):
        read_project({"clothwright": 1, kind: [one, one]})


@pytest.mark.parametrize("text", ["", "wide", "48 x 200", "0 cm x 200 cm"])
def test_what_is_no_cloth_says_how_one_is_written(text: str) -> None:
    with pytest.raises(QuantityError):
        read_cloth(text)
