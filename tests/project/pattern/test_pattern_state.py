"""The key of a pattern's state changes with what shapes the pieces, and with nothing else."""

from __future__ import annotations

from typing import Any

import pytest
from pattern.drawn import page
from pattern.fitted import drawn_bodice

from clothwright.project import read_project
from clothwright.project.pattern.pattern_state import PatternState, pattern_state, record_differs

DRAWING = page(drawn_bodice())
OUT: dict[str, Any] = {"do": "let out", "seam": "side", "by": "1 cm", "date": "2026-10-03"}
BASE: dict[str, Any] = {"file": "bodice.svg", "seam_allowance": "15 mm", "change": [OUT]}


def state(pattern: dict[str, Any], drawing: bytes = DRAWING, **parts: Any) -> PatternState:
    found = pattern_state(read_project({"pattern": pattern, **parts}), {str(pattern["file"]): drawing})
    assert found is not None
    return found


@pytest.mark.parametrize(
    "other",
    [
        {"seam_allowance": "10 mm"},
        {"size": "M"},
        {"version": "short"},
        {"change": [OUT | {"by": "2 cm"}]},
        {"change": [OUT | {"set_aside": "no"}]},
        {"change": [OUT, OUT]},
        {"mark": [{"piece": "back", "cut": 2}]},
        {"piece": [{"name": "band", "width": "4 cm", "length": "60 cm"}]},
    ],
    ids=str,
)
def test_what_shapes_the_pieces_changes_the_key(other: dict[str, Any]) -> None:
    assert state(BASE | other).key != state(BASE).key


@pytest.mark.parametrize(
    "other",
    [
        {"mock_up": {"sewn": "2026-10-01", "fits": True}},
        {"change": [OUT | {"why": "tight", "date": "2026-10-09"}]},
        {"change": [OUT, OUT | {"set_aside": "no"}]},
        {"one_way": True, "squaring": "3 cm", "selvedge_trim": "1 cm"},
    ],
    ids=str,
)
def test_what_does_not_shape_them_leaves_it(other: dict[str, Any]) -> None:
    assert state(BASE | other).key == state(BASE).key


def test_the_drawing_counts_by_what_it_holds_and_not_by_its_name() -> None:
    assert state(BASE | {"file": "other.svg"}).key == state(BASE).key
    assert state(BASE, page(drawn_bodice(fold=False))).key != state(BASE).key


def test_the_day_of_the_last_change_that_counts_goes_with_it() -> None:
    later = OUT | {"date": "2026-11-02", "set_aside": "no"}
    found = state(BASE | {"change": [OUT, OUT | {"date": "2026-10-09"}, later]})
    assert (found.last_change, found.changes) == ("2026-10-09", 2)
    assert found.words == f"pattern {found.key}, 2 changes, the last of 9 October 2026"
    assert state(BASE | {"change": []}).words.endswith("unchanged")


def test_a_record_of_another_state_is_told() -> None:
    kept = state(BASE)
    project = read_project(
        {"pattern": BASE | {"size": "L"}, "record": {"date": "2026-11-01", "pattern_state": kept.key}}
    )
    now = pattern_state(project, {"bodice.svg": DRAWING})
    assert now is not None
    said = record_differs(project, now)
    assert kept.key in said
    assert now.key in said
    same = read_project({"pattern": BASE, "record": {"pattern_state": kept.key}})
    assert record_differs(same, kept) == ""
    assert record_differs(read_project({"pattern": BASE}), kept) == ""
