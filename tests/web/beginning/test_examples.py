"""Every page has an example that opens on that very page, in a world of its own where nothing of hers is and from which nothing reaches hers."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store, whose
from clothwright.library.examples import example_file
from clothwright.library.keeping.archive import exported
from clothwright.library.models import OnHand, Project
from clothwright.library.record import record_numbers
from clothwright.library.shelves import on_hand
from clothwright.library.shelves.on_hand import Kept
from clothwright.web import evidence
from clothwright.web.beginning.examples import BY_THEMSELVES, examples
from clothwright.web.templatetags.notebook import _ROOMS, STAGES

pytestmark = pytest.mark.django_db
OF_A_PROJECT = [name for _, pages in STAGES for name, _ in pages]
MINE = {"clothwright": 1, "name": "Mine", "yarn": [{"name": "mine"}]}


def test_every_page_of_a_project_every_shelf_and_every_page_of_the_header_has_its_example() -> None:
    """The table has a row for each; words of the trade and the guide explain, and need none."""
    wanted = {*OF_A_PROJECT, *Kept, *(name for name, args, *_ in _ROOMS if not args)} - {"words", "guide"}
    assert wanted - set(examples()) == set()
    assert set(examples()) - wanted == set()


def test_every_file_of_the_table_came_with_the_program() -> None:
    """Each is found, and says what it shows in one short line."""
    for one in examples().values():
        assert all(example_file(name).is_file() for name in (*one.files, *filter(None, (one.class_,))))
        assert bool(one.files) != bool(one.asks)
        assert 10 < len(one.shows) < 100


@pytest.mark.parametrize("page", [one.page for one in examples().values() if one.files])
def test_the_example_of_a_page_opens_on_that_page_with_nothing_left_to_settle(client: Client, page: str) -> None:
    """It is shown as an example, with links that stay among the examples, and hers stays as it was."""
    mine = store.new_project(MINE, "started")
    answer = client.post(reverse("open_example", args=[page]))
    assert answer["Location"].startswith("/example/")
    shown = client.get(answer["Location"])
    assert shown.status_code == 200
    text = shown.content.decode()
    assert "<strong>An example</strong>" in text
    assert "Still to be settled" not in text
    assert "To come first" not in text
    if page in OF_A_PROJECT:
        assert answer["Location"].split("/")[4:] == reverse(page, args=[mine.pk]).split("/")[3:]
    own = {link.split('"')[0] for link in text.split('href="')[1:]} - {"/"}
    astray = [link for link in own if link.startswith("/") and not link.startswith(("/example/", "/static/"))]
    assert astray == []
    assert list(Project.objects.all()) == [mine]
    assert OnHand.objects.count() == 0


@pytest.mark.parametrize("page", [one.page for one in examples().values() if one.asks])
def test_a_page_that_answers_a_question_has_an_answered_one(client: Client, page: str) -> None:
    """The link leads to an answer, and no sentence of a problem stands there."""
    link = f'href="{examples()[page].address.replace("&", "&amp;")}"'
    assert link in client.get(reverse(page)).content.decode()
    text = client.get(examples()[page].address).content.decode()
    assert "310 m/100 g" in text or "8/2 cotton" in text
    assert 'class="sentence">' not in text or "write it as" not in text


def test_examples_are_no_evidence_and_go_into_nothing_of_hers(client: Client) -> None:
    """Not beside her plans, in her lists, among what she takes, in her export, nor in the numbers of her records."""
    mine = store.new_project(MINE, "started")
    for page in ("records", "yarn", "sample", "projects"):
        client.post(reverse("open_example", args=[page]))
    assert evidence.everything().told == () or all(one.owner.key == str(mine.pk) for one in evidence.everything().told)
    for url in ("/", "/records/", "/yarn/", "/samples/", reverse("project", args=[mine.pk])):
        text = client.get(url).content.decode()
        assert not any(name in text for name in ("Sandbar shrug", "kelp fell", "Slate tide"))
        assert "/example/" not in text
    assert b"kelp fell" not in exported()
    assert on_hand.listed(Kept.YARN).count() == 0
    with whose.among_examples():
        assert Project.objects.count() == 4
        assert "Mine" not in client.get("/example/").content.decode()
        shrug = Project.objects.get(example="sandbar-shrug.toml")
        assert record_numbers.give_number(shrug, store.head(shrug).made_at.date()).year < 1900
    assert "Mine" not in client.get("/example/").content.decode()


def test_what_is_typed_in_an_example_stays_there_and_the_example_can_be_put_away(client: Client) -> None:
    """Opened again it is the same one as she left it; put away it leaves the list of examples; brought back by opening."""
    url = client.post(reverse("open_example", args=["project"]))["Location"]
    client.post(url, {"name": "Changed by me"})
    assert client.post(reverse("open_example", args=["project"]))["Location"] == url
    assert "Changed by me" in client.get("/example/").content.decode()
    assert client.post(f"{url}put-away/")["Location"].startswith("/example/?away=")
    with whose.among_examples():
        assert Project.objects.get().put_away
    assert client.post(reverse("open_example", args=["project"]))["Location"] == url
    assert store.projects().count() == 0


@pytest.mark.parametrize("path", ["keeping/", "health/", "examples/colours/", "records/address/"])
def test_what_is_about_the_whole_library_is_not_among_the_examples(client: Client, path: str) -> None:
    """Who asks for it there is sent to where it is, and nothing is done."""
    assert client.get(f"/example/{path}").status_code in (302, 405)
    assert client.post(f"/example/{path}").status_code == 302


def test_pages_that_stand_by_themselves_are_those_with_several_examples() -> None:
    """Every other page of a project lands on the first."""
    assert set(BY_THEMSELVES) <= set(examples())


def test_a_built_package_finds_its_examples_beside_itself(tmp_path: Path, monkeypatch: Any) -> None:
    """Where there is no checkout, they are read from the package."""
    from clothwright.library import examples as kept

    (tmp_path / "examples").mkdir()
    (tmp_path / "examples" / "wrack.toml").write_text("clothwright = 1", encoding="utf-8")
    monkeypatch.setattr(kept, "_FOLDERS", (tmp_path / "examples",))
    assert kept.example_file("wrack.toml").is_file()
    with pytest.raises(FileNotFoundError, match="did not come with the program"):
        kept.example_file("none.toml")


def test_work_that_goes_on_elsewhere_sees_the_same_examples(client: Client) -> None:
    """What is seen now can be handed on and seen again, in another process or thread, and ends with it."""
    client.post(reverse("open_example", args=["history"]))
    with whose.among_examples():
        handed_on = whose.now()
    assert Project.objects.count() == 0
    with whose.seeing(handed_on):
        assert Project.objects.count() == 1
    assert Project.objects.count() == 0
    assert not whose.examples_now()


@pytest.mark.parametrize(
    ("said", "back"),
    [
        ("http://testserver/yarn/", "/yarn/"),
        ("http://elsewhere.example/yarn/", "/"),
        ("http://testserver//elsewhere.example/", "/"),
        ("http://testserver/example/yarn/", "/"),
        ("", "/"),
    ],
)
def test_an_example_leads_back_to_the_page_it_was_opened_from(client: Client, said: str, back: str) -> None:
    """To a page of hers and to nothing else, whatever a browser says it came from."""
    url = client.post(reverse("open_example", args=["yarn"]), headers={"Referer": said})["Location"]
    assert f'<a href="{back}">Back to your own</a>' in client.get(url).content.decode()
    client.cookies["clothwright_from"] = "https://elsewhere.example/"
    assert '<a href="/">Back to your own</a>' in client.get(url).content.decode()
