"""The hand of a cloth in the weaver's own words, and what they lean to: closer, right or more open.

Words stand in a table beside this file. Those that are not in it are kept, and said not to have been used.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Final

_WORD: Final = re.compile(r"[\w-]+")
#: Words that carry no hand and are passed over.
_FILLERS: Final = frozenset(
    (
        "a",
        "an",
        "and",
        "the",
        "it",
        "is",
        "but",
        "in",
        "hand",
        "handle",
        "feels",
        "cloth",
        "of",
        "to",
        "with",
        "when",
        "wet",
        "dry",
    )
)


@dataclass(frozen=True)
class Hand:
    """What words of the hand lean to: −1 more open to 1 closer, or None where none is known; those used and those not."""

    leans: float | None
    used: tuple[str, ...]
    not_used: tuple[str, ...]


def hand_in_words(text: str) -> Hand:
    """What a weaver's words lean to."""
    left = f" {' '.join(_WORD.findall(text.lower()))} "
    leans: list[float] = []
    used: list[str] = []
    for word, lean in _words():
        left, found = _taken(left, word, lean, used)
        leans += found
    unknown = tuple(word for word in left.split() if word not in _FILLERS)
    mean = max(-1.0, min(1.0, sum(leans) / len(leans))) if leans else None
    return Hand(mean, tuple(used), unknown)


def _taken(text: str, word: str, lean: float, used: list[str]) -> tuple[str, list[float]]:
    """The text without a word of the table, wherever it stands, and what each finding leans to."""
    found: list[float] = []
    while f" {word} " in text:
        start = text.index(f" {word} ")
        before, times = _before(text[: start + 1])
        used.append(f"{before} {word}".strip())
        found.append(lean * times)
        text = text[: start + 1 - (len(before) + 1 if before else 0)] + text[start + len(word) + 1 :]
    return text, [one for one in found if one or not lean]


def _before(text: str) -> tuple[str, float]:
    """The word that changes what follows it, at the end of a text, and by how much."""
    for word, times in _changers():
        if text.endswith(f" {word} "):
            return word, times
    return "", 1.0


@cache
def _table() -> dict[str, list[dict[str, Any]]]:
    return tomllib.loads(resources.files(__package__).joinpath("hand_words.toml").read_text(encoding="utf-8"))


@cache
def _words() -> tuple[tuple[str, float], ...]:
    """Every word with what it leans to, the longest first."""
    found = ((word, row["leans"]) for row in _table()["hand"] for word in row["words"])
    return tuple(sorted(found, key=lambda one: -len(one[0])))


@cache
def _changers() -> tuple[tuple[str, float], ...]:
    found = ((word, row["times"]) for row in _table()["before"] for word in row["words"])
    return tuple(sorted(found, key=lambda one: -len(one[0])))
