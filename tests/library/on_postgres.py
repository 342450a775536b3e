"""What only a server shows: two at once change the same project, and texts its JSON would not keep as SQLite's does.

Run by `test_postgres.py`, which gives it a server; by itself it is not collected.
"""

from __future__ import annotations

from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection

from clothwright.library import groups, members, on_hand, store, tries
from clothwright.library.models import Invitation, Member, Project
from clothwright.library.on_hand import Kept
from clothwright.project import ProblemsFound

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*jobs: Any) -> list[BaseException]:
    """Do the jobs at once, each over a connection of its own; what went wrong in them."""
    together, wrong = Barrier(len(jobs)), []

    def carry_out(job: Any) -> None:
        try:
            together.wait()
            job()
        except BaseException as error:  # noqa: BLE001 - a thread has nobody above it
            wrong.append(error)
        finally:
            connection.close()

    threads = [Thread(target=carry_out, args=(job,)) for job in jobs]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return wrong


def test_this_is_a_server() -> None:
    assert connection.vendor == "postgresql"


def test_every_change_of_four_at_once_is_kept_with_a_number_of_its_own() -> None:
    project = store.new_project({"name": "kelp cape"}, "started")

    def change(who: int) -> None:
        for number in range(10):
            store.change(
                store.project(project.pk), {"name": "kelp cape", "by": who, "number": number}, f"{who} {number}"
            )

    assert at_once(*(lambda who=who: change(who) for who in range(4))) == []
    history = store.history(project)
    assert sorted(one.number for one in history) == list(range(1, 42))
    assert len({one.what for one in history}) == 41
    # One line of descent: nobody's change was made beside another's.
    assert {one.number - 1 for one in history if one.parent} == {one.parent.number for one in history if one.parent}


def test_undo_and_change_at_once_leave_a_whole_history() -> None:
    project = store.new_project({"name": "kelp cape"}, "started")
    for number in range(6):
        store.change(project, {"name": "kelp cape", "number": number}, str(number))

    def undo() -> None:
        for _ in range(5):
            store.undo(store.project(project.pk))

    def redo() -> None:
        for _ in range(5):
            store.redo(store.project(project.pk))

    assert at_once(undo, redo, lambda: store.change(store.project(project.pk), {"name": "dulse"}, "other")) == []
    assert len(store.history(project)) == 8
    assert store.head(store.project(project.pk)).number in range(1, 9)


def test_states_of_a_thing_on_hand_are_numbered_one_by_one() -> None:
    one = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "slate"}), "typed in")

    def change(who: int) -> None:
        for number in range(10):
            tree = on_hand.tree_of(Kept.YARN, {"name": f"slate {who} {number}"})
            on_hand.change(on_hand.find(Kept.YARN, one.pk), tree, "name")

    assert at_once(*(lambda who=who: change(who) for who in range(3))) == []
    assert [state.number for state in on_hand.history(one)] == list(range(31, 0, -1))


def test_an_invitation_for_one_lets_one_in_when_five_come_at_once(settings: Any) -> None:
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    keeper = members.new_member("keeper@guild.example", "Keeper", "eelgrass under low water", keeper=True)
    guild = groups.new_group("quay guild", "guild", keeper)
    _, secret = groups.invite(keeper, guild)

    def come(number: int) -> None:
        groups.joined(secret, f"wren{number}@guild.example", f"Wren {number}", "eelgrass under low water")

    wrong = at_once(*(lambda number=number: come(number) for number in range(5)))
    assert [type(one) for one in wrong] == [ProblemsFound] * 4
    assert Member.objects.count() == 2
    assert Invitation.objects.get().uses_left == 0


def test_tries_at_once_do_not_slip_through_together() -> None:
    allowed: list[bool] = []
    wrong = at_once(*(lambda: allowed.append(tries.may_try("wren@guild.example", "10.0.0.9")) for _ in range(12)))
    assert wrong == []
    assert sum(allowed) <= 5


def test_a_tree_comes_back_as_it_was_typed_in_its_order() -> None:
    tree = {
        "zostera": "1",
        "name": "ĸelp — ½ “cape”",
        "a": {"z": 1, "b": [1.5, None, True, "7 1/2 in"]},
        "units": "metric",
    }
    project = store.new_project(tree, "started")
    kept = store.head(store.project(project.pk)).tree
    assert kept == tree
    assert list(kept) == list(tree)
    assert list(kept["a"]) == ["z", "b"]


def test_drawings_come_back_byte_for_byte() -> None:
    content = bytes(range(256)) * 40
    project = store.new_project({"name": "cape"}, "started", {"cape.svg": content})
    assert store.drawings_of(store.head(project)) == {"cape.svg": content}
    assert Project.objects.count() == 1
