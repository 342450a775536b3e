"""The page to begin on: what yarn there is, the loom, what is to be made; a verdict with all that was taken shown as taken."""

from __future__ import annotations

import datetime
from functools import partial
from typing import Any, Final
from uuid import UUID, uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library import store
from clothwright.library.models import Project
from clothwright.pattern.drafting import garments
from clothwright.planning.heddle_taken import heddle_taken
from clothwright.project import ProblemsFound, read_project
from clothwright.project.beginning import few_answers as begun
from clothwright.sheets.defaults import Default, defaults_taken
from clothwright.web import planned
from clothwright.web.answering import Shown, fragment_asked, posted_base, pressed, show
from clothwright.web.beginning.begin_fields import begin_table, making_choices
from clothwright.web.fetching import get_project
from clothwright.web.forms.bound import key_of
from clothwright.web.forms.form import Form, change_in_words, read_posted
from clothwright.web.forms.typed import Filled, Tree, path_of
from clothwright.web.forms.typed_page import undone
from clothwright.web.showing import is_imperial, shown_plan

LONGEST: Final = 4000
_BEGUN: Final = "begun: what yarn there is"
#: A project begun so lately is offered where another is begun: who went back may mean that one.
_LATELY: Final = datetime.timedelta(days=1)
_MOST_OFFERED: Final = 3


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def start(request: HttpRequest) -> HttpResponse:
    """The one question, and what was begun lately; the first answer makes a project, the same page sent again no other."""
    words, key = _words(request), _key_sent(request)
    if not words.strip():
        nothing = request.method == "POST"
        lately = store.begun_since(timezone.now() - _LATELY, _BEGUN)[:_MOST_OFFERED]
        context = first_question() | {"nothing": nothing, "begun": lately}
        return render(request, "clothwright/begin_start.html", context, status=422 if nothing else 200)
    found = store.begun_project(key, begun.begin(words), _BEGUN)
    if (tree := store.head(found).tree) and begun.yarn_words(tree) != words:
        store.change(found, _with_heddle(begun.with_yarn(tree, words)), "what yarn there is")
    return _on_to(request, reverse("begin", args=[found.pk]))


def first_question() -> dict[str, Any]:
    """What the first question needs: the key of the project that its answer makes."""
    return {"new_key": uuid4(), "longest": LONGEST}


def _on_to(request: HttpRequest, url: str) -> HttpResponse:
    return HttpResponse(headers={"HX-Redirect": url}) if fragment_asked(request) else redirect(url)


def _key_sent(request: HttpRequest) -> UUID:
    try:
        return UUID(request.POST.get("new_key", ""))
    except ValueError:
        return uuid4()


def _words(request: HttpRequest) -> str:
    return request.POST.get("begun_yarn", "").replace("\0", "").replace("\r\n", "\n")[:LONGEST]


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The questions of one project with what was answered, and the verdict once there is one; a post keeps what was typed."""
    found = get_project(key)
    back = reverse("begin", args=[found.pk])
    shown = Shown("begin.html", "begin.html", back, partial(_context, found))
    if request.method != "POST":
        return show(request, shown)
    if undone(found, pressed(request)):
        return show(request, shown, whole=True)
    base = posted_base(request, found)
    tree, what = _answered(request, base.tree)
    store.change(found, tree, what)
    return show(request, shown, focus=_next(tree), whole=True)


def _answered(request: HttpRequest, before: Tree) -> tuple[Tree, str]:
    """The tree with what was typed and pressed, and that in words."""
    table = begin_table(garments().get(request.POST.get("asked", "")))
    tree = read_posted(before, request.POST, table)
    what = change_in_words(before, tree, table)
    words = _chosen(_words(request), pressed(request)) if "begun_yarn" in request.POST else begun.yarn_words(tree)
    if words != begun.yarn_words(tree):
        tree, what = begun.with_yarn(tree, words), "what yarn there is"
    making = request.POST.get("begun_making", begun.making(tree))
    if making != begun.making(tree) and making in dict(making_choices()):
        tree, what = begun.with_making(tree, making), f"to be made: {dict(making_choices())[making]}"
    return _with_heddle(tree), what


def _chosen(words: str, button: str) -> str:
    """The words with the line that a pressed choice settles in place of the one it was asked about."""
    verb, _, rest = button.partition(" ")
    if verb != "answer":
        return words
    for one in begun.yarns_in_words(words):
        if one.question and rest in one.question.choices:
            return "\n".join(rest if " ".join(line.split()) == one.line else line for line in begun.lines_of(words))
    return words


def _with_heddle(tree: Tree) -> Tree:
    """The tree with a heddle taken where nobody said one and the yarn is clear."""
    if begun.says_heddle(tree):
        return begun.with_heddle_taken(tree, None)
    asked: Tree = {name: tree[name] for name in ("units", "yarn", "cloth", "core", "winder") if name in tree}
    try:
        heddle = None if begun.open_questions(tree) else heddle_taken(read_project(Filled.of(asked).tree))
    except ProblemsFound:
        heddle = None
    return begun.with_heddle_taken(tree, heddle)


# --- what is shown -----------------------------------------------------------------------------------------------


def _next(tree: Tree) -> str:
    """The question to answer next; the verdict where none is left."""
    if begun.open_questions(tree) or not (begun.yarn_told(tree) or begun.other_yarns(tree)):
        return "yarn"
    return "verdict" if _says_enough(tree) else "making" if begun.making(tree) else "loom"


def _says_enough(tree: Tree) -> bool:
    """Whether so much was said of what is to be made that a verdict can be asked for; a bag needs no measures."""
    asks = garments().get(begun.making(tree))
    free = asks is not None and not asks.needs and not any(one.needed for one in asks.options)
    return free or begun.says_what_to_make(tree)


def _context(found: Project) -> dict[str, Any]:
    revision = store.head(found)
    tree, making = revision.tree, begun.making(revision.tree)
    asks = garments().get(making)
    open_questions = begun.open_questions(tree)
    any_yarn = bool(begun.yarn_told(tree) or begun.other_yarns(tree))
    ready = any_yarn and _says_enough(tree) and not open_questions
    answer = planned.answer(revision) if ready else None
    settled = answer is not None and not answer.problems
    form = Form(tree, answer.problems if answer else (), begin_table(asks))
    return {
        "project": found,
        "here": reverse("begin", args=[found.pk]),
        "revision": revision,
        "words": begun.yarn_words(tree),
        "longest": LONGEST,
        "told": begun.yarn_told(tree),
        "others": begun.other_yarns(tree),
        "open": open_questions or not any_yarn,
        "making": making,
        "making_choices": making_choices(),
        "asks": asks,
        "form": form,
        "answer": answer,
        "sentences": form.problems_by_key(),
        "shown": shown_plan(answer, revision) if answer and settled else None,
        "defaults": _defaults(answer, tree, is_imperial(revision)) if answer and settled else (),
        "heddle_taken": begun.still_taken(tree).get(begun.HEDDLES, ""),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
    }


def _defaults(answer: planned.Answer, tree: Tree, imperial: bool) -> list[tuple[Default, str]]:
    """What was taken, each with the place on the project's page where it is changed."""
    assert answer.plan is not None  # asked only where there is one
    project = read_project(Filled.of(tree).tree)
    found = defaults_taken(project, answer.plan, begun.still_taken(tree), imperial=imperial)
    return [(one, key_of(path_of(one.path))) for one in found]
