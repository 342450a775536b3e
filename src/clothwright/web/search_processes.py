"""Carries out the searches of a shared studio: so many at once, each in a process of its own, and one thread that minds them.

The thread begins a process for the search whose turn it is (`library/search_queue.py`) and notices when one ends, however it
ends. A process opens the library itself, writes down how far it is and what it found, and gives way to the pages: the system
runs it when they have nothing to do. It goes when its server has gone.
"""

from __future__ import annotations

import logging
import multiprocessing
import os
import signal
from contextlib import suppress
from multiprocessing.connection import wait
from multiprocessing.process import BaseProcess
from threading import Thread
from typing import Final

from django.db import DatabaseError, connection

from clothwright.layout.searchers import deaf_from_birth
from clothwright.library import search_queue
from clothwright.library.studio_asked import searches_at_once

_log = logging.getLogger(__name__)

#: How often it looks round where nothing happens: a search may be asked for by another program.
LOOK_ROUND_S: Final = 2.0
#: How much less urgent than the pages, by the system's scale of 0 to 19.
LESS_URGENT: Final = 15


class Minder:
    """The thread that minds the processes of the searches; one for each server."""

    def __init__(self, at_once: int) -> None:
        self._at_once = at_once
        self._processes: dict[int, BaseProcess] = {}
        self._woken, self._bell = multiprocessing.Pipe(duplex=False)
        self._thread = Thread(target=self._mind, daemon=True, name="searches")
        self._over = False

    def begin(self) -> None:
        """Have every search wait again that the last stop cut off, and begin."""
        if many := search_queue.put_back():
            _log.info("searches", extra={"told": {"event": "searches begun anew", "many": many}})
        self._thread.start()

    def wake(self) -> None:
        """Look round now: a search was asked for."""
        with suppress(OSError):
            self._bell.send_bytes(b".")

    def end(self) -> None:
        """End all processes; their searches wait for the next start."""
        self._over = True
        self.wake()
        self._thread.join(10)
        for process in self._processes.values():
            process.kill()
            process.join()
        with suppress(DatabaseError):
            search_queue.put_back()

    @property
    def process_ids(self) -> list[int]:
        """The processes at work."""
        return [process.pid or 0 for process in list(self._processes.values())]

    def _mind(self) -> None:
        while not self._over:
            try:
                self._look_round()
            except DatabaseError:
                _log.exception("the queue of searches")
            finally:
                connection.close()
            self._wait()

    def _look_round(self) -> None:
        for number, process in list(self._processes.items()):
            if process.exitcode is not None:
                process.join()
                del self._processes[number]
                if search_queue.say_ended(number, search_queue.DIED):
                    facts = {"event": "search lost", "run": number, "exit": process.exitcode}
                    _log.warning("search lost", extra={"told": facts})
        while len(self._processes) < self._at_once and (run := search_queue.begin_next()) is not None:
            self._processes[run.pk] = _begun(run.pk)

    def _wait(self) -> None:
        """Until a process ends, somebody wakes it, or a while has passed."""
        ready = wait([self._woken, *(each.sentinel for each in self._processes.values())], LOOK_ROUND_S)
        while self._woken in ready and self._woken.poll():
            self._woken.recv_bytes()


_minders: list[Minder] = []


def begin_minding() -> Minder:
    """Begin to mind the searches of this server."""
    minder = Minder(searches_at_once())
    minder.begin()
    _minders[:] = [minder]
    return minder


def wake() -> None:
    """A search was asked for; where another program minds them, it finds it by itself."""
    for minder in _minders:
        minder.wake()


def _begun(number: int) -> BaseProcess:
    process = multiprocessing.get_context("spawn").Process(target=carry_out, args=(number,), name="search")
    with deaf_from_birth():
        process.start()
    return process


# --- in the process of a search --------------------------------------------------------------------------------------


class ServerGone(Exception):
    """The server that began this process is no more; its next start begins the search anew."""


def carry_out(number: int) -> None:
    """Carry a search out, from nothing; runs in the spawned process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _give_way()
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clothwright.web.settings")
    django.setup()
    from clothwright.library import store, whose
    from clothwright.library.models import LayoutRun
    from clothwright.web import leaflet_runs, searching

    run = LayoutRun.every.select_related("project__head").get(pk=number)
    with whose.seeing(whose.Seen(owner=run.project.owner_id)), suppress(ServerGone):
        (leaflet_runs if run.of_leaflet else searching).carry_out(run, store.head(run.project), count=1)


def go_on_while_served() -> None:
    """Raises ServerGone in a process whose server has gone."""
    parent = multiprocessing.parent_process()
    if parent is not None and not parent.is_alive():
        raise ServerGone


def _give_way() -> None:
    with suppress(AttributeError, OSError):
        os.nice(LESS_URGENT)
