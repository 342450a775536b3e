"""A plan says whether its pattern was proved on a mock-up, and which state of the pattern it was made from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from clothwright.library import read_project_file
from clothwright.planning import Plan, plan
from clothwright.project import read_project

EXAMPLE = Path(__file__).parents[2] / "examples" / "samphire-bodice.toml"


def planned(*, by_hand: bool = False, **parts: Any) -> Plan:
    tree, drawings = read_project_file(EXAMPLE)
    pattern = tree["pattern"] | parts.pop("pattern", {})
    return plan(read_project(tree | {"pattern": pattern} | parts), drawings=drawings, by_hand=by_hand)


@pytest.mark.parametrize("by_hand", [False, True])
def test_until_the_mock_up_is_ticked_a_plan_is_provisional_with_its_reason_in_the_notes(by_hand: bool) -> None:
    found = planned(by_hand=by_hand)
    data = found.as_json()
    assert data["provisional"] is True
    assert found.provisional_because in data["notes"]
    assert "is not ticked as fitting" in found.provisional_because
    ticked = planned(by_hand=by_hand, pattern={"mock_up": {"sewn": "2026-10-01", "fits": True}})
    assert ticked.as_json()["provisional"] is False
    assert ticked.verdict == found.verdict
    assert not any("mock-up" in note for note in ticked.notes)


def test_a_cloth_wanted_is_never_provisional_and_has_no_pattern() -> None:
    tree, _ = read_project_file(EXAMPLE)
    del tree["pattern"]
    data = plan(read_project(tree | {"want": {"width": "40 cm", "length": "150 cm"}})).as_json()
    assert (data["provisional"], data["pattern_state"]) == (False, None)


def test_a_change_of_the_pattern_changes_the_cloth_planned_and_the_state_named() -> None:
    """Every piece longer by 10 cm: the layout is longer by one piece to all three of them, however they lie."""
    tree, _ = read_project_file(EXAMPLE)
    longer = {"do": "lengthen", "match": "waist", "by": "10 cm"}
    before, after = planned(), planned(pattern={"change": [*tree["pattern"]["change"], longer]})
    assert before.layout is not None
    assert after.layout is not None
    assert 9.9 < after.layout.length_cm - before.layout.length_cm < 30.1
    assert before.pattern_state is not None
    assert after.pattern_state is not None
    assert before.pattern_state.key != after.pattern_state.key
    assert after.as_json()["pattern_state"]["changes"] == before.pattern_state.changes + 1


def test_a_record_from_another_state_is_told() -> None:
    found = planned(record={"date": "2026-11-20", "pattern_state": "0a1b2c3d"})
    assert any("The record was made from the pattern at 0a1b2c3d" in note for note in found.notes)
