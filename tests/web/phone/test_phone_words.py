"""The page at the loom in another language: its words, those of its scripts, remembered by the phone, and taken along."""

from __future__ import annotations

import html
import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.web.forms.form import for_the_page
from clothwright.web.phone.phone_files import MODULES, needed_by
from clothwright.web.phone.phone_words import said_by_scripts, script_words

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).parents[3]
SCRIPTS = ROOT / "src/clothwright/web/static/clothwright/phone"
TABARD = ROOT / "examples/eelgrass-tabard.toml"


def kept() -> Project:
    return store.new_project(for_the_page(tomllib.loads(TABARD.read_text(encoding="utf-8"))), "opened")


def data_of(page: str) -> dict[str, Any]:
    found = re.search(r'id="phone-data">(.*?)</script>', page, re.DOTALL)
    assert found
    data: dict[str, Any] = json.loads(found[1])
    return data


def test_a_phone_that_asks_for_german_gets_it_and_goes_on_getting_it(client: Client) -> None:
    """By the address once, by what the phone remembers afterwards; English again when that is asked."""
    address = reverse("loom", args=[kept().pk])
    page = html.unescape(client.get(address).content.decode())
    assert '<html lang="en-GB">' in page
    assert "Knäuel wiegen" not in page
    assert data_of(page)["words"] == {}
    for asked in ("?language=de", ""):
        page = html.unescape(client.get(address + asked).content.decode())
        assert '<html lang="de-DE">' in page
        assert "Knäuel wiegen" in page
        assert "Weigh a ball" not in page.split('id="phone-data"')[0]
        assert data_of(page)["words"]["Picks over a length"] == "Schüsse auf einer Länge"
    assert "Weigh a ball" in client.get(address + "?language=en").content.decode()
    assert "Weigh a ball" in client.get(address).content.decode()


def test_a_language_there_is_not_is_english(client: Client) -> None:
    """Nothing is remembered of it."""
    answer = client.get(reverse("loom", args=[kept().pk]) + "?language=xx")
    assert '<html lang="en-GB">' in answer.content.decode()
    assert not answer.cookies.get("clothwright_language")


def test_other_pages_stay_english_on_a_phone_that_asked_for_german(client: Client) -> None:
    """Only what is made for phones is said in another language."""
    project = kept()
    client.get(reverse("loom", args=[project.pk]) + "?language=de")
    for name in ("project", "phones"):
        assert 'lang="en-GB"' in client.get(reverse(name, args=[project.pk])).content.decode()


def test_the_page_taken_along_is_in_the_language_of_the_phone(client: Client) -> None:
    """It carries the words, since there is nobody to ask."""
    page = html.unescape(client.get(reverse("phone_saved", args=[kept().pk]) + "?language=de").content.decode())
    assert '<html lang="de-DE">' in page
    assert "Knäuel wiegen" in page
    assert data_of(page)["words"]["taken back"] == "zurückgenommen"


def test_what_a_script_says_is_marked_for_the_catalogue() -> None:
    """No sentence stands unmarked in the scripts: two words with a capital, or more, outside t() and toSay()."""
    for name in ("at_board", "at_loom", "going", "log", "offline", "order", "screen", "sending"):
        text = re.sub(
            r"^\s*//.*$|^import .*$", "", (SCRIPTS / f"{name}.js").read_text(encoding="utf-8"), flags=re.MULTILINE
        )
        unmarked = re.sub(r'\b(?:t|toSay)\(\s*"(?:[^"\\]|\\.)*"', "", text)
        assert re.findall(r'["`]([A-Z][a-z]+ [a-z]+[^"`]*)["`]', unmarked) == [], name
    assert len(list(said_by_scripts())) > 80
    assert set(script_words("de")) == {message for _, message in said_by_scripts()}


def test_every_module_stands_after_those_it_needs() -> None:
    """The words come first, since all of them say something."""
    for place, module in enumerate(MODULES):
        assert set(needed_by(module)) <= set(MODULES[:place])
