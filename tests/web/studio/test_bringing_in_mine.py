"""A member brings in what she kept elsewhere; leaving with everything and coming back is a round trip."""

from __future__ import annotations

import io
import os
import re
import tomllib
import uuid
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image
from web.studio_people import PASSWORD, Studio, member, signed_in

from clothwright.library import export_bundle, store, whose
from clothwright.library.keeping import waiting
from clothwright.library.keeping.archive import exported
from clothwright.library.loom.entries import NewEntry, keep_entry, keep_order
from clothwright.library.models import OnHand, Project, PublishedLeaflet
from clothwright.library.record import project_photos, record_numbers
from clothwright.library.shelves import on_hand, photos
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.forms.form import for_the_page
from clothwright.web.sheets.sheet_pages import today

pytestmark = pytest.mark.django_db
EXAMPLES = Path(__file__).parents[3] / "examples"
MINE = "/me/bring-in/"


@pytest.fixture(autouse=True)
def shared_studio(settings: Any) -> None:
    settings.STUDIO = True
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def sent(client: Client, name: str, content: bytes) -> str:
    """The address of the page that tells what is in a file."""
    file = io.BytesIO(content)
    file.name = name
    return str(client.post(MINE, {"file": file}).headers["Location"])


def seen_by(who: Any) -> Any:
    return whose.seeing(whose.Seen(owner=who.pk))


def picture(seed: int) -> bytes:
    """Something that a second writing would change."""
    file = io.BytesIO()
    Image.effect_noise((80 + seed, 60), 90).convert("RGB").save(file, "PNG")
    return file.getvalue()


def years_of_weaving(client: Client, who: Any) -> Project:
    """A garment woven, sewn, photographed, numbered, its leaflet given out; yarn, a loom, and a sample with its photo."""
    tree = for_the_page(tomllib.loads((EXAMPLES / "tideline-vest.toml").read_text(encoding="utf-8")))
    with seen_by(who):
        vest = store.new_project(tree, "opened")
    client.post(reverse("leaflet_publish", args=[vest.pk]), {"version": "1.0"})
    with seen_by(who):
        project_photos.add_to_record(vest, picture(1), "front.png", "the front")
        project_photos.add_to_log(vest, picture(2), "fell.png", "the fell", "40 cm")
        record_numbers.give_number(vest, today())
        order = keep_order(vest, [{"yarn": "sandbar two-ply", "ends": 8, "ball": 0, "colour": ""}])
        said = {"kind": "tick", "order": order.digest, "first": 1, "last": 2}
        keep_entry(vest, NewEntry(uuid.UUID(int=7), "phone-1", "tick", said))
        store.undo(vest)
        on_hand.add(Kept.YARN, {"units": "metric", "yarn": [{"name": "sandbar"}]}, "added")
        on_hand.add(Kept.LOOM, {"units": "metric", "loom": {"name": "quay loom"}}, "added")
        sample = on_hand.add(Kept.SAMPLE, {"units": "metric", "sample": [{"name": "square"}]}, "added")
        photos.keep_photo(sample, picture(3), "square.png")
    return vest


def test_who_leaves_with_everything_and_comes_back_has_everything_as_it_was() -> None:
    """Photos, log, entries of phones, record and its number, leaflet: what goes out afterwards is what went out before, byte for byte."""
    wren = member("wren")
    client = signed_in(wren)
    vest = years_of_weaving(client, wren)
    leaflet = client.get(reverse("published_leaflet", args=[vest.pk, "1.0"])).content
    assert leaflet.startswith(b"%PDF")
    content = client.get(reverse("everything_mine")).content
    assert client.post(reverse("leave_studio"), {"password": PASSWORD}).status_code == 200
    assert Project.every.count() == OnHand.every.count() == PublishedLeaflet.every.count() == 0
    back = member("wren")
    client = signed_in(back)
    where = sent(client, "mine.zip", content)
    looked = client.get(where).content.decode()
    assert all(name in looked for name in ("Tideline vest", "sandbar", "quay loom", "square"))
    assert Project.every.count() == 0
    page = client.post(where, {"do": "bring in"}).content.decode()
    assert "Brought in" in page
    assert client.get(where).status_code == 404
    assert client.get(reverse("everything_mine")).content == content
    assert client.get(reverse("published_leaflet", args=[vest.pk, "1.0"])).content == leaflet
    again = client.get(sent(client, "mine.zip", content)).content.decode()
    assert "Nothing in it is new here" in again
    client.post(MINE, {"do": "put away", "project": re.findall(r'name="project" value="([^"]+)"', page)})
    assert Project.every.get().put_away


def test_what_was_kept_at_one_table_becomes_a_member_s_own_and_nobody_else_s(settings: Any) -> None:
    """Also where another member has the very same already: each keeps her own, and a number of a record is one garment's."""
    settings.STUDIO = False
    stole = store.new_project({"name": "Sandbar stole", "record": {"date": "2026-03-14"}}, "started")
    number = record_numbers.words(record_numbers.give_number(stole, today()))
    content = exported()
    settings.STUDIO = True
    wren, heron = member("wren"), member("heron")
    for who in (wren, heron):
        client = signed_in(who)
        client.post(sent(client, "all.zip", content), {"do": "bring in"})
        assert [one.name for one in Project.every.filter(owner=who)] == ["Sandbar stole"]
    with seen_by(heron):
        kept = record_numbers.number_of(store.projects()[0])
        assert kept is not None
        assert (kept.before, record_numbers.words(kept) == number) == (number, False)
    assert Project.every.get(pk=stole.pk).owner is None


def test_a_file_that_waits_is_seen_by_who_sent_it_alone_and_one_waits_at_a_time(data_folder: Path) -> None:
    wren, heron = (signed_in(member(name)) for name in ("wren", "heron"))
    bundle = export_bundle({"name": "kelp cape"}, {})
    first, second = sent(wren, "one.zip", bundle), sent(wren, "two.zip", bundle)
    assert (wren.get(first).status_code, wren.get(second).status_code) == (404, 200)
    for client in (heron, signed_in(None)):
        assert client.get(second).status_code in (302, 404)
        assert client.post(second, {"do": "bring in"}).status_code in (401, 404)
    assert Project.every.count() == 0
    for file in (data_folder / "waiting").glob("member-*/*"):
        os.utime(file, (0, 0))
    sent(heron, "three.zip", bundle)
    assert wren.get(second).status_code == 404
    assert len(list((data_folder / "waiting").glob("member-*/*.file"))) == 1
    assert wren.post(MINE).status_code == 422


def test_a_file_that_is_none_is_one_sentence_and_nothing_is_changed() -> None:
    client, copy = signed_in(member("wren")), io.BytesIO()
    with zipfile.ZipFile(copy, "w") as whole:
        whole.writestr("library.sqlite3", "")
    deep = b"a = " + b"[" * 100_000
    for name, content, why in (
        ("salt.zip", b"salt", "no zip file"),
        ("deep.toml", deep, "deep in one another"),
        ("salt.txt", b"salt", "choose one project file"),
        ("copy.zip", copy.getvalue(), "a copy of a whole library"),
    ):
        answer = client.get(sent(client, name, content))
        assert answer.status_code == 422
        assert why in answer.content.decode()
        assert "Nothing was changed" in answer.content.decode()
    assert Project.every.count() == 0


def test_what_a_member_left_waiting_goes_with_her(data_folder: Path) -> None:
    studio = Studio.made()
    client = signed_in(studio.people["stranger"])
    sent(client, "one.zip", export_bundle({"name": "kelp cape"}, {}))
    assert client.post(reverse("leave_studio"), {"password": PASSWORD}).status_code == 200
    assert list((data_folder / waiting.FOLDER).glob("member-*")) == []
