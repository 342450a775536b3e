"""Search longer for a better layout: its state in the database, searching processes that it owns.

At one table a thread of the server owns them, and one search is under way at a time. In a shared studio a search waits for its turn
(`library/pieces/search_queue.py`), and a process of its own carries it out (`search_processes.py`).

The page asks how far it is; stopping ends the processes at once and keeps the best found so far. Whatever is found is
kept by its pieces, so that every later plan of them starts from it. Whether it was asked to stop stands in the
database, where every process that serves pages can write it, and is read on every pulse of the search.
"""

from __future__ import annotations

import logging
import os
import time
from collections.abc import Callable
from typing import Any, Final

from django.conf import settings
from django.db import connection

from clothwright.layout import (
    NO_RULES,
    ClusterUnreached,
    Copy,
    Effort,
    Layout,
    OnExecutor,
    Rules,
    Searchers,
    Step,
    faults,
    searching_by,
    with_rules,
)
from clothwright.library import store, whose
from clothwright.library.models import LayoutRun, Project, Revision
from clothwright.library.pieces import search_queue
from clothwright.library.pieces.layouts import keep_layouts, with_known
from clothwright.library.studio.studio_asked import searches_at_once
from clothwright.planning import LayoutSearch, job_of, searched_layouts, weigh_up
from clothwright.project import ProblemsFound
from clothwright.sheets.wording import counted
from clothwright.web import planned, search_processes
from clothwright.web.mishaps.journal import tell_if_slow_search

_log = logging.getLogger(__name__)

SECONDS: Final = 30.0
#: How often a page asks how far a search is: one that waits for its turn, one in a studio, and one at one table.
_WAITING_S, _IN_A_STUDIO_S, _ALONE_S = 5, 2, 1
#: Names the scheduler of a Dask cluster to search on.
CLUSTER: Final = "CLOTHWRIGHT_CLUSTER"

YarnFor = Callable[[float, float], float]


class StopAsked(Exception):
    """Raised by the pulse of a search that was asked to stop."""


def running() -> LayoutRun | None:
    """The search under way at one table, which has one at a time; in a studio none stands in another's way."""
    if settings.STUDIO:
        return None
    return LayoutRun.every.filter(ended=False).select_related("project").first()


def latest(project: Project, *, of_leaflet: bool = False) -> LayoutRun | None:
    """The last search started for a project's own layout, or for those of its leaflet."""
    return LayoutRun.objects.filter(project=project, of_leaflet=of_leaflet).order_by("-started_at").first()


def start(project: Project, seconds: float = SECONDS) -> LayoutRun:
    """Search in the background for so many seconds; at one table the search under way, if there is one, in a studio in turn."""
    return begun(project, seconds, carry_out)


def begun(
    project: Project, seconds: float, carry_out: Callable[[LayoutRun, Revision], None], *, of_leaflet: bool = False
) -> LayoutRun:
    """A search of a project: in a studio it waits for its turn; at one table a thread of this program begins to carry it out.

    The one under way instead, where it is the same, or at one table where there is any.
    """
    if settings.STUDIO:
        run = search_queue.ask(project, seconds, of_leaflet=of_leaflet)
        search_processes.wake()
        return run
    if (already := running()) is not None:
        return already
    run = LayoutRun.objects.create(project=project, seconds=seconds, of_leaflet=of_leaflet)
    whose.begin_apart(carry_out, run, store.head(project))
    return run


def shown(project: Project, run: LayoutRun | None) -> dict[str, Any]:
    """What the pages tell of a search: itself, its turn in words, whether the project has changed since it was begun, what stands in its way."""
    under_way = run is not None and not run.ended and not run.stop_asked and run.revision is not None
    changed = under_way and run is not None and run.revision != store.head(project).number
    turn = turn_said(run)
    asks_every_s = _WAITING_S if turn else _IN_A_STUDIO_S if settings.STUDIO else _ALONE_S
    return {"run": run, "turn": turn, "changed_since": changed, "busy": running(), "asks_every_s": asks_every_s}


def turn_said(run: LayoutRun | None) -> str:
    """Where a search that waits stands in the queue, in words; empty where it does not wait."""
    if run is None or run.ended or not run.waits:
        return ""
    place = search_queue.place_of(run, searches_at_once())
    before = {0: "It is the next", 1: "One other comes before it"}.get(
        place.before, f"{place.before} others come before it"
    )
    minutes = round(place.seconds / 60)
    about = "in less than a minute" if place.seconds < 50 else f"in about {counted(max(1, minutes), 'minute')}"
    return f"{before}; its turn comes {about}."


def already_found(project: Project, copies: tuple[Copy, ...], layout: Layout) -> None:
    """Keep a layout that was searched for elsewhere, so that the pages start from it."""
    keep_layouts(copies, [layout])
    outcome = f"{layout.length_cm:.0f} cm of cloth, found before the pages were opened"
    LayoutRun.objects.create(project=project, seconds=0, share_done=1, ended=True, outcome=outcome)


def ask_to_stop(project: Project) -> None:
    """Stop the project's search; it ends at its next pulse, and the best so far is kept. One that waits leaves the queue."""
    search_queue.stop(project, of_leaflet=False)


def carry_out(run: LayoutRun, revision: Revision, count: int = 2) -> None:
    """Search with so many processes, keep what is found and write down what came of it."""
    carried_out(run, lambda by: search_layouts(run, revision, by), count)


def carried_out(run: LayoutRun, do: Callable[[Searchers | OnExecutor], str], count: int) -> None:
    """Have the work of a run done, and write down in words what came of it, whatever that is."""
    began = time.monotonic()
    try:
        with searching_by(os.environ.get(CLUSTER), count=count, pulse=lambda: stop_if_asked(run)) as by:
            outcome = do(by)
    except ClusterUnreached as why:
        outcome = f"not begun: {why}"
    except search_processes.ServerGone:
        raise
    except Exception:  # noqa: BLE001 - a thread has nobody above it: write the fault down and say so on the page
        _log.exception("search %s", run.pk)
        outcome = "ended by a fault of the program, which has been written down"
    search_queue.say_ended(run.pk, outcome)
    tell_if_slow_search(run, time.monotonic() - began)
    planned.forget_plans()
    connection.close()


def stop_if_asked(run: LayoutRun) -> None:
    """The pulse of a run: raises where it was asked to stop, or where its server has gone."""
    search_processes.go_on_while_served()
    if LayoutRun.objects.filter(pk=run.pk, stop_asked=True).exists():
        raise StopAsked


def search_layouts(run: LayoutRun, revision: Revision, searchers: Searchers | OnExecutor) -> str:
    """Search for the layouts of a revision, keep them, and say in words what came of it."""
    search = _Search(run, searchers)
    try:
        job = job_of(planned.document(revision), store.drawings_of(revision), planned.history(revision))
        weigh_up(job, search.layouts)
    except StopAsked:
        search.keep()
    except ProblemsFound as wrong:
        return f"nothing to search for: {wrong}"
    return search.outcome()


def _least_m(copies: tuple[Copy, ...], steps: tuple[Step, ...], yarn_for: YarnFor, rules: Rules) -> float:
    """The least yarn of the steps as they are, or once they are made to keep rules."""
    if rules == NO_RULES:
        return min(step.yarn_m for step in steps)
    ruled = [with_rules(copies, step.layout, rules).layout for step in steps]
    return min(yarn_for(one.width_cm, one.length_cm) for one in ruled)


class _Search:
    """One long search: tells how far it is, stops when asked, keeps what it finds."""

    def __init__(self, run: LayoutRun, searchers: Searchers | OnExecutor) -> None:
        self.run = run
        self._long = searched_layouts(effort=Effort(run.seconds), seed=run.pk, by=searchers, progress=self._tell)
        self._copies: tuple[Copy, ...] = ()
        self._rules = NO_RULES
        self._found: list[Step] = []
        self._before_m = 0.0

    @property
    def layouts(self) -> LayoutSearch:
        """The search as planning calls it."""
        return self._search

    def keep(self) -> None:
        """Keep what was found: without rules, and with those asked."""
        keep_layouts(self._copies, [step.layout for step in self._found])
        if self._rules != NO_RULES:
            keep_layouts(self._copies, [step.layout for step in self._found], self._rules)

    def outcome(self) -> str:
        """What came of it, in words."""
        if not self._before_m:
            return "there are no pieces to lay out"
        kept = (
            s for s in self._found if self._rules == NO_RULES or not faults(self._copies, s.layout, rules=self._rules)
        )
        saved = self._before_m - min([self._before_m, *(step.yarn_m for step in kept)])
        return f"a layout that saves {saved:.1f} m of yarn" if saved >= 0.05 else "no better layout found"

    def _search(
        self, copies: tuple[Copy, ...], widths_cm: tuple[float, ...], yarn_for: YarnFor, rules: Rules = NO_RULES
    ) -> tuple[Step, ...]:
        before = with_known()(copies, widths_cm, yarn_for, rules)
        self._copies, self._rules, self._before_m = copies, rules, _least_m(copies, before, yarn_for, rules)
        keep_layouts(copies, [step.layout for step in before])
        self._found += self._long(copies, widths_cm, yarn_for, rules)
        self.keep()
        return with_known()(copies, widths_cm, yarn_for, rules)

    def _tell(self, share: float, best: Step) -> None:
        self._found.append(best)
        LayoutRun.objects.filter(pk=self.run.pk).update(share_done=share)
