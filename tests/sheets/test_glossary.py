"""The kept words: found by whatever they are called, and every trade word that heads a page or a sheet is among them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from clothwright.sheets import SHEETS
from clothwright.sheets.glossary import glossary, named_words, words_meant
from clothwright.sheets.translating import Language

PAGES = Path(__file__).parents[2] / "src/clothwright/web/templates/clothwright"
#: Words of the trade that a beginner may not know. Common practice, no source: a list made for this check alone.
TRADE = frozenset(
    [
        "apron",
        "beam",
        "beat",
        "bobbin",
        "cone",
        "crimp",
        "cross",
        "dent",
        "draft",
        "drape",
        "dye",
        "ease",
        "end",
        "ends",
        "facing",
        "fell",
        "finish",
        "finished",
        "finishing",
        "float",
        "fringe",
        "fulling",
        "grain",
        "grist",
        "handspun",
        "header",
        "heddle",
        "heddles",
        "hemstitching",
        "interfacing",
        "layout",
        "leaflet",
        "mock-up",
        "muslin",
        "nap",
        "notch",
        "peg",
        "pick",
        "picks",
        "raddle",
        "reed",
        "reeds",
        "repeat",
        "sample",
        "samples",
        "selvage",
        "selvedge",
        "selvedges",
        "serge",
        "sett",
        "setts",
        "shaft",
        "shafts",
        "shed",
        "shrinkage",
        "shuttle",
        "skein",
        "sley",
        "sleying",
        "stripe",
        "stripes",
        "tabby",
        "take-up",
        "temple",
        "tension",
        "threading",
        "thrums",
        "tie-up",
        "toile",
        "treadle",
        "twill",
        "warp",
        "warps",
        "warping",
        "weft",
        "worsted",
        "wraps",
        "yardage",
    ]
)


def known() -> set[str]:
    """Every name a word is known by, in lower case."""
    return {
        part for one in glossary() for name in one.every_name for part in (name.casefold(), *name.casefold().split())
    }


def titles() -> dict[str, str]:
    """Titles and headings of every page, without what the page fills in."""
    found = {}
    for page in sorted(PAGES.glob("*.html")):
        text = page.read_text(encoding="utf-8")
        heads = re.findall(r"<h[12][^>]*>(.*?)</h[12]>|\{% block title %\}(.*?)\{% endblock %\}", text, re.DOTALL)
        found[page.name] = re.sub(r"\{[{%].*?[}%]\}|<[^>]+>", " ", " ".join(first or second for first, second in heads))
    return found


def lost(text: str, trade: frozenset[str] = TRADE) -> set[str]:
    """The trade words of a text that are not kept."""
    said = set(re.findall(r"[a-z-]+", text.casefold())) & trade
    return {
        word
        for word in said
        if not words_meant(word) or not {word, word.rstrip("s"), word.removesuffix("ing")} & known()
    }


def test_every_trade_word_that_heads_a_page_is_kept() -> None:
    """Titles and headings of all pages; enough of them hold such words for the check to mean something."""
    heads = titles()
    assert {page: lost(text) for page, text in heads.items() if lost(text)} == {}
    assert sum(bool(set(re.findall(r"[a-z-]+", text.casefold())) & TRADE) for text in heads.values()) > 6


def test_every_trade_word_that_names_a_sheet_is_kept() -> None:
    """By the names sheets are asked for, and by their titles."""
    assert lost(" ".join(f"{sheet.kind.replace('-', ' ')} {sheet.title}" for sheet in SHEETS)) == set()


def test_a_word_that_is_not_kept_would_be_noticed() -> None:
    """The check above can fail."""
    assert lost("A quillon for the warp", TRADE | {"quillon"}) == {"quillon"}


def test_no_name_stands_for_two_words_but_those_that_the_trade_mixes_up() -> None:
    """Each word once; the table is in the order of the alphabet."""
    words = [one.word for one in glossary()]
    assert words == sorted(words, key=str.lower)
    assert len(set(words)) == len(words) >= 80
    assert all(one.meaning.endswith(".") and one.source for one in glossary())


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ("selvage", "selvedge"),
        ("Harness", "shaft"),
        ("ends", "end"),
        ("filling", "weft"),
        ("muslin", "mock-up"),
        ("toile", "mock-up"),
        ("sleying", "sley"),
        ("wpi", "wraps"),
        ("set", "sett"),
    ],
)
def test_a_word_is_found_by_whatever_it_is_called(asked: str, word: str) -> None:
    """American, British, plural, or another word for the same."""
    assert [one.word for one in words_meant(asked)] == [word]


def test_a_word_is_found_by_its_name_in_another_language() -> None:
    """Kette is warp."""
    assert [one.word for one in words_meant("Kette", Language("de"))] == ["warp"]


def test_what_names_no_word_is_looked_for_in_the_meanings() -> None:
    """Nothing is asked with nothing."""
    assert "niddy-noddy" in [one.word for one in words_meant("turn of it")]
    assert words_meant("  ") == ()


def test_a_word_says_its_american_and_its_german() -> None:
    """The British first in English, the German first in German."""
    (selvedge,) = named_words(["selvedge"])
    assert selvedge.said(Language("en")) == "selvedge (American selvage)"
    assert selvedge.said(Language("de")) == "Webkante (selvedge, selvage)"
    with pytest.raises(KeyError, match="quillon"):
        named_words(["quillon"])
