"""The threading of a project, as text and as JSON; drafts from interchange files and into them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

import tomlkit
from rich.console import Console
from rich.table import Table

from clothwright import __version__
from clothwright.cli.past import projects_in
from clothwright.cli.planned import planned, project_in
from clothwright.planning import Plan
from clothwright.planning.cloth.threading_answer import ThreadingPlan
from clothwright.planning.cloth.threading_files import DraftRead, draft_from_file, draft_to_file
from clothwright.planning.cloth.threading_plan import plan_threading
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.sheets import threading_words as words

_console = Console(highlight=False, soft_wrap=True, markup=False)
#: One byte more than is read of a draft, so that a larger file is refused and never held whole.
_READ_BYTES = 4_000_001


def threaded(file: Path, *, seconds: float, past: Sequence[Path] = ()) -> tuple[Project, ThreadingPlan]:
    """The project in a file and its threading; the plan is made only for what is not typed."""
    project, _ = project_in(file)

    @cache
    def plan() -> Plan:
        return planned(file, seconds=seconds, seed=None)[1]

    return project, plan_threading(project, plan, timed=times_in(projects_in(past, file), project.loom.kind))


def times_in(projects: Sequence[Project], loom: str) -> list[tuple[int, float]]:
    """Ends and minutes of threading that projects on a kind of loom tell of."""
    drafts = (one.draft for one in projects if one.draft and one.loom.kind == loom)
    return [(time.ends, time.minutes) for draft in drafts for time in draft.timed]


def write_draft(answer: ThreadingPlan, project: Project, out: Path) -> tuple[str, ...]:
    """Write the threading as an interchange file, and say what that cannot carry."""
    written = draft_to_file(answer, project, program_version=__version__)
    try:
        out.write_bytes(written.data)
    except OSError as error:
        raise ProblemsFound(Problem((), f"“{out}” cannot be written: {error.strerror}")) from None
    return written.not_carried


def draft_in(file: Path) -> DraftRead:
    """The draft in an interchange file."""
    try:
        with file.open("rb") as opened:
            return draft_from_file(opened.read(_READ_BYTES))
    except OSError as error:
        raise ProblemsFound(Problem((), f"it cannot be read: {error.strerror}")) from None


def draft_lines(read: DraftRead) -> str:
    """The draft as lines for a project file."""
    document = tomlkit.document()
    table = tomlkit.table()
    for name, value in read.fields.items():
        table[name] = tomlkit.string(value, multiline=True) if name == "other_sections" and value else value
    if read.floating:
        document["cloth"] = {"floating_selvedges": True}
    document["draft"] = table
    return tomlkit.dumps(document)


def show_draft(read: DraftRead) -> None:
    """Print what a file holds, and what of it is only kept."""
    _console.print(read.title or "Without a title")
    _console.print(f"{read.ends} ends on {read.shafts} shafts, {read.picks} picks")
    for name in ("threading", "tie_up", "treadling", "lifting"):
        if name in read.fields:
            _console.print(f"{name.replace('_', '-')}: {read.fields[name]}")
    for sentence in read.told:
        _console.print(sentence)


def show_threading(answer: ThreadingPlan, *, imperial: bool) -> None:
    """Print where the warp stands, the threading in groups of ten, the sheds, and the sums to check it by."""
    _console.print(words.heddle_sentence(answer, imperial=imperial))
    for sentence in words.standing_sentences(answer, imperial=imperial):
        _console.print(sentence)
    _console.print(words.threading_sentence(answer))
    _console.print(_table(answer))
    for title, lines in (
        ("Sticks", words.stick_sentences(answer)),
        ("Picks, in order", words.shed_sentences(answer)),
        ("Sums", words.every_sum(answer, imperial=imperial)),
        ("Time", [words.time_sentence(answer)]),
        ("Notes", answer.notes),
    ):
        if lines:
            _console.print(f"\n{title}")
            _console.print("\n".join(f"  {line}" for line in lines))


def _table(answer: ThreadingPlan) -> Table:
    table = Table("ends", "where", "places", "yarn", box=None, pad_edge=False)
    for group in words.groups(answer):
        table.add_row(group.ends, group.on, group.places, ", ".join(group.yarns))
    return table
