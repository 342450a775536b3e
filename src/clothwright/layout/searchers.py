"""Processes that look for layouts and tell of each better one at once; they can be ended at any time, and may die.

Each is spawned (a forked one hangs in the solver), deaf to Ctrl+C, and does one task at a time. It sends every judged
layout it finds through a pipe of its own. Whatever happens to it, a panic, a kill, memory taken away, is only an end of
its pipe here: what it told before stands, and another process takes its place when there is more to do.
"""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from types import TracebackType
from typing import NamedTuple, Self

from clothwright.layout.arrangement import Layout
from clothwright.layout.search import Task, solve

GRACE_S = 2.0
ENDED = "ended"


class _Searcher(NamedTuple):
    process: BaseProcess
    pipe: Connection


class Searchers:
    """Up to `count` processes that search; leave the `with` block, or `end`, and they are gone."""

    def __init__(self, count: int = 2) -> None:
        self.count = count
        self._idle: list[_Searcher] = []
        self._busy: list[_Searcher] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.end()

    @property
    def process_ids(self) -> tuple[int, ...]:
        """The processes that stand now, those at work first."""
        return tuple(each.process.pid or 0 for each in (*self._busy, *self._idle))

    def ready(self) -> None:
        """Have all processes started, and what they need loaded, before a search counts its time."""
        list(self.improved([Task((), 1.0, 0.0, number) for number in range(self.count)], 60.0))

    def end(self) -> None:
        """End all processes at once, whatever they are doing."""
        for each in (*self._busy, *self._idle):
            each.process.kill()
        for each in (*self._busy, *self._idle):
            each.process.join()
            each.pipe.close()
        self._busy, self._idle = [], []

    def improved(self, tasks: Sequence[Task], seconds: float) -> Iterator[Layout]:
        """Layouts as the tasks find them, one task for a process, for `seconds` at most.

        Close the iterator and the processes still at work are ended within milliseconds.
        """
        for task in tasks[: self.count]:
            self._begin(task)
        until = time.monotonic() + seconds + GRACE_S
        try:
            while self._busy and (left := until - time.monotonic()) > 0:
                for pipe in wait([each.pipe for each in self._busy], left):
                    layout = self._heard(next(each for each in self._busy if each.pipe is pipe))
                    if layout is not None:
                        yield layout
        finally:
            self._end_busy()

    def _begin(self, task: Task) -> None:
        """Give a task to an idle process, or to one newly spawned where that has died."""
        while self._idle:
            searcher = self._idle.pop()
            with suppress(OSError):
                searcher.pipe.send(task)
                self._busy.append(searcher)
                return
            _bury(searcher)
        searcher = _spawned()
        searcher.pipe.send(task)
        self._busy.append(searcher)

    def _heard(self, searcher: _Searcher) -> Layout | None:
        """What a process says: a layout, or nothing more, or nothing ever again."""
        try:
            said = searcher.pipe.recv()
        except (EOFError, OSError):
            self._busy.remove(searcher)
            _bury(searcher)
            return None
        if isinstance(said, Layout):
            return said
        self._busy.remove(searcher)
        self._idle.append(searcher)
        return None

    def _end_busy(self) -> None:
        for searcher in self._busy:
            searcher.process.kill()
            _bury(searcher)
        self._busy = []


def _spawned() -> _Searcher:
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_work, args=(there,), daemon=True)
    process.start()
    there.close()
    return _Searcher(process, here)


def _bury(searcher: _Searcher) -> None:
    searcher.process.kill()
    searcher.process.join()
    searcher.pipe.close()


def _work(pipe: Connection) -> None:
    """Do tasks as they come, until the pipe ends; runs in the spawned process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(ImportError):
        # Loaded before a search counts its time.
        import scipy.optimize  # noqa: F401
        import spyrrow  # noqa: F401
    with suppress(EOFError, OSError):
        while True:
            task: Task = pipe.recv()
            layout = solve(*task[:4], task.threads, task.rules, pipe.send)
            if layout is not None:
                pipe.send(layout)
            pipe.send(ENDED)
