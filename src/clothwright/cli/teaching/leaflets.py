"""The leaflet on the command line: its tables worked out by several processes, how far they are, and what comes of them.

Ctrl+C keeps every layout and figure that is done, here and for the next time; what is still missing is guessed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import click
from rich.console import Console

from clothwright.cli.failing import OurFault
from clothwright.cli.planned import project_in
from clothwright.cli.searching import who_searches
from clothwright.layout import NO_EFFORT, Effort
from clothwright.library.teaching.leaflet_answers import kept_answers
from clothwright.planning import Done, Leaflet, Working, disagreements, leaflet
from clothwright.project import Project
from clothwright.sheets import leaflet_words as words

_console = Console(highlight=False, soft_wrap=True, markup=False)


@dataclass(frozen=True)
class LeafletEffort:
    """How long all layouts of a leaflet are searched for, or each in how many rounds, and by how many processes.

    `seed` left out: the project's.
    """

    seconds: float
    rounds: int = 0
    seed: int | None = None
    workers: int = 2

    @property
    def effort(self) -> Effort:
        """Rounds where they are asked for, else seconds."""
        return Effort(rounds=self.rounds) if self.rounds else Effort(self.seconds)


def leaflet_in(file: Path, how: LeafletEffort) -> tuple[Project, Leaflet]:
    """The project in a file and its leaflet, re-added before it is given out."""
    project, drawings = project_in(file)
    found = _worked_out(project, drawings, how)
    if wrong := disagreements(found):
        raise OurFault(
            f"The leaflet is not given out: its figures do not agree, which is our fault and not the file's. {'. '.join(wrong)}."
        )
    return project, found


def _worked_out(project: Project, drawings: Mapping[str, bytes], how: LeafletEffort) -> Leaflet:
    seed = project.seed if how.seed is None else how.seed
    working = Working(effort=how.effort, seed=seed, kept=kept_answers())
    if how.effort == NO_EFFORT or project.pattern is None:
        return leaflet(project, drawings=drawings, working=replace(working, effort=NO_EFFORT))
    try:
        with who_searches(how.workers) as by, _shown() as tell:
            return leaflet(project, drawings=drawings, working=replace(working, by=by, tell=tell))
    except KeyboardInterrupt:
        click.echo("Stopped: what is done is kept; first guesses stand in for the layouts still missing.", err=True)
        return leaflet(project, drawings=drawings, working=replace(working, effort=NO_EFFORT))


@contextmanager
def _shown() -> Iterator[Callable[[Done], None]]:
    """A progress bar on a terminal; a line now and then elsewhere."""
    from rich.progress import BarColumn, Progress, TextColumn

    console, on_terminal = Console(stderr=True, highlight=False, soft_wrap=True), sys.stderr.isatty()
    said: set[str] = set()
    columns = (TextColumn("Laying out"), BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=console, transient=True, disable=not on_terminal) as bar:
        task = bar.add_task("", total=1.0)

        def tell(done: Done) -> None:
            bar.update(task, completed=done.share, description=words.how_far(done))
            tenth = f"{done.figures_in_all > 0} {done.share * 10 // 1:.0f} {done.figures in (0, done.figures_in_all)}"
            if not on_terminal and tenth not in said:
                said.add(tenth)
                console.print(words.how_far(done))

        yield tell


def show_leaflet(answer: Leaflet, *, imperial: bool) -> None:
    """Print the table, what has no row, the advice and what is assumed."""
    _console.print(f"{answer.name}: what a reader needs" + (", as sums by hand" if answer.by_hand else ""))
    for why in words.not_to_be_given_out(answer):
        _console.print(f"A proof, not to be given out: {why}")
    for name, rows in words.groups(answer, imperial=imperial):
        _console.print(f"\n{name}")
        for row in rows:
            _console.print("\n".join(_row(row)))
    if said := words.balls_in_words(answer):
        _console.print(f"\n{said}")
    told = (*words.missing(answer), *words.low_and_high(answer, imperial=imperial))
    for title, lines in (("", told), ("Advice", answer.advice), ("Assumed", answer.assumed), ("Notes", answer.notes)):
        if lines:
            _console.print(f"\n{title}".rstrip())
            _console.print("\n".join(f"  {line}" for line in lines))


def _row(cells: list[str]) -> tuple[str, str, str]:
    """One row of the table as three lines: what cloth, what warp, what yarn."""
    cloth, ends, heddle, long, warp, weft, both, bought = cells
    return (
        f"  {cloth}",
        f"    {ends} ends, {heddle} in the heddle, a warp of {long}",
        f"    {warp} of warp + {weft} of weft = {both}; with the margin {bought}",
    )
