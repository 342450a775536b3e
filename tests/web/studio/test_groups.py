"""The pages of groups and members in a shared studio, and sharing with a group."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone
from web.studio_people import Studio, member, signed_in

from clothwright.library import store, whose
from clothwright.library.models import Invitation, Share
from clothwright.library.shelves.on_hand import Kept
from clothwright.library.studio import groups, shares
from clothwright.library.studio.studio_asked import Mail
from clothwright.web.forms.form import for_the_page

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shared_studio(settings: Any) -> None:
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def studio() -> Studio:
    return Studio.made()


def test_a_keeper_makes_a_class_and_teaches_it_until_another_does() -> None:
    keeper, wren = member("keeper", keeper=True), member("wren")
    client = signed_in(keeper)
    answer = client.post(reverse("make_group"), {"name": " first  warp ", "kind": "class"})
    (mine,) = groups.groups_of(keeper)
    assert answer["Location"] == reverse("group", args=[mine.group.pk])
    assert (mine.group.name, mine.role) == ("first warp", "teacher")
    refused = client.post(reverse("leave_group", args=[mine.group.pk]))
    assert refused.status_code == 302
    again = groups.new_group("second warp", "class", keeper)
    groups.accept(groups.invite(keeper, again)[1], wren)
    stuck = client.post(reverse("leave_group", args=[again.pk]))
    assert stuck.status_code == 422
    assert "invite another teacher or keeper first" in stuck.content.decode()


@pytest.mark.parametrize(("typed", "said"), [({"kind": "guild"}, "called"), ({"name": "x", "kind": "gang"}, "no kind")])
def test_a_group_without_a_name_or_of_no_kind_is_refused(typed: dict[str, str], said: str) -> None:
    answer = signed_in(member("keeper", keeper=True)).post(reverse("make_group"), typed)
    assert answer.status_code == 422
    assert said in answer.content.decode()


def test_a_class_comes_in_by_one_link_and_a_link_taken_back_lets_nobody_in(studio: Studio) -> None:
    client = signed_in(studio.people["teacher"])
    page = client.post(reverse("invite_to_group", args=[studio.course.pk]), {"uses": "12"}).content.decode()
    assert "Good for 12" in page
    (path,) = re.findall(r"http://testserver(/invitation/[^\"]+)", page)
    assert signed_in(studio.people["stranger"]).post(path).status_code == 302
    made = Invitation.objects.get(uses_left=11)
    client.post(reverse("take_invitation_back", args=[studio.course.pk, made.pk]))
    assert signed_in(studio.people["reader"]).get(path).status_code == 404


@pytest.mark.parametrize("uses", ["0", "61", "-1", "many", "999999"])
def test_an_invitation_for_too_many_is_refused(studio: Studio, uses: str) -> None:
    answer = signed_in(studio.people["teacher"]).post(
        reverse("invite_to_group", args=[studio.course.pk]), {"uses": uses}
    )
    assert answer.status_code == 422
    assert "1 to 60" in answer.content.decode()


def test_an_invitation_is_sent_where_mail_is_set_up_and_shown_where_it_is_not(studio: Studio, settings: Any) -> None:
    client, path = signed_in(studio.people["teacher"]), reverse("invite_to_group", args=[studio.course.pk])
    shown = client.post(path, {"email": "heron@guild.example"}).content.decode()
    assert "Hand this link over" in shown
    assert mail.outbox == []
    settings.MAIL = Mail(host="mail.example", sender="studio@guild.example")
    assert "was sent to heron@guild.example" in client.post(path, {"email": "heron@guild.example"}).content.decode()
    (letter,) = mail.outbox
    assert (letter.to, "/invitation/" in str(letter.body)) == (["heron@guild.example"], True)
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9
    assert "did not take the letter" in client.post(path, {"email": "heron@guild.example"}).content.decode()


def test_what_is_shared_is_read_copied_and_taken_back(studio: Studio) -> None:
    owner, reader = studio.people["owner"], studio.people["reader"]
    assert reader is not None
    page, key = signed_in(reader), studio.hers.project.pk
    assert "plain stole" in page.get(reverse("group", args=[studio.guild.pk])).content.decode()
    made = page.post(reverse("copy_project", args=[key]))
    with whose.seeing(whose.Seen(owner=reader.pk)):
        (copied,) = store.projects()
        assert made["Location"] == reverse("project", args=[copied.pk])
        assert store.head(copied).what == "copied from plain stole of Owner"
    sharing = reverse("share_project", args=[key])
    ticked = signed_in(owner).get(sharing).content.decode()
    assert len(re.findall(r'value="\d+" checked', ticked)) == 2
    signed_in(owner).post(sharing, {"group": [str(studio.course.pk)]})
    assert page.get(reverse("shared_project", args=[key])).status_code == 404
    assert page.get(reverse("sheet", args=[key, "plan"])).status_code == 404
    assert signed_in(studio.people["teacher"]).get(reverse("shared_project", args=[key])).status_code == 200


def test_a_shared_sample_shows_what_it_tells_and_its_photo(studio: Studio) -> None:
    sample = studio.hers.on_shelf[Kept.SAMPLE]
    client = signed_in(studio.people["teacher"])
    page = client.get(reverse("shared_sample", args=[Kept.SAMPLE, sample.pk])).content.decode()
    assert "plain square" in page
    assert "24.0 cm" in page
    assert client.get(reverse("thing_photo", args=[Kept.SAMPLE, sample.pk, studio.hers.photo.pk])).status_code == 200
    made = client.post(reverse("copy_sample", args=[Kept.SAMPLE, sample.pk]))
    assert client.get(made["Location"]).status_code == 200


def test_nobody_shares_with_a_group_she_does_not_belong_to_nor_what_is_not_hers(studio: Studio) -> None:
    stranger = studio.people["stranger"]
    assert stranger is not None
    with whose.seeing(whose.Seen(owner=stranger.pk)):
        own = store.new_project({"name": "own cap"}, "started")
    signed_in(stranger).post(reverse("share_project", args=[own.pk]), {"group": [str(studio.guild.pk)]})
    assert not Share.objects.filter(project=own).exists()
    reader = signed_in(studio.people["reader"])
    assert reader.post(reverse("share_project", args=[studio.hers.project.pk]), {"group": []}).status_code == 404
    assert Share.objects.filter(project=studio.hers.project).count() == 2


def test_who_is_taken_out_of_a_group_takes_back_what_she_shared_with_it(studio: Studio) -> None:
    owner, teacher = studio.people["owner"], studio.people["teacher"]
    assert owner is not None
    signed_in(teacher).post(reverse("take_out_of_group", args=[studio.course.pk, owner.pk]))
    assert groups.role_in(owner, studio.course.pk) is None
    assert shares.shared_with(studio.hers.project) == {studio.guild.pk}


def test_a_student_sees_what_the_teacher_shares_and_not_what_others_do(studio: Studio) -> None:
    teacher, student = studio.people["teacher"], studio.people["student"]
    assert teacher is not None
    assert student is not None
    with whose.seeing(whose.Seen(owner=teacher.pk)):
        lesson = store.new_project({"name": "lesson scarf"}, "started")
    shares.share(teacher, studio.course, lesson)
    assert [one.project for one in shares.read_by(student)] == [lesson]
    names = {str(one.project or one.sample) for one in shares.read_by(teacher)}
    assert names == {"lesson scarf", "plain stole", "plain square"}


def test_the_keeper_of_the_studio_sees_addresses_and_nothing_that_members_keep(studio: Studio) -> None:
    client = signed_in(studio.people["keeper"])
    page = client.get(reverse("members")).content.decode()
    assert "owner@guild.example" in page
    assert "samphire" not in page
    assert client.get(reverse("group", args=[studio.guild.pk])).status_code == 404
    assert (
        "owner@guild.example"
        not in signed_in(studio.people["reader"]).get(reverse("group", args=[studio.guild.pk])).content.decode()
    )


def test_a_search_of_one_member_is_not_named_to_another_who_is_told_her_place_in_the_queue(studio: Studio) -> None:
    """Who has one running comes after her; who was not served yet comes before her second. It is counted, not named; hers can be taken out."""
    from clothwright.library.models import LayoutRun

    stranger = studio.people["stranger"]
    assert stranger is not None
    LayoutRun.every.create(project=studio.hers.finished, seconds=30)
    LayoutRun.every.create(project=studio.hers.project, seconds=30, waits=True)
    with whose.seeing(whose.Seen(owner=stranger.pk)):
        own = store.new_project({"name": "own cap"}, "started")
    her, page = signed_in(stranger), reverse("search", args=[own.pk])
    fragment = her.post(page, headers={"HX-Request": "true"}).content.decode()
    assert "waits for its turn. It is the next" in fragment
    assert "every 5s" in fragment
    LayoutRun.every.filter(waits=True, project=own).update(begun_at=timezone.now(), waits=False)
    LayoutRun.every.filter(waits=False).update(ended=True)
    fragment = her.post(page, headers={"HX-Request": "true"}).content.decode()
    assert "One other comes before it" in fragment
    assert "samphire" not in fragment
    her.post(reverse("stop_search", args=[own.pk]))
    assert not LayoutRun.every.filter(project=own, ended=False).exists()


def test_what_is_shared_with_several_of_one_s_groups_is_listed_once_with_them(studio: Studio) -> None:
    owner = signed_in(studio.people["owner"])
    page = owner.get(reverse("groups")).content.decode()
    assert page.count(">plain stole <") + page.count(">plain stole</a>") == 1
    assert re.search(r"project, yours, (quay guild, first warp|first warp, quay guild)", page)


def test_sharing_stands_among_the_pages_of_a_project_and_a_refused_page_says_why_it_may_be(studio: Studio) -> None:
    project = studio.hers.project.pk
    page = signed_in(studio.people["owner"]).get(reverse("leaflet", args=[project])).content.decode()
    assert f'<a href="{reverse("share_project", args=[project])}">Share</a>' in page
    refused = signed_in(studio.people["stranger"]).get(reverse("project", args=[project]))
    assert refused.status_code == 404
    assert "not shared with you" in refused.content.decode()
    assert "An example of this page" not in refused.content.decode()


LEAFLET = Path(__file__).parents[3] / "examples" / "tideline-vest.toml"


def test_a_buyer_reads_what_was_given_out_by_its_link_and_nothing_else(studio: Studio) -> None:
    """Neither a leaflet that was not given out, nor what the project says since: its later name is on neither page nor paper."""
    owner = studio.people["owner"]
    assert owner is not None
    with whose.seeing(whose.Seen(owner=owner.pk)):
        vest = store.new_project(for_the_page(tomllib.loads(LEAFLET.read_text(encoding="utf-8"))), "opened")
    sharing, client = reverse("share_project", args=[vest.pk]), signed_in(owner)
    link, give_out = reverse("leaflet_link", args=[vest.pk]), reverse("leaflet_publish", args=[vest.pk])
    assert "There can be no link yet: no version of this leaflet" in client.get(sharing).content.decode()
    refused = client.post(link, {"do": "open"})
    assert (refused.status_code, shares.leaflet_link(vest)) == (422, None)
    assert "No version of this leaflet was given out yet" in refused.content.decode()
    assert client.post(give_out, {"version": "1.0"}).status_code == 302
    assert client.post(link, {"do": "open"}).status_code == 302
    (path,) = re.findall(r"http://testserver(/leaflet/[^\"]+)", client.get(sharing).content.decode())
    with whose.seeing(whose.Seen(owner=owner.pk)):
        store.change(vest, store.head(vest).tree | {"name": "secret cape"}, "name")
    buyer = signed_in(None)
    page = buyer.get(path).content.decode()
    assert "Tideline vest" in page
    assert "version 1.0" in page
    assert "secret cape" not in page
    sheet, file = (buyer.get(address) for address in re.findall(r'href="(/leaflet/[^"?]+\.(?:pdf|html))"', page))
    assert (sheet.status_code, sheet["Content-Type"]) == (200, "application/pdf")
    assert 'filename="tideline-vest-what-you-need-1.0.html"' in file["Content-Disposition"]
    assert "Goes with version 1.0 of the leaflet." in file.content.decode()
    for name in ("project", "shared_project", "project_file"):
        assert buyer.get(reverse(name, args=[vest.pk]))["Location"].startswith("/sign-in/")
    assert buyer.get("/leaflet/00000000-0000-4000-8000-000000000000.pdf").status_code == 404
    client.post(give_out, {"version": "1.1"})
    assert "version 1.1" in buyer.get(path).content.decode()
    client.post(link, {"do": "open", "version": "1.0"})
    assert "version 1.0" in buyer.get(path).content.decode()
    assert "Version 9 was not given out" in client.post(link, {"do": "open", "version": "9"}).content.decode()
    client.post(link, {"do": "close"})
    for ending in ("/", ".pdf", ".html"):
        assert buyer.get(path.removesuffix("/") + ending).status_code == 404
