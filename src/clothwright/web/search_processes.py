"""Carries out the searches of a shared studio: so many at once, each in a process of its own, and one thread that minds them.

The thread begins a process for the search whose turn it is (`library/pieces/search_queue.py`) and notices when one ends, however it
ends. A process opens the library itself, writes down how far it is and what it found, and gives way to the pages: the system
runs it when they have nothing to do. It goes when its server has gone.
"""

from __future__ import annotations

import logging
import multiprocessing
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import wait
from multiprocessing.process import BaseProcess
from threading import Thread
from typing import Final

from django.db import DatabaseError, close_old_connections, connection

from clothwright.layout.searchers import deaf_from_birth
from clothwright.library.pieces import search_queue
from clothwright.library.studio.studio_asked import searches_at_once

_log = logging.getLogger(__name__)

#: How often it looks round where nothing happens: a search may be asked for by another program.
LOOK_ROUND_S: Final = 2.0


class Minder:
    """The thread that minds the processes of the searches; one for each server."""

    def __init__(self, carry_out: Callable[[int], None], at_once: int) -> None:
        self._carry_out, self._at_once = carry_out, at_once
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
            self._wait()
            close_old_connections()
        connection.close()

    def _look_round(self) -> None:
        for number, process in list(self._processes.items()):
            if process.exitcode is not None:
                process.join()
                del self._processes[number]
                if search_queue.say_ended(number, search_queue.DIED):
                    facts = {"event": "search lost", "run": number, "exit": process.exitcode}
                    _log.warning("search lost", extra={"told": facts})
        while len(self._processes) < self._at_once and (run := search_queue.begin_next()) is not None:
            self._processes[run.pk] = self._begun(run.pk)

    def _begun(self, number: int) -> BaseProcess:
        process = multiprocessing.get_context("spawn").Process(target=self._carry_out, args=(number,), name="search")
        with deaf_from_birth():
            process.start()
        return process

    def _wait(self) -> None:
        """Until a process ends, somebody wakes it, or a while has passed."""
        ready = wait([self._woken, *(each.sentinel for each in self._processes.values())], LOOK_ROUND_S)
        while self._woken in ready and self._woken.poll():
            self._woken.recv_bytes()


_minders: list[Minder] = []


def begin_minding(carry_out: Callable[[int], None]) -> Minder:
    """Begin to mind the searches of this server; `carry_out` does, in a process of its own, the search of a number."""
    minder = Minder(carry_out, searches_at_once())
    minder.begin()
    _minders[:] = [minder]
    return minder


def wake() -> None:
    """A search was asked for; where another program minds them, it finds it by itself."""
    for minder in _minders:
        minder.wake()


class ServerGone(Exception):
    """The server that began this process is no more; its next start begins the search anew."""


def go_on_while_served() -> None:
    """Raises ServerGone in a process whose server has gone."""
    parent = multiprocessing.parent_process()
    if parent is not None and not parent.is_alive():
        raise ServerGone
