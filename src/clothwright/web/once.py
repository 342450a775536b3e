"""What a page asks for again and again while it is answered: asked of the library once.

Only where the page cannot change anything: a post sees what it has just written.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from contextvars import ContextVar
from typing import Any, Final, TypeVar

from django.http import HttpRequest, HttpResponse

from clothwright.library import whose

_Value = TypeVar("_Value")

_READING: Final = ("GET", "HEAD")
_asked: Final[ContextVar[dict[Hashable, Any] | None]] = ContextVar("asked while a page is answered", default=None)


def once(what: Hashable, ask: Callable[[], _Value]) -> _Value:
    """What asking gives; while a page that only reads is answered, what it gave the first time, for who sees the same."""
    asked = _asked.get()
    if asked is None:
        return ask()
    key = (whose.now(), what)
    if key not in asked:
        asked[key] = ask()
    found: _Value = asked[key]
    return found


def asked_once(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware within which `once` asks once, where the request can change nothing."""

    def remembering(request: HttpRequest) -> HttpResponse:
        token = _asked.set({} if request.method in _READING else None)
        try:
            return get_response(request)
        finally:
            _asked.reset(token)

    return remembering
