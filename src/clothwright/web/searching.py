"""Search longer for a better layout: a thread that owns spawned processes, its state in the database.

The page asks how far it is; stopping keeps the best found so far. Whatever is found is kept by its pieces, so that
every later plan of them starts from it.
"""

from __future__ import annotations

import logging
import multiprocessing
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor
from threading import Thread
from typing import Final

from django.db import connection

from clothwright.layout import Copy, Layout, Step
from clothwright.library import store
from clothwright.library.layouts import keep_layouts, with_known
from clothwright.library.models import LayoutRun, Project, Revision
from clothwright.planning import LayoutSearch, plan, searched_layouts
from clothwright.project import ProblemsFound
from clothwright.web import planned

_log = logging.getLogger(__name__)

SECONDS: Final = 30.0
_WORKERS: Final = 2

YarnFor = Callable[[float, float], float]


class StopAsked(Exception):
    """Raised between two slices of a search that was asked to stop."""


def running() -> LayoutRun | None:
    """The search under way; there is one at a time."""
    return LayoutRun.objects.filter(ended=False).select_related("project").first()


def latest(project: Project) -> LayoutRun | None:
    """The last search started for a project."""
    return LayoutRun.objects.filter(project=project).order_by("-started_at").first()


def start(project: Project, seconds: float = SECONDS) -> LayoutRun:
    """Search in the background for so many seconds; the search under way, if there is one."""
    if (already := running()) is not None:
        return already
    run = LayoutRun.objects.create(project=project, seconds=seconds)
    Thread(target=_carry_out, args=(run, store.head(project)), daemon=True).start()
    return run


def already_found(project: Project, copies: tuple[Copy, ...], layout: Layout) -> None:
    """Keep a layout that was searched for elsewhere, so that the pages start from it."""
    keep_layouts(copies, [layout])
    outcome = f"{layout.length_cm:.0f} cm of cloth, found before the pages were opened"
    LayoutRun.objects.create(project=project, seconds=0, share_done=1, ended=True, outcome=outcome)


def ask_to_stop(project: Project) -> None:
    """Stop the project's search at the next slice; the best so far is kept."""
    LayoutRun.objects.filter(project=project, ended=False).update(stop_asked=True)


def end_those_cut_off() -> None:
    """Mark searches as ended that a stop of the program cut off."""
    LayoutRun.objects.filter(ended=False).update(ended=True, outcome="cut off when the program was stopped")


def _carry_out(run: LayoutRun, revision: Revision) -> None:
    try:
        spawned = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(_WORKERS, mp_context=spawned) as executor:
            outcome = search_layouts(run, revision, executor)
    except Exception:  # noqa: BLE001 - a thread has nobody above it: write the fault down and say so on the page
        _log.exception("layout search %s", run.pk)
        outcome = "ended by a fault of the program, which has been written down"
    LayoutRun.objects.filter(pk=run.pk).update(ended=True, outcome=outcome)
    planned.forget_plans()
    connection.close()


def search_layouts(run: LayoutRun, revision: Revision, executor: Executor) -> str:
    """Search for the layouts of a revision, keep them, and say in words what came of it."""
    search = _Search(run, executor)
    try:
        plan(
            planned.document(revision),
            drawings=store.drawings_of(revision),
            layouts=search.layouts,
            history=planned.history(revision),
        )
    except ProblemsFound as wrong:
        return f"nothing to search for: {wrong}"
    return search.outcome()


class _Search:
    """One long search: tells how far it is, stops when asked, keeps what it finds."""

    def __init__(self, run: LayoutRun, executor: Executor) -> None:
        self.run = run
        self._long = searched_layouts(seconds=run.seconds, seed=run.pk, executor=executor, progress=self._tell)
        self._best: dict[float, Layout] = {}
        self._before_m = self._after_m = 0.0

    @property
    def layouts(self) -> LayoutSearch:
        """The search as planning calls it."""
        return self._search

    def outcome(self) -> str:
        """What came of it, in words."""
        if not self._before_m:
            return "there are no pieces to lay out"
        saved = self._before_m - self._after_m
        return f"a layout that saves {saved:.1f} m of yarn" if saved >= 0.05 else "no better layout found"

    def _search(self, copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor) -> tuple[Step, ...]:
        before = with_known()(copies, widths_cm, yarn_for)
        self._before_m = min(step.yarn_m for step in before)
        keep_layouts(copies, [step.layout for step in before])
        try:
            for step in self._long(copies, widths_cm, yarn_for):
                self._best[step.width_cm] = step.layout
        except StopAsked:
            pass
        keep_layouts(copies, self._best.values())
        after = with_known()(copies, widths_cm, yarn_for)
        self._after_m = min(step.yarn_m for step in after)
        return after

    def _tell(self, share: float, best: Step) -> None:
        self._best[best.width_cm] = best.layout
        LayoutRun.objects.filter(pk=self.run.pk).update(share_done=share)
        if LayoutRun.objects.filter(pk=self.run.pk, stop_asked=True).exists():
            raise StopAsked
