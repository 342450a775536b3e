"""The forecast at the loom of a project file, as text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.cli.searching import MAIN_SHARE, searches
from clothwright.cli.sections import show_sections
from clothwright.layout import Effort
from clothwright.project import ProblemsFound, Project
from clothwright.sheets import at_loom as words
from clothwright.sheets.wording import plain_number
from clothwright.weaving import LoomForecast, forecast

_console = Console(highlight=False, soft_wrap=True, markup=False)


def forecast_of(
    file: Path, *, by_hand: bool, past: Sequence[Path], seconds: float, seed: int | None
) -> tuple[Project, LoomForecast]:
    """The project in a file and its forecast; ProblemsFound with every problem."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    with searches(project, Effort(seconds), seed) as search:
        layouts = search(MAIN_SHARE) if seconds else None
        return project, forecast(project, drawings=drawings, history=history, layouts=layouts, by_hand=by_hand)


def forecast_where_told(file: Path, *, past: Sequence[Path], seconds: float, seed: int | None) -> LoomForecast | None:
    """The forecast of the project in a file, where plan and log say enough for one."""
    try:
        return forecast_of(file, by_hand=False, past=past, seconds=seconds, seed=seed)[1]
    except ProblemsFound:
        return None


def show_forecast(told: LoomForecast, *, imperial: bool) -> None:
    """Print the whole forecast."""
    show_sections(told.name, words.sections(told, imperial=imperial))
    _console.print("\nWorking", style="bold")
    for one in told.working:
        _console.print(
            f"- {one.step} = {plain_number(one.value)} {one.unit}\n    {one.sum}\n    {one.rung}: {one.source}"
        )
