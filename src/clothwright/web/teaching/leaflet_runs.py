"""Working out a whole leaflet: a thread that owns the processes, how far it is in the database, what is done kept in files.

One search is under way at a time, whatever it is for. Stopping ends the processes at once; the page then guesses what is still
missing, and starting again goes on from what is done.
"""

from __future__ import annotations

import logging
import os
from typing import Final

from django.db import connection

from clothwright.layout import ClusterUnreached, Effort, OnExecutor, Searchers, searching_by
from clothwright.library import store, whose
from clothwright.library.leaflet_answers import kept_answers
from clothwright.library.models import LayoutRun, Project, Revision
from clothwright.planning import Done, Working, leaflet
from clothwright.project import ProblemsFound
from clothwright.sheets import leaflet_words as words
from clothwright.web import planned
from clothwright.web.searching import CLUSTER, StopAsked, running, stop_if_asked

_log = logging.getLogger(__name__)

SECONDS: Final = 40.0


def latest(project: Project) -> LayoutRun | None:
    """The last time a project's leaflet was worked out."""
    return LayoutRun.objects.filter(project=project, of_leaflet=True).order_by("-started_at").first()


def start(project: Project, seconds: float = SECONDS) -> LayoutRun:
    """Work out a leaflet in the background, its layouts searched for so many seconds; the search under way, if there is one."""
    if (already := running()) is not None:
        return already
    run = LayoutRun.objects.create(project=project, seconds=seconds, of_leaflet=True)
    whose.begin_apart(_carry_out, run, store.head(project))
    return run


def ask_to_stop(project: Project) -> None:
    """Stop at the next pulse; what is done stays."""
    LayoutRun.objects.filter(project=project, of_leaflet=True, ended=False).update(stop_asked=True)


def _carry_out(run: LayoutRun, revision: Revision) -> None:
    try:
        with searching_by(os.environ.get(CLUSTER), pulse=lambda: stop_if_asked(run)) as by:
            outcome = work_out(run, revision, by)
    except ClusterUnreached as why:
        outcome = f"not begun: {why}"
    except Exception:  # noqa: BLE001 - a thread has nobody above it: write the fault down and say so on the page
        _log.exception("leaflet %s", run.pk)
        outcome = "ended by a fault of the program, which has been written down"
    LayoutRun.objects.filter(pk=run.pk).update(ended=True, outcome=outcome)
    planned.forget_plans()
    connection.close()


def work_out(run: LayoutRun, revision: Revision, by: Searchers | OnExecutor) -> str:
    """Work out the leaflet of a revision, and say in words what came of it."""
    told: list[Done] = []

    def tell(done: Done) -> None:
        told.append(done)
        LayoutRun.objects.filter(pk=run.pk).update(share_done=done.share, outcome=words.how_far(done))

    try:
        document = planned.document(revision)
        working = Working(by=by, effort=Effort(run.seconds), seed=document.seed, kept=kept_answers(), tell=tell)
        made = leaflet(document, drawings=store.drawings_of(revision), working=working)
    except StopAsked:
        return f"stopped, {words.how_far(told[-1])}" if told else "stopped before it began"
    except ProblemsFound as wrong:
        return f"nothing to work out: {wrong}"
    return f"{words.told(made)}, {words.how_searched(made)}"
