"""What only a server shows: two at once change the same project, and texts its JSON would not keep as SQLite's does.

Run by `test_postgres.py`, which gives it a server; by itself it is not collected.
"""

from __future__ import annotations

import datetime
import io
import uuid
from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection
from PIL import Image

from clothwright.layout import Layout
from clothwright.library import store, whose
from clothwright.library.keeping.archive import bring_in, exported
from clothwright.library.models import (
    Belonging,
    Invitation,
    LeafletLink,
    Member,
    Project,
    ProjectPhoto,
    PublishedLeaflet,
    RecordNumber,
    Share,
)
from clothwright.library.pieces import layouts
from clothwright.library.record import project_photos, record_numbers
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.studio import groups, members, shares, tries
from clothwright.library.teaching import classes, published
from clothwright.planning.teaching.leaflet_versions import PublishedVersion
from clothwright.project import ProblemsFound

pytestmark = pytest.mark.django_db(transaction=True)
DAY = datetime.date(2027, 1, 9)


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


def people(settings: Any, *names: str) -> list[Member]:
    """Members, each keeper of the studio."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    word = "eelgrass under low water"
    return [members.new_member(f"{name}@guild.example", name.capitalize(), word, keeper=True) for name in names]


def garments(how_many: int, **record: str) -> list[Project]:
    return [
        store.new_project({"name": f"kelp cape {number}", "record": {"date": "2026-03-14", **record}}, "started")
        for number in range(how_many)
    ]


def test_records_numbered_at_once_get_numbers_of_their_own_without_a_gap() -> None:
    """Twelve garments of one year, four by four; each has the number its file says."""
    every = garments(12)

    def give(some: list[Project]) -> None:
        for one in some:
            record_numbers.give_number(one, DAY)

    assert at_once(*(lambda at=at: give(every[at::4]) for at in range(4))) == []
    assert sorted(one.running for one in RecordNumber.every.all()) == list(range(1, 13))
    for one in every:
        kept = record_numbers.number_of(one)
        assert kept is not None
        assert store.head(store.project(one.pk)).tree["record"]["number"] == record_numbers.words(kept)


def test_a_number_that_several_files_ask_for_is_one_s_and_the_others_remember_it() -> None:
    every = garments(5, number="2026-040")
    assert at_once(*(lambda one=one: record_numbers.give_number(one, DAY) for one in every)) == []
    assert sorted(one.running for one in RecordNumber.every.all()) == [40, 41, 42, 43, 44]
    assert sorted(one.before for one in RecordNumber.every.all()) == ["", *["2026-040"] * 4]


def test_finished_in_two_windows_at_once_a_garment_has_one_number() -> None:
    (one,) = garments(1)
    found: list[str] = []

    def finish() -> None:
        tree = {"name": "kelp cape", "record": {"date": "2026-03-14"}}
        found.append(record_numbers.words(record_numbers.with_number(store.project(one.pk), tree, DAY)))

    assert at_once(*[finish] * 5) == []
    assert set(found) == {"2026-001"}


def test_versions_given_out_at_once_are_numbered_one_by_one_and_each_name_once(monkeypatch: Any) -> None:
    """The leaflet itself is no matter here: what is frozen of it stands in its place."""
    monkeypatch.setattr(published, "frozen", lambda version: {"version": version.version})
    one = store.new_project({"name": "pool vest"}, "started")

    def give_out(name: str) -> None:
        published.publish(store.project(one.pk), PublishedVersion(name, DAY, None))  # type: ignore[arg-type]

    wrong = at_once(*(lambda name=name: give_out(name) for name in ("1.0", "1.1", "1.0", "1.2", "1.1", "1.0")))
    assert [type(each) for each in wrong] == [ProblemsFound] * 3
    assert sorted(PublishedLeaflet.every.values_list("number", flat=True)) == [1, 2, 3]
    assert at_once(*[lambda: shares.open_leaflet(one)] * 4) == []
    assert LeafletLink.objects.count() == 1


def test_a_member_who_comes_in_by_two_links_at_once_has_one_place_in_the_group(settings: Any) -> None:
    keeper, wren = people(settings, "keeper", "wren")
    guild = groups.new_group("quay guild", "guild", keeper)
    secrets = [groups.invite(keeper, guild, uses=60)[1] for _ in range(4)]
    assert at_once(*(lambda secret=secret: groups.accept(secret, wren) for secret in secrets)) == []
    assert Belonging.objects.filter(group=guild, member=wren).count() == 1
    assert sum(Invitation.objects.values_list("uses_left", flat=True)) == 239


def test_of_two_who_run_a_group_and_leave_it_at_once_one_stays(settings: Any) -> None:
    """Neither waits for the other for ever, and a third is not left in a group that nobody runs."""
    for _ in range(5):
        one, other, third = people(settings, *(uuid.uuid4().hex for _ in range(3)))
        guild = groups.new_group("quay guild", "guild", one)
        groups.accept(groups.invite(one, guild, role="keeper")[1], other)
        groups.accept(groups.invite(one, guild)[1], third)
        wrong = at_once(lambda: groups.take_out(guild, one), lambda: groups.take_out(guild, other))  # noqa: B023 - done at once
        assert [type(each) for each in wrong] == [ProblemsFound]
        assert sorted(Belonging.objects.filter(group=guild).values_list("role", flat=True)) == ["keeper", "member"]


def test_two_keepers_who_let_each_other_go_or_leave_at_once_do_not_leave_the_studio_without_one(settings: Any) -> None:
    people(settings, "third")
    Member.objects.update(keeper=False)
    for _ in range(5):
        one, other = people(settings, *(uuid.uuid4().hex for _ in range(2)))
        told: list[Any] = []
        wrong = at_once(
            lambda: told.append(members.let_keep(other, keep=False)),  # noqa: B023 - done at once
            lambda: told.append(members.let_keep(one, keep=False)),  # noqa: B023 - done at once
        )
        assert wrong == []
        assert Member.objects.filter(keeper=True).count() == 1
        Member.objects.filter(pk__in=(one.pk, other.pk)).update(keeper=True)
        wrong = at_once(lambda: members.leave(one), lambda: members.leave(other))  # noqa: B023 - done at once
        assert [type(each) for each in wrong] == [members.LastKeeper]
        Member.objects.filter(keeper=True).update(keeper=False)


def test_what_is_shared_while_its_owner_is_taken_out_is_not_left_behind(settings: Any) -> None:
    keeper, wren = people(settings, "keeper", "wren")
    for _ in range(5):
        guild = groups.new_group("quay guild", "guild", keeper)
        groups.accept(groups.invite(keeper, guild)[1], wren)
        one = store.new_project({"name": "kelp cape"}, "started")
        assert at_once(lambda: shares.share(wren, guild, one), lambda: groups.take_out(guild, wren)) == []  # noqa: B023
        assert not Share.objects.filter(by=wren).exists()


def test_an_archive_brought_in_through_two_windows_at_once_is_there_once(settings: Any) -> None:
    """And by two members each has a copy of her own."""
    one, other = people(settings, "wren", "heron")
    record_numbers.give_number(garments(1)[0], DAY)
    content = exported()

    def bring(who: Member) -> None:
        with whose.seeing(whose.Seen(owner=who.pk)):
            bring_in(content)

    assert at_once(lambda: bring(one), lambda: bring(one), lambda: bring(other), lambda: bring(other)) == []
    assert [Project.every.filter(owner=who).count() for who in (None, one, other)] == [1, 1, 1]
    assert sorted(each.running for each in RecordNumber.every.all()) == [1, 2, 3]


def test_one_photo_of_the_weaving_sent_twice_at_once_is_kept_once() -> None:
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "teal").save(file, "PNG")
    one = store.new_project({"name": "kelp cape"}, "started")

    def add() -> None:
        project_photos.add_to_log(store.project(one.pk), file.getvalue(), "quay.png", "the quay")

    assert at_once(*[add] * 4) == []
    assert ProjectPhoto.every.count() == 1
    assert len(store.head(store.project(one.pk)).tree["log"]) == 4


def test_a_class_changed_in_three_windows_keeps_every_state_and_is_deleted_for_good() -> None:
    one = store.new_project({"name": "kelp cape"}, "started")

    def change(who: int) -> None:
        for number in range(8):
            classes.keep_class(one, {"student": [{"name": f"{who} {number}"}]}, f"{who} {number}")
            if number % 4 == 3:
                classes.undo_class(one)

    assert at_once(*(lambda who=who: change(who) for who in range(3))) == []
    head = classes.head_of_class(one)
    assert head is not None
    assert sorted(head.of.states.values_list("number", flat=True)) == list(range(1, 25))
    assert classes.delete_class(one)
    assert classes.head_of_class(one) is None


def test_layouts_that_two_searches_find_at_once_are_both_kept() -> None:
    found = [Layout(float(width), 100.0, 0.5, ()) for width in range(40, 52)]

    def keep(some: list[Layout]) -> None:
        for one in some:
            layouts.keep_layouts((), [one])

    assert at_once(*(lambda at=at: keep(found[at::3]) for at in range(3))) == []
    assert {one.width_cm for one in layouts.layouts_known(())} == {one.width_cm for one in found}


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
