"""In a shared studio every address answers those the table of needs names, and nobody else."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.studio_people import Passed, Studio, Things, addresses, signed_in, things_of

from clothwright.library import store, whose
from clothwright.library.models import LayoutRun
from clothwright.library.shelves.on_hand import Kept
from clothwright.web import needs, planned
from clothwright.web.needs import NEEDS, Need

pytestmark = pytest.mark.django_db

#: Who passes, said here once more by hand: the owner shared a project and a sample with a guild (the reader is in it) and
#: with a class (of the teacher and a fellow student, who must not see it). The group asked for is the class.
SIGNED_IN = {"owner", "reader", "stranger", "teacher", "student", "keeper"}
PASS: dict[Need, set[str]] = {
    Need.AT_ONE_TABLE: set(),
    Need.ANYONE: SIGNED_IN | {"nobody"},
    Need.SIGNED_IN: SIGNED_IN,
    Need.CHANGE_PROJECT: {"owner"},
    Need.READ_PROJECT: {"owner", "reader", "teacher"},
    Need.COPY_PROJECT: {"owner", "reader", "teacher"},
    Need.CHANGE_THING: {"owner"},
    Need.READ_THING: {"owner", "reader", "teacher"},
    Need.COPY_THING: {"owner", "reader", "teacher"},
    Need.LEAFLET_LINK: SIGNED_IN | {"nobody"},
    Need.IN_GROUP: {"owner", "teacher", "student"},
    Need.RUNS_GROUP: {"teacher"},
    Need.KEEPER: {"keeper"},
}
CHANGES_BY_POST = {Need.READ_PROJECT, Need.READ_THING}


@pytest.fixture(autouse=True)
def shared_studio(settings: Any) -> None:
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def studio() -> Studio:
    return Studio.made()


def test_every_address_has_one_row_and_every_row_an_address() -> None:
    needs.check_every_address()


def test_an_address_without_a_row_is_refused_by_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(NEEDS, "history")
    with pytest.raises(needs.Uncovered, match="history"):
        needs.check_every_address()
    monkeypatch.setitem(NEEDS, "no_such_page", Need.ANYONE)
    monkeypatch.setitem(NEEDS, "history", Need.CHANGE_PROJECT)
    with pytest.raises(needs.Uncovered, match="no_such_page"):
        needs.check_every_address()


@pytest.mark.parametrize("role", sorted(PASS[Need.ANYONE]))
def test_who_passes_at_every_address_is_who_the_table_names(studio: Studio, settings: Any, role: str) -> None:
    settings.MIDDLEWARE = [*settings.MIDDLEWARE, "web.studio_people.Passed"]
    client, wrong = signed_in(studio.people[role]), []
    fellow = studio.people["student"]
    assert fellow is not None
    for name, path in addresses(studio.hers, studio.course, fellow):
        # Only samples are shared: a yarn or a loom is read by its owner alone.
        for method in ("get", "post"):
            answer = getattr(client, method)(path)
            passed = answer.content == Passed.SAID
            may = role in PASS[NEEDS[name]] and not (
                method == "post" and NEEDS[name] in CHANGES_BY_POST and role != "owner"
            )
            if passed != may or (not passed and not _refused(answer, role)):
                wrong.append(f"{method} {name} as {role}: {'passed' if passed else answer.status_code}")
    assert wrong == []


def _refused(answer: Any, role: str) -> bool:
    """As if there were no such page; who is not signed in is asked to sign in instead."""
    if role != "nobody":
        return bool(answer.status_code == 404)
    return bool(answer.status_code == 401 or (answer.status_code == 302 and answer["Location"].startswith("/sign-in/")))


def test_nothing_of_one_member_shows_on_any_page_of_another(studio: Studio) -> None:
    """The other has a library like hers; every page that answers to a GET is opened, archive and table of yarn too."""
    stranger = studio.people["stranger"]
    assert stranger is not None
    own = things_of(stranger, "whelk")
    LayoutRun.every.create(project=studio.hers.finished, seconds=30)
    client, seen = signed_in(stranger), 0
    for name, path in addresses(own, studio.course, stranger):
        if NEEDS[name] in (Need.IN_GROUP, Need.RUNS_GROUP, Need.KEEPER) or name in (
            "phone_worker",
            "phone_certificate",
        ):
            continue
        answer = client.get(path)
        assert b"samphire" not in _readable(answer), path
        seen += b"whelk" in _readable(answer)
    assert seen >= 12


def _readable(answer: Any) -> bytes:
    """What was answered; an archive unpacked."""
    content: bytes = answer.getvalue()
    if not content.startswith(b"PK"):
        return content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return b"".join(name.encode() + archive.read(name) for name in archive.namelist())


def test_who_reads_a_shared_project_sees_nothing_else_of_its_owner(studio: Studio) -> None:
    client, read = signed_in(studio.people["reader"]), 0
    for name, path in addresses(studio.hers, studio.guild, studio.people["owner"]):  # type: ignore[arg-type]
        if NEEDS[name] in (Need.READ_PROJECT, Need.READ_THING):
            answer = client.get(path)
            read += answer.status_code == 200
            assert b"samphire" not in _readable(answer), path
    assert read >= 8
    page = client.get(reverse("shared_project", args=[studio.hers.project.pk])).content.decode()
    assert "Shared by Owner, to read." in page
    assert "plain stole" in client.get(reverse("groups")).content.decode()


def test_the_owner_s_own_past_informs_her_plan_and_not_what_readers_see(studio: Studio) -> None:
    owner = studio.people["owner"]
    assert owner is not None
    with whose.seeing(whose.Seen(owner=owner.pk)):
        hers = planned.answer(store.head(store.project(studio.hers.project.pk))).plan
    with whose.seeing(whose.Seen(only=studio.hers.project.pk)):
        read = planned.answer(store.head(store.project(studio.hers.project.pk))).plan
    assert hers is not None
    assert read is not None
    assert "samphire shawl" in str(hers.working)
    assert "samphire shawl" not in str(read.working)


def test_two_members_have_evidence_searches_and_names_of_their_own(studio: Studio) -> None:
    stranger = studio.people["stranger"]
    assert stranger is not None
    own: Things = things_of(stranger, "whelk")
    with whose.seeing(whose.Seen(owner=stranger.pk)):
        plan = planned.answer(store.head(store.project(own.project.pk))).plan
        assert plan is not None
        assert "whelk shawl" in str(plan.working)
        assert "samphire" not in str(plan.working)
        assert [one.name for one in store.projects()] == ["whelk shawl", "plain stole"]
        with pytest.raises(type(own.project).DoesNotExist):
            store.project(studio.hers.project.pk)


def test_a_post_without_a_session_says_that_nothing_was_changed(studio: Studio) -> None:
    answer = Client().post(reverse("project", args=[studio.hers.project.pk]), {"name": "lost"})
    assert answer.status_code == 401
    assert "nothing was changed" in answer.content.decode()
    told = Client().get(reverse("phone_state", args=[studio.hers.project.pk]), headers={"Accept": "application/json"})
    assert (told.status_code, told.json()) == (401, {"problem": "sign in again"})


def test_answers_are_kept_by_nobody_on_the_way(studio: Studio) -> None:
    client = signed_in(studio.people["owner"])
    for path in ("/", "/sett/", "/groups/", reverse("project_file", args=[studio.hers.project.pk])):
        assert "private" in client.get(path)["Cache-Control"], path


def test_where_nobody_said_whose_it_is_the_work_stops() -> None:
    with pytest.raises(whose.NobodySaid):
        list(store.projects())
    with pytest.raises(whose.NobodySaid):
        store.new_project({}, "started")


def test_at_one_table_there_is_no_sign_in_and_everything_is_seen(settings: Any) -> None:
    settings.STUDIO = False
    client = Client()
    made = store.new_project({"name": "dulse cap"}, "started")
    assert made.owner is None
    page = client.get("/")
    assert "dulse cap" in page.content.decode()
    assert "My account" not in page.content.decode()
    assert "clothwright_session" not in page.cookies
    assert client.get(reverse("project", args=[made.pk])).status_code == 200


def test_what_is_kept_on_a_shelf_is_its_owner_s_alone(studio: Studio) -> None:
    yarn = studio.hers.on_shelf[Kept.YARN]
    path = reverse("thing", args=[Kept.YARN, yarn.pk])
    assert signed_in(studio.people["owner"]).get(path).status_code == 200
    assert {signed_in(studio.people[one]).get(path).status_code for one in ("reader", "teacher", "keeper")} == {404}
