"""Signing in and out, invitations, passwords, and leaving a shared studio with all that is one's own."""

from __future__ import annotations

import io
import re
import zipfile
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.contrib.sessions.models import Session
from django.core import mail
from django.test import Client
from django.urls import reverse
from web.studio_people import PASSWORD, Studio, member, signed_in

from clothwright.library import whose
from clothwright.library.keeping.archive import bring_in
from clothwright.library.models import Group, Member, OnHand, Photo, Project, Revision, Share
from clothwright.library.studio import groups, members
from clothwright.library.studio.studio_asked import Mail

pytestmark = pytest.mark.django_db
NEW = "three wrack bladders"


@pytest.fixture(autouse=True)
def shared_studio(settings: Any) -> None:
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def try_it(client: Client, email: str, password: str, **more: str) -> Any:
    return client.post(reverse("sign_in"), {"email": email, "password": password, **more})


def test_a_member_signs_in_goes_where_she_was_going_and_signs_out() -> None:
    member("wren")
    client = Client()
    first = client.get("/sett/?wraps=15/in")
    assert first["Location"] == "/sign-in/?next=%2Fsett%2F%3Fwraps%3D15%2Fin"
    answer = try_it(client, " Wren@Guild.example ", PASSWORD, next="/sett/?wraps=15/in")
    assert answer["Location"] == "/sett/?wraps=15/in"
    assert client.get("/").status_code == 200
    assert client.post(reverse("sign_out")).status_code == 302
    assert client.get("/").status_code == 302


@pytest.mark.parametrize("next_page", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)"])
def test_signing_in_leads_to_pages_of_ours_only(next_page: str) -> None:
    member("wren")
    assert try_it(Client(), "wren@guild.example", PASSWORD, next=next_page)["Location"] == "/"


def test_a_wrong_password_and_an_unknown_address_are_told_alike() -> None:
    member("wren")
    wrong = try_it(Client(), "wren@guild.example", "no such word")
    unknown = try_it(Client(), "heron@guild.example", "no such word")
    told = [re.sub(r'value="[^"]*"', "", one.content.decode()) for one in (wrong, unknown)]
    assert wrong.status_code == unknown.status_code == 422
    assert told[0] == told[1]
    assert "no-store" in wrong["Cache-Control"]


def test_a_new_session_is_begun_at_signing_in() -> None:
    """Whoever planted a session in a browser does not share the one that is signed in."""
    member("wren")
    client = Client()
    client.get(reverse("sign_in"))
    session = client.session
    session["planted"] = "yes"
    session.save()
    client.cookies["clothwright_session"] = before = str(session.session_key)
    try_it(client, "wren@guild.example", PASSWORD)
    assert client.cookies["clothwright_session"].value != before
    assert not Session.objects.filter(session_key=before).exists()


def test_after_five_wrong_tries_even_the_right_password_waits() -> None:
    member("wren")
    client = Client()
    for _ in range(5):
        assert try_it(client, "wren@guild.example", "no such word").status_code == 422
    answer = try_it(client, "wren@guild.example", PASSWORD)
    assert answer.status_code == 429
    assert "quarter of an hour" in answer.content.decode()
    assert try_it(Client(REMOTE_ADDR="10.0.0.9"), "wren@guild.example", PASSWORD).status_code == 302


def test_signing_out_everywhere_ends_every_session() -> None:
    wren = member("wren")
    here, there = signed_in(wren), signed_in(wren)
    assert there.get("/").status_code == 200
    here.post(reverse("sign_out"), {"everywhere": "1"})
    assert there.get("/").status_code == 302


def test_a_changed_password_ends_the_other_sessions_and_not_this_one() -> None:
    wren = member("wren")
    here, there = signed_in(wren), signed_in(wren)
    answer = here.post(reverse("me"), {"do": "password", "old": PASSWORD, "password": NEW, "again": NEW})
    assert answer.status_code == 302
    assert here.get("/").status_code == 200
    assert there.get("/").status_code == 302
    assert try_it(Client(), "wren@guild.example", NEW).status_code == 302


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"old": "wrong", "password": NEW, "again": NEW}, "not your password"),
        ({"old": PASSWORD, "password": NEW, "again": "another"}, "not alike"),
        ({"old": PASSWORD, "password": "short", "again": "short"}, "too short"),
        ({"old": PASSWORD, "password": "wren@guild.example", "again": "wren@guild.example"}, "too similar"),
        ({"old": PASSWORD, "password": "1234567890", "again": "1234567890"}, "entirely numeric"),
    ],
)
def test_a_password_that_will_not_do_is_refused_beside_its_field(typed: dict[str, str], sentence: str) -> None:
    wren = member("wren")
    answer = signed_in(wren).post(reverse("me"), {"do": "password", **typed})
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert try_it(Client(), "wren@guild.example", PASSWORD).status_code == 302


def test_a_forgotten_password_is_set_anew_by_a_letter_once(settings: Any) -> None:
    settings.MAIL = Mail(host="mail.example", sender="studio@guild.example")
    settings.STUDIO_ADDRESS = "https://studio.guild.example"
    wren = member("wren")
    there = signed_in(wren)
    known = Client().post(reverse("forgotten"), {"email": "wren@guild.example"})
    unknown = Client().post(reverse("forgotten"), {"email": "heron@guild.example"})
    assert known.content.decode().replace("wren", "heron") == unknown.content.decode()
    (letter,) = mail.outbox
    (address,) = re.findall(r"https://studio\.guild\.example\S+", str(letter.body))
    client, path = Client(), urlsplit(address).path
    assert client.post(path, {"password": NEW, "again": NEW}).status_code == 302
    assert client.get("/").status_code == 200
    assert there.get("/").status_code == 302
    assert Client().get(path).status_code == 404


def test_without_mail_a_keeper_hands_over_the_link() -> None:
    keeper, wren = member("keeper", keeper=True), member("wren")
    assert "Ask who keeps the studio" in Client().get(reverse("forgotten")).content.decode()
    page = signed_in(keeper).post(reverse("password_link", args=[wren.pk])).content.decode()
    (path,) = re.findall(r"http://testserver(/new-password/[^\"]+)", page)
    assert Client().post(path, {"password": NEW, "again": NEW}).status_code == 302
    assert try_it(Client(), "wren@guild.example", NEW).status_code == 302


def test_a_link_to_a_new_password_that_was_made_up_opens_nothing() -> None:
    wren = member("wren")
    who, sign = members.password_link(wren)
    other, _ = members.password_link(member("heron"))
    for parts in ((other, sign), (who, sign[:-1] + "x"), ("%%", sign), ("w", "s")):
        assert Client().post(reverse("new_password", args=parts), {"password": NEW, "again": NEW}).status_code == 404


def test_an_invitation_makes_a_member_of_the_group_once() -> None:
    keeper = member("keeper", keeper=True)
    guild = groups.new_group("quay guild", "guild", keeper)
    page = signed_in(keeper).post(reverse("invite_to_group", args=[guild.pk]), {"uses": "1"}).content.decode()
    (path,) = re.findall(r"http://testserver(/invitation/[^\"]+)", page)
    client = Client()
    assert "Keeper invites you to this guild" in client.get(path).content.decode()
    typed = {"name": "Wren", "email": "Wren@guild.example", "password": PASSWORD, "again": PASSWORD}
    refused = client.post(path, typed | {"password": "short", "again": "short"})
    assert refused.status_code == 422
    assert 'value="Wren"' in refused.content.decode()
    assert not Member.objects.filter(email="wren@guild.example").exists()
    assert client.post(path, typed).status_code == 302
    assert "quay guild" in client.get(reverse("groups")).content.decode()
    assert Client().get(path).status_code == 404
    assert Client().post(path, typed | {"email": "heron@guild.example"}).status_code == 404


def test_an_invitation_for_one_address_lets_no_other_in() -> None:
    keeper, wren = member("keeper", keeper=True), member("wren")
    guild = groups.new_group("quay guild", "guild", keeper)
    _, secret = groups.invite(keeper, guild, email="heron@guild.example")
    path = reverse("invitation", args=[secret])
    assert signed_in(wren).post(path).status_code == 422
    typed = {"name": "Heron", "email": "other@guild.example", "password": PASSWORD, "again": PASSWORD}
    assert Client().post(path, typed).status_code == 302
    assert Member.objects.filter(email="heron@guild.example").exists()
    assert not Member.objects.filter(email="other@guild.example").exists()


def test_everything_of_mine_is_mine_and_another_clothwright_brings_it_in() -> None:
    studio = Studio.made()
    answer = signed_in(studio.people["owner"]).get(reverse("everything_mine"))
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        names = archive.namelist()
    assert sum(name.endswith("project.toml") for name in names) == 2
    assert sum(name.endswith("states.json") for name in names) == 4
    assert sum(name.endswith(".jpg") for name in names) == 1
    wren = member("wren")
    with whose.seeing(whose.Seen(owner=wren.pk)):
        came = bring_in(answer.content)
        assert len(came.added) == 6
        assert came.here_already == ()
        assert bring_in(answer.content).added == ()
        assert {one.owner_id for one in Project.objects.all()} == {wren.pk}
        assert Photo.objects.count() == 1


def test_leaving_takes_away_all_that_was_hers_and_what_she_shared() -> None:
    studio = Studio.made()
    owner, reader = studio.people["owner"], studio.people["reader"]
    client = signed_in(owner)
    shared = reverse("shared_project", args=[studio.hers.project.pk])
    assert signed_in(reader).get(shared).status_code == 200
    kept = signed_in(reader).post(reverse("copy_project", args=[studio.hers.project.pk]))
    assert client.post(reverse("leave_studio"), {"password": "wrong"}).status_code == 422
    assert client.post(reverse("leave_studio"), {"password": PASSWORD}).status_code == 200
    assert client.get("/").status_code == 302
    assert signed_in(reader).get(shared).status_code == 404
    assert signed_in(reader).get(kept["Location"]).status_code == 200
    assert Project.every.count() == 1
    assert OnHand.every.count() == Photo.every.count() == Share.objects.count() == 0
    assert set(Revision.every.values_list("project__owner__name", flat=True)) == {"Reader"}
    assert not Member.objects.filter(name="Owner").exists()


def test_a_guild_goes_to_who_belongs_to_it_longest_and_a_class_ends_with_its_teacher() -> None:
    studio = Studio.made()
    reader, teacher = studio.people["reader"], studio.people["teacher"]
    assert reader is not None
    assert teacher is not None
    members.leave(reader)
    (left,) = groups.who_belongs(studio.guild)
    assert (left.member.name, left.role) == ("Owner", "keeper")
    members.leave(teacher)
    assert list(Group.objects.all()) == [studio.guild]
    assert Share.objects.count() == 2


def test_the_only_keeper_of_a_studio_with_others_in_it_stays_until_another_keeps_it() -> None:
    keeper, wren = member("keeper", keeper=True), member("wren")
    answer = signed_in(keeper).post(reverse("leave_studio"), {"password": PASSWORD})
    assert "make another member keeper first" in answer.content.decode()
    assert signed_in(keeper).post(reverse("keep_studio", args=[keeper.pk]), {"do": "no longer"}).status_code == 422
    signed_in(keeper).post(reverse("keep_studio", args=[wren.pk]), {"do": "keep"})
    assert signed_in(keeper).post(reverse("leave_studio"), {"password": PASSWORD}).status_code == 200
    assert signed_in(wren).get(reverse("members")).status_code == 200


def test_cookies_go_over_https_only_where_members_come_by_https(monkeypatch: pytest.MonkeyPatch) -> None:
    import importlib

    from clothwright.web import settings as read

    monkeypatch.setenv("CLOTHWRIGHT_STUDIO", "1")
    monkeypatch.setenv("CLOTHWRIGHT_ADDRESS", "https://studio.guild.example/")
    try:
        importlib.reload(read)
        assert (read.SESSION_COOKIE_SECURE, read.CSRF_COOKIE_SECURE) == (True, True)
        assert read.CSRF_TRUSTED_ORIGINS == ["https://studio.guild.example"]
        assert read.SECURE_HSTS_SECONDS > 0
    finally:
        monkeypatch.undo()
        importlib.reload(read)
    assert read.SESSION_COOKIE_SECURE is False


def test_passwords_are_kept_by_argon2(settings: Any) -> None:
    from clothwright.web import settings as read

    settings.PASSWORD_HASHERS = read.PASSWORD_HASHERS
    made = members.new_member("wren@guild.example", "Wren", PASSWORD)
    assert made.password.startswith("argon2$argon2id$")
    assert try_it(Client(), made.email, PASSWORD).status_code == 302
