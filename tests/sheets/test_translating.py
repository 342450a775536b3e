"""Catalogues hold every message, with the same names to fill in, compiled as they are kept."""

from __future__ import annotations

import re
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import read_mo

from clothwright.sheets.translating import ENGLISH, LANGUAGES, LOCALE, Language, languages

sys.path.insert(0, str(Path(__file__).parents[2] / "tools"))
import make_catalogues

OTHERS = [one for one in LANGUAGES if one != "en"]


def texts(said: str | list[str] | tuple[str, ...]) -> tuple[str, ...]:
    """A message, or each form of one that counts."""
    return (said,) if isinstance(said, str) else tuple(said)


def to_fill(text: str) -> Counter[str]:
    """The names in braces, and the signs of a format, of a text."""
    return Counter(re.findall(r"\{\w*\}|%\(\w+\)s", text))


def kept(code: str) -> list[Message]:
    """The messages of a catalogue as it is kept."""
    return [one for one in make_catalogues.read(code) if one.id]


def as_said(messages: Iterable[Message]) -> dict[tuple[str, ...], tuple[str, ...]]:
    """What is said of each message; a message is known by its context and its forms."""
    return {(one.context or "", *texts(one.id)): texts(one.string) for one in messages if one.id}


@pytest.mark.parametrize("code", OTHERS)
def test_no_message_is_missing_and_none_is_left_over(code: str) -> None:
    """What the code, the tables and the pages say is what the catalogue has, each translated."""
    collected: Catalog = make_catalogues.collected()
    wanted = {(one.context, one.id) for one in collected if one.id}
    there = {(one.context, one.id) for one in kept(code)}
    assert wanted == there
    assert len(wanted) > 200
    assert [one.id for one in kept(code) if not all(texts(one.string))] == []
    assert [one.id for one in kept(code) if one.fuzzy] == []


@pytest.mark.parametrize("code", OTHERS)
def test_what_is_filled_in_is_the_same_in_every_language(code: str) -> None:
    """A name in braces that is lost would lose a figure; one too many would fail."""
    for one in kept(code):
        for said in texts(one.string):
            assert to_fill(said) == to_fill(texts(one.id)[-1]), one.id


@pytest.mark.parametrize("code", OTHERS)
def test_the_compiled_catalogue_is_the_one_that_is_kept(code: str) -> None:
    """Run tools/make_catalogues.py after a change; which release of Babel wrote it makes no difference."""
    catalogue = make_catalogues.catalogue(code)
    with catalogue.with_suffix(".mo").open("rb") as file:
        compiled = read_mo(file)
    assert compiled.plural_forms == make_catalogues.read(code).plural_forms
    assert as_said(compiled) == as_said(kept(code))


def test_every_catalogue_has_a_language_and_says_that_no_weaver_has_read_it() -> None:
    """The languages that can be asked for are those there are."""
    assert {one.name for one in LOCALE.iterdir()} == set(OTHERS)
    for code in OTHERS:
        assert "No native weaver has read them yet" in make_catalogues.catalogue(code).read_text(encoding="utf-8")[:200]


def test_a_message_is_said_with_its_names_filled_in() -> None:
    """English as it stands in the code."""
    assert ENGLISH("Warp length") == "Warp length"
    assert Language("de")("Warp length") == "Kettlänge"
    assert Language("de")("That is {grams}.", grams="{x} 5 g") == "Das sind {x} 5 g."
    assert ENGLISH("no such message") == Language("de")("no such message") == "no such message"


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("49.3 cm (19½ in)", "49,3 cm (19½ Zoll)"),
        ("3 to 3.4 per cm", "3 bis 3,4 je cm"),
        ("14.7 oz (414 g)", "14,7 oz (414 g)"),
        ("1 200 yd", "1 200 Yard"),
    ],
)
def test_a_figure_is_written_as_the_language_writes_it(english: str, german: str) -> None:
    """German: a comma before decimals, inches and yards by name."""
    assert ENGLISH.figure(english) == english
    assert Language("de").figure(english) == german


def test_every_language_says_its_own_name() -> None:
    """For a person who looks for it."""
    assert [one.name for one in languages()] == ["English", "Deutsch"]
