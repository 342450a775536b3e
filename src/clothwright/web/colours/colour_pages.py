"""The pages “Colours” of warp and weft: rules, what each ball gives, the order drawn, kept, held and changed by hand."""

from __future__ import annotations

import copy
import secrets
from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import plan_colours, with_weft
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.web import planned
from clothwright.web.answering import Shown, show
from clothwright.web.colours.colour_answers import NO_WEFT, Answered, answered, plan_now, runs_now, warp_of
from clothwright.web.colours.colour_rules import pairs_apart, with_yarn_rules, yarn_names, yarn_rules
from clothwright.web.colours.colour_sides import WARP, WEFT, Side, with_order
from clothwright.web.colours.colour_steps import STEPS, WHOLE, Refused, Step, stepped
from clothwright.web.colours.colours_shown import shown
from clothwright.web.fetching import get_project
from clothwright.web.forms.form import Form, change_in_words
from clothwright.web.forms.typed import Tree, put, rows
from clothwright.web.forms.typed_page import PART, answered_as_typed, page_context

_MOVED_ORDER: Final = "This project was changed meanwhile, so the order was left alone. Below it stands as it is now."
_LARGEST_SEED: Final = 10**6


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The warp's page; a post keeps rules that were typed, or does something to the order."""
    return _asked(request, key, WARP)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def weft_page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The weft's page, the same way."""
    return _asked(request, key, WEFT)


def _asked(request: HttpRequest, key: UUID, side: Side) -> HttpResponse:
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found, side, run=_number(request.GET.get("run", "")))
    buttons = {verb: partial(_order_changed, request, found, side, verb) for verb in (*WHOLE, *STEPS)}
    read, words = partial(with_yarn_rules, posted=request.POST, side=side), partial(rules_in_words, side=side)
    again = partial(_page, request, found, side)
    return answered_as_typed(request, found, side.table, again, buttons, read=read, words=words)


def rules_in_words(before: Tree, after: Tree, side: Side = WARP) -> str:
    """What changed of the rules, in the words of the page."""
    fields = change_in_words(before, after, side.table)
    if fields != "changed":
        return fields
    for one, other in zip(yarn_rules(before, side), yarn_rules(after, side), strict=False):
        if one != other:
            return f"rules of {one.yarn}"
    return "colours kept apart" if pairs_apart(before, side) != pairs_apart(after, side) else "changed"


# --- the order changed -------------------------------------------------------------------------------------------


def _order_changed(request: HttpRequest, found: Project, side: Side, verb: str, name: str) -> HttpResponse:
    head, number = store.head(found), _number(name)
    if request.POST.get("rev") != str(head.number):
        return _page(request, found, side, notice=_MOVED_ORDER, whole=True, status=409, run=number)
    try:
        tree, step = _changed(head, side, verb, number, request)
    except ProblemsFound as wrong:
        return _page(request, found, side, notice=wrong.problems[0].sentence, whole=True, status=422)
    except Refused as why:
        return _page(request, found, side, notice=str(why), whole=True, status=422, run=number)
    store.change(found, tree, step.what)
    return _page(request, found, side, whole=True, run=step.run, at=number)


def _changed(head: Revision, side: Side, verb: str, number: int | None, request: HttpRequest) -> tuple[Tree, Step]:
    """The tree after a button that changes the order, and what it is called."""
    if verb == "draw":
        return _drawn_anew(head, side), Step((), "drew the colours anew")
    if verb == "loosen":
        return with_order(head.tree, side, ()), Step((), f"let the {side.order} go")
    runs = runs_now(head, answered(head, weft=side is WEFT).plan, side)
    step = stepped(verb, runs, number, side, request.POST)
    return with_order(head.tree, side, step.runs), step


def _drawn_anew(head: Revision, side: Side) -> Tree:
    """The tree with a new seed and, where an order is kept, with that order drawn anew around its held runs."""
    tree: Tree = copy.deepcopy(head.tree)
    seed = secrets.randbelow(_LARGEST_SEED)
    put(tree, (*side.path, "seed"), seed)
    if rows(tree, side.order_path):
        put(tree, side.order_path, _redrawn(planned.document(head), head, side, seed))
    return tree


def _redrawn(document: Document, head: Revision, side: Side, seed: int) -> list[dict[str, Any]]:
    """The order drawn anew, as a project holds it."""
    warp = warp_of(document, head)
    if isinstance(warp, Answered):
        raise ProblemsFound(*warp.of_colours)
    if side is WARP:
        return plan_colours(document, warp, seed=seed, redraw=True).as_typed()
    answer = with_weft(document, plan_colours(document, warp), plan_now(head), seed=seed, redraw=True)
    if answer.weft is None:
        raise ProblemsFound(Problem((*WEFT.path, "picks"), NO_WEFT))
    return answer.weft.as_typed()


def _number(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 6 else None


# --- what is shown -----------------------------------------------------------------------------------------------


def _page(
    request: HttpRequest, found: Project, side: Side, *, run: int | None = None, at: int | None = None, **how: Any
) -> HttpResponse:
    here = reverse(side.url, args=[found.pk])
    back = here if run is None else f"{here}?run={run}#edit"
    return show(request, Shown("colours.html", PART, back, partial(_context, found, side, here, run, at)), **how)


def _context(found: Project, side: Side, here: str, run: int | None, at: int | None) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision, weft=side is WEFT)
    form = Form(revision.tree, answer.here(side), side.table)
    shows = "weft_answer.html" if side is WEFT else "colours_answer.html"
    return {
        **page_context(found, revision, form, here, shows, answer.not_here(side)),
        "side": side,
        "is_weft": side is WEFT,
        "yarn_rules": yarn_rules(revision.tree, side),
        "pairs": list(enumerate(pairs_apart(revision.tree, side))),
        "yarn_names": yarn_names(revision.tree, side),
        "kept": bool(rows(revision.tree, side.order_path)),
        **shown(revision, answer.plan, side, run=run, at=at),
    }
