"""The record filled from the log: what is known is not asked again, what was written stands."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from weaving.at_looms import tabard

from clothwright.project import read_project
from clothwright.weaving import filled_in, record_from_log


def done() -> dict[str, Any]:
    tree = tabard(8)
    tree["log"].append(
        {
            "key": "thu-1",
            "when": "2026-03-12 12:00",
            "woven": "208 cm",
            "weft_left": {"eelgrass": "14 g"},
            "off_loom": {"length": "196 cm", "width": "42.1 cm", "rested": "a night"},
        }
    )
    return tree


def test_what_the_log_knows_is_the_record() -> None:
    """Worked by hand: picks 30 + 34 + 31 = 95 over 30 cm; widths 43.6 and 43.4, mean 43.5."""
    found = record_from_log(read_project(done()))
    assert found == {
        ("ends",): 138,
        ("warp_wound",): "292 cm",
        ("length", "on_loom"): "208 cm",
        ("width", "on_loom"): "43.5 cm",
        ("picks",): {"count": 95, "over": "30 cm"},
        ("length", "off_loom"): "196 cm",
        ("width", "off_loom"): "42.1 cm",
        ("left",): [{"yarn": "eelgrass", "weight": "14 g"}],
    }


def test_a_project_with_it_is_read_and_is_evidence_with_a_day() -> None:
    tree = done()
    record, names = filled_in({"date": "2026-03-20"}, record_from_log(read_project(tree)))
    project = read_project(tree | {"record": record})
    assert project.record is not None
    assert project.record.finished
    assert project.record.length.on_loom is not None
    assert project.record.length.on_loom.cm == 208
    assert "length on loom" in names


def test_yarn_weighed_long_before_the_end_is_not_what_was_left_over() -> None:
    tree = tabard(8)
    tree["log"].append({"key": "end", "woven": "208 cm"})
    assert ("left",) not in record_from_log(read_project(tree))


@given(st.dictionaries(st.sampled_from(["ends", "warp_wound", "notes"]), st.sampled_from(["", "as I wrote it"])))
def test_what_was_written_stands(record: dict[str, str]) -> None:
    filled, _ = filled_in(record, record_from_log(read_project(done())))
    assert all(filled[key] == value for key, value in record.items() if value)
    assert filled["length"]["on_loom"] == "208 cm"
