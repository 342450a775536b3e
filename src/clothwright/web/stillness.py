"""A moment in which one request alone is answered: for putting back a whole library under the pages.

It holds within one process, which is how a library on this machine is served.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Condition
from typing import Final

from django.http import HttpRequest, HttpResponse

from clothwright.project import Problem, ProblemsFound

_LONGEST_S: Final = 60.0


class Stillness:
    """Counts the requests that are being answered; who asks for stillness waits for all others, and new ones wait for it."""

    def __init__(self, longest_s: float = _LONGEST_S) -> None:
        self._changed, self._answering, self._still, self._longest_s = Condition(), 0, False, longest_s

    @contextmanager
    def answering(self) -> Iterator[None]:
        """While a request is answered; it waits first where it is to be still."""
        with self._changed:
            self._changed.wait_for(lambda: not self._still, self._longest_s)
            self._answering += 1
        try:
            yield
        finally:
            with self._changed:
                self._answering -= 1
                self._changed.notify_all()

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Be the only request; asked from within one. ProblemsFound where others do not end, or one is alone already."""
        with self._changed:
            if self._still:
                raise ProblemsFound(Problem((), "another copy is being put back just now; nothing was changed"))
            self._still = True
            if not self._changed.wait_for(lambda: self._answering <= 1, self._longest_s):
                self._still = False
                self._changed.notify_all()
                raise ProblemsFound(
                    Problem((), "other pages are still being worked out; nothing was changed, try again")
                )
        try:
            yield
        finally:
            with self._changed:
                self._still = False
                self._changed.notify_all()


STILLNESS: Final = Stillness()


def in_turn(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that counts every request while it is answered."""

    def counted(request: HttpRequest) -> HttpResponse:
        with STILLNESS.answering():
            return get_response(request)

    return counted
