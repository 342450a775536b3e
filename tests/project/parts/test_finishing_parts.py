"""What is measured and done off the loom is read as typed, and what cannot be is one sentence."""

from __future__ import annotations

from typing import Any

import pytest

from clothwright.project import ProblemsFound, read_project, read_toml
from clothwright.project.parts.finishing_parts import celsius

FILE = """
[[off_loom]]
state = "rested"
when = 2026-03-13
rested = "a night"
width = { start = "43.6 cm", middle = "44.4 cm", end = '17 1/4 in' }
length = "2.02 m"
weight = "310 g"

[finishing]
[[finishing.done]]
step = "wash"
minutes = 10
water = "100 °F"
how = "by hand"

[[real_cloth.flaw]]
at = "40 cm"
length = "2 cm"
what = "knot"

[[checked]]
check = "press"
day = 2026-03-14
"""


def test_units_may_be_mixed_and_stay_as_typed() -> None:
    project = read_project(read_toml(FILE))
    (measured,) = project.off_loom
    assert [str(one) for one in measured.width.lengths] == ["43.6 cm", "44.4 cm", "17 1/4 in"]
    assert measured.width.lengths[2].cm == pytest.approx(43.815)
    assert project.finishing is not None
    assert project.finishing.done[0].water == "100 °F"
    assert project.checked[0].day == "2026-03-14"


def test_one_width_is_that_of_the_middle() -> None:
    (measured,) = read_project({"off_loom": [{"width": "43.6 cm"}]}).off_loom
    assert measured.width.middle is not None
    assert measured.state == "off the loom"


@pytest.mark.parametrize(("typed", "degrees"), [("0 °C", 0), ("212 °F", 100), ("98.6 F", 37), ("37,5 degrees C", 37.5)])
def test_a_temperature_is_read_in_either_scale(typed: str, degrees: float) -> None:
    """The fixed points of both scales, and 98.6 °F = 37 °C: NIST Special Publication 811, appendix B."""
    assert celsius(typed) == pytest.approx(degrees)


@pytest.mark.parametrize(
    ("tree", "said"),
    [
        ({"off_loom": [{"state": "rested"}]}, "nothing was measured here"),
        ({"off_loom": [{"state": "damp", "length": "2 m"}]}, "off the loom"),
        ({"off_loom": [{"length": "202"}]}, "202 what"),
        ({"finishing": {"done": [{"step": "wash", "water": "warm"}]}}, "write 38 °C or 100 °F"),
        ({"finishing": {"done": [{"step": "wash", "water": "140 °C"}]}}, "between 0 °C"),
        ({"finishing": {"done": [{"minutes": 3}]}}, "left out"),
        ({"real_cloth": {"flaw": [{"at": "4 cm", "length": "2 cm", "from_selvedge": "1 cm"}]}}, "how wide"),
        ({"checked": [{"check": "press", "day": "yesterday"}]}, "year-month-day"),
    ],
)
def test_what_cannot_be_is_one_sentence(tree: dict[str, Any], said: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_project(tree)
    (problem,) = found.value.problems
    assert said in problem.sentence
