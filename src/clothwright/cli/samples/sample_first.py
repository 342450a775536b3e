"""A sample first: the smallest one that settles most, as text or data."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from clothwright.cli.past import history_from
from clothwright.cli.planned import project_in
from clothwright.cli.searching import MAIN_SHARE, searches
from clothwright.layout import Effort
from clothwright.planning import SampleFirst, sample_first
from clothwright.project import Project
from clothwright.sheets.sampling.small_samples import (
    beside_rows,
    doubt_rows_of,
    headline,
    heddle_rows,
    steps,
    tells,
)
from clothwright.sheets.wording import plain_number

_console = Console(highlight=False, soft_wrap=True, markup=False)


def sampled(
    file: Path, *, loom: bool, heddles: tuple[str, ...], past: Sequence[Path], seconds: float, seed: int | None
) -> tuple[Project, SampleFirst]:
    """The project in a file and the sample to make first; ProblemsFound with every problem."""
    project, drawings = project_in(file)
    history = history_from(past, file, project)
    with searches(project, Effort(seconds), seed) as search:
        found = sample_first(
            project, drawings=drawings, loom=loom, heddles=heddles, layouts=search(MAIN_SHARE), history=history
        )
    return project, found


def show_sample(answer: SampleFirst, project: Project) -> None:
    """Print the sample, what it would tell, how to make it, and what stands beside it."""
    imperial = project.units == "imperial"
    _console.print(f"\n{answer.name}. {headline(answer, imperial=imperial)}", style="bold")
    for sentence in tells(answer, imperial=imperial):
        _console.print(sentence)
    _heading(
        "In doubt, now and after",
        *(f"{row[0]}: {row[1]}; then {row[2]}" for row in doubt_rows_of(answer, imperial=imperial)),
    )
    _heading("How", *steps(answer, project.cloth.finish, imperial=imperial))
    _heading(
        "Smaller and larger",
        *(
            f"{size}: {yarn}, {work}; {chance} definite; takes away of the doubt: {gone}"
            for size, yarn, work, chance, gone in beside_rows(answer, imperial=imperial)
        ),
    )
    _heading(
        "Each heddle, at the same trust",
        *(
            f"{name}: {ends} ends of {warp}, {yarn}; {lasts}; {then} definite after the sample"
            for name, ends, warp, yarn, lasts, then in heddle_rows(answer, imperial=imperial)
        ),
    )
    _heading(
        "Working", *(f"{line.step} = {plain_number(line.value)} {line.unit}\n    {line.sum}" for line in answer.working)
    )
    _heading("Notes", *answer.notes)


def _heading(title: str, *lines: str) -> None:
    _console.print(f"\n{title}", style="bold")
    for line in lines:
        _console.print(f"- {line}")
