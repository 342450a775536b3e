"""Stripes drawn in finished centimetres become the ends of the planned cloth."""

from __future__ import annotations

from typing import Any

import pytest

from clothwright.planning import ColourPlan, Warped, plan_colours
from clothwright.project import ProblemsFound, read_project

#: 100 ends that finish at 30 cm: 3.333 ends to a finished cm.
WARP = Warped(100, 300.0, 30.0)


def striped(*, grams: int = 100, **colours: Any) -> ColourPlan:
    """The colours of two yarns in stripes of 3 cm and 1 cm."""
    yarn = [{"name": name, "balls": [{"net": f"{grams} g", "grist": "4 m/g"}]} for name in ("kelp", "dulse")]
    stripes = [{"yarn": "kelp", "width": "3 cm"}, {"yarn": "dulse", "width": "1 cm"}]
    return plan_colours(read_project({"yarn": yarn, "colours": {"stripes": stripes} | colours}), WARP)


def test_stripes_become_pairs_and_fill_the_warp() -> None:
    """By hand: 10 and 4 ends, finishing at 3.0 and 1.2 cm; seven repeats of 14 ends, and 2 ends of the eighth."""
    answer = striped()
    assert [(line.ends, round(line.finished_cm, 2)) for line in answer.stripes] == [(10, 3.0), (4, 1.2)]
    assert [(run.yarn, run.ends) for run in answer.order] == [("kelp", 10), ("dulse", 4)] * 7 + [("kelp", 2)]
    assert sum(run.ends for run in answer.order) == 100
    assert not answer.drawn


def test_balanced_stripes_are_alike_from_both_selvedges_or_that_is_said() -> None:
    """Kelp of five pairs in the middle of fifty: half a pair off, which a note says."""
    answer = striped(stripes_lie="first stripe in the middle")
    assert any("do not read the same" in note for note in answer.notes)
    ends = [(run.yarn, run.ends) for run in striped(stripes_lie="whole repeats in the middle").order]
    assert sum(count for _, count in ends) == 100


def test_a_yarn_that_does_not_reach_its_stripes_says_how_many_pairs_it_lacks() -> None:
    """20 g are 80 m, 13 pairs of 6 m; kelp's stripes take 36 pairs and dulse's 14."""
    with pytest.raises(ProblemsFound) as caught:
        striped(grams=20)
    assert [problem.sentence for problem in caught.value.problems] == [
        "kelp is 23 pairs short of its stripes",
        "dulse is 1 pair short of its stripes",
    ]


def test_stripes_of_a_cloth_of_unknown_width_ask_for_it() -> None:
    """Centimetres of what?"""
    project = read_project(
        {
            "yarn": [{"name": "kelp", "balls": ["50 g"], "grist": "4 m/g"}],
            "colours": {"stripes": [{"yarn": "kelp", "width": "3 cm"}]},
        }
    )
    with pytest.raises(ProblemsFound, match="how wide the cloth finishes"):
        plan_colours(project, Warped(100, 300.0))


def test_stripes_lie_between_the_ends_of_the_selvedges() -> None:
    """Four ends of dulse at each edge, 92 between them: six repeats of 14 and 8 ends of kelp. By hand."""
    answer = striped(selvedge={"yarn": "dulse", "ends": 4})
    ends = [run.yarn for run in answer.order for _ in range(run.ends)]
    assert ends[:4] == ends[-4:] == ["dulse"] * 4
    assert ends[4:96] == (["kelp"] * 10 + ["dulse"] * 4) * 6 + ["kelp"] * 8
    assert len(ends) == 100


def test_selvedges_that_leave_no_end_for_stripes_are_refused() -> None:
    with pytest.raises(ProblemsFound, match="leave no end for the stripes"):
        striped(selvedge={"yarn": "dulse", "ends": 50})
