"""Whatever can be done on the pages can be undone, is offered to be undone in the answer, or says before that it cannot be."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from web.every_route import PROJECT, routes

from clothwright.library import store
from clothwright.library.record.label_address import typed_address
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.web.needs import STUDIO_ONLY

pytestmark = pytest.mark.django_db

#: Every address that takes a post, by how what it does is undone.
UNDONE_BY: dict[str, tuple[str, ...]] = {
    "undo and redo of the project": (
        *(
            "project",
            "begin",
            "begin_start",
            "drawing",
            "measures",
            "pieces",
            "mend",
            "trace",
            "narrow",
            "fit",
            "mark_change",
        ),
        *(
            "colours",
            "weft_colours",
            "threading",
            "cloth",
            "choices",
            "lay_by_hand",
            "cut_from",
            "leaflet",
            "off_loom",
            "record",
        ),
        *("type_sheet", "add_record_photo", "photo_words", "measure_remnant", "go_to", "samples_told"),
    ),
    "undo of its own": (
        "draw",
        "class",
        "class_open",
        "thing",
        "add_photo",
        "read_outline",
        "thing_state",
        "undo",
        "redo",
    ),
    "a later entry that corrects, as the page says": ("at_loom", "add_later", "phone_entries", "phones", "board"),
    "a button in the answer": (
        "put_away",
        "bring_back",
        "put_thing_away",
        "bring_thing_back",
        "mark_evidence",
        "label_address",
    ),
    "putting away what it made": (
        "new",
        "open",
        "new_thing",
        "import_yarn",
        "use_again",
        "leaflet_test",
        "open_example",
    ),
    "the page says before that it is for good": ("class_delete", "leaflet_publish"),
    "nothing is changed but what is added beside": (
        "copy_now",
        "search",
        "stop_search",
        "leaflet_work_out",
        "leaflet_stop",
        "phone_enter",
    ),
    "putting the copy back that is made first": ("copy", "send", "waiting", "put_away_again"),
    "nothing is kept": ("sample_first", "sheets", "buyers", "setts"),
}


def test_every_address_that_takes_a_post_says_how_it_is_undone() -> None:
    """The table is complete; a new button needs its row."""
    from web.every_route import Shore

    posting = {one.name for one in Shore.made().visits if "POST" in one.takes}
    told = [name for names in UNDONE_BY.values() for name in names]
    assert sorted({name for name in told if told.count(name) > 1}) == []
    assert posting - set(told) == set()
    assert {name for name, _ in routes()} - STUDIO_ONLY >= set(told)


def test_what_was_put_away_is_offered_back_in_the_answer(client: Client) -> None:
    """A project and a yarn; the offer is for that one and no other."""
    project = store.new_project(PROJECT, "started")
    yarn = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "samphire"}), "typed in")
    for away, back in (
        (reverse("put_away", args=[project.pk]), reverse("bring_back", args=[project.pk])),
        (reverse("put_thing_away", args=["yarn", yarn.pk]), reverse("bring_thing_back", args=["yarn", yarn.pk])),
    ):
        answer = client.post(away, follow=True).content.decode()
        notice = answer.split('class="notice"')[1].split("</form>")[0]
        assert back in notice
        assert "Bring it back" in notice
        client.post(back)
        assert 'class="notice"' not in client.get(reverse("projects")).content.decode()


def test_a_yarn_on_hand_is_undone_and_redone_by_its_own_buttons(client: Client) -> None:
    """Back to the state before, and forward again; the first has nothing before it."""
    yarn = on_hand.add(Kept.YARN, on_hand.tree_of(Kept.YARN, {"name": "samphire"}), "typed in")
    url = reverse("thing", args=["yarn", yarn.pk])
    assert '<button id="undo" disabled>' in client.get(url).content.decode()
    client.post(url, {"yarn.0.fibre": "linen"})
    typed = client.get(url).content.decode()
    assert reverse("thing_state", args=["yarn", yarn.pk, 1]) in typed
    client.post(reverse("thing_state", args=["yarn", yarn.pk, 1]))
    undone = client.get(url).content.decode()
    assert 'value="linen"' not in undone
    client.post(reverse("thing_state", args=["yarn", yarn.pk, 2]))
    assert 'value="linen"' in client.get(url).content.decode()
    fragment = client.post(url, {"yarn.0.fibre": "wool"}, headers={"HX-Request": "true"}).content.decode()
    assert 'id="tools"' in fragment


def test_another_address_of_labels_is_offered_back(client: Client) -> None:
    """The answer holds what stood there before; kept again, nothing is offered."""
    client.post(reverse("label_address"), {"address": "https://192.168.1.20:8766"})
    answer = client.post(reverse("label_address"), {"address": "https://192.168.1.21:8766"}, follow=True)
    assert 'value="https://192.168.1.20:8766">The address was' in answer.content.decode()
    client.post(reverse("label_address"), {"address": "https://192.168.1.20:8766"})
    assert typed_address() == "https://192.168.1.20:8766"
    same = client.post(reverse("label_address"), {"address": "https://192.168.1.20:8766"}, follow=True)
    assert "Put it back" not in same.content.decode()


def test_what_cannot_be_undone_says_so_before(client: Client) -> None:
    """On the page where its button stands."""
    project = store.new_project(PROJECT, "started")
    url = reverse("class", args=[project.pk])
    client.post(url, {"name": "Rockpool", "student.0.name": "Wren"})
    assert "undo does not bring them back" in client.get(url).content.decode()
    assert "kept as it is given out" in client.get(reverse("leaflet", args=[project.pk])).content.decode()
