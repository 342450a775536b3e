"""The plan of a revision, or the sentences why there is none, with the last plan there was to look at meanwhile.

A revision never changes, so its plan is made once for what all other projects and samples tell, and kept while the program
runs. When something measured changes elsewhere, the key of that evidence changes and the plan is made anew.

In a shared studio a plan is made in a process of its own (`worked_apart.py`), once for all pages that ask, so that other members' pages go
on. Who only saved a change waits a moment for it and is then answered without: the page fetches the figures when they are there.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import Any, Final
from uuid import UUID

from django.db.models import Max

from clothwright.evidence import History
from clothwright.library import store, whose
from clothwright.library.models import LayoutRun, Revision
from clothwright.library.models import Project as Listed
from clothwright.library.pieces.layouts import with_known
from clothwright.planning import LayoutSearch, Plan, plan
from clothwright.project import Problem, ProblemsFound, Project, read_project
from clothwright.web import evidence
from clothwright.web.forms.typed import Filled
from clothwright.web.latest import Latest, forget_all
from clothwright.web.mishaps.faults import new_reference
from clothwright.web.mishaps.journal import stage, told_if_slow
from clothwright.web.once import once
from clothwright.web.worked_apart import GivenUp, apart_now, of_revision

_log = logging.getLogger(__name__)

_KEPT: Final = 512
#: How long who saved a change waits for its plan before she is answered without it.
_MOMENT_S: Final = 0.02
#: How far back to look for a plan to show while there are problems.
_BACK: Final = 40


@dataclass(frozen=True)
class Answer:
    """A plan, or problems; with problems the plan is an earlier one, made of revision `number`.

    `beside`: what pages made of it, by their own keys, kept as long as the answer is.
    """

    plan: Plan | None
    problems: tuple[Problem, ...]
    number: int
    beside: dict[Hashable, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def stale(self) -> bool:
        """Whether the plan is an earlier one, shown while there are problems."""
        return bool(self.plan and self.problems)


#: By revision, whether by hand, the key of the evidence beside it, and what was searched for of its project.
_kept: Final = Latest[Answer](_KEPT)
#: By revision.
_documents: Final = Latest[Project](128)


def forget_plans() -> None:
    """Make every plan anew, and what is reckoned from plans: better layouts have become known."""
    forget_all()


def known_answers(projects: Sequence[Listed]) -> dict[UUID, Answer]:
    """The answers for projects as they are that have been made already, by the key of the project."""
    everything = evidence.everything()
    ended = LayoutRun.objects.filter(project__in=[one.pk for one in projects], ended=True)
    searched_last = dict(ended.order_by().values_list("project").annotate(Max("pk")))
    keys = {one.pk: (one.head_id, False, everything.beside(one).key, searched_last.get(one.pk, 0)) for one in projects}
    return {project: found for project, key in keys.items() if (found := _kept.get(key)) is not None}


def answer(revision: Revision, *, by_hand: bool = False) -> Answer:
    """The plan of a revision, or its problems and the nearest earlier plan."""
    return _or_earlier(_asked(revision, by_hand))


def answer_soon(revision: Revision, *, by_hand: bool = False) -> Answer | None:
    """The same where it is there or comes in a moment; None in a studio where it is on its way."""
    asked = _asked(revision, by_hand)
    return _or_earlier(asked) if not apart_now() or asked.comes_within(_MOMENT_S) else None


def _or_earlier(asked: _Asked) -> Answer:
    now = asked.answer()
    if now.plan is not None:
        return now
    before, back = asked.revision.parent, _BACK
    while before is not None and back:
        if (earlier := replace(asked, revision=before).answer()).plan is not None:
            return Answer(earlier.plan, now.problems, before.number, earlier.beside)
        before, back = before.parent, back - 1
    return now


def document(revision: Revision) -> Project:
    """The checked document of a revision, read once; ProblemsFound where it is not in order."""
    return _documents.made(revision.pk, lambda: read_project(Filled.of(revision.tree).tree))


def history(revision: Revision) -> History:
    """What everything else in the library tells of a revision; ProblemsFound where it is not in order."""
    return evidence.beside(revision.project).history(document(revision))


def problems_of(revision: Revision, wrong: ProblemsFound) -> tuple[Problem, ...]:
    """Problems by the places of the page they came from."""
    return Filled.of(revision.tree).problems(wrong.problems)


@dataclass(frozen=True)
class _Asked:
    """A plan asked for: of which revision, by hand or not, with what evidence beside it and after which search."""

    revision: Revision
    by_hand: bool
    beside: evidence.Everything
    searched: int

    @property
    def key(self) -> tuple[int, bool, str, int]:
        """All that the plan depends on."""
        return self.revision.pk, self.by_hand, self.beside.key, self.searched

    @property
    def kept(self) -> Answer | None:
        """The answer where it has been made already."""
        return _kept.get(self.key)

    def answer(self) -> Answer:
        """The answer kept, or made now."""
        if (kept := self.kept) is not None:
            return kept
        if apart_now():
            return self._on_its_way().result()
        return _kept.put(self.key, _made(self.revision, self.by_hand, self.beside))

    def comes_within(self, seconds: float) -> bool:
        """Whether the answer is there, or comes from its process in so many seconds."""
        if self.kept is not None:
            return True
        try:
            self._on_its_way().result(seconds)
        except TimeoutError:
            return False
        return True

    def _on_its_way(self) -> Future[Answer]:
        return _on_their_way.future(self.key, lambda: _kept.put(self.key, _made_apart(self.revision, self.by_hand)))


def _asked(revision: Revision, by_hand: bool) -> _Asked:
    return _Asked(revision, by_hand, _beside(revision, by_hand), searched(revision))


def _beside(revision: Revision, by_hand: bool) -> evidence.Everything:
    return evidence.Everything(()) if by_hand else evidence.beside(revision.project)


class _OnTheirWay:
    """Plans that are being made apart, by all that they depend on: each is made once, however many pages wait for it."""

    def __init__(self) -> None:
        self._lock, self._futures = Lock(), dict[Hashable, Future[Answer]]()

    def future(self, key: Hashable, make: Callable[[], Answer]) -> Future[Answer]:
        """What comes of making it; it is begun by a thread of its own where it is not under way."""
        with self._lock:
            if (there := self._futures.get(key)) is not None:
                return there
            future = self._futures[key] = Future()
        whose.begin_apart(self._make, key, future, make)
        return future

    def _make(self, key: Hashable, future: Future[Answer], make: Callable[[], Answer]) -> None:
        try:
            future.set_result(make())
        except BaseException as wrong:  # noqa: BLE001 - whoever waits is told
            future.set_exception(wrong)
        finally:
            with self._lock:
                del self._futures[key]


_on_their_way: Final = _OnTheirWay()


def _made_apart(revision: Revision, by_hand: bool) -> Answer:
    try:
        with stage("planning apart"):
            return of_revision(_made_there, revision, by_hand)
    except GivenUp as wrong:
        return Answer(None, wrong.problems, revision.number)


def _made_there(revision: Revision, by_hand: bool) -> Answer:
    """In the process apart, which asks for the evidence itself."""
    return _made(revision, by_hand, _beside(revision, by_hand))


def _made(revision: Revision, by_hand: bool, beside: evidence.Everything) -> Answer:
    try:
        with told_if_slow(revision, by_hand=by_hand) as known:
            with stage("reading"):
                project = document(revision)
            with stage("evidence"):
                history = beside.history(project)
            drawings, search = store.drawings_of(revision), layouts(revision)
            with stage("planning"):
                found = plan(project, drawings=drawings, layouts=search, by_hand=by_hand, history=history)
            known |= {"pieces": len(found.outlines), "ends": found.warp.ends}
        return Answer(found, (), revision.number)
    except ProblemsFound as wrong:
        return Answer(None, problems_of(revision, wrong), revision.number)
    except Exception:  # noqa: BLE001 - what was typed must stay reachable whatever goes wrong in planning
        reference = new_reference()
        where = (revision.number, revision.project_id)
        _log.exception("no plan of revision %s of project %s", *where, extra={"reference": reference})
        ours = "this could not be planned: the fault is the program's and has been written down in faults.log under "
        return Answer(None, (Problem((), f"{ours}{reference}; what you typed is kept"),), revision.number)


def layouts(revision: Revision) -> LayoutSearch | None:
    """First guesses, and what a long search has found where one was made for this project."""
    return with_known() if searched(revision) else None


def rests_on(revision: Revision) -> tuple[str, int]:
    """What a plan rests on beside what was typed, and so whatever is made of the plan: the evidence, and the last search that has ended.

    Answers kept for a revision are kept by it: in a studio a search ends in another process, which cannot make this one forget.
    """
    return evidence.beside(revision.project).key, searched(revision)


def searched(revision: Revision) -> int:
    """The number of the last search of its project that has ended, 0 where there was none: with another, plans are made anew."""

    def ask() -> int:
        ended = LayoutRun.objects.filter(project=revision.project_id, ended=True)
        return ended.order_by("-pk").values_list("pk", flat=True).first() or 0

    return once(("searched", revision.project_id), ask)
