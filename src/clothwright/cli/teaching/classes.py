"""A class on the command line: what each student needs, the teacher's summary, and the sheets of both."""

from __future__ import annotations

import datetime
import re
import unicodedata
from pathlib import Path

from rich.console import Console

from clothwright.cli.failing import asked
from clothwright.cli.planned import project_in
from clothwright.library.files import read_project_tree, stays_below
from clothwright.planning import ClassNeeds, class_needs
from clothwright.project import ClassList, Problem, ProblemsFound, Project, read_class
from clothwright.sheets import class_sheet_pdf, class_summary, class_summary_pdf

_console = Console(highlight=False, soft_wrap=True, markup=False)


def class_in(file: Path, piece: Path | None) -> tuple[Project, ClassNeeds]:
    """The class in a file and what each student needs of its piece, which stands beside it or is named.

    What is wrong is told with the file it stands in: the class, or its piece.
    """
    with asked(file):
        of_class = read_class(read_project_tree(file))
        where = piece or _piece_beside(file, of_class)
    with asked(where):
        project, drawings = project_in(where)
    try:
        return project, class_needs(project, of_class, drawings=drawings)
    except ProblemsFound as found:
        with asked(file if found.problems[0].path[:1] == ("student",) else where):
            raise


def _piece_beside(file: Path, of_class: ClassList) -> Path:
    if not of_class.project:
        sentence = (
            'which piece does the class weave? Name its project file, as project = "runner.toml", or give --piece'
        )
        raise ProblemsFound(Problem(("project",), sentence))
    if not stays_below(of_class.project):
        sentence = (
            f"“{of_class.project}”: a class file names a project beside or below itself; for another give --piece"
        )
        raise ProblemsFound(Problem(("project",), sentence))
    return file.parent / of_class.project


def show_class(needs: ClassNeeds) -> None:
    """Print the teacher's summary."""
    _console.print(needs.name or needs.piece)
    for line in class_summary.intro(needs):
        _console.print(line)
    for row in class_summary.rows(needs):
        name, heddle, ends, length, warp, weft, spread = row
        _console.print(
            f"\n{name}: {heddle}\n  {ends} ends, a warp of {length}\n  {warp} of warp + {weft} of weft, from {spread}"
        )
    settle = tuple(f"{name}: {what}" for name, what in class_summary.to_settle(needs))
    heads = class_summary.HEADS
    for title, lines in (
        (heads["settle"], settle),
        (heads["buy"], tuple(class_summary.to_buy(needs))),
        (heads["assumed"], tuple(class_summary.assumed(needs))),
    ):
        if lines:
            _console.print(f"\n{title}")
            _console.print("\n".join(f"  {line}" for line in lines))


def write_class(needs: ClassNeeds, out: Path, stem: str, *, large_print: bool) -> list[Path]:
    """Write a sheet for each student, and the teacher's summary, under a folder; all are made before the first is written."""
    today = datetime.datetime.now(tz=datetime.UTC).date()
    made = {out / f"{stem}-summary.pdf": class_summary_pdf(needs, made_on=today, large_print=large_print)}
    for one in needs.students:
        name = f"{stem}-{one.number + 1}-{_file_name(one.name)}.pdf"
        made[out / name] = class_sheet_pdf(needs, one, made_on=today)
    out.mkdir(parents=True, exist_ok=True)
    for path, content in made.items():
        path.write_bytes(content)
    return list(made)


def _file_name(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40] or "student"
