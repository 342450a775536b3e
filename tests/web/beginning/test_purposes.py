"""Every page says what it is for, what is missing, and where that is typed; once nothing is missing it says nothing."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.beginning.purposes import table
from clothwright.web.forms.form import starting_tree
from clothwright.web.templatetags.notebook import STAGES

pytestmark = pytest.mark.django_db
PAGES = [name for _, pages in STAGES for name, _ in pages]
ENOUGH: dict[str, Any] = {
    "clothwright": 1,
    "name": "Samphire bag",
    "yarn": [{"name": "samphire", "fibre": "wool", "grist": "310 m/100 g", "balls": [{"net": "400 g"}]}],
    "loom": {"weaving_width": "60 cm", "heddles": ["30/10 cm"]},
    "pattern": {"piece": [{"name": "panel", "width": "40 cm", "length": "60 cm", "cut": 2}]},
    "sample": [{"name": "quay square", "heddle": "30/10 cm"}],
    "record": {"ends": 120},
}


def banner(client: Client, name: str, project: Project) -> tuple[str, list[str]]:
    """What a page says comes first, and the addresses it leads to."""
    text = client.get(reverse(name, args=[project.pk])).content.decode()
    found = re.search(r'<aside class="comes-first".*?</aside>', text, re.S)
    return (found[0], re.findall(r'href="([^"]+)"', found[0])) if found else ("", [])


def test_every_page_of_a_project_has_its_row() -> None:
    """One for each, each in a sentence; every need is one of the table."""
    pages, needs = table()["page"], table()["need"]
    assert set(pages) == set(PAGES)
    assert all(row["is_for"].endswith(".") and set(row["needs"]) <= set(needs) for row in pages.values())


def test_every_empty_page_says_what_comes_first_with_a_link_to_the_very_field(client: Client) -> None:
    """Each link leads to a page that has a place of that name; a page that needs nothing says nothing."""
    project = store.new_project(starting_tree("Samphire bag"), "started")
    places: dict[str, str] = {}
    for name in PAGES:
        text, links = banner(client, name, project)
        row = table()["page"][name]
        assert len(links) == len(row["needs"]), name
        assert not links or row["is_for"].split("'")[0] in text, name
        for link in links:
            url, _, field = link.partition("#")
            places[url] = places.get(url) or client.get(url).content.decode()
            assert f'id="{field}"' in places[url], f"{name}: {link}"


def test_what_is_there_is_not_asked_for(client: Client) -> None:
    """With a yarn alone the rest is asked for; with all of it nothing is."""
    project = store.new_project(starting_tree("Samphire bag") | {"yarn": ENOUGH["yarn"]}, "started")
    text, links = banner(client, "threading", project)
    assert "the yarn you have" not in text
    assert [link.partition("#")[2] for link in links] == ["f-loom-heddles", "f-want-width"]
    store.change(project, ENOUGH, "typed")
    assert [name for name in PAGES if banner(client, name, project)[0]] == []


@pytest.mark.parametrize(
    ("url", "place"),
    [
        ("/", "begun-yarn"),
        ("/yarn/", "new-name"),
        ("/looms/", "new-name"),
        ("/samples/", "new-name"),
        ("/records/", ""),
        ("/trueness/", ""),
        ("/sett/", "f-wraps"),
        ("/yarn-numbers/", "yarn"),
    ],
)
def test_an_empty_library_says_what_to_do_on_every_page(client: Client, url: str, place: str) -> None:
    """The field stands on the page; where nothing can be typed, the page leads to the projects."""
    text = client.get(url).content.decode()
    main = text[text.index("<main") :]
    if place:
        assert f'id="{place}"' in main
    else:
        assert f'<a href="{reverse("projects")}">' in main
    if url in ("/yarn/", "/looms/", "/samples/"):
        assert 'href="#new-name"' in main
