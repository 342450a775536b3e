"""An answer told in sections, as text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console

from clothwright.sheets.wording import literal

_console = Console(highlight=False, soft_wrap=True, markup=False)


def show_sections(name: str, sections: Iterable[tuple[str, Sequence[str]]]) -> None:
    """Print what an answer is about, then each section under its title; what has no title comes without bullets."""
    _console.print(f"\n{literal(name)}", style="bold")
    for title, lines in sections:
        if title and lines:
            _console.print(f"\n{title}", style="bold")
        for line in lines:
            _console.print(f"- {line}" if title else line)
