"""Every address that only one of the two has, at one table and in a studio: there it answers as it should, here it is not there.

The walk over the addresses of one table is `tests/web/test_every_route.py`; who passes the gate is in `test_gate.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from web.every_route import Visit
from web.studio_people import PASSWORD, Studio, Things, addresses, member, signed_in, things_of
from web.test_every_route import _walked

from clothwright.library.models import Belonging, Group, Invitation, LeafletLink, Member, Project, Revision, Share
from clothwright.library.studio import groups, members
from clothwright.web.needs import NEEDS, STUDIO_ONLY, Need

pytestmark = pytest.mark.django_db

#: Pages of both that a studio shows in another way: with names, and ways to share.
DIFFERENT = ("projects", "project", "thing", "shelf", "leaflet", "records")


@pytest.fixture
def studio(settings: Any) -> Studio:
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    return Studio.made()


def visits(things: Things, group: Group, person: Member, by: Member) -> Iterator[tuple[str, str]]:
    """The addresses of a studio and those it shows in another way, the links in them made for this."""
    secret = groups.invite(by, group)[1]
    links = {
        "invitation": reverse("invitation", args=[secret]),
        "new_password": reverse("new_password", args=members.password_link(person)),
    }
    for name, path in addresses(things, group, person):
        if name in STUDIO_ONLY or name in DIFFERENT:
            yield name, links.get(name, path)


def counted() -> list[object]:
    kinds = (Member, Group, Belonging, Invitation, Share, LeafletLink, Project, Revision)
    rows = [list(kind._base_manager.order_by("pk").values()) for kind in kinds]
    return [[{name: one for name, one in row.items() if name != "last_login"} for row in every] for every in rows]


def test_at_one_table_no_address_of_a_studio_is_there(settings: Any) -> None:
    """Neither to look at nor to post to, whoever once signed in."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    owner = member("owner", keeper=True)
    things, group = things_of(owner, "samphire"), groups.new_group("quay guild", "guild", owner)
    seen = set()
    for name, path in visits(things, group, owner, owner):
        if name in STUDIO_ONLY:
            seen.add(name)
            for client in (Client(), signed_in(owner)):
                assert [client.get(path).status_code, client.post(path).status_code] == [404, 404], name
    assert seen == STUDIO_ONLY


def test_in_a_studio_no_address_of_one_table_alone_is_there(studio: Studio) -> None:
    """Not even to who keeps it."""
    alone = [
        path
        for name, path in addresses(studio.hers, studio.course, studio.people["student"])  # type: ignore[arg-type]
        if NEEDS[name] == Need.AT_ONE_TABLE
    ]
    for path in alone:
        assert signed_in(studio.people["keeper"]).get(path).status_code == 404, path
        assert signed_in(None).get(path)["Location"].startswith("/sign-in/"), path
    assert len(alone) == 10


@pytest.mark.parametrize("role", ["owner", "teacher", "student", "keeper", "nobody"])
def test_every_page_of_a_studio_keeps_to_the_policy_and_looking_changes_nothing(studio: Studio, role: str) -> None:
    """As each of its people sees them: no inline script or style, no form without a token, no fault, no name of the owner's others."""
    teacher, student = studio.people["teacher"], studio.people["student"]
    assert teacher is not None
    assert student is not None
    there = list(visits(studio.hers, studio.course, student, teacher))
    client, before, pages = signed_in(studio.people[role]), counted(), 0
    for name, path in there:
        answer = client.get(path)
        assert answer.status_code < 500, f"{path} answers {answer.status_code}"
        pages += answer.status_code == 200 and _walked(client, Visit(name, path, frozenset({"GET"})))
    assert counted() == before
    assert pages >= {"nobody": 4, "student": 9, "keeper": 9}.get(role, 12)


@pytest.mark.parametrize("role", ["owner", "teacher", "keeper", "nobody"])
def test_no_post_to_a_studio_is_taken_without_a_token(studio: Studio, role: str) -> None:
    """From a page elsewhere, with the session of who would be let in."""
    teacher, student = studio.people["teacher"], studio.people["student"]
    assert teacher is not None
    assert student is not None
    there = list(visits(studio.hers, studio.course, student, teacher))
    stranger, before, posts = signed_in(studio.people[role], enforce_csrf_checks=True), counted(), 0
    for name, path in there:
        answer = stranger.post(path, {"name": "from elsewhere", "do": "keep", "password": PASSWORD})
        assert answer.status_code in (401, 403, 404, 405, 302), f"{name}: {answer.status_code}"
        assert answer.status_code != 302 or answer["Location"].startswith("/sign-in/"), name
        posts += answer.status_code == 403
    assert posts >= 4
    assert counted() == before
