"""Entries of the weaving log in a stored project."""

from __future__ import annotations

import pytest

from clothwright.library import store
from clothwright.library.loom.weaving_log import add_entry
from clothwright.project import ProblemsFound
from clothwright.project.loom.log_growing import Came

pytestmark = pytest.mark.django_db

ENTRY = {"key": "k1", "woven": "60 cm", "weft_left": {"wrack": "165 g"}}


def test_an_entry_sent_twice_is_one_revision() -> None:
    project = store.new_project({"name": "shore"}, "started")
    assert add_entry(project, ENTRY).came is Came.ADDED
    assert add_entry(project, ENTRY).came is Came.ALREADY_THERE
    assert next(one.what for one in store.history(project)) == "k1 added to the log, 60 cm woven"
    assert len(store.history(project)) == 2
    assert store.head(project).tree["log"] == [ENTRY]


def test_other_content_under_one_key_is_kept_beside_it() -> None:
    project = store.new_project({}, "started")
    add_entry(project, ENTRY)
    assert add_entry(project, {**ENTRY, "woven": "61 cm"}).came is Came.OTHER_KEPT
    assert [one["key"] for one in store.head(project).tree["log"]] == ["k1", "k1 (2)"]


def test_an_entry_that_cannot_be_read_saves_nothing() -> None:
    project = store.new_project({}, "started")
    with pytest.raises(ProblemsFound, match="60 what"):
        add_entry(project, {"key": "k", "woven": "60"})
    assert len(store.history(project)) == 1


def test_an_entry_is_undone_and_done_again_as_any_change_is() -> None:
    project = store.new_project({}, "started")
    add_entry(project, ENTRY)
    store.undo(project)
    assert "log" not in store.head(project).tree
    store.redo(project)
    assert store.head(project).tree["log"] == [ENTRY]


def test_two_phones_that_saw_the_same_state_lose_nothing() -> None:
    """Each holds the project as it was; the second entry is added to what the first left."""
    one = store.new_project({}, "started")
    other = store.project(one.pk)
    add_entry(one, ENTRY)
    add_entry(other, {"key": "k2", "note": "a break mended"})
    assert [entry["key"] for entry in store.head(store.project(one.pk)).tree["log"]] == ["k1", "k2"]
