"""The layout search as the command line runs it: on other processes, its progress shown, and stopped by Ctrl+C.

Stopping keeps the best found so far; what would still have been searched for is guessed instead.
"""

from __future__ import annotations

import multiprocessing
import signal
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from functools import partial

import click

from clothwright.layout import Copy, Step
from clothwright.planning import LayoutSearch, quick_layouts, searched_layouts
from clothwright.project import Project

_WORKERS = 2
#: What a pool takes to forget the tasks that were cancelled.
_FORGETTING_S = 0.3
#: Shares of the search time: for the plan itself, and for each of at most three changed garments among the ways out.
MAIN_SHARE, BRIEF_SHARE = 0.7, 0.1

Progress = Callable[[float, Step], None]
YarnFor = Callable[[float, float], float]


@contextmanager
def searches(project: Project, seconds: float, seed: int | None) -> Iterator[Callable[[float], LayoutSearch | None]]:
    """Gives layout searches that take a share of the seconds; None, first guesses only, when there is nothing to search."""
    if seconds <= 0 or project.pattern is None:
        yield lambda _share: None
        return
    context = multiprocessing.get_context("spawn")
    deaf = partial(signal.signal, signal.SIGINT, signal.SIG_IGN)
    workers = ProcessPoolExecutor(max_workers=_WORKERS, mp_context=context, initializer=deaf)
    with workers as executor, _shown(seconds) as progress:
        yield _Searches(seconds, project.seed if seed is None else seed, executor, progress).search


class _Searches:
    """Searches that share one executor, until one is stopped."""

    def __init__(self, seconds: float, seed: int, executor: Executor, progress: Progress) -> None:
        self._seconds, self._seed, self._executor, self._progress = seconds, seed, executor, progress
        self._stopped = False

    def search(self, share: float) -> LayoutSearch:
        """A search of a share of the seconds."""

        def found(copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor) -> tuple[Step, ...]:
            if self._stopped:
                return quick_layouts(copies, widths_cm, yarn_for)
            return self._until_stopped(share, copies, widths_cm, yarn_for)

        return found

    def _until_stopped(
        self, share: float, copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor
    ) -> tuple[Step, ...]:
        best: dict[float, Step] = {}

        def tell(share_done: float, step: Step) -> None:
            best[step.width_cm] = step
            if share >= MAIN_SHARE:
                self._progress(share_done, step)

        search = searched_layouts(
            seconds=share * self._seconds, seed=self._seed, executor=self._executor, progress=tell
        )
        try:
            return search(copies, widths_cm, yarn_for)
        except KeyboardInterrupt:
            self._stopped = True
            self._end_workers()
            click.echo("Stopped: the best layout found so far is used.", err=True)
            return tuple(best[width] for width in sorted(best)) or quick_layouts(copies, widths_cm, yarn_for)

    def _end_workers(self) -> None:
        """End the slices under way; a pool that still holds cancelled tasks when its workers die writes a traceback."""
        self._executor.shutdown(wait=False, cancel_futures=True)
        time.sleep(_FORGETTING_S)
        for child in multiprocessing.active_children():
            child.terminate()


@contextmanager
def _shown(seconds: float) -> Iterator[Progress]:
    """A progress bar on a terminal; one line elsewhere."""
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    console, on_terminal = Console(stderr=True), sys.stderr.isatty()
    if not on_terminal:
        console.print(f"Searching layouts for {seconds:g} s …", highlight=False)
    columns = (TextColumn("Searching layouts"), BarColumn(), TextColumn("{task.description}"))
    with Bar(*columns, console=console, transient=True, disable=not on_terminal) as bar:
        task = bar.add_task("", total=1.0)

        def tell(share_done: float, best: Step) -> None:
            said = f"best so far {best.layout.length_cm:.0f} cm of cloth {best.width_cm:.1f} cm wide; Ctrl+C keeps it"
            bar.update(task, completed=share_done, description=said)

        yield tell
