"""What can be seen is said once, and every query, and work begun apart, keeps to it."""

from __future__ import annotations

import uuid
from pathlib import Path
from threading import Event
from typing import Any

import pytest

import clothwright
from clothwright.library import store, whose
from clothwright.library.models import Drawing, Member, OnHand, OnHandState, Project, Revision
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept


@pytest.fixture
def shared_studio(settings: Any, db: None) -> None:
    settings.STUDIO = True


def made(name: str) -> tuple[Member, Project, OnHand]:
    """A member with a project, its drawing, and a yarn."""
    owner = Member.objects.create(email=f"{name}@guild.example", name=name)
    with whose.seeing(whose.Seen(owner=owner.pk)):
        project = store.new_project({"name": f"{name} cape"}, "started", {"cape.svg": name.encode()})
        return owner, project, on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": name}), "typed in")


def test_everything_a_member_has_is_seen_by_her_and_nothing_of_it_by_another(shared_studio: None) -> None:
    wren, heron = made("wren"), made("heron")
    for owner, project, yarn in (wren, heron):
        with whose.seeing(whose.Seen(owner=owner.pk)):
            assert list(Project.objects.all()) == [project]
            assert list(OnHand.objects.all()) == [yarn]
            assert {one.project for one in Revision.objects.all()} == {project}
            assert [bytes(one.content) for one in Drawing.objects.all()] == [owner.name.encode()]
            assert {one.of for one in OnHandState.objects.all()} == {yarn}
            assert Project.every.count() == 2


def test_one_thing_alone_is_seen_with_what_hangs_on_it(shared_studio: None) -> None:
    (_, project, yarn), _ = made("wren"), made("heron")
    with whose.seeing(whose.Seen(only=project.pk)):
        assert list(Project.objects.all()) == [project]
        assert Revision.objects.count() == Drawing.objects.count() == 1
        assert OnHand.objects.count() == OnHandState.objects.count() == 0
    with whose.seeing(whose.Seen(only=yarn.pk)):
        assert (Project.objects.count(), OnHand.objects.count(), OnHandState.objects.count()) == (0, 1, 1)
    for nothing in (whose.NOTHING, whose.Seen(only=uuid.uuid4())):
        with whose.seeing(nothing):
            assert Project.objects.count() == OnHand.objects.count() == Revision.objects.count() == 0


def test_what_was_seen_before_is_seen_again_after(shared_studio: None) -> None:
    with whose.seeing(whose.NOTHING):
        with pytest.raises(ZeroDivisionError), whose.seeing(whose.EVERYTHING):
            raise ZeroDivisionError
        assert whose.now() == whose.NOTHING
    with pytest.raises(whose.NobodySaid):
        whose.now()


def test_work_begun_apart_sees_what_is_seen_where_it_was_begun(settings: Any) -> None:
    settings.STUDIO = True
    seen, done = [], Event()

    def job(word: str) -> None:
        seen.append((word, whose.now()))
        done.set()

    with whose.seeing(whose.Seen(owner=7)):
        whose.begin_apart(job, "slate")
    assert done.wait(10)
    assert seen == [("slate", whose.Seen(owner=7))]


def test_no_page_begins_a_thread_that_would_see_nothing_in_a_studio() -> None:
    """Phones are served by one that answers requests, which pass the gate."""
    house = Path(clothwright.__file__).parent
    files = [*(house / "web").rglob("*.py"), *(house / "library").rglob("*.py")]
    found = {one.name for one in files if " Thread(" in one.read_text("utf-8") or ".Thread(" in one.read_text("utf-8")}
    # `serve` loads pages and asks for nothing kept; who minds the processes of searches asks for those of every member, by `every`.
    assert found == {"whose.py", "phone_serving.py", "serve.py", "search_processes.py"}
