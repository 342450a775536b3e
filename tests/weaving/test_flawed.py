"""Knots of the log on the finished cloth, against sums worked by hand."""

from __future__ import annotations

from typing import Any

from clothwright.project import read_project
from clothwright.project.loom.log_growing import Entry
from clothwright.weaving import AsFinished, counted_from_the_other_side, flaws_from_log, logged

CLOTH = AsFinished(length_ratio=0.88, width_cm=42.0, width_at_fell_cm=44.0, ends=138)


def entries(*happened: dict[str, Any], woven: str = "90 cm") -> tuple[Entry, ...]:
    return logged(read_project({"log": [{"woven": woven, "happened": list(happened)}]})).in_order


def test_a_knot_lies_where_its_end_and_its_place_come_to_lie() -> None:
    """Worked by hand: 84 cm × 0.88 = 73.9, less 1; end 46 of 138 is a third of 42 cm from the left, 28 from the right, less 1."""
    (flaw,) = flaws_from_log(entries({"what": "knot", "at": "84 cm", "end": 46}), CLOTH)
    assert flaw == {"at": "72.9 cm", "length": "2 cm", "what": "knot", "from_selvedge": "27.0 cm", "width": "2 cm"}
    read_project({"layout": {"flaw": [flaw]}})


def test_a_place_across_shrinks_with_the_width() -> None:
    """Worked by hand: 22 cm of 44 at the fell are 21 of 42, 21 from the other side, less 1; said nowhere else, it is where the weaving stood."""
    (flaw,) = flaws_from_log(entries({"what": "break", "from_selvedge": "22 cm"}), CLOTH)
    assert (flaw["at"], flaw["from_selvedge"]) == ("78.2 cm", "20.0 cm")


def test_without_a_place_across_it_is_the_whole_width() -> None:
    (flaw,) = flaws_from_log(entries({"what": "floats"}), CLOTH)
    assert "width" not in flaw


def test_a_join_and_floats_that_are_mended_are_no_flaw() -> None:
    assert flaws_from_log(entries({"what": "join"}, {"what": "floats", "mended": True}), CLOTH) == []


def test_a_mark_of_the_earlier_rule_is_told_from_one_of_the_rule_that_holds() -> None:
    """End 46 of 138 on 42 cm: 27.0 cm from the near selvedge; counted from the left it stood at 14.0 − 1 = 13.0 (the rule before 26 November 2026)."""
    (flaw,) = flaws_from_log(entries({"what": "knot", "at": "84 cm", "end": 46}), CLOTH)
    before = flaw | {"from_selvedge": "13.0 cm"}
    typed = before | {"length": "5 cm"}
    assert counted_from_the_other_side([flaw], [typed, before], 42.0) == [(1, flaw)]
    assert counted_from_the_other_side([flaw], [before | {"from_selvedge": "12.2 cm"}], 42.0) == [(0, flaw)]
    assert counted_from_the_other_side([flaw], [flaw], 42.0) == []
    assert counted_from_the_other_side([flaw], [before, flaw], 42.0) == []
    assert counted_from_the_other_side([flaw], [before | {"what": "break"}, typed, "salt", {}], 42.0) == []


def test_by_the_middle_both_sides_are_one_and_without_a_place_across_there_is_none() -> None:
    middle, whole = flaws_from_log(entries({"what": "knot", "end": 69}, {"what": "floats"}), CLOTH)
    assert counted_from_the_other_side([middle], [middle], 42.0) == []
    assert counted_from_the_other_side([whole], [whole | {"at": "3 cm"}], 42.0) == []
