"""The page “Threading”: how the warp is threaded and sleyed, on paper, and drafts from interchange files and into them."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright import __version__, sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import Plan
from clothwright.planning.cloth.threading_answer import ThreadingPlan
from clothwright.planning.cloth.threading_files import DraftRead, draft_from_file, draft_to_file
from clothwright.planning.cloth.threading_plan import Timed, plan_threading
from clothwright.project import Problem, ProblemsFound
from clothwright.sheets import threading_words as words
from clothwright.web import planned
from clothwright.web.answering import Shown, download, show
from clothwright.web.apart import read_apart
from clothwright.web.fetching import get_project, slug
from clothwright.web.forms.form import FieldTable, Form
from clothwright.web.forms.threading_fields import THREADING
from clothwright.web.forms.typed import Tree, at, put, rows
from clothwright.web.forms.typed_page import PART, answered_as_typed, page_context
from clothwright.web.latest import Latest
from clothwright.web.showing import is_imperial

TABLE: Final = FieldTable(THREADING)
_NO_PLAN: Final = (
    "Say how many ends there are, and name the heddle with the cloth, or settle the plan, which then says both."
)
_LARGEST: Final = 4_000_001
#: Fields of a draft that a file which is read takes the place of.
_OF_FILES: Final = (
    "threading", "shafts", "tie_up", "treadling", "lifting", "sheds", "ends", "first_end", "other_sections",
)  # fmt: skip
_answers: Final = Latest["Answered"](32)


@dataclass(frozen=True)
class Answered:
    """The threading of a revision, or what keeps it from being told: here, or on the page of the project."""

    plan: ThreadingPlan | None = None
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()


class _NoPlan(Exception):
    """The plan is needed, and there is none; `problems` say why."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__()
        self.problems = problems


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps what was typed, or reads a draft from a file."""
    found = get_project(key)
    buttons = {"read": lambda _name: _read(request, found)}
    return answered_as_typed(request, found, TABLE, partial(_page, request, found), buttons)


@require_safe
@never_cache
def draft_file(request: HttpRequest, key: UUID) -> HttpResponse:
    """The draft as an interchange file; back to the page where it is not settled."""
    found = get_project(key)
    revision = store.head(found)
    answer = answered(revision).plan
    if answer is None:
        return redirect("threading", key=found.pk)
    written = draft_to_file(answer, planned.document(revision), program_version=__version__)
    return download(written.data, "text/plain; charset=utf-8", f"{slug(found)}.wif")


def _read(request: HttpRequest, found: Project) -> HttpResponse:
    """Take the draft of a file that was sent into the project."""
    sent = request.FILES.get("draft")
    if sent is None:
        return _page(request, found, notice="No file came: choose one first.", status=422)
    try:
        read = read_apart(draft_from_file, sent.read(_LARGEST))
    except ProblemsFound as wrong:
        told = "; ".join(one.sentence for one in wrong.problems)
        return _page(request, found, notice=f"{sent.name} was not read, and nothing is changed: {told}.", status=422)
    store.change(found, with_draft(store.head(found).tree, read), f"read the draft {sent.name}")
    many = f"{read.ends} ends on {read.shafts} shafts, {read.picks} picks"
    return _page(
        request, found, notice=f"Read from {sent.name}: {many}. Undo brings back what was here.", told=read.told
    )


def with_draft(tree: Tree, read: DraftRead) -> Tree:
    """The tree with the draft of a file; sleying, places and times stay."""
    changed = copy.deepcopy(tree)
    for name in _OF_FILES:
        put(changed, ("draft", name), read.fields.get(name))
    if read.floating:
        put(changed, ("cloth", "floating_selvedges"), True)
    return changed


# --- what is shown -----------------------------------------------------------------------------------------------


def answered(revision: Revision) -> Answered:
    """The threading of a revision, kept by all that it depends on."""
    timed = times_elsewhere(revision)
    said = json.dumps([revision.tree, revision.drawings, timed], sort_keys=True)
    key = (revision.project_id, said, *planned.rests_on(revision))
    return _answers.made(key, partial(_answered, revision, timed))


def _answered(revision: Revision, timed: list[Timed]) -> Answered:
    try:
        return Answered(plan_threading(planned.document(revision), partial(_plan, revision), timed=timed))
    except _NoPlan as none:
        return Answered(None, (Problem(("draft", "ends"), _NO_PLAN),), none.problems)
    except ProblemsFound as wrong:
        every = planned.problems_of(revision, wrong)
        here = tuple(one for one in every if one.path[:1] in (("draft",), ("warping",)))
        return Answered(None, here, tuple(one for one in every if one not in here))


def _plan(revision: Revision) -> Plan:
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        raise _NoPlan(answer.problems)
    return answer.plan


def times_elsewhere(revision: Revision) -> list[Timed]:
    """Ends and minutes of threading that other projects on the same kind of loom tell of."""
    kind = at(revision.tree, ("loom", "kind")) or "rigid heddle"
    others = (store.head(one).tree for one in store.projects() if one.pk != revision.project_id)
    found = [
        (at(row, ("ends",)), at(row, ("minutes",)))
        for tree in others
        if (at(tree, ("loom", "kind")) or "rigid heddle") == kind
        for row in rows(tree, ("draft", "timed"))
    ]
    return [(ends, float(minutes)) for ends, minutes in found if _counted(ends) and _counted(minutes)]


def _counted(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < 1e6


def _page(request: HttpRequest, found: Project, *, told: tuple[str, ...] = (), **how: Any) -> HttpResponse:
    back = reverse("threading", args=[found.pk])
    return show(request, Shown("threading.html", PART, back, partial(_context, found, back, told)), **how)


def _context(found: Project, here: str, told: tuple[str, ...]) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision)
    form = Form(revision.tree, answer.here, TABLE)
    return {
        **page_context(found, revision, form, here, "threading_answer.html", answer.elsewhere),
        "told_of_file": told,
        **_shown(revision, answer.plan),
    }


def _shown(revision: Revision, plan: ThreadingPlan | None) -> dict[str, Any]:
    """The threading in the words and units of the page."""
    if plan is None:
        return {"answer": None}
    imperial = is_imperial(revision)
    written = draft_to_file(plan, planned.document(revision), program_version=__version__)
    lists: tuple[tuple[str, Callable[[], list[str]]], ...] = (
        ("Sticks", lambda: words.stick_sentences(plan)),
        ("Picks, in order", lambda: words.shed_sentences(plan)),
        ("Sums to check it by", lambda: words.every_sum(plan, imperial=imperial)),
        ("Notes", lambda: list(plan.notes)),
    )
    return {
        "answer": plan,
        "heddle": words.heddle_sentence(plan, imperial=imperial),
        "stands": list(words.standing_sentences(plan, imperial=imperial)),
        "written": words.threading_sentence(plan),
        "picture": sheets.threading_svg(plan),
        "groups": words.groups(plan),
        "lists": [(title, found) for title, make in lists if (found := make())],
        "time": words.time_sentence(plan),
        "in_words": words.in_words(plan),
        "not_carried": written.not_carried,
    }
