"""What the process of one search does: it opens the library, carries the search out for its member, and gives way to the pages."""

from __future__ import annotations

import ctypes
import os
import signal
import sys
from contextlib import suppress
from typing import Final

#: How much less urgent than the pages, by the system's scale of 0 to 19, where it knows of no leisure.
LESS_URGENT: Final = 19
_PR_SET_PDEATHSIG: Final = 1


def carry_out(number: int) -> None:
    """Carry the search of a number out, from nothing; runs in a spawned process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _go_with_server()
    give_way()
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    django.setup()
    from clothwright.library import store, whose
    from clothwright.library.models import LayoutRun
    from clothwright.web import searching
    from clothwright.web.search_processes import ServerGone
    from clothwright.web.teaching import leaflet_runs

    run = LayoutRun.every.select_related("project__head").get(pk=number)
    seen = whose.Seen(owner=run.project.owner_id, examples=bool(run.project.example))
    with whose.seeing(seen), suppress(ServerGone):
        (leaflet_runs if run.of_leaflet else searching).carry_out(run, store.head(run.project), count=1)


def give_way() -> None:
    """Have the system run this process when nothing else wants to run; where it cannot, less urgently than anything else.

    *Source:* sched(7) of Linux, SCHED_IDLE: a process less urgent by number alone still lets one that wakes wait for its turn.
    """
    with suppress(AttributeError, OSError):
        os.sched_setscheduler(0, os.SCHED_IDLE, os.sched_param(0))
        return
    with suppress(AttributeError, OSError):
        os.nice(LESS_URGENT)


def _go_with_server() -> None:
    """Have the system end this process when its server ends, however it does. *Source:* prctl(2) of Linux, PR_SET_PDEATHSIG.

    Elsewhere it sees that by itself at the next pulse of its search.
    """
    if sys.platform == "linux":
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
