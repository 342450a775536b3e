"""The weft order of a project as text: run by run, its joins, its balls, and which to keep for it."""

from __future__ import annotations

from typing import Final

from rich.console import Console
from rich.table import Table

from clothwright.planning import WeftAnswer
from clothwright.sheets import weft_words as words

#: Columns of a table where the output is no terminal, so that lengths in both units stand on one line.
_WIDE: Final = 132
_console = Console(highlight=False, soft_wrap=True, markup=False)
_tables = _console if _console.is_terminal else Console(highlight=False, markup=False, width=_WIDE)


def show_weft(answer: WeftAnswer, *, imperial: bool) -> None:
    """Print the order with running lengths, its joins, its balls, its rules and its notes."""
    _console.print(f"\nWeft\n{words.weft_sum(answer, imperial=imperial)}")
    for sentence in words.stripe_sentences(answer, imperial=imperial):
        _console.print(sentence)
    _table(words.RUNS_HEAD, words.run_rows(answer, imperial=imperial))
    for sentence in words.join_sentences(answer, imperial=imperial):
        _console.print(sentence)
    _table(words.BALLS_HEAD, words.ball_rows(answer, imperial=imperial))
    _console.print(words.lasts_sentence(answer))
    if answer.keeping:
        _console.print("\n".join(words.keeping_sentences(answer.keeping, imperial=imperial)))
        _table(words.KEEPING_HEAD, words.keeping_rows(answer.keeping, imperial=imperial))
    for title, lines in (("Rules", answer.rules), ("Rules broken", answer.broken), ("Notes", answer.notes)):
        if lines:
            _console.print(f"\n{title} of the weft")
            _console.print("\n".join(f"  {line}" for line in lines))


def _table(head: list[str], rows: list[list[str]]) -> None:
    table = Table(*head, box=None, pad_edge=False)
    for row in rows:
        table.add_row(*row)
    _tables.print(table)
