"""Anything found by its words, and the guide, on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.text import Text

from clothwright.guide import by_slug, parts, text_of
from clothwright.project import Problem, ProblemsFound

_console = Console(highlight=False, soft_wrap=True, markup=False)


def found_by(words: Sequence[str], member: str = "") -> dict[str, Any]:
    """What holds all the words, kind by kind; in a studio, of what a member may see. ProblemsFound where nothing can be looked for."""
    from clothwright.web.serve import ready

    ready()
    from django.conf import settings

    from clothwright.library import whose
    from clothwright.library.studio import members
    from clothwright.web.finding.answer import find
    from clothwright.web.finding.matching import read_words

    asked = read_words(" ".join(words))
    if not asked.words:
        raise ProblemsFound(Problem((), f"“{asked.typed}” holds no letter or digit to look for"))
    with whose.seeing(members.seen_for(member)):
        kinds = find(asked, members.find_member(member) if settings.STUDIO else None)
    return {
        "words": list(asked.words),
        "kinds": [
            {"kind": one.key, "name": one.name, "many": one.many, "found": [each.as_json() for each in one.found]}
            for one in kinds
        ],
    }


def show_found(answer: dict[str, Any]) -> None:
    """Each kind with the best of it, and how many there are."""
    for kind in answer["kinds"]:
        _console.print(Text(f"{kind['name']}: {kind['many']}", style="bold"))
        for one in kind["found"]:
            said = f" ({one['said']})" if one["said"] else ""
            _console.print(f"  {one['name']}{said}")
            if one["text"]:
                where = f"{one['where']}: " if one["where"] else ""
                _console.print(f"      {where}{one['text']}")
    if not answer["kinds"]:
        _console.print("Nothing holds all of these words. Try fewer, or a part of one.")


def chapter_text(slug: str) -> str:
    """A chapter as it is written; ProblemsFound with all there are where there is none of that name."""
    if (found := by_slug().get(slug)) is None:
        raise ProblemsFound(Problem((), f"there is no chapter “{slug}”; there are {', '.join(by_slug())}"))
    return text_of(found.text)


def show_contents() -> None:
    """The chapters in the order of the work."""
    for part, chapters in parts():
        _console.print(Text(part, style="bold"))
        for one in chapters:
            _console.print(f"  {one.slug:16} {one.title}: {one.about}")


def write_guide(folder: Path) -> int:
    """Write the guide as a site of plain files and say how many they are; ProblemsFound where that cannot be done."""
    from clothwright.web.serve import ready

    ready()
    from clothwright.web.helping.site import write_site

    try:
        return len(write_site(folder))
    except OSError as error:
        raise ProblemsFound(Problem((), f"“{folder}” cannot be written: {error.strerror or error}")) from None


def show_chapter(text: str) -> None:
    """A chapter as it is written."""
    click.echo(text.rstrip("\n"))
