"""What is shown where a page cannot be: nothing there, too much sent, an old page, a full disk, a fault of ours.

Whatever was sent with a post that came to nothing is shown again, to be sent once more or copied: nothing typed is lost with it.
"""

from __future__ import annotations

import errno
import sys
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any, Final

from django.core.exceptions import BadRequest, RequestDataTooBig, SuspiciousOperation, TooManyFieldsSent
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse, UnreadablePostError
from django.shortcuts import render

from clothwright.web.answering import fragment_asked
from clothwright.web.mishaps.faults import reference_of

_MOST_SHOWN: Final = 2000


@dataclass(frozen=True)
class Trouble:
    """Why something could not be kept, that is no fault of the program: a title, what to do, and the status."""

    title: str
    text: str
    status: int


_FULL: Final = Trouble(
    "The disk is full",
    "What was sent just now was not kept; what was kept before is all there. Make room on the disk, then send it again.",
    HTTPStatus.INSUFFICIENT_STORAGE,
)
_READ_ONLY: Final = Trouble(
    "The library cannot be written in",
    "What was sent just now was not kept; what was kept before can still be read. Its folder or its disk has become read-only: "
    "make it writable for you, then send it again.",
    HTTPStatus.SERVICE_UNAVAILABLE,
)
_HELD: Final = Trouble(
    "The library is held by another program",
    "What was sent just now was not kept. Wait until that has ended, a copy or a virus scanner perhaps, then send it again.",
    HTTPStatus.SERVICE_UNAVAILABLE,
)
_BROKEN: Final = Trouble(
    "The disk answers with errors",
    "What was sent just now was not kept. Take a copy of the data folder to another disk before anything else, then send it again.",
    HTTPStatus.SERVICE_UNAVAILABLE,
)
#: By what SQLite says, and by the system's number of an error.
_BY_WORDS: Final = {
    "is full": _FULL,
    "readonly": _READ_ONLY,
    "locked": _HELD,
    "unable to open": _READ_ONLY,
    "I/O": _BROKEN,
}
_BY_NUMBER: Final = {
    errno.ENOSPC: _FULL,
    errno.EFBIG: _FULL,
    getattr(errno, "EDQUOT", errno.ENOSPC): _FULL,
    errno.EROFS: _READ_ONLY,
    errno.EIO: _BROKEN,
}


def trouble_of(error: BaseException | None) -> Trouble | None:
    """The trouble with the disk that an error tells of, itself or what it came from; None where it is none."""
    while error is not None:
        if isinstance(error, OperationalError):
            known = (trouble for words, trouble in _BY_WORDS.items() if words in str(error))
            if (found := next(known, None)) is not None:
                return found
        elif isinstance(error, OSError) and error.errno in _BY_NUMBER:
            return _BY_NUMBER[error.errno]
        error = error.__cause__ or error.__context__
    return None


def too_much(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """More came than a page takes: too many fields, or too large."""
    text = "Nothing was changed: too much came at once. Go back and send less."
    return _message(request, "That was more than this page takes", text, HTTPStatus.BAD_REQUEST)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """There is no such page; in a studio the same is said of what one may not see."""
    return _message(request, "There is no such page", "", HTTPStatus.NOT_FOUND, {"nowhere": True})


def refused(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A post that does not come from a page of ours, or from one too old."""
    text = "Nothing was changed. Go back, reload the page and try again."
    return _message(request, "That came from an old page", text, HTTPStatus.FORBIDDEN)


def our_fault(request: HttpRequest) -> HttpResponse:
    """The disk would not keep something, or something of ours went wrong and has been written down."""
    trouble = trouble_of(sys.exc_info()[1])
    found = trouble or Trouble(
        "The program went wrong",
        f"It has been written down in faults.log in the data folder, under {reference_of(request)}. What you typed before is kept.",
        HTTPStatus.INTERNAL_SERVER_ERROR,
    )
    if fragment_asked(request):
        sentence = f"{found.title}: {found.text} What you typed last still stands on this page."
        return HttpResponse(sentence, status=found.status, content_type="text/plain; charset=utf-8")
    if "application/json" in request.headers.get("Accept", ""):
        return JsonResponse({"problem": found.title, "reference": reference_of(request)}, status=found.status)
    more = {"sent": _sent(request), "files": _files(request), "again": request.get_full_path()}
    more |= {"reference": reference_of(request)}
    return _message(request, found.title, found.text, found.status, more)


def _message(
    request: HttpRequest, title: str, text: str, status: int, more: dict[str, Any] | None = None
) -> HttpResponse:
    context = {"title": title, "text": text, **(more or {})}
    return render(request, "clothwright/message.html", context, status=status)


def _sent(request: HttpRequest) -> list[tuple[str, str]]:
    """Every field of a post that could be read, in order; not the token, and no files."""
    if request.method != "POST":
        return []
    try:
        posted = request.POST
    except (RequestDataTooBig, TooManyFieldsSent, UnreadablePostError, SuspiciousOperation, BadRequest, OSError):
        return []
    every = [(name, value) for name, values in posted.lists() for value in values if name != "csrfmiddlewaretoken"]
    return [(name, str(value)) for name, value in every][:_MOST_SHOWN]


def _files(request: HttpRequest) -> list[str]:
    """The names of files that came with a post: they have to be chosen once more."""
    files = getattr(request, "_files", None)
    return [str(one.name) for one in files.values()] if files else []
