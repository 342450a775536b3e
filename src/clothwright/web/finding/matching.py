"""Words looked for, and texts in which they stand.

Every word must stand in what is found, in any of its texts and in any order. Capitals and accents do not count. A word of three letters
or more may stand within a longer one; a shorter one, as a number, stands by itself, or `2` would find everything.

What is found is ranked: words in the name before words elsewhere, whole words before parts of words, side by side before scattered.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final

MOST_LETTERS: Final = 200
MOST_WORDS: Final = 10
_AROUND: Final = 70
_SHORT: Final = 3


@dataclass(frozen=True)
class Asked:
    """What was typed, and the words in it that can be looked for."""

    typed: str
    words: tuple[str, ...]

    @cached_property
    def patterns(self) -> tuple[re.Pattern[str], ...]:
        """One for each word: by itself, and for longer words anywhere."""
        return tuple(
            re.compile(re.escape(word) if len(word) >= _SHORT else rf"(?<!\w){re.escape(word)}(?!\w)")
            for word in self.words
        )

    @cached_property
    def phrase(self) -> re.Pattern[str]:
        """The words side by side, with a blank or a hyphen between."""
        return re.compile(r"[\s\-]+".join(map(re.escape, self.words)))


def read_words(typed: str) -> Asked:
    """The words of what was typed: anything with a letter or digit in it, the first few of very many."""
    shown = "".join(one if one.isprintable() else " " for one in typed[:MOST_LETTERS]).strip()
    words = (word.strip("\"'“”‘’«».,;:!?()[]") for word in folded(shown).split())
    told = dict.fromkeys(word for word in words if any(map(str.isalnum, word)))
    return Asked(shown, tuple(told)[:MOST_WORDS])


def folded(text: str) -> str:
    """A text without capitals and accents, letter for letter: as long as it was."""
    if text.isascii():
        return text.lower()
    return "".join(map(_letter, text))


def _letter(letter: str) -> str:
    plain = unicodedata.normalize("NFKD", letter).casefold()
    return plain[0] if plain else letter


@dataclass(frozen=True)
class Place:
    """A text, and where it stands in what holds it: `notes`, `yarn limpet: fibre`."""

    where: str
    text: str


@dataclass(frozen=True)
class Findable:
    """Something that can be found: its name and its other texts."""

    name: str
    places: tuple[Place, ...] = ()

    @cached_property
    def folded(self) -> str:
        """All its texts as one, without capitals and accents."""
        return folded("\n".join((self.name, *(one.text for one in self.places))))


@dataclass(frozen=True)
class Standing:
    """Where the words stand in what was found, and the text around them: each piece with whether it is a word looked for."""

    where: str
    excerpt: tuple[tuple[str, bool], ...]


def rank(one: Findable, asked: Asked) -> int | None:
    """How well it is meant; None where a word stands nowhere in it."""
    if not asked.words or not all(pattern.search(one.folded) for pattern in asked.patterns):
        return None
    in_name = _in(one.name, asked.patterns)
    begun = sum(bool(re.search(rf"(?<!\w){re.escape(word)}", folded(one.name))) for word in asked.words)
    first = folded(one.name).startswith(asked.words[0])
    together = len(asked.words) > 1 and bool(asked.phrase.search(one.folded))
    return 4 * (in_name == len(asked.words)) + 2 * in_name + begun + first + 5 * together


def standing(one: Findable, asked: Asked) -> Standing:
    """Where the words that its name has not stand, or all of them; nowhere else where only its name has them."""
    name = folded(one.name)
    left = [pattern for pattern in asked.patterns if not pattern.search(name)] or list(asked.patterns)
    together = [place for place in one.places if asked.phrase.search(folded(place.text))]
    place = max(together or one.places, key=lambda place: _in(place.text, left), default=None)
    if place is None or not _in(place.text, left):
        return Standing("", ())
    return Standing(place.where, excerpt(place.text, (asked.phrase,) if together else asked.patterns))


def _in(text: str, patterns: Iterable[re.Pattern[str]]) -> int:
    """How many of the words a text holds."""
    plain = folded(text)
    return sum(bool(pattern.search(plain)) for pattern in patterns)


def excerpt(text: str, patterns: Iterable[re.Pattern[str]]) -> tuple[tuple[str, bool], ...]:
    """The text around the first word found, in pieces, each with whether it is a word looked for."""
    plain = " ".join(text.split())
    spans = _apart(sorted(found.span() for pattern in patterns for found in pattern.finditer(folded(plain))))
    if not spans:
        return ((plain[: 2 * _AROUND], False),)
    start, end = max(0, spans[0][0] - _AROUND), min(len(plain), spans[0][0] + 2 * _AROUND)
    pieces, at = [("…" if start else "", False)], start
    for first, last in spans:
        if last <= end:
            pieces += [(plain[at:first], False), (plain[first:last], True)]
            at = last
    pieces += [(plain[at:end], False), ("…" if end < len(plain) else "", False)]
    return tuple(piece for piece in pieces if piece[0])


def _apart(spans: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Spans in order, those that touch or overlap made one."""
    apart: list[tuple[int, int]] = []
    for first, last in spans:
        if apart and first <= apart[-1][1]:
            apart[-1] = (apart[-1][0], max(last, apart[-1][1]))
        else:
            apart.append((first, last))
    return apart
