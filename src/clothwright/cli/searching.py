"""The layout search as the command line runs it: in other processes, its progress shown, and stopped by Ctrl+C.

Stopping keeps the best found so far; what would still have been searched for is guessed instead.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

from clothwright.layout import (
    NO_EFFORT,
    NO_RULES,
    ClusterUnreached,
    Copy,
    Effort,
    OnExecutor,
    Rules,
    Searchers,
    Step,
    searching_by,
)
from clothwright.planning import LayoutSearch, quick_layouts, searched_layouts
from clothwright.project import Problem, ProblemsFound, Project

#: Names the scheduler of a Dask cluster to search on.
CLUSTER = "CLOTHWRIGHT_CLUSTER"
#: Shares of the search time: for the plan itself, and for each of at most three changed garments among the ways out.
MAIN_SHARE, BRIEF_SHARE = 0.7, 0.1

Progress = Callable[[float, Step], None]
YarnFor = Callable[[float, float], float]


@contextmanager
def searches(project: Project, effort: Effort, seed: int | None) -> Iterator[Callable[[float], LayoutSearch | None]]:
    """Gives layout searches that take a share of the effort; None, first guesses only, when there is nothing to search."""
    if effort == NO_EFFORT or project.pattern is None:
        yield lambda _share: None
        return
    with who_searches() as searchers, _shown(effort) as progress:
        yield _Searches(effort, project.seed if seed is None else seed, searchers, progress).search


@contextmanager
def who_searches(count: int = 2) -> Iterator[Searchers | OnExecutor]:
    """Processes of this machine, or the cluster that the environment names; ProblemsFound where that cannot be used."""
    try:
        with searching_by(os.environ.get(CLUSTER), count=count) as by:
            yield by
    except ClusterUnreached as why:
        raise ProblemsFound(Problem((CLUSTER,), str(why))) from None


class _Searches:
    """Searches that share their processes, until one is stopped."""

    def __init__(self, effort: Effort, seed: int, searchers: Searchers | OnExecutor, progress: Progress) -> None:
        self._effort, self._seed, self._searchers, self._progress = effort, seed, searchers, progress
        self._stopped = False

    def search(self, share: float) -> LayoutSearch:
        """A search of a share of the effort."""

        def found(
            copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
        ) -> tuple[Step, ...]:
            if self._stopped:
                return quick_layouts(copies, widths_cm, yarn_for, rules)
            return self._until_stopped(share, copies, widths_cm, yarn_for, rules)

        return found

    def _until_stopped(
        self, share: float, copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules
    ) -> tuple[Step, ...]:
        best: dict[float, Step] = {}

        def tell(share_done: float, step: Step) -> None:
            best[step.width_cm] = step
            if share >= MAIN_SHARE:
                self._progress(share_done, step)

        effort = self._effort.part(share)
        search = searched_layouts(effort=effort, seed=self._seed, by=self._searchers, progress=tell)
        try:
            return search(copies, widths_cm, yarn_for, rules)
        except KeyboardInterrupt:
            self._stopped = True
            self._searchers.end()
            click.echo("Stopped: the best layout found so far is used.", err=True)
            return tuple(best[width] for width in sorted(best)) or quick_layouts(copies, widths_cm, yarn_for, rules)


@contextmanager
def _shown(effort: Effort) -> Iterator[Progress]:
    """A progress bar on a terminal; one line elsewhere."""
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    console, on_terminal = Console(stderr=True), sys.stderr.isatty()
    if not on_terminal:
        how_long = f"for {effort.rounds} rounds" if effort.rounds else f"for {effort.seconds:g} s"
        console.print(f"Searching layouts {how_long} …", highlight=False)
    columns = (TextColumn("Searching layouts"), BarColumn(), TextColumn("{task.description}"))
    with Bar(*columns, console=console, transient=True, disable=not on_terminal) as bar:
        task = bar.add_task("", total=1.0)

        def tell(share_done: float, best: Step) -> None:
            said = f"best so far {best.layout.length_cm:.0f} cm of cloth {best.width_cm:.1f} cm wide; Ctrl+C keeps it"
            bar.update(task, completed=share_done, description=said)

        yield tell
