"""The pages “Colours” of warp and weft: rules, what each ball gives, the order drawn, kept, held and changed by hand."""

from __future__ import annotations

import copy
import datetime
import secrets
from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright import sheets
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import plan_colours, with_weft
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.web import planned
from clothwright.web.colour_answers import NO_WEFT, Answered, answered, plan_now, runs_now, warp_of
from clothwright.web.colour_rules import pairs_apart, with_yarn_rules, yarn_names, yarn_rules
from clothwright.web.colour_sides import WARP, WEFT, Side, with_order
from clothwright.web.colour_steps import STEPS, WHOLE, Refused, Step, stepped
from clothwright.web.colours_shown import shown
from clothwright.web.fetching import get_project, slug
from clothwright.web.form import ROW_VERBS, Form, change_in_words, read_posted, row_pressed
from clothwright.web.notebook import fragment_asked, posted_base, pressed
from clothwright.web.showing import is_imperial
from clothwright.web.typed import Tree, put, rows

_MOVED: Final = "This project was changed somewhere else meanwhile. What you see here now counts; the other change is in the history."
_MOVED_ORDER: Final = "This project was changed meanwhile, so the order was left alone. Below it stands as it is now."
_LARGEST_SEED: Final = 10**6
_SHEETS: Final[dict[str, Callable[..., bytes]]] = {
    "colour-order": sheets.colour_order_pdf,
    "balls": sheets.balls_pdf,
    "warping": sheets.warping_pdf,
}
_WEFT_SHEET: Final = "weft-order"


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
    verb, _, name = pressed(request).partition(" ")
    if verb in ("undo", "redo"):
        (store.undo if verb == "undo" else store.redo)(found)
        return _page(request, found, side, whole=True)
    if verb in (*WHOLE, *STEPS):
        return _order_changed(request, found, side, verb, name)
    return _typed(request, found, side, verb, name)


@require_safe
@never_cache
def sheet(request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """An order, the balls or the warping on paper; back to the page where the order is not settled."""
    found = get_project(key)
    revision = store.head(found)
    if kind not in _SHEETS and kind != _WEFT_SHEET:
        raise Http404
    weft = kind == _WEFT_SHEET
    answer, today = answered(revision, weft=weft).plan, datetime.datetime.now().astimezone().date()
    if answer is None or (weft and answer.weft is None):
        return redirect("weft_colours" if weft else "colours", key=found.pk)
    project, large = planned.document(revision), "large" in request.GET
    make = sheets.weft_order_pdf if weft else _SHEETS[kind]
    made = make(answer, project, imperial=is_imperial(revision), made_on=today, large_print=large)
    headers = {"Content-Disposition": f'inline; filename="{slug(found)}-{kind}.pdf"'}
    return HttpResponse(made, content_type="application/pdf", headers=headers)


def _typed(request: HttpRequest, found: Project, side: Side, verb: str, name: str) -> HttpResponse:
    """Keep the rules as they were typed; add or take away a row of them."""
    base = posted_base(request, found)
    notice = _MOVED if base.pk != store.head(found).pk else ""
    tree = with_yarn_rules(read_posted(base.tree, request.POST, side.table), request.POST, side)
    what, focus = rules_in_words(base.tree, tree, side), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    store.change(found, tree, what)
    return _page(request, found, side, notice=notice, focus=focus, whole=verb != "save" or bool(notice))


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
    request: HttpRequest,
    found: Project,
    side: Side,
    *,
    notice: str = "",
    focus: str = "",
    whole: bool = False,
    status: int = 200,
    run: int | None = None,
    at: int | None = None,
) -> HttpResponse:
    """The page, or after a change of one field only what comes of it; a post without script goes back to the page."""
    fragment = request.method == "POST" and fragment_asked(request)
    if request.method == "POST" and not fragment and not notice:
        response: HttpResponse = redirect(_place(found, side, run, focus))
        response.status_code = 303
        return response
    template = "clothwright/colours_changed.html" if fragment and not whole else "clothwright/colours.html"
    context = _context(found, side, run, at) | {"notice": notice, "focus": focus}
    response = render(request, template, context, status=200 if fragment else status)
    if fragment and whole:
        response["HX-Retarget"], response["HX-Reselect"] = "#page", "#page"
        response["HX-Reswap"] = "outerHTML show:none"
    return response


def _place(found: Project, side: Side, run: int | None, focus: str) -> str:
    here = reverse(side.url, args=[found.pk])
    if run is not None:
        return f"{here}?run={run}#edit"
    return f"{here}#{focus}" if focus else here


def _context(found: Project, side: Side, run: int | None, at: int | None) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision, weft=side is WEFT)
    form = Form(revision.tree, answer.here(side), side.table)
    not_here = answer.not_here(side)
    return {
        "project": found,
        "side": side,
        "is_weft": side is WEFT,
        "here": reverse(side.url, args=[found.pk]),
        "revision": revision,
        "form": form,
        "sentences": form.problems_by_key(),
        "elsewhere": Form(revision.tree, not_here).told if not_here else (),
        "yarn_rules": yarn_rules(revision.tree, side),
        "pairs": list(enumerate(pairs_apart(revision.tree, side))),
        "yarn_names": yarn_names(revision.tree, side),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
        "kept": bool(rows(revision.tree, side.order_path)),
        **shown(revision, answer.plan, side, run=run, at=at),
    }
