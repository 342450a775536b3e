"""A project made again from a record on the command line: planned from the ratios learnt, beside last time and proportion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from clothwright.cli.past import history_from
from clothwright.cli.searching import BRIEF_SHARE, MAIN_SHARE, searches
from clothwright.evidence import History
from clothwright.layout import Effort
from clothwright.library.files import export_toml, plain_tree, read_project_file
from clothwright.planning import Plan, plan
from clothwright.planning.record.again_compared import Compared, compared
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.project.record.past import pooled, seen_of
from clothwright.project.record.used_again import Again, Started, used_again
from clothwright.project.sampling import with_drawn_outlines


@dataclass(frozen=True)
class MadeAgain:
    """The new project, what was changed in it, its plan, and that beside last time."""

    started: Started
    project: Project
    plan: Plan
    compared: Compared

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "name": self.project.name,
            "from_record": self.project.from_record or None,
            "changed": list(self.started.told),
            "compared": self.compared.as_json(),
            "plan": self.plan.as_json(),
        }


def made_again(file: Path, again: Again, *, past: Sequence[Path], seconds: float, seed: int | None) -> MadeAgain:
    """A project made again from the one in a file; ProblemsFound where it has no record or cannot be planned."""
    tree, drawings = read_project_file(file)
    before = with_drawn_outlines(read_project(tree), drawings)
    if before.record is None:
        raise ProblemsFound(Problem(("record",), "this project has no record to start from; plan it as it stands"))
    try:
        started = used_again(plain_tree(tree), again)
    except ValueError as wrong:
        raise ProblemsFound(Problem((), str(wrong))) from None
    project = with_drawn_outlines(read_project(started.tree), drawings)
    history = _history(file, before, past, project)
    with searches(project, Effort(seconds), seed) as search:
        layouts, brief = search(MAIN_SHARE), search(BRIEF_SHARE)
        made = plan(project, drawings=drawings, layouts=layouts, brief_layouts=brief, history=history)
    return MadeAgain(started, project, made, compared(before, made))


def _history(file: Path, before: Project, past: Sequence[Path], project: Project) -> History:
    """What the record tells, and the past files beside it."""
    told = history_from(past, file, project)
    own = pooled([seen_of(before, f"past {file}")], project)
    return History((*told.cloths, *own.cloths), (*told.wastes, *own.wastes), (*told.notes, *own.notes))


def write_project(to: Path, made: MadeAgain) -> None:
    """Write the new project as a file; a file that is there already is not written over."""
    if to.exists():
        raise ProblemsFound(Problem((), f"{to} is there already, and nothing is written over; name a new file with -o"))
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_text(export_toml(made.started.tree), encoding="utf-8")
    except OSError as error:
        raise ProblemsFound(Problem((), f"“{to}” cannot be written: {error.strerror}")) from None


def show_again(made: MadeAgain) -> None:
    """The new plan beside last time, in words."""
    from clothwright.sheets import record_words
    from clothwright.sheets.wording import verdict_sentence

    imperial = made.project.units == "imperial"
    click.echo(f"{made.project.name}: {verdict_sentence(made.plan)}\n")
    for line in record_words.again_lines(made.compared, imperial=imperial):
        click.echo(line)
    for sentence in (*made.started.told, *record_words.again_notes(made.compared, imperial=imperial)):
        click.echo(sentence)
