"""What is told, and not kept: sections of the guide, and the words of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from clothwright.guide import FOR_WORKERS, Chapter, chapters, sections_of
from clothwright.sheets.glossary import TradeWord, glossary
from clothwright.web.finding.matching import Findable, Place


@dataclass(frozen=True)
class InGuide:
    """A section of a chapter."""

    chapter: Chapter
    anchor: str
    found_by: Findable


@dataclass(frozen=True)
class AWord:
    """A word of the trade."""

    word: TradeWord
    found_by: Findable


@cache
def every_section() -> tuple[InGuide, ...]:
    """The sections of the chapters for weavers; what is for who works on the program is not looked through."""
    return tuple(
        InGuide(one, section.anchor, Findable(_title(one, section.title), (Place("", section.text),)))
        for one in chapters()
        if one.part != FOR_WORKERS
        for section in sections_of(one)
        if section.title not in one.for_workers
    )


def _title(one: Chapter, section: str) -> str:
    return one.title if section == one.title else f"{one.title}: {section}"


@cache
def every_word() -> tuple[AWord, ...]:
    """The kept words, each under all its names."""
    return tuple(
        AWord(one, Findable(", ".join(one.every_name), (Place("what it means", one.meaning),))) for one in glossary()
    )
