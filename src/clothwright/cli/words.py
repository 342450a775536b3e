"""The kept words on the command line."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from rich.console import Console

from clothwright.project import Problem, ProblemsFound
from clothwright.sheets.glossary import TradeWord, glossary, words_meant
from clothwright.sheets.translating import Language

_console = Console(highlight=False, soft_wrap=True, markup=False)


def words_answer(text: str, code: str) -> dict[str, Any]:
    """The words a text means, or all; ProblemsFound where it means none."""
    language = Language(code)
    found = words_meant(text, language) if text.strip() else glossary()
    if not found:
        raise ProblemsFound(Problem((), f"“{text}” is not among the words kept; `clothwright words` lists all of them"))
    return {"language": code, "words": [_told(one, language) for one in found]}


def _told(one: TradeWord, language: Language) -> dict[str, Any]:
    return {
        "word": one.word,
        "american": one.american or one.word,
        "said": one.said(language),
        "also": list(one.also),
        "meaning": one.explained(language),
        "two_meanings": one.trap,
        "source": one.source,
    }


def write_words(out: Path, code: str, *, large_print: bool) -> None:
    """Write every word on paper; ProblemsFound where the file cannot be written."""
    from clothwright.sheets import words_sheet_pdf

    today = datetime.datetime.now(tz=datetime.UTC).date()
    content = words_sheet_pdf(made_on=today, large_print=large_print, language=Language(code))
    try:
        out.write_bytes(content)
    except OSError as error:
        raise ProblemsFound(Problem((), f"it cannot be written: {error.strerror or error}")) from None


def show_words(answer: dict[str, Any]) -> None:
    """Print each word on a line, with what else it is called."""
    for one in answer["words"]:
        also = f" [also {', '.join(one['also'])}]" if one["also"] else ""
        _console.print(f"{one['said']}{also}: {one['meaning']}")
