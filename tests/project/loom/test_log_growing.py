"""How a weaving log grows: added at the end, once, and nothing lost."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.library.files import export_toml
from clothwright.project import ProblemsFound, read_project, read_toml
from clothwright.project.loom.log_growing import Came, entries, open_questions, with_entry
from clothwright.project.reading import read_entry

WOVEN = st.integers(0, 300).map(lambda cm: f"{cm} cm")
LEFT = st.integers(0, 500).map(lambda grams: {"wrack": f"{grams} g"})
ENTRIES = st.lists(
    st.fixed_dictionaries({"key": st.sampled_from("abcdef"), "woven": WOVEN, "weft_left": LEFT}), max_size=12
)


def grown(*data: dict[str, Any]) -> dict[str, Any]:
    tree: dict[str, Any] = {}
    for one in data:
        tree = with_entry(tree, one).tree
    return tree


@given(ENTRIES)
def test_nothing_that_came_is_ever_missing(data: list[dict[str, Any]]) -> None:
    """Whatever keys clash, every content that was sent stands in the log, and what stood there before is unchanged."""
    tree: dict[str, Any] = {}
    for one in data:
        before = list(tree.get("log", []))
        tree = with_entry(tree, one).tree
        assert tree["log"][: len(before)] == before
        assert any({**there, **one, "key": there["key"]} == there for there in tree["log"])
    keys = [one["key"] for one in tree.get("log", [])]
    assert len(set(keys)) == len(keys)
    read_project(tree)


@given(ENTRIES)
def test_sending_everything_twice_changes_nothing(data: list[dict[str, Any]]) -> None:
    """A phone that did not hear the answer sends again; the log stays as it was."""
    once = grown(*data)
    again = once
    for one in data:
        sent = with_entry(again, one)
        assert sent.came is Came.ALREADY_THERE
        again = sent.tree
    assert again == once


@given(ENTRIES, st.data())
def test_a_correction_stands_in_place_of_what_it_corrects(data: list[dict[str, Any]], draw: st.DataObject) -> None:
    """However often corrected, one entry of a chain counts: the last."""
    tree = grown(*data)
    names = [one["key"] for one in tree.get("log", [])]
    for number in range(4 if names else 0):
        of = draw.draw(st.sampled_from(names))
        key = f"correction {number}"
        tree = with_entry(tree, {"key": key, "corrects": of, "woven": "1 cm"}).tree
        names.append(key)
    log = read_project(tree).log
    for one in entries(log):
        corrected_later = any(later.part.corrects == one.key for later in entries(log)[one.number + 1 :])
        assert one.counts == (not corrected_later and not one.part.other_of)


def test_a_correction_that_tells_nothing_takes_back() -> None:
    tree = grown({"key": "a", "woven": "10 cm"}, {"key": "b", "corrects": "a", "woven": "12 cm"})
    assert [one.counts for one in entries(read_project(tree).log)] == [False, True]
    tree = with_entry(tree, {"key": "c", "corrects": "b"}).tree
    assert [one.key for one in entries(read_project(tree).log) if one.counts and one.part.told] == ["a"]


def test_two_contents_of_one_key_wait_until_the_weaver_says_which_is_right() -> None:
    first, other = {"key": "a", "woven": "10 cm"}, {"key": "a", "woven": "12 cm"}
    came = with_entry(grown(first), other)
    assert (came.came, came.key) == (Came.OTHER_KEPT, "a (2)")
    (waiting,) = open_questions(read_project(came.tree).log)
    assert not waiting.counts
    for settled in ({"corrects": "a", "woven": "12 cm"}, {"corrects": "a (2)"}):
        tree = with_entry(came.tree, {"key": "b", **settled}).tree
        assert not open_questions(read_project(tree).log)


def test_a_log_in_a_file_needs_no_keys_and_no_yarns() -> None:
    """The contract's own example: the weft may be called as the weaver likes while no yarn is listed."""
    text = '[on_loom]\nto_weave = "263 cm"\n[[log]]\nwoven = "60 cm"\nweft_left = { "grey fell" = "165 g" }\n'
    log = read_project(read_toml(text)).log
    assert [one.key for one in entries(log)] == ["entry 1"]
    with pytest.raises(ProblemsFound, match="no yarn has that name"):
        read_project(read_toml(text + '[[yarn]]\nname = "moss"\n'))


def test_a_log_goes_out_as_a_file_and_comes_back() -> None:
    tree = grown(
        {"key": "a", "when": "2026-03-14 16:30", "woven": "10 cm", "picks": {"count": 32, "over": "10 cm"}},
        {"key": "b", "weighed": {"yarn": "moss", "gross": "118 g", "core": "6 g"}, "woven": "12 cm"},
        {"key": "c", "happened": [{"what": "knot", "at": "8 cm", "end": 12}], "note": "slack", "repeats": [36, 37]},
    )
    assert read_toml(export_toml(tree)) == tree
    assert read_project(tree).log[1].weighed[0].gross.grams == 118


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({}, "tells nothing"),
        ({"woven": 60}, "60 what"),
        ({"woven": "60 cm", "weft": "3 g"}, "not a field here"),
        ({"weft_left": {"moss": "80 g"}}, "how much woven"),
        ({"woven": "6 cm", "weighed": {"yarn": "moss", "gross": "8 g", "core": "9 g"}}, "weighs more"),
        (
            {"woven": "6 cm", "weighed": {"yarn": "moss", "gross": "8 g", "core": "0 g"}, "weft_left": {"moss": "8 g"}},
            "once",
        ),
        ({"woven": "6 cm", "weighed": {"yarn": "moss", "gross": "8 g"}}, "with what core"),
        ({"note": "x", "when": "yesterday"}, "write when as"),
        ({"note": "x", "corrects": "nothing"}, "no entry before this one"),
        ({"happened": {"what": "gremlin"}}, "accepted are"),
        ({"woven": "6 cm", "weighed": {"yarn": "moss", "gross": "8 g", "core": "cone"}}, "no core has that name"),
    ],
)
def test_an_entry_that_cannot_be_read_is_told_in_one_sentence(entry: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        read_entry({"key": "a", **entry}, {})
    assert len(found.value.problems) == 1
    assert sentence in str(found.value)
    with pytest.raises(ProblemsFound):
        with_entry({}, {"key": "a", **entry})


def test_an_entry_without_a_key_is_not_added() -> None:
    for entry in ({"woven": "6 cm"}, [1], None, {"key": " ", "woven": "6 cm"}):
        with pytest.raises(ProblemsFound, match="key of its own"):
            with_entry({}, entry)
