"""What a log says stands on the loom: in the order of making, whatever the order of coming."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from clothwright.project import read_project
from clothwright.weaving import Logged, logged


def read(*entries: dict[str, Any], **more: Any) -> Logged:
    return logged(read_project({"log": list(entries), **more}))


MADE = [
    {
        "key": f"k{n}",
        "when": f"2026-03-{10 + n} 10:00",
        "woven": f"{30 * n} cm",
        "weft_left": {"a": f"{200 - 25 * n} g"},
    }
    for n in range(6)
]


@given(st.permutations(MADE))
@settings(max_examples=30)
def test_entries_with_a_time_may_come_in_any_order(entries: list[dict[str, Any]]) -> None:
    """Two phones send when they can; the log reads the same."""
    found = read(*entries)
    assert found.woven_cm == 150
    assert [one.grams for one in found.weighings["a"]] == [200, 175, 150, 125, 100, 75]
    assert not found.asked
    assert [one.key for one in found.in_order] == [f"k{n}" for n in range(6)]


@given(st.lists(st.tuples(st.integers(0, 300), st.integers(0, 300)), min_size=1, max_size=12))
def test_without_times_the_most_woven_counts(marks: list[tuple[int, int]]) -> None:
    found = read(*({"woven": f"{cm} cm", "weft_left": {"a": f"{grams} g"}} for cm, grams in marks))
    assert found.woven_cm == max(cm for cm, _ in marks)
    assert len(found.weighings["a"]) == len({cm for cm, _ in marks})


def test_a_late_entry_is_asked_about_and_kept() -> None:
    found = read({"woven": "60 cm"}, {"woven": "150 cm"}, {"woven": "90 cm", "weft_left": {"a": "70 g"}})
    assert found.woven_cm == 150
    assert [one.woven_cm for one in found.weighings["a"]] == [90]
    assert "taken as late in coming" in found.asked[0]


def test_cloth_woven_back_no_longer_counts() -> None:
    """Said plainly, or with a later time (then it is asked too)."""
    weighed = {"woven": "150 cm", "weft_left": {"a": "70 g"}}
    said = read({"woven": "60 cm", "weft_left": {"a": "100 g"}}, weighed, {"woven": "140 cm", "woven_back": True})
    assert (said.woven_cm, said.asked) == (140, ())
    assert [one.woven_cm for one in said.weighings["a"]] == [60]
    timed = read({**weighed, "when": "2026-03-10 10:00"}, {"woven": "140 cm", "when": "2026-03-10 11:00"})
    assert timed.woven_cm == 140
    assert "taken as woven back" in timed.asked[0]


def test_a_correction_has_the_place_of_what_it_corrects() -> None:
    """Corrected after the next mark was made, it is still the earlier mark, and nothing is asked."""
    found = read(
        {"key": "a", "woven": "60 cm", "weft_left": {"x": "156 g"}},
        {"key": "b", "woven": "90 cm", "weft_left": {"x": "140 g"}},
        {"key": "c", "corrects": "a", "woven": "60 cm", "weft_left": {"x": "165 g"}},
    )
    assert [one.grams for one in found.weighings["x"]] == [165, 140]
    assert found.woven_cm == 90
    assert not found.asked


def test_balls_and_shuttles_of_one_yarn_are_added_with_their_cores_off() -> None:
    found = read(
        {
            "woven": "60 cm",
            "weighed": [
                {"yarn": "a", "gross": "46 g", "core": "shuttle"},
                {"yarn": "a", "gross": "60 g", "core": "4 g", "beside": "30 g"},
            ],
        },
        core=[{"name": "shuttle", "weight": "38 g"}],
    )
    (one,) = found.weighings["a"]
    assert one.grams == 8 + 56 + 30
    assert one.sd_g > 0.4


def test_yarn_that_grew_is_asked_about() -> None:
    found = read({"woven": "60 cm", "weft_left": {"a": "85 g"}}, {"woven": "90 cm", "weft_left": {"a": "95 g"}})
    assert "slip of the scale" in found.asked[0]


def test_a_finer_scale_is_believed_more() -> None:
    coarse, fine = (
        read({"woven": "6 cm", "weft_left": {"a": left}}).weighings["a"][0].sd_g for left in ("85 g", "85.0 g")
    )
    assert fine < coarse / 5
