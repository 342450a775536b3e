from __future__ import annotations

import pytest

from clothwright.library import store
from clothwright.library.models import Drawing, Project, Revision

pytestmark = pytest.mark.django_db


def tree(name: str = "eelgrass waistcoat", waste: str = "55 cm") -> store.Tree:
    return {"name": name, "loom": {"waste": waste}}


@pytest.fixture
def project() -> Project:
    return store.new_project(tree(), "started")


def waste(project: Project) -> str:
    return str(store.head(store.project(project.pk)).tree["loom"]["waste"])


def test_a_new_project_has_its_first_revision_and_nothing_to_undo(project: Project) -> None:
    assert store.head(project).number == 1
    assert project.name == "eelgrass waistcoat"
    assert not store.can_undo(project)
    assert not store.can_redo(project)


def test_a_change_is_kept_exactly_as_typed_even_when_it_makes_no_sense(project: Project) -> None:
    store.change(project, tree(waste="fifty-ish"), "waste")
    assert waste(project) == "fifty-ish"


def test_a_change_that_changes_nothing_makes_no_revision(project: Project) -> None:
    store.change(project, tree(), "nothing")
    assert [one.number for one in store.history(project)] == [1]


def test_undo_and_redo_walk_along_the_changes(project: Project) -> None:
    store.change(project, tree(waste="60 cm"), "60")
    store.change(project, tree(waste="65 cm"), "65")
    store.undo(project)
    store.undo(project)
    assert waste(project) == "55 cm"
    store.redo(project)
    assert waste(project) == "60 cm"
    store.redo(project)
    assert waste(project) == "65 cm"
    assert not store.can_redo(project)


def test_undo_at_the_start_and_redo_at_the_end_do_nothing(project: Project) -> None:
    store.undo(project)
    store.redo(project)
    assert store.head(project).number == 1


def test_a_change_after_an_undo_keeps_the_old_branch_in_the_history(project: Project) -> None:
    store.change(project, tree(waste="60 cm"), "60")
    store.undo(project)
    store.change(project, tree(waste="70 cm"), "70")
    assert [(one.number, one.tree["loom"]["waste"]) for one in store.history(project)] == [
        (3, "70 cm"),
        (2, "60 cm"),
        (1, "55 cm"),
    ]
    store.undo(project)
    store.redo(project)
    assert waste(project) == "70 cm"
    store.go_to(project, 2)
    assert waste(project) == "60 cm"


def test_a_change_is_made_on_the_head_as_it_is_now_not_as_it_was_fetched(project: Project) -> None:
    stale = store.project(project.pk)
    store.change(project, tree(waste="60 cm"), "one tab")
    store.change(stale, tree(waste="70 cm"), "another tab")
    assert waste(project) == "70 cm"
    store.undo(stale)
    assert waste(project) == "60 cm"


def test_the_name_shown_follows_the_tree_and_its_undo(project: Project) -> None:
    store.change(project, tree(name="limpet shawl"), "renamed")
    assert store.project(project.pk).name == "limpet shawl"
    store.undo(project)
    assert store.project(project.pk).name == "eelgrass waistcoat"


@pytest.mark.parametrize("name", ["", None, "   "])
def test_a_project_without_a_name_is_shown_as_untitled(name: str | None) -> None:
    assert store.new_project({"name": name}, "started").name == "untitled"


def test_putting_away_keeps_everything_and_can_be_taken_back(project: Project) -> None:
    store.put_away(project)
    assert list(store.projects()) == []
    assert list(store.projects(put_away=True)) == [project]
    store.bring_back(project)
    assert list(store.projects()) == [project]
    assert Revision.objects.count() == 1


def test_undo_brings_back_the_drawing_of_the_same_name(project: Project) -> None:
    store.save_drawing(project, "back.svg", b"<svg>1</svg>", tree(), "first")
    store.save_drawing(project, "back.svg", b"<svg>2</svg>", tree(), "second")
    assert store.drawings_of(store.head(project)) == {"back.svg": b"<svg>2</svg>"}
    store.undo(project)
    assert store.drawings_of(store.head(project)) == {"back.svg": b"<svg>1</svg>"}


def test_the_same_drawing_is_kept_once(project: Project) -> None:
    store.save_drawing(project, "back.svg", b"<svg/>", tree(), "first")
    store.save_drawing(project, "back.svg", b"<svg/>", tree(waste="1 m"), "again")
    assert Drawing.objects.count() == 1


def test_drawings_stay_with_a_project_through_other_changes() -> None:
    project = store.new_project(tree(), "opened", {"back.svg": b"<svg/>"})
    store.change(project, tree(waste="1 m"), "waste")
    assert store.drawings_of(store.head(project)) == {"back.svg": b"<svg/>"}
