"""What the process of one search does: it opens the library, carries the search out for its member, and gives way to the pages."""

from __future__ import annotations

import os
import signal
from contextlib import suppress
from typing import Final

#: How much less urgent than the pages, by the system's scale of 0 to 19.
LESS_URGENT: Final = 15


def carry_out(number: int) -> None:
    """Carry the search of a number out, from nothing; runs in a spawned process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(AttributeError, OSError):
        os.nice(LESS_URGENT)
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    django.setup()
    from clothwright.library import store, whose
    from clothwright.library.models import LayoutRun
    from clothwright.web import searching
    from clothwright.web.search_processes import ServerGone
    from clothwright.web.teaching import leaflet_runs

    run = LayoutRun.every.select_related("project__head").get(pk=number)
    with whose.seeing(whose.Seen(owner=run.project.owner_id)), suppress(ServerGone):
        (leaflet_runs if run.of_leaflet else searching).carry_out(run, store.head(run.project), count=1)
