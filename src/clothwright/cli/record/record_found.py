"""Records on the command line: found in the library or in files, told one by one, and their labels printed."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from clothwright.cli.past import projects_from
from clothwright.project import Problem, ProblemsFound
from clothwright.project.record.record_search import RecordSaid, found, read_asked, said_of


def found_records(files: Sequence[Path], typed: dict[str, str]) -> list[RecordSaid]:
    """The records looked for, of files where any are named, else of the library."""
    asked = read_asked(typed)
    records = [said_of(one) for one in projects_from(files) if one.record] if files else _in_library()
    return found(records, asked)


def _in_library() -> list[RecordSaid]:
    from clothwright.web.serve import ready

    ready()
    from clothwright.web.record.records import every_record

    return [one.said for one in every_record()]


def show_records(records: Sequence[RecordSaid]) -> None:
    """Each record in a few lines."""
    from clothwright.sheets import record_words

    for one in records:
        day = f", finished {record_words.in_words(one.day)}" if one.day else ", on the way"
        click.echo(f"{one.number or 'no number'}  {one.name}{day}")
        for line in record_words.short_of(one):
            click.echo(f"    {line}")
    click.echo(f"{len(records)} found" if records else "No record was found.")


def print_labels(records: Sequence[RecordSaid], to: Path, *, copies: int, large_print: bool) -> int:
    """Write the labels of the records that have a number; say how many of how many."""
    from clothwright.library.record.label_address import label_address
    from clothwright.sheets import label_of, labels_pdf

    numbered = [one for one in records if one.number]
    if not numbered:
        raise ProblemsFound(Problem((), "none of the records found has a number, and a label needs one"))
    made_on = datetime.datetime.now().astimezone().date()
    made = [label_of(one, label_address()) for one in numbered]
    content = labels_pdf(made, copies=copies, made_on=made_on, large_print=large_print)
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_bytes(content)
    except OSError as error:
        raise ProblemsFound(Problem((), f"“{to}” cannot be written: {error.strerror}")) from None
    return len(numbered)


def records_data(records: Sequence[RecordSaid]) -> list[dict[str, Any]]:
    """The records in short, as plain data."""
    return [one.as_json() for one in records]
