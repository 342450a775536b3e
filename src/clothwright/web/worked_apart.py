"""What is worked out of a revision, in a shared studio by a process of its own that stands ready, at one table where it is asked for.

A plan, a forecast or a leaflet takes the interpreter for seconds. In a studio the page that asks waits for it, and the pages of
other members go on. The process sees what is seen here, and reads the revision from the library by its number.
"""

from __future__ import annotations

import atexit
import logging
import os
from collections.abc import Callable
from typing import Any, Concatenate, Final, ParamSpec, TypeVar

from django.conf import settings
from django.db import close_old_connections

from clothwright.library import whose
from clothwright.library.models import Revision
from clothwright.project import Problem, ProblemsFound
from clothwright.web.apart import Readers

_log = logging.getLogger(__name__)
_Value = TypeVar("_Value")
_Given = ParamSpec("_Given")

#: How much processor time an answer is given.
SECONDS: Final = 60.0
#: Who works answers out in a shared studio: one process for each core.
RECKONERS: Final = Readers(at_once=os.cpu_count() or 1, also="clothwright.web.planned")
atexit.register(RECKONERS.end)


class GivenUp(ProblemsFound):
    """An answer takes more work or memory than any is given."""

    def __init__(self, seconds: float) -> None:
        too_much = f"it takes more than {seconds:g} seconds of work, or too much memory; what you typed is kept"
        super().__init__(Problem((), f"this could not be worked out: {too_much}"))


def apart_now() -> bool:
    """Whether answers are worked out in processes of their own."""
    return settings.STUDIO and RECKONERS.begun


def of_revision(
    do: Callable[Concatenate[Revision, _Given], _Value],
    revision: Revision,
    *given: _Given.args,
    **named: _Given.kwargs,
) -> _Value:
    """What a function of a module gives of a revision, here or apart. Raises what it raises; GivenUp where it takes too much."""
    if not apart_now():
        return do(revision, *given, **named)
    what = f"{do.__module__}.{do.__name__} of revision {revision.pk}"
    came: _Value = worked_apart(RECKONERS, _of_number, do, revision.pk, given, named, what=what)
    return came


def worked_apart(
    by: Readers, do: Callable[..., _Value], *given: Any, seconds: float = SECONDS, what: str = "an answer"
) -> _Value:
    """What a function gives in a process apart that sees what is seen here. Raises what it raises; GivenUp where it takes too much.

    `what` the log calls it where it is given up.
    """
    try:
        came: _Value | ProblemsFound = by.read(_seeing, whose.now(), do, given, seconds=seconds)
    except ProblemsFound as why:
        _log.error("%s was given up: %s", what, why)
        raise GivenUp(seconds) from why
    if isinstance(came, ProblemsFound):
        raise came
    return came


# --- in the process apart ------------------------------------------------------------------------------------------


def _seeing(seen: whose.Seen, do: Callable[..., _Value], given: tuple[Any, ...]) -> _Value | ProblemsFound:
    """What is wrong with a project is an answer like any other, unlike being given up."""
    close_old_connections()
    with whose.seeing(seen):
        try:
            return do(*given)
        except ProblemsFound as wrong:
            return wrong


def _of_number(do: Callable[..., _Value], number: int, given: tuple[Any, ...], named: dict[str, Any]) -> _Value:
    return do(Revision.objects.select_related("project").get(pk=number), *given, **named)
