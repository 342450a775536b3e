"""What the program tells of its work, line by line: which page was answered, how fast, and which plans took long.

No line holds what a person typed, named or sent, nor who asked: a page stands by the name of its route, a fault by its reference, its
kind and the place in our code, a project by the first letters of its key. `CLOTHWRIGHT_LOG=json` (or `serve --log json`) writes the lines
to standard error as JSON, `text` as words; slow plans also go to a file of the data folder.
"""

from __future__ import annotations

import json
import logging
import os
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from django.http import HttpRequest, HttpResponse

from clothwright.library.folder import data_folder, prepared_folder
from clothwright.project import ProblemsFound
from clothwright.web.mishaps.faults import append_line, reference_in, reference_of

if TYPE_CHECKING:
    from clothwright.library.models import Revision

ENVIRONMENT: Final = "CLOTHWRIGHT_LOG"
FORMS: Final = ("json", "text")
#: How long a plan may take before it is written down.
SLOW_PLAN_S: Final = 2.0
_LARGEST: Final = 1_000_000
_FAULT: Final = 500
_answers = logging.getLogger("clothwright.answers")
_slow = logging.getLogger("clothwright.slow")


def slow_plans_file() -> Path:
    """Where plans that took long are written down."""
    return data_folder() / "slow-plans.log"


def line_of(record: logging.LogRecord) -> dict[str, Any]:
    """What a log record may tell: its own facts where it is one of ours, else only that and where something went wrong."""
    told: dict[str, Any] = {
        "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
        "level": record.levelname.lower(),
        "of": record.name,
    }
    if reference := reference_in(record):
        told["reference"] = reference
    if record.exc_info and record.exc_info[1] is not None:
        told["fault"], told["where"] = type(record.exc_info[1]).__name__, _where(record.exc_info[1])
    return told | getattr(record, "told", {})


def _where(error: BaseException) -> str:
    """The last place in our own code; the file and the line alone, since a message may hold what was typed."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [one for one in frames if "clothwright" in Path(one.filename).parts] or frames
    return f"{Path(ours[-1].filename).name}:{ours[-1].lineno}" if ours else ""


class JournalLines(logging.Formatter):
    """Each record as one line: of JSON, or of words."""

    def __init__(self, form: str = "json") -> None:
        super().__init__()
        self._form = form

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        told = line_of(record)
        if self._form == "json":
            return json.dumps(told, ensure_ascii=False)
        return " ".join([told.pop("at"), *(f"{key}={value}" for key, value in told.items())])


class ToStandardError(logging.StreamHandler[Any]):
    """Lines to standard error where they were asked for, and nowhere otherwise."""

    def __init__(self) -> None:
        super().__init__()
        form = os.environ.get(ENVIRONMENT, "")
        self._asked = form in FORMS
        self.setFormatter(JournalLines(form))

    def emit(self, record: logging.LogRecord) -> None:
        """Write one line."""
        if self._asked:
            super().emit(record)


class SlowPlans(logging.Handler):
    """Appends each plan that took long to a file of the data folder, as JSON."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one line."""
        try:
            prepared_folder()
            append_line(slow_plans_file(), json.dumps(line_of(record)), _LARGEST)
        except (OSError, ProblemsFound):
            self.handleError(record)


def tell_of_answers(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that tells of every answer: the route, the method, the status, the time it took and how long it is."""

    def told(request: HttpRequest) -> HttpResponse:
        began = time.perf_counter()
        response = get_response(request)
        found = request.resolver_match
        facts: dict[str, Any] = {
            "event": "answered",
            "route": found.view_name if found else None,
            "method": request.method if request.method in _METHODS else "other",
            "status": response.status_code,
            "ms": round((time.perf_counter() - began) * 1000, 1),
            "bytes": None if response.streaming else len(response.content),
        }
        if response.status_code >= _FAULT:
            facts["reference"] = reference_of(request)
        _answers.info("answered", extra={"told": facts})
        return response

    return told


_METHODS: Final = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")


@contextmanager
def told_if_slow(revision: Revision, *, by_hand: bool) -> Iterator[None]:
    """Write down a plan that took long: how long, and how much there was to plan."""
    began = time.perf_counter()
    try:
        yield
    finally:
        took = time.perf_counter() - began
        if took > SLOW_PLAN_S:
            facts = {"event": "slow plan", "seconds": round(took, 2), "by_hand": by_hand, **_size(revision)}
            _slow.warning("slow plan", extra={"told": facts})


def _size(revision: Revision) -> dict[str, Any]:
    """How much a revision holds, by numbers alone."""
    pattern = revision.tree.get("pattern")
    pieces = pattern.get("piece") if isinstance(pattern, dict) else None
    parts = {"yarns": "yarn", "samples": "sample", "log_entries": "log"}
    many = {word: _many(revision.tree.get(part)) for word, part in parts.items()}
    return {
        "project": str(revision.project_id)[:8],
        "revision": revision.number,
        "pieces_typed": _many(pieces),
        "drawings": len(revision.drawings),
        **many,
    }


def _many(rows: object) -> int:
    return len(rows) if isinstance(rows, list) else 0
