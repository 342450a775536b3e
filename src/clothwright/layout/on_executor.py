"""The same search by any executor, or by a cluster: the front door that says who searches.

Work is handed out as it is to `Searchers`, and asked after twenty times a second, so a stop is heard as soon; what has not
begun is cancelled then, and what is under way elsewhere runs to its end unheard (a task takes a minute at most). What an
executor loses, a worker that died or a connection, is handed out once more, and after that is no answer.
"""

from __future__ import annotations

import logging
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, wait
from contextlib import contextmanager
from importlib import import_module
from typing import Any, Final

from clothwright.layout.arrangement import Layout
from clothwright.layout.searchers import MOST_BEGUN, PULSE_S, Asked, Searchers, Told, no_pulse

_log = logging.getLogger(__name__)

CONNECTING_S: Final = 10.0
#: A task on a cluster takes so long at least: each costs some milliseconds to hand out, on a busy network tens of them.
CLUSTER_TASK_S: Final = 1.0


class ClusterUnreached(Exception):
    """The cluster asked for cannot be used; the message says why and what to do."""


class OnExecutor:
    """An executor that does `count` tasks at once, asked as `Searchers` are."""

    def __init__(
        self, executor: Executor, count: int = 2, pulse: Callable[[], None] = no_pulse, least_task_s: float = 0.0
    ) -> None:
        self.executor, self.count, self.pulse, self.least_task_s = executor, count, pulse, least_task_s

    def begin(self) -> None:
        """Nothing needs starting."""

    def end(self) -> None:
        """What is not begun is cancelled already; the executor is its owner's."""

    def told(self, asked: Sequence[Asked]) -> Iterator[Told]:
        """What comes of each piece of work, as it ends; what is not begun is cancelled when this is closed."""
        waiting = deque((number, 1) for number in range(len(asked)))
        begun: dict[Future[Any], tuple[int, int]] = {}
        try:
            while waiting or begun:
                while waiting:
                    number, times = waiting.popleft()
                    begun[self.executor.submit(asked[number].do, *asked[number].with_)] = number, times
                self.pulse()
                for future in wait(begun, PULSE_S, FIRST_COMPLETED).done:
                    number, times = begun.pop(future)
                    if (lost := _lost(future)) is not None and times < MOST_BEGUN:
                        _log.warning("task %s of a search is handed out again: %r", number, lost)
                        waiting.append((number, times + 1))
                        continue
                    if lost is None and (found := future.result()) is not None:
                        yield Told(number, found, ended=False)
                    yield Told(number, None, ended=True)
        finally:
            for future in begun:
                future.cancel()


By = Searchers | OnExecutor | Executor


def asked_of(by: By, count: int = 2) -> Searchers | OnExecutor:
    """Whoever searches, asked in one way; a bare executor does `count` tasks at once."""
    return by if isinstance(by, Searchers | OnExecutor) else OnExecutor(by, count)


def all_answers(by: By, asked: Sequence[Asked]) -> list[Layout | None]:
    """The last that each piece of work found, in the order asked."""
    found: list[Layout | None] = [None] * len(asked)
    for number, layout, _ in asked_of(by).told(asked):
        found[number] = layout or found[number]
    return found


def _lost(future: Future[Any]) -> BaseException | None:
    """Why there is no answer; None where there is one."""
    try:
        return future.exception()
    except CancelledError as cancelled:
        return cancelled


@contextmanager
def searching_by(
    address: str | None = None, *, count: int = 2, pulse: Callable[[], None] = no_pulse
) -> Iterator[Searchers | OnExecutor]:
    """Who searches: `count` processes of this machine's, or the Dask cluster whose scheduler is at `address`.

    ClusterUnreached where the cluster, or the library for it, is not there.
    """
    if not address:
        with Searchers(count, pulse) as searchers:
            yield searchers
        return
    client = _client(address)
    try:
        cores = sum(client.nthreads().values())
        if not cores:
            raise ClusterUnreached(f"the cluster at {address} has no workers: start some (dask worker {address})")
        with client.get_executor(pure=False) as executor:
            yield OnExecutor(executor, cores, pulse, CLUSTER_TASK_S)
            executor.shutdown(wait=False)
    finally:
        client.close()


def _client(address: str) -> Any:
    try:
        distributed: Any = import_module("distributed")
    except ImportError:
        sentence = f"the cluster at {address} needs the extra “cluster”: pip install 'clothwright[cluster]'"
        raise ClusterUnreached(sentence) from None
    try:
        return distributed.Client(address, timeout=CONNECTING_S, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        sentence = f"no cluster answers at {address} ({error}): write the address of its scheduler, as tcp://host:8786"
        raise ClusterUnreached(sentence) from None
