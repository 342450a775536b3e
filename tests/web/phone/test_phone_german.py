"""The phone pages walked in German: no sentence of ours is left in English, on the pages, in what a phone is told, or in why not."""

from __future__ import annotations

import html
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.project import ProblemsFound
from clothwright.project.loom.log_growing import with_entry
from clothwright.sheets.loom.refused_said import no_forecast_said, refused_said
from clothwright.sheets.translating import ENGLISH, Language
from clothwright.web.forms.form import for_the_page
from clothwright.web.phone.phone_words import script_words

pytestmark = pytest.mark.django_db
ROOT = Path(__file__).parents[3]
GERMAN = Language("de")
#: Words that no English sentence does without for long, and that German has not.
ENGLISH_WORDS = frozenset(
    re.findall(
        r"\w+",
        "the of and with is are this that what which from not you your it its them they there has have been come came write "
        "nothing first than before entry entries order ends tick ticked count woven loom yarn page phone phones until where",
    )
)
#: What is said in German of a page that there is in English only, by its title there; and what a file is to say.
_TITLES = re.compile(r"Seite „?(?:Phones|Colours)“?|\[\[core\]\]|serve --phone")


def kept(name: str) -> Project:
    tree = tomllib.loads((ROOT / f"examples/{name}.toml").read_text(encoding="utf-8"))
    return store.new_project(for_the_page(tree), "opened")


def english_in(text: str) -> set[str]:
    """Words of English in a text."""
    return ENGLISH_WORDS & set(re.findall(r"[A-Za-z]+", _TITLES.sub("", text).lower()))


def texts_of(page: str) -> str:
    """What a page says and what is read out of it, without its scripts."""
    page = re.sub(r"<(script|style)\b.*?</\1>|<html[^>]*>", "", page, flags=re.DOTALL)
    labels = re.findall(r'(?:aria-label|title|placeholder)="([^"]*)"', page)
    other = re.sub(r'<a [^>]*hreflang="en"[^>]*>[^<]*</a>', "", page)
    return html.unescape(" · ".join((re.sub(r"<[^>]*>", " · ", other), *labels)))


def told_of(page: str) -> str:
    """What the page's script is given to show: the state, but for what was typed and for the drawings' own marks."""
    found = re.search(r'id="phone-data">(.*?)</script>', page, re.DOTALL)
    assert found
    state = json.loads(found[1])["state"]
    return " · ".join(strings(state))


#: What of the state is no sentence: keys, and words that stand for a choice.
_NO_SENTENCE = frozenset(("kind", "task", "key", "digest", "yarns", "cores", "way", "yarn", "colour", "token"))


def strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield from re.findall(r'aria-label="([^"]*)"', value)
        yield re.sub(r"<[^>]*>", " · ", value)
    elif isinstance(value, list):
        for one in value:
            yield from strings(one)
    elif isinstance(value, dict):
        for key, one in value.items():
            if key not in _NO_SENTENCE:
                yield from strings(one)


def without(text: str, typed: list[str]) -> str:
    """A text without what was typed, which is in whatever language it was typed in."""
    for one in filter(lambda one: len(one) > 6, typed):
        text = text.replace(one, "")
    return text


@pytest.mark.parametrize("example", ["eelgrass-tabard", "basket-of-balls", "rows-of-rectangles"])
def test_a_phone_that_asked_for_german_is_told_no_english(client: Client, example: str) -> None:
    """Board, loom and the page to take along: with an order kept and not, with a log and without."""
    project = kept(example)
    typed = sorted(strings(store.head(project).tree), key=len, reverse=True)
    board = reverse("board", args=[project.pk])
    client.get(board + "?language=de")
    pages = [client.get(board), client.get(reverse("loom", args=[project.pk]))]
    client.post(board)
    pages += [client.get(board), client.get(reverse("phone_saved", args=[project.pk]))]
    for answer in pages:
        page = answer.content.decode()
        assert '<html lang="de-DE">' in page
        for text in (texts_of(page), told_of(page)):
            assert english_in(without(text, typed)) == set()


def test_the_page_that_asks_for_the_word_is_german_too(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """With its sentence about a wrong word, which stays as it was typed."""
    monkeypatch.setattr(settings, "PHONE_WORD", "abcd-efgh-jkmn")
    page = client.get("/phone/enter/?language=de", secure=True)
    wrong = client.post("/phone/enter/", {"word": "wrack"}, secure=True)
    assert "„wrack“ ist nicht das Wort" in html.unescape(wrong.content.decode())
    for one in (page, wrong):
        assert english_in(texts_of(one.content.decode())) == set()


#: Rows of the log as no phone page would send them, one for each thing that can be wrong.
WRONG: tuple[dict[str, Any], ...] = (
    {"woven": "60"},
    {"woven": "weit"},
    {"woven": "60 kg"},
    {"woven": "-3 cm"},
    {"woven": "1,500 cm"},
    {"woven": "60 to 40 cm"},
    {"woven": "7 1/0 in"},
    {"woven": "3 cm 4 m"},
    {"weighed": [{"yarn": "Sand", "gross": "20 g", "core": "0 g"}], "woven": "60 cm"},
    {"weighed": [{"yarn": "eelgrass", "gross": "20 g"}], "woven": "60 cm"},
    {"weighed": [{"yarn": "eelgrass", "gross": "20 g", "core": "30 g"}], "woven": "60 cm"},
    {"weighed": [{"yarn": "eelgrass", "gross": "20 g", "core": "Dose"}], "woven": "60 cm"},
    {"weighed": [{"yarn": "eelgrass", "gross": "20 g", "core": "0 g"}]},
    {"picks": {"count": "viele", "over": "10 cm"}, "woven": "60 cm"},
    {"picks": {"count": -1, "over": "0 cm"}, "woven": "weit"},
    {"repeats": ["a"]},
    {"minutes": -4},
    {"corrects": "wrack-0"},
)


def test_why_an_entry_cannot_be_used_is_said_in_german() -> None:
    """Each sentence is made by what reads entries; its figures are the same, and none falls back on saying nothing particular."""
    tree = tomllib.loads((ROOT / "examples/eelgrass-tabard.toml").read_text(encoding="utf-8"))
    for row in WRONG:
        with pytest.raises(ProblemsFound) as refused:
            with_entry(tree, {**row, "key": "phone-1"})
        why = "; ".join(map(str, refused.value.problems))
        sentence = f"{why}; it is kept as it came, and is not in the log"
        said = refused_said(sentence, GERMAN)
        assert english_in(said) == set(), said
        assert "etwas darin passt nicht" not in said
        assert "Englisch" not in said
        assert set(re.findall(r"\d+", said)) <= set(re.findall(r"\d+", sentence))
        assert refused_said(sentence, ENGLISH) == sentence


def test_a_sentence_of_no_shape_is_said_in_german_in_general() -> None:
    """Nothing of it is shown in English; the pages Phones and of the project have it as it is."""
    for sentence in ("ways: the field is too long; it is kept as it came", "a sentence that nobody foresaw"):
        assert english_in(refused_said(sentence, GERMAN)) == set()
    assert english_in(no_forecast_said("which heddle? Write it as 30/10 cm", GERMAN)) == set()
    assert (
        english_in(no_forecast_said('how much is to be woven in all? Give to_weave = "263 cm", or a plan', GERMAN))
        == set()
    )


def test_what_became_of_what_a_phone_sent_is_told_in_its_language(client: Client) -> None:
    """At once, and again with everything that came; the library keeps the English."""
    project = kept("eelgrass-tabard")
    client.get(reverse("loom", args=[project.pk]) + "?language=de")
    entry = {"key": str(uuid4()), "phone": "one-phone", "seq": 1, "made_at": "2026-11-20T10:00:00Z"}
    orders: list[Any] = []
    batch = {
        "clothwright_entries": 1,
        "project": str(project.pk),
        "orders": orders,
        "entries": [
            {**entry, "kind": "log", "row": {"woven": "weit"}},
            {**entry, "key": str(uuid4()), "seq": 2, "kind": "tick", "order": "0" * 16, "task": "winding", "first": 1, "last": 2, "ticked": True},
            {"phone": "one-phone"},
        ],
    }  # fmt: skip
    sent = client.post(reverse("phone_entries", args=[project.pk]), batch, content_type="application/json").json()
    sentences = [one["sentence"] for one in sent["outcomes"]]
    assert sentences[0].startswith("Bisher gewebt: „weit“: das ist kein Maß")
    again = client.get(reverse("phone_state", args=[project.pk]) + "?page=loom&since=0").json()
    sentences += [one["sentence"] for one in again["entries"]]
    assert len(sentences) == 5
    assert english_in(" · ".join(sentences)) == set()
    foreign = client.post(
        reverse("phone_entries", args=[project.pk]),
        batch | {"project": "x", "project_name": "Tang"},
        content_type="application/json",
    )
    assert foreign.json()["problem"].startswith("diese Einträge sind von „Tang“")


def test_no_word_of_a_script_is_left_in_english() -> None:
    """Every message of the scripts, in German."""
    assert [one for one in script_words("de").values() if english_in(re.sub(r"\{\w+\}", "", one))] == []
