"""What the program tells of its work, line by line: which page was answered, how fast, and which plans, pages and searches took long.

No line holds what a person typed, named or sent, nor who asked: a page stands by the name of its route, a fault by its reference, its
kind and the place in our code, a project by the first letters of its key. `CLOTHWRIGHT_LOG=json` (or `serve --log json`) writes the lines
to standard error as JSON, `text` as words; what was slow also goes to a file of the data folder, with where its seconds went.
"""

from __future__ import annotations

import json
import logging
import math
import os
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from django.db import connection
from django.http import HttpRequest, HttpResponse

from clothwright.library.folder import data_folder, prepared_folder
from clothwright.project import Problem, ProblemsFound
from clothwright.web.mishaps.faults import append_line, reference_in, reference_of

if TYPE_CHECKING:
    from clothwright.library.models import LayoutRun, Revision

ENVIRONMENT: Final = "CLOTHWRIGHT_LOG"
FORMS: Final = ("json", "text")
#: Sets how long a plan or a page may take, in seconds, before it is written down.
SLOW: Final = "CLOTHWRIGHT_SLOW"
SLOW_S: Final = 2.0
#: A search may take so many times what it was asked to, and as long as a plan beside.
_SEARCH_TIMES: Final = 1.5
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


def slow_after_s() -> float:
    """How long a plan or a page may take before it is written down; ProblemsFound where what the environment says is no number."""
    typed = os.environ.get(SLOW, "").strip()
    try:
        seconds = float(typed or SLOW_S)
    except ValueError:
        seconds = math.nan
    if not 0 <= seconds < math.inf:
        raise ProblemsFound(Problem((), f"{SLOW} is “{typed}”; write seconds, as 2 or 0.5"))
    return seconds


class Spent:
    """Where the seconds of an answer went: by stage, and how often the database was asked."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self.queries = 0

    def add(self, stage: str, seconds: float) -> None:
        """So many more seconds of a stage."""
        self.seconds[stage] = self.seconds.get(stage, 0.0) + seconds

    def take(self, within: Spent) -> None:
        """Take in what was counted within this; the database is counted at every level."""
        for name, seconds in within.seconds.items():
            if name != _DATABASE:
                self.add(name, seconds)

    def ask(self, execute: Callable[..., Any], *given: Any) -> Any:
        """Ask the database, counted (a wrapper of the web framework's)."""
        self.queries += 1
        began = time.perf_counter()
        try:
            return execute(*given)
        finally:
            self.add(_DATABASE, time.perf_counter() - began)

    def told(self) -> dict[str, Any]:
        """The stages as they are written down, the longest first."""
        longest_first = sorted(self.seconds.items(), key=lambda each: -each[1])
        return {"stages": {name: round(seconds, 3) for name, seconds in longest_first}, "queries": self.queries}


_DATABASE: Final = "database"
_SPENT: ContextVar[Spent | None] = ContextVar("where the seconds of this answer go", default=None)


@contextmanager
def stage(name: str) -> Iterator[None]:
    """Count the seconds of this as a stage of the answer that is being made, where one is."""
    began = time.perf_counter()
    try:
        yield
    finally:
        if (spent := _SPENT.get()) is not None:
            spent.add(name, time.perf_counter() - began)


@contextmanager
def _spending() -> Iterator[Spent]:
    """Count where the seconds go meanwhile; they are part of what is counted around it."""
    spent, around = Spent(), _SPENT.get()
    before = _SPENT.set(spent)
    try:
        with connection.execute_wrapper(spent.ask):
            yield spent
    finally:
        _SPENT.reset(before)
        if around is not None:
            around.take(spent)


def tell_of_answers(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Middleware that tells of every answer: the route, the method, the status, the time it took and how long it is."""

    def told(request: HttpRequest) -> HttpResponse:
        began = time.perf_counter()
        with _spending() as spent:
            response = get_response(request)
        took = time.perf_counter() - began
        found = request.resolver_match
        facts: dict[str, Any] = {
            "event": "answered",
            "route": found.view_name if found else None,
            "method": request.method if request.method in _METHODS else "other",
            "status": response.status_code,
            "ms": round(took * 1000, 1),
            "bytes": None if response.streaming else len(response.content),
        }
        if response.status_code >= _FAULT:
            facts["reference"] = reference_of(request)
        _answers.info("answered", extra={"told": facts})
        if took > slow_after_s():
            _slow.warning("slow page", extra={"told": facts | {"event": "slow page"} | spent.told()})
        return response

    return told


_METHODS: Final = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")


@contextmanager
def told_if_slow(revision: Revision, *, by_hand: bool) -> Iterator[dict[str, Any]]:
    """Write down a plan that took long: how long, where the seconds went, and how much there was to plan.

    Gives a place for what is known once it is made: ends and pieces.
    """
    began, known = time.perf_counter(), dict[str, Any]()
    with _spending() as spent:
        try:
            yield known
        finally:
            took = time.perf_counter() - began
            if took > slow_after_s():
                facts = {
                    "event": "slow plan",
                    "seconds": round(took, 2),
                    "by_hand": by_hand,
                    **_size(revision),
                    **known,
                }
                _slow.warning("slow plan", extra={"told": facts | spent.told()})


def tell_if_slow_search(run: LayoutRun, took_s: float) -> None:
    """Write down a search that took much longer than it was asked to."""
    if took_s <= _SEARCH_TIMES * run.seconds + slow_after_s():
        return
    facts = {
        "event": "slow search",
        "seconds": round(took_s, 1),
        "asked_for": run.seconds,
        "of_leaflet": run.of_leaflet,
    }
    _slow.warning("slow search", extra={"told": facts | {"project": str(run.project_id)[:8]}})


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
