"""The kept words: one trade word for each idea, British with the American beside it, and what it means in one line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from clothwright.sheets.translating import ENGLISH, Language

#: A plural or a gerund asks for the word itself: ends, heddles, sleying.
_ENDINGS: Final = ("", "s", "es", "ing", "ed")


@dataclass(frozen=True)
class TradeWord:
    """A word of the trade. `american` where that differs, `also` what others call it, `trap` where it means two things."""

    word: str
    meaning: str
    source: str
    american: str = ""
    also: tuple[str, ...] = ()
    trap: bool = False

    @property
    def named(self) -> str:
        """The word with the American beside it: selvedge (American selvage)."""
        return f"{self.word} (American {self.american})" if self.american else self.word

    @property
    def every_name(self) -> tuple[str, ...]:
        """The word and whatever else it is called."""
        return tuple(filter(None, (self.word, self.american, *self.also)))

    @property
    def anchor(self) -> str:
        """Its place on the page of words."""
        return re.sub(r"[^a-z]+", "-", self.word)

    def said(self, language: Language) -> str:
        """The word in a language, the British and American beside it where that is another."""
        own = language.of("word", self.word)
        if own == self.word:
            return self.named
        english = f"{self.word}, {self.american}" if self.american else self.word
        return f"{own} ({english})"

    def explained(self, language: Language) -> str:
        """Its one-line meaning in a language."""
        return language(self.meaning)


@cache
def glossary() -> tuple[TradeWord, ...]:
    """Every word, in the order of the alphabet."""
    text = resources.files(__package__).joinpath("glossary.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["word"]
    return tuple(sorted((TradeWord(**row | {"also": tuple(row.get("also", ()))}) for row in rows), key=_by_word))


def _by_word(one: TradeWord) -> str:
    return one.word.lower()


def words_meant(text: str, language: Language = ENGLISH) -> tuple[TradeWord, ...]:
    """The words a text means: one it names, British, American or otherwise, else those whose names or meaning hold it."""
    asked = text.strip().casefold()
    if not asked:
        return ()
    named = tuple(
        one for one in glossary() if any(_is(asked, name) for name in (*one.every_name, language.of("word", one.word)))
    )
    return named or tuple(one for one in glossary() if asked in " ".join((*one.every_name, one.meaning)).casefold())


def _is(asked: str, name: str) -> bool:
    return asked in {name.casefold() + ending for ending in _ENDINGS}


def named_words(words: Iterable[str]) -> tuple[TradeWord, ...]:
    """The rows of the table for some of its words, in the order of the table; KeyError for one it has not."""
    wanted = list(words)
    known = {one.word: one for one in glossary()}
    if lost := [word for word in wanted if word not in known]:
        raise KeyError(f"{lost[0]} is not in the table of words")
    return tuple(sorted((known[word] for word in wanted), key=_by_word))
