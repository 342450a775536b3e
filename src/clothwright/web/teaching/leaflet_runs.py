"""Working out a whole leaflet: how far it is in the database, what is done kept in files.

It is a search like that for a project's own layout, at one table and in a studio. Stopping ends the processes at once; the page then guesses what is still
missing, and starting again goes on from what is done.
"""

from __future__ import annotations

from typing import Final

from clothwright.layout import Effort, OnExecutor, Searchers
from clothwright.library import store
from clothwright.library.models import LayoutRun, Project, Revision
from clothwright.library.pieces import search_queue
from clothwright.library.teaching.leaflet_answers import kept_answers
from clothwright.planning import Done, Working, leaflet
from clothwright.project import ProblemsFound
from clothwright.sheets import leaflet_words as words
from clothwright.web import planned, searching

SECONDS: Final = 40.0


def latest(project: Project) -> LayoutRun | None:
    """The last time a project's leaflet was worked out."""
    return searching.latest(project, of_leaflet=True)


def start(project: Project, seconds: float = SECONDS) -> LayoutRun:
    """Work out a leaflet in the background, its layouts searched for so many seconds; at one table the search under way, if any."""
    return searching.begun(project, seconds, carry_out, of_leaflet=True)


def ask_to_stop(project: Project) -> None:
    """Stop at the next pulse, or leave the queue; what is done stays."""
    search_queue.stop(project, of_leaflet=True)


def carry_out(run: LayoutRun, revision: Revision, count: int = 2) -> None:
    """Work out the leaflet with so many processes, and write down what came of it."""
    searching.carried_out(run, lambda by: work_out(run, revision, by), count)


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
    except searching.StopAsked:
        return f"stopped, {words.how_far(told[-1])}" if told else "stopped before it began"
    except ProblemsFound as wrong:
        return f"nothing to work out: {wrong}"
    return f"{words.told(made)}, {words.how_searched(made)}"
