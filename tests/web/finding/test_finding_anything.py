"""Finding anything by its words: what is found, in which order, whose it is, and that odd input is answered."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from commands import typed
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st
from web.every_route import PROJECT, Shore
from web.studio_people import Studio, signed_in

from clothwright.library import store, whose
from clothwright.library.models import Member
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.finding.answer import MOST, find
from clothwright.web.finding.matching import (
    MOST_LETTERS,
    MOST_WORDS,
    Findable,
    Place,
    excerpt,
    rank,
    read_words,
    standing,
)

pytestmark = pytest.mark.django_db

RECORDED = PROJECT | {
    "name": "Glasswort shrug",
    "yarn": [{**PROJECT["yarn"][0], "name": "glasswort"}],
    "record": {"date": "2026-03-14", "notes": "Hem hangs; the crème band is right."},
}


def found(words: str, member: Member | None = None) -> dict[str, list[str]]:
    return {kind.key: [one.name for one in kind.found] for kind in find(read_words(words), member)}


def test_each_kind_is_found_by_its_words_and_says_where_they_stand() -> None:
    shore = Shore.made()
    store.new_project(RECORDED, "started")
    assert found("samphire tunic")["project"] == ["Samphire tunic"]
    assert found("panel")["project"] == ["Samphire tunic", "Glasswort shrug"]
    assert found("quay")["loom"] == ["quay loom"]
    assert found("quay square")["sample"] == ["quay square"]
    assert found("samphire")["yarn"] == ["samphire"]
    assert found("selvage")["word"][0] == "selvedge (American selvage)"
    assert found("wash yarn skein")["guide"]
    (record,) = find(read_words("creme hem"))
    (one,) = record.found
    assert (record.key, one.name, one.standing.where) == ("record", "Glasswort shrug", "record, notes")
    assert [piece for piece, is_found in one.standing.excerpt if is_found] == ["Hem", "crème"]
    assert one.url == reverse("record", args=[store.projects().get(name="Glasswort shrug").pk])
    store.put_away(shore.project)
    (away,) = find(read_words("samphire tunic"))[0].found
    assert away.said == "put away"


def test_a_change_is_found_and_what_it_replaced_is_not() -> None:
    project = store.new_project(RECORDED, "started")
    assert "record" in found("crème")
    store.change(project, RECORDED | {"record": {"date": "2026-03-14", "notes": "Hem mended."}}, "notes")
    assert "record" not in found("crème")
    assert "record" in found("mended")


def test_every_word_must_stand_in_it_and_the_name_counts_most() -> None:
    name, note = Findable("Kelp coat"), Findable("Coat", (Place("notes", "lined with kelp"),))
    asked = read_words("kelp coat")
    ranks = [rank(one, asked) for one in (name, note)]
    assert ranks[0] > ranks[1] > 0  # type: ignore[operator]
    assert rank(Findable("Kelp"), asked) is None
    assert standing(note, asked).where == "notes"
    assert standing(name, asked).where == ""


def test_a_short_word_stands_by_itself_and_a_longer_one_within_another() -> None:
    assert rank(Findable("plain, 2 shuttles"), read_words("2")) is not None
    assert rank(Findable("plain, 12 ends"), read_words("2")) is None
    assert rank(Findable("saltmarsh"), read_words("marsh")) is not None
    assert rank(Findable("heddle 30/10 cm"), read_words("30/10")) is not None


@given(st.text(max_size=400))
def test_whatever_is_typed_is_read_and_an_excerpt_is_a_part_of_the_text(text: str) -> None:
    asked = read_words(text)
    assert len(asked.words) <= MOST_WORDS
    assert len(asked.typed) <= MOST_LETTERS
    one = Findable("name", (Place("notes", text),))
    if asked.words and rank(one, asked) is not None:
        pieces = excerpt(text, asked.patterns)
        assert "".join(piece for piece, _ in pieces).strip("…") in " ".join(text.split())


def test_odd_input_is_answered_by_the_page(client: Client) -> None:
    for words in (
        "",
        " ",
        "%",
        "\0",
        "'; drop table",
        "((((",
        "x" * 5000,
        "🧶",
        "…",
        "\\d+",
        "<b>yarn</b>",
        "ends\nsett",
    ):
        answer = client.get(reverse("find"), {"words": words})
        assert answer.status_code == 200, words
        assert "<b>yarn" not in answer.content.decode()
    assert "holds no letter or digit" in client.get(reverse("find"), {"words": "%"}).content.decode()
    assert "Nothing holds “zzgrmpf”" in client.get(reverse("find"), {"words": "zzgrmpf"}).content.decode()


def test_many_are_told_as_many_and_the_best_are_shown(client: Client) -> None:
    for number in range(MOST + 3):
        store.new_project(PROJECT | {"name": f"Bladderwrack {number}"}, "started")
    page = client.get(reverse("find"), {"words": "bladderwrack"}).content.decode()
    assert f"The first {MOST} of {MOST + 3}" in page
    assert "<mark>" not in page.split("found-project")[-1].split("</ul>")[0]
    assert f"{reverse('records')}?words=bladderwrack" in page


def test_a_member_finds_her_own_and_what_is_shared_with_her_and_nothing_else(settings: Any) -> None:
    """In the names of the studio’s things `samphire` is the owner’s word; what she shares has none of it, and its yarn has."""
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    studio = Studio.made()
    told: dict[str, set[str]] = {}
    for role in ("owner", "reader", "stranger", "teacher", "student", "keeper"):
        page = signed_in(studio.people[role]).get(reverse("find"), {"words": "samphire"}).content.decode()
        told[role] = set(re.findall(r'id="found-(\w+)"', page))
    hers = {"record", "yarn", "loom", "sample", "project"}
    assert told.pop("owner") - {"guide"} == hers
    assert all(not kinds & hers for kinds in told.values())
    readers = signed_in(studio.people["reader"]).get(reverse("find"), {"words": "plain stole"}).content.decode()
    assert reverse("shared_project", args=[studio.hers.project.pk]) in readers
    assert "by Owner" in readers
    for role in ("stranger", "keeper"):
        page = signed_in(studio.people[role]).get(reverse("find"), {"words": "plain stole"}).content.decode()
        assert not re.findall(r'id="found-(project|sample|shared)"', page)
    assert signed_in(None).get(reverse("find"), {"words": "stole"}).status_code == 302


def test_the_command_finds_the_same() -> None:
    on_hand.add(Kept.YARN, {"units": "metric", "yarn": [{"name": "bladderwrack"}]}, "typed in")
    with whose.seeing(whose.EVERYTHING):
        said = typed("find", "bladderwrack", "--json")
        data = json.loads(said.stdout)
        assert [(kind["kind"], kind["many"], kind["found"][0]["name"]) for kind in data["kinds"]] == [
            ("yarn", 1, "bladderwrack")
        ]
        assert "Yarn on hand: 1" in typed("find", "bladderwrack").stdout
    assert typed("find", "%").returncode == 2
