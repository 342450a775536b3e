"""What is to be done off the loom of a project file, as text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.cli.searching import MAIN_SHARE, searches
from clothwright.cli.sections import show_sections
from clothwright.finishing import Finish, finish
from clothwright.layout import Effort
from clothwright.project import Project
from clothwright.sheets import finishing as words


def finish_of(file: Path, *, past: Sequence[Path], seconds: float, seed: int | None) -> tuple[Project, Finish]:
    """The project in a file and what is to be done off its loom; ProblemsFound with every problem."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    with searches(project, Effort(seconds), seed) as search:
        layouts = search(MAIN_SHARE) if seconds else None
        return project, finish(project, drawings=drawings, history=history, layouts=layouts)


def show_finish(found: Finish, *, imperial: bool) -> None:
    """Print the whole answer."""
    show_sections(found.name, words.sections(found, imperial=imperial))
