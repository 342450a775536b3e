"""Answers that take seconds, worked out beside the page that asks: it says that they are being worked out, and asks again by itself.

In a shared studio one process works them out, one after another, and one of each member at a time waits for it; the answer is then kept
like any other. At one table the page waits, as it always did: nobody else does.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, Final, Generic, TypeVar

from django.db import connection

from clothwright.library import whose
from clothwright.project import Problem, ProblemsFound
from clothwright.web.apart import Readers
from clothwright.web.latest import Latest
from clothwright.web.worked_apart import worked_apart

_log = logging.getLogger(__name__)
_Value = TypeVar("_Value")

#: How much processor time an answer is given.
SECONDS: Final = 180.0
_OURS: Final = (
    "this could not be worked out: the fault is the program's and has been written down; what you typed is kept"
)
#: The one process; it begins when it is first asked.
WORKERS: Final = Readers(at_once=1, also="clothwright.web.planned")


class LongAnswers(Generic[_Value]):
    """Answers by all that they depend on; those asked for and not there yet are on their way."""

    def __init__(self, most: int) -> None:
        self._kept = Latest[_Value | ProblemsFound](most)
        self._lock, self._on_their_way = Lock(), dict[Hashable, int | None]()

    def get(self, key: Hashable) -> _Value | None:
        """The answer; None where there is none yet. Raises what was wrong."""
        found = self._kept.get(key)
        if isinstance(found, ProblemsFound):
            raise found
        return found

    def put(self, key: Hashable, value: _Value) -> _Value:
        """Keep an answer."""
        self._kept.put(key, value)
        return value

    def ask(self, key: Hashable, do: Callable[..., _Value], *given: Any) -> int:
        """Have an answer worked out apart, by a function and what it is given, with who sees what; say how many come before it.

        A member's next waits until hers before it is there: it is asked for again by the page.
        """
        who = whose.now().owner
        with self._lock:
            if key in self._on_their_way:
                return list(self._on_their_way).index(key)
            if who is not None and who in self._on_their_way.values():
                return len(self._on_their_way)
            before = len(self._on_their_way)
            self._on_their_way[key] = who
        whose.begin_apart(self._work_out, key, do, given)
        return before

    def _work_out(self, key: Hashable, do: Callable[..., _Value], given: tuple[Any, ...]) -> None:
        try:
            self._kept.put(key, _answered(do, given))
        finally:
            with self._lock:
                del self._on_their_way[key]
            connection.close()


def _answered(do: Callable[..., _Value], given: tuple[Any, ...]) -> _Value | ProblemsFound:
    """The answer, or what was wrong."""
    try:
        return worked_apart(WORKERS, do, *given, seconds=SECONDS)
    except ProblemsFound as wrong:
        return wrong
    except Exception:  # noqa: BLE001 - a thread has nobody above it: write the fault down and say so on the page
        _log.exception("an answer worked out apart")
        return ProblemsFound(Problem((), _OURS))
