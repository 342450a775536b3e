"""Whose library a piece of work is about. At one table it is everything there is; in a shared studio it is one member's own.

The answer is said once, at the gate every request passes, and every query for what is stored keeps to it by itself: a place
that forgets to ask who is there cannot show what is another's. In a studio, work for which nobody said whose it is stops.

Examples that come with the program are kept beside what is hers and are never seen together with it: a piece of work is about hers,
or, where that was said, about the examples alone. So no example is evidence for a plan of hers, is listed or found among hers, or
goes out with them.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar, copy_context
from dataclasses import dataclass
from threading import Thread
from typing import Any, ClassVar, Final, TypeVar

from django.conf import settings
from django.db import models

_Model = TypeVar("_Model", bound=models.Model)


@dataclass(frozen=True)
class Seen:
    """What can be seen: everything, all that one member owns, or one project or thing on hand alone; else nothing."""

    everything: bool = False
    owner: int | None = None
    only: uuid.UUID | None = None

    def by(self, root: str) -> models.Q:
        """What to ask of a root, or of what is reached by it under that name."""
        if self.only is not None:
            return models.Q(**{f"{root}pk": self.only})
        return models.Q(**{f"{root}owner": self.owner}) if self.owner is not None else models.Q(pk__in=[])


EVERYTHING: Final = Seen(everything=True)
NOTHING: Final = Seen()
_NOW: Final[ContextVar[Seen | None]] = ContextVar("seen now", default=None)
_EXAMPLES: Final[ContextVar[bool]] = ContextVar("examples seen now", default=False)
#: What an example says it is of that was made among the examples, and came from no file.
MADE_THERE: Final = "made there"


class NobodySaid(RuntimeError):
    """In a shared studio something was asked for, and nobody had said whose."""


def now() -> Seen:
    """What can be seen now; NobodySaid in a studio where that was not said."""
    found = _NOW.get()
    if found is None:
        if settings.STUDIO:
            raise NobodySaid("whose library this is was not said")
        return EVERYTHING
    return found


def owner_now() -> int | None:
    """Whose what is made now will be; at one table nobody's."""
    return now().owner


def see(what: Seen) -> None:
    """See this until who said first what is seen says otherwise."""
    _NOW.set(what)


@contextmanager
def seeing(what: Seen) -> Iterator[None]:
    """See this for a while."""
    before = _NOW.set(what)
    try:
        yield
    finally:
        _NOW.reset(before)


def examples_now() -> bool:
    """Whether the examples are seen now, and nothing that is hers."""
    return _EXAMPLES.get()


@contextmanager
def among_examples() -> Iterator[None]:
    """See the examples for a while, and nothing that is hers."""
    before = _EXAMPLES.set(True)
    try:
        yield
    finally:
        _EXAMPLES.reset(before)


def begin_apart(job: Callable[..., None], *given: object) -> None:
    """Do a job beside this one, seeing what is seen here; a thread of its own making would see nothing in a studio."""
    Thread(target=copy_context().run, args=(job, *given), daemon=True).start()


class Visible(models.Manager[_Model]):
    """What can be seen now of a root: of the projects, or of the things on hand."""

    reached_by: ClassVar[str] = ""

    def get_queryset(self) -> models.QuerySet[_Model]:
        """Only what can be seen now."""
        hers = models.Q(**{f"{self.reached_by}example": ""})
        rows, seen = super().get_queryset().filter(~hers if examples_now() else hers), now()
        return rows if seen.everything else rows.filter(seen.by(self.reached_by))


class Owned(Visible[_Model]):
    """The roots, each made for whom the work is about."""

    def create(self, **values: Any) -> _Model:
        """Made for whom the work is about, where nobody else is named; among the examples, one of them."""
        example = {"example": MADE_THERE} if examples_now() else {}
        return super().create(**({"owner_id": owner_now()} | example | values))


class OfProject(Visible[_Model]):
    """What hangs on the projects that can be seen now."""

    reached_by = "project__"


class OfThing(Visible[_Model]):
    """What hangs on the things on hand that can be seen now."""

    reached_by = "of__"


class OfClass(Visible[_Model]):
    """What hangs on the classes of projects that can be seen now."""

    reached_by = "of__project__"
