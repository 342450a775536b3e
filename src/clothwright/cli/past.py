"""Past projects and tables of cloths as the command line takes them: files, folders, bad ones told and the rest used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from clothwright.evidence import NO_HISTORY, History, read_records, written_records
from clothwright.library import read_project_tree
from clothwright.library.files import LARGEST_FILE, drawings_of_samples
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.record.past import ProjectSeen, pooled, record_seen, seen_of, table_rows
from clothwright.project.sampling import with_drawn_outlines

_KINDS = (".toml", ".csv")


def history_from(paths: Sequence[Path], planned_file: Path, planned: Project, *, telling: bool = True) -> History:
    """What the files and folders tell of the project planned; those that cannot be read are told on standard error."""
    if not paths:
        return NO_HISTORY
    seen = [one for file in _files(paths) if not _same(file, planned_file) for one in _seen(file, telling)]
    return pooled(seen, planned)


def _projects(paths: Sequence[Path]) -> list[Project]:
    """The projects in the files and folders; those that cannot be read are told, and tables passed over."""
    found = []
    for file in _files(paths):
        if file.suffix.lower() == ".csv":
            continue
        try:
            found.append(_project(file))
        except ProblemsFound as wrong:
            _tell(file, wrong)
    return found


def projects_in(paths: Sequence[Path], besides: Path) -> list[Project]:
    """The projects in files and folders, but for one; those that cannot be read are told on standard error."""
    return _projects([file for file in _files(paths) if not _same(file, besides)])


def projects_from(paths: Sequence[Path]) -> list[Project]:
    """The projects in files and folders; those that cannot be read are told on standard error."""
    return _projects(paths)


def records_answer(paths: Sequence[Path], *, with_samples: bool) -> tuple[str, list[dict[str, str]]]:
    """The tool's own table of the finished cloths, and its rows; ProblemsFound where there are none."""
    projects = _projects(paths)
    dated = sorted(projects, key=lambda one: one.record.date if one.record and one.record.date else "9999")
    rows = table_rows(dated, with_samples=with_samples)
    if not rows:
        why = "no finished cloth is in these files; a project is finished when its record has a day and sizes"
        raise ProblemsFound(Problem((), why))
    return written_records(rows), rows


def write_table(path: Path, text: str) -> None:
    """Write a table; ProblemsFound where that cannot be done."""
    try:
        path.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise ProblemsFound(Problem((), f"“{path}” cannot be written: {error.strerror}")) from None


def _files(paths: Sequence[Path]) -> Iterator[Path]:
    """Every file named, and those of a folder that may be projects or tables, by name."""
    for path in paths:
        if path.is_dir():
            yield from sorted(one for one in path.iterdir() if one.suffix.lower() in _KINDS and one.is_file())
        else:
            yield path


def _same(file: Path, other: Path) -> bool:
    return file.resolve() == other.resolve()


def _seen(file: Path, telling: bool) -> Iterator[ProjectSeen]:
    key = f"past {file}"
    try:
        if file.suffix.lower() == ".csv":
            yield _table_seen(file, key, telling)
        else:
            yield seen_of(_project(file), key)
    except ProblemsFound as wrong:
        if telling:
            _tell(file, wrong)


def _project(file: Path) -> Project:
    """A past project with the outlines its samples were drawn round in; its pattern is not needed to know what was measured."""
    tree = read_project_tree(file)
    return with_drawn_outlines(read_project(tree), drawings_of_samples(file, tree))


def _table_seen(file: Path, key: str, telling: bool) -> ProjectSeen:
    try:
        with file.open("rb") as table:
            text = table.read(LARGEST_FILE + 1)
        if len(text) > LARGEST_FILE:
            raise ProblemsFound(Problem((), "the table is larger than this program reads"))
        records, bad = read_records(text.decode("utf-8-sig"))
    except OSError as error:
        raise ProblemsFound(Problem((), f"it cannot be read: {error.strerror}")) from None
    except UnicodeDecodeError:
        raise ProblemsFound(Problem((), "it is no text in UTF-8; save the table as CSV in UTF-8")) from None
    except ValueError as error:
        raise ProblemsFound(Problem((), str(error))) from None
    for row in bad if telling else ():
        click.echo(f"{file}: line {row.line} left out: {row.sentence}", err=True)
    return ProjectSeen(key, file.stem, tuple(record_seen(one, key) for one in records))


def _tell(file: Path, wrong: ProblemsFound) -> None:
    more = f" (and {len(wrong.problems) - 1} more)" if len(wrong.problems) > 1 else ""
    click.echo(f"{file} left out: {wrong.problems[0]}{more}", err=True)
