"""Processes that look for layouts and tell of each better one at once; they can be ended at any time, and may die.

Each is spawned (a forked one hangs in the solver), deaf to Ctrl+C, and does one task at a time. It sends every judged
layout it finds through a pipe of its own. Whatever happens to it, a panic, a kill, memory taken away, is only an end of
its pipe here: what it told before stands, and another process takes its place when there is more to do. A task whose
process died is given to another process once.

While it waits it calls its `pulse` every twentieth of a second; what that raises ends all work under way at once.
"""

from __future__ import annotations

import multiprocessing
import signal
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from types import TracebackType
from typing import Any, NamedTuple, Self

from clothwright.layout.arrangement import Layout
from clothwright.layout.search import Task, solve

GRACE_S, LATE_S = 2.0, 15.0
PULSE_S = 0.05
MOST_BEGUN = 2


class _Ended:
    """Says through the pipe that there is no more."""


class Asked(NamedTuple):
    """Work for one process: what to call, with what, and whether it tells of layouts under way (by `tell`)."""

    do: Callable[..., Any]
    with_: tuple[Any, ...]
    telling: bool = False
    seconds: float = 0.0


class Told(NamedTuple):
    """What came of the work of that number: a layout, or what else was asked for, or that there is no more."""

    number: int
    found: Any
    ended: bool


def to_solve(task: Task) -> Asked:
    """A task of the solver, telling of each better layout."""
    return Asked(solve, tuple(task), telling=True, seconds=task.seconds)


class _Searcher(NamedTuple):
    process: BaseProcess
    pipe: Connection


def no_pulse() -> None:
    """Nothing ends the work early."""


class Searchers:
    """Up to `count` processes that search; leave the `with` block, or `end`, and they are gone."""

    def __init__(self, count: int = 2, pulse: Callable[[], None] = no_pulse) -> None:
        self.count, self.pulse, self.least_task_s = count, pulse, 0.0
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

    def begin(self) -> None:
        """Have all processes started, without waiting until they are ready."""
        while len(self._idle) + len(self._busy) < self.count:
            self._idle.append(_spawned())

    def ready(self) -> None:
        """Have all processes started, and what they need loaded, before a search counts its time."""
        self.begin()
        list(self.told([to_solve(Task((), 1.0, 0.0, number)) for number in range(self.count)]))

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
        until = time.monotonic() + seconds + GRACE_S
        for told in self.told([to_solve(task) for task in tasks[: self.count]], until):
            if told.found is not None:
                yield told.found

    def told(self, asked: Sequence[Asked], until: float | None = None) -> Iterator[Told]:
        """What comes of each piece of work as it comes, each done by the next process that is free.

        `until`: when all is ended, by the monotonic clock; else work is ended that takes fifteen seconds longer than it was
        to. Close the iterator, or raise from `pulse`, and the processes still at work are ended within milliseconds.
        """
        waiting, work = deque((number, 1) for number in range(len(asked))), _Work(asked, until)
        try:
            while waiting or self._busy:
                while waiting and len(self._busy) < self.count:
                    number, begun = waiting.popleft()
                    work.begun(self._begin(asked[number]), number, begun)
                for searcher in self._who_said_something():
                    number, begun = work.of(searcher)
                    said = self._heard(searcher)
                    if said is None and begun < MOST_BEGUN and searcher not in self._idle:
                        waiting.appendleft((number, begun + 1))
                        continue
                    yield Told(number, said, said is None)
                for late in [each for each in self._busy if work.is_late(each)]:
                    self._end_one(late)
                    yield Told(work.of(late)[0], None, ended=True)
                if until is not None and time.monotonic() > until:
                    return
        finally:
            self._end_busy()

    def _who_said_something(self) -> list[_Searcher]:
        """The processes that have something to say, after a twentieth of a second at most."""
        self.pulse()
        pipes = wait([each.pipe for each in self._busy], PULSE_S)
        return [each for each in self._busy if each.pipe in pipes]

    def _begin(self, asked: Asked) -> _Searcher:
        """Give work to an idle process, or to one newly spawned where that has died."""
        while self._idle:
            searcher = self._idle.pop()
            with suppress(OSError):
                searcher.pipe.send(asked)
                self._busy.append(searcher)
                return searcher
            _bury(searcher)
        searcher = _spawned()
        searcher.pipe.send(asked)
        self._busy.append(searcher)
        return searcher

    def _heard(self, searcher: _Searcher) -> Any:
        """What a process says: what it found, or nothing more (it is idle then), or nothing ever again."""
        try:
            said = searcher.pipe.recv()
        except (EOFError, OSError):
            self._end_one(searcher)
            return None
        if not isinstance(said, _Ended):
            return said
        self._busy.remove(searcher)
        self._idle.append(searcher)
        return None

    def _end_one(self, searcher: _Searcher) -> None:
        self._busy.remove(searcher)
        _bury(searcher)

    def _end_busy(self) -> None:
        for searcher in self._busy:
            searcher.process.kill()
            _bury(searcher)
        self._busy = []


class _Work:
    """Who is at which piece of work, for which time, and until when."""

    def __init__(self, asked: Sequence[Asked], until: float | None) -> None:
        self._asked, self._until = asked, until
        self._by: dict[Connection, tuple[int, int, float]] = {}

    def begun(self, searcher: _Searcher, number: int, times: int) -> None:
        """Note who has begun what, for which time."""
        late = time.monotonic() + self._asked[number].seconds + LATE_S
        self._by[searcher.pipe] = (number, times, self._until or late)

    def of(self, searcher: _Searcher) -> tuple[int, int]:
        """The number of the work a process is at, and how often it was begun."""
        number, times, _ = self._by[searcher.pipe]
        return number, times

    def is_late(self, searcher: _Searcher) -> bool:
        """Whether the work has taken so long that it is given up."""
        return time.monotonic() > self._by[searcher.pipe][2]


def _spawned() -> _Searcher:
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_work, args=(there,), daemon=True)
    with deaf_from_birth():
        process.start()
    there.close()
    return _Searcher(process, here)


@contextmanager
def deaf_from_birth() -> Iterator[None]:
    """What is started within never hears Ctrl+C, not even while it starts; one that comes meanwhile is heard here after."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # started with the first process otherwise, and it unblocks Ctrl+C
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


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
            asked: Asked = pipe.recv()
            found = asked.do(*asked.with_, **({"tell": pipe.send} if asked.telling else {}))
            if found is not None:
                pipe.send(found)
            pipe.send(_Ended())
