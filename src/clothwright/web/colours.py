"""The page “Colours”: rules of the warp's order, what each ball gives, the order drawn, kept, held and changed by hand."""

from __future__ import annotations

import copy
import datetime
import json
import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from clothwright import sheets
from clothwright.colours import HandRun, run_changed, run_held, run_moved, run_split, run_taken_away
from clothwright.library import store
from clothwright.library.models import Project, Revision
from clothwright.planning import ColourPlan, Warped, plan_colours, planned_warp, wanted_warp
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.sheets import colour_words as words
from clothwright.sheets.wording import LENGTH
from clothwright.web import evidence, planned
from clothwright.web.colour_fields import COLOURS
from clothwright.web.colour_rules import pairs_apart, with_yarn_rules, yarn_colours, yarn_names, yarn_rules
from clothwright.web.evidence import Latest
from clothwright.web.fetching import get_project, slug
from clothwright.web.form import ROW_VERBS, FieldTable, Form, change_in_words, read_posted, row_pressed
from clothwright.web.notebook import fragment_asked, posted_base, pressed
from clothwright.web.showing import is_imperial
from clothwright.web.typed import Tree, at, put, rows

TABLE: Final = FieldTable(COLOURS)
_ORDER: Final = ("colours", "order")
_MOVED: Final = "This project was changed somewhere else meanwhile. What you see here now counts; the other change is in the history."
_MOVED_ORDER: Final = "This project was changed meanwhile, so the order was left alone. Below it stands as it is now."
_LARGEST_SEED: Final = 10**6
_SHEETS: Final[dict[str, Callable[..., bytes]]] = {
    "colour-order": sheets.colour_order_pdf,
    "balls": sheets.balls_pdf,
    "warping": sheets.warping_pdf,
}
_NO_PLAN: Final = "Say how many ends and how long the warp is, or settle the plan, which then says both."
_answers: Final = Latest["Answered"](32)


@dataclass(frozen=True)
class Answered:
    """The colour order of a revision, or what keeps it from being told: here, or on the page of the project."""

    plan: ColourPlan | None = None
    here: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()


class _Refused(ValueError):
    """What was asked of the order cannot be done; the message says why, in one sentence."""


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def page(request: HttpRequest, key: UUID) -> HttpResponse:
    """The page; a post keeps rules that were typed, or does something to the order."""
    found = get_project(key)
    if request.method != "POST":
        return _page(request, found, run=_number(request.GET.get("run", "")))
    verb, _, name = pressed(request).partition(" ")
    if verb in ("undo", "redo"):
        (store.undo if verb == "undo" else store.redo)(found)
        return _page(request, found, whole=True)
    return _order_changed(request, found, verb, name) if verb in _STEPS else _typed(request, found, verb, name)


@require_safe
@never_cache
def sheet(request: HttpRequest, key: UUID, kind: str) -> HttpResponse:
    """The order, the balls or the warping on paper; back to the page where the order is not settled."""
    found = get_project(key)
    revision = store.head(found)
    if kind not in _SHEETS:
        raise Http404
    answer, today = answered(revision).plan, datetime.datetime.now().astimezone().date()
    if answer is None:
        return redirect("colours", key=found.pk)
    project, large = planned.document(revision), "large" in request.GET
    made = _SHEETS[kind](answer, project, imperial=is_imperial(revision), made_on=today, large_print=large)
    headers = {"Content-Disposition": f'inline; filename="{slug(found)}-{kind}.pdf"'}
    return HttpResponse(made, content_type="application/pdf", headers=headers)


def _typed(request: HttpRequest, found: Project, verb: str, name: str) -> HttpResponse:
    """Keep the rules as they were typed; add or take away a row of them."""
    base = posted_base(request, found)
    notice = _MOVED if base.pk != store.head(found).pk else ""
    tree = with_yarn_rules(read_posted(base.tree, request.POST, TABLE), request.POST)
    what, focus = rules_in_words(base.tree, tree), ""
    try:
        if verb in ROW_VERBS:
            tree, what, focus = row_pressed(tree, verb, name)
    except (KeyError, ValueError):
        return HttpResponse("There is no such row.", status=400, content_type="text/plain; charset=utf-8")
    store.change(found, tree, what)
    return _page(request, found, notice=notice, focus=focus, whole=verb != "save" or bool(notice))


def rules_in_words(before: Tree, after: Tree) -> str:
    """What changed of the rules, in the words of the page."""
    fields = change_in_words(before, after, TABLE)
    if fields != "changed":
        return fields
    for one, other in zip(yarn_rules(before), yarn_rules(after), strict=False):
        if one != other:
            return f"rules of {one.yarn}"
    return "colours kept apart" if pairs_apart(before) != pairs_apart(after) else "changed"


# --- the order changed -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Step:
    """A change of the order: the runs after it, what it is called in the history, and the run looked at then."""

    runs: Sequence[HandRun]
    what: str
    run: int | None = None


def _order_changed(request: HttpRequest, found: Project, verb: str, name: str) -> HttpResponse:
    head = store.head(found)
    number = _number(name)
    if request.POST.get("rev") != str(head.number):
        return _page(request, found, notice=_MOVED_ORDER, whole=True, status=409, run=number)
    if verb == "draw":
        try:
            store.change(found, _drawn_anew(head), "drew the colours anew")
        except ProblemsFound as wrong:
            return _page(request, found, notice=wrong.problems[0].sentence, whole=True, status=422)
        return _page(request, found, whole=True)
    if verb == "loosen":
        tree = copy.deepcopy(head.tree)
        put(tree, _ORDER, None)
        store.change(found, tree, "let the order of colours go")
        return _page(request, found, whole=True)
    runs = runs_now(head, answered(head).plan)
    try:
        step = _STEPS[verb](runs, _there(runs, number, verb), request)
    except _Refused as why:
        return _page(request, found, notice=str(why), whole=True, status=422, run=number)
    store.change(found, with_order(head.tree, step.runs), step.what)
    return _page(request, found, whole=True, run=step.run)


def _there(runs: Sequence[HandRun], number: int | None, verb: str) -> int:
    if verb == "keep":
        return 0
    if number is None or number >= len(runs):
        raise _Refused("There is no such run of ends; look at the order as it is now.")
    return number


def _drawn_anew(head: Revision) -> Tree:
    """The tree with a new seed and, where an order is kept, with that order drawn anew around its held runs."""
    tree: Tree = copy.deepcopy(head.tree)
    seed = secrets.randbelow(_LARGEST_SEED)
    put(tree, ("colours", "seed"), seed)
    if rows(tree, _ORDER):
        document = planned.document(head)
        warp = _warp(document, head)
        if isinstance(warp, Answered):
            raise ProblemsFound(*warp.here)
        put(tree, _ORDER, plan_colours(document, warp, seed=seed, redraw=True).as_typed())
    return tree


def with_order(tree: Tree, runs: Sequence[HandRun]) -> Tree:
    """The tree with the order run by run."""
    changed = copy.deepcopy(tree)
    told = [
        {"yarn": run.yarn, "ends": run.ends}
        | ({"ball": run.ball} if run.ball else {})
        | ({"held": True} if run.held else {})
        for run in runs
    ]
    put(changed, _ORDER, told or None)
    return changed


def _keep(runs: Sequence[HandRun], _number: int, _request: HttpRequest) -> _Step:
    return _Step(runs, "kept the order of colours")


def _hold(runs: Sequence[HandRun], number: int, _request: HttpRequest) -> _Step:
    return _Step(run_held(runs, number, held=True), f"held run {number + 1}, {runs[number].yarn}")


def _let(runs: Sequence[HandRun], number: int, _request: HttpRequest) -> _Step:
    return _Step(run_held(runs, number, held=False), f"released run {number + 1}, {runs[number].yarn}")


def _change(runs: Sequence[HandRun], number: int, request: HttpRequest) -> _Step:
    was, yarn = runs[number], request.POST.get("yarn", "").strip() or runs[number].yarn
    ends = _ends(request.POST.get("ends", ""), "the run")
    if ends < 1:
        raise _Refused("0 ends: a run has one at least; take the run away instead.")
    return _Step(
        run_changed(runs, number, yarn=yarn, ends=ends),
        f"run {number + 1}: {was.ends} {was.yarn} → {ends} {yarn}",
        number,
    )


def _split(runs: Sequence[HandRun], number: int, request: HttpRequest) -> _Step:
    try:
        split = run_split(runs, number, _ends(request.POST.get("after", ""), "the first part"))
    except _Refused:
        raise
    except ValueError as why:
        raise _Refused(f"{str(why)[:1].upper()}{str(why)[1:]}.") from None
    return _Step(split, f"split run {number + 1}, {runs[number].yarn}", number)


def _move(by: int) -> Callable[[Sequence[HandRun], int, HttpRequest], _Step]:
    def moved(runs: Sequence[HandRun], number: int, _request: HttpRequest) -> _Step:
        after, to = run_moved(runs, number, by)
        return _Step(after, f"moved {runs[number].yarn} from run {number + 1} to {to + 1}", to)

    return moved


def _take(runs: Sequence[HandRun], number: int, _request: HttpRequest) -> _Step:
    return _Step(run_taken_away(runs, number), f"took away run {number + 1}, {runs[number].yarn}")


_STEPS: Final[dict[str, Callable[[Sequence[HandRun], int, HttpRequest], _Step]]] = {
    "draw": _keep,
    "loosen": _keep,
    "keep": _keep,
    "hold": _hold,
    "release": _let,
    "change": _change,
    "split": _split,
    "earlier": _move(-1),
    "later": _move(1),
    "take": _take,
}


def _ends(text: str, of: str) -> int:
    if not text.strip().isdecimal() or len(text.strip()) > 5:
        raise _Refused(f"“{text.strip()[:40]}”: how many ends has {of}? Write a whole number, as 4.")
    return int(text)


def _number(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 6 else None


# --- what is shown -----------------------------------------------------------------------------------------------


def answered(revision: Revision) -> Answered:
    """The colour order of a revision, kept by all that it depends on."""
    said = json.dumps([revision.tree, revision.drawings], sort_keys=True)
    key = (revision.project_id, said, evidence.beside(revision.project).key)
    known = _answers.get(key)
    return known if known is not None else _answers.put(key, _answered(revision))


def _answered(revision: Revision) -> Answered:
    try:
        document = planned.document(revision)
        warp = _warp(document, revision)
        return warp if isinstance(warp, Answered) else Answered(plan_colours(document, warp))
    except ProblemsFound as wrong:
        every = planned.problems_of(revision, wrong)
        here = tuple(one for one in every if one.path[:1] == ("colours",))
        return Answered(None, here, tuple(one for one in every if one not in here))


def _warp(document: Document, revision: Revision) -> Warped | Answered:
    """The warp as typed here, else of the plan; or why there is no plan."""
    if warp := wanted_warp(document):
        return warp
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        return Answered(None, (Problem(("colours", "ends"), _NO_PLAN),), answer.problems)
    return planned_warp(document, answer.plan)


def runs_now(revision: Revision, plan: ColourPlan | None) -> tuple[HandRun, ...]:
    """The order to show: as kept where it stands as it is or nothing can be told of it, else as drawn or mended."""
    if plan is not None and (plan.drawn or plan.changes or plan.stripes):
        return tuple(_hand_run(run) for run in plan.as_typed())
    return tuple(_hand_run(row) for row in rows(revision.tree, _ORDER) if _is_run(row))


def _is_run(row: Any) -> bool:
    ends = at(row, ("ends",))
    return isinstance(at(row, ("yarn",)), str) and isinstance(ends, int) and not isinstance(ends, bool) and ends > 0


def _hand_run(row: dict[str, Any]) -> HandRun:
    ball = row.get("ball")
    return HandRun(row["yarn"], row["ends"], ball if isinstance(ball, int) else None, row.get("held") is True)


def _page(
    request: HttpRequest,
    found: Project,
    *,
    notice: str = "",
    focus: str = "",
    whole: bool = False,
    status: int = 200,
    run: int | None = None,
) -> HttpResponse:
    """The page, or after a change of one field only what comes of it; a post without script goes back to the page."""
    fragment = request.method == "POST" and fragment_asked(request)
    if request.method == "POST" and not fragment and not notice:
        response: HttpResponse = redirect(_place(found, run, focus))
        response.status_code = 303
        return response
    template = "clothwright/colours_changed.html" if fragment and not whole else "clothwright/colours.html"
    context = _context(found, run) | {"notice": notice, "focus": focus}
    response = render(request, template, context, status=200 if fragment else status)
    if fragment and whole:
        response["HX-Retarget"], response["HX-Reselect"] = "#page", "#page"
        response["HX-Reswap"] = "outerHTML show:none"
    return response


def _place(found: Project, run: int | None, focus: str) -> str:
    here = reverse("colours", args=[found.pk])
    if run is not None:
        return f"{here}?run={run}#edit"
    return f"{here}#{focus}" if focus else here


def _context(found: Project, run: int | None) -> dict[str, Any]:
    revision = store.head(found)
    answer = answered(revision)
    form = Form(revision.tree, answer.here, TABLE)
    return {
        "project": found,
        "here": reverse("colours", args=[found.pk]),
        "revision": revision,
        "form": form,
        "sentences": form.problems_by_key(),
        "elsewhere": Form(revision.tree, answer.elsewhere).told if answer.elsewhere else (),
        "yarn_rules": yarn_rules(revision.tree),
        "pairs": list(enumerate(pairs_apart(revision.tree))),
        "yarn_names": yarn_names(revision.tree),
        "can_undo": store.can_undo(found),
        "can_redo": store.can_redo(found),
        "kept": bool(rows(revision.tree, _ORDER)),
        **_shown(revision, answer.plan, run),
    }


def _shown(revision: Revision, plan: ColourPlan | None, run: int | None) -> dict[str, Any]:
    """The order and the balls in the words and units of the page."""
    imperial, runs = is_imperial(revision), runs_now(revision, plan)
    told = words.told_runs(runs)
    sett = plan.warp.ends_per_cm if plan else None
    shown: dict[str, Any] = {
        "answer": plan,
        "runs": told,
        "run": told[run] if run is not None and run < len(told) else None,
        "total": told[-1].last if told else 0,
        "picture": _picture(revision, runs, sett, imperial) if runs else "",
    }
    if plan is None:
        return shown
    return shown | {
        "check": words.check_sum(plan.warp, imperial=imperial),
        "long": LENGTH.text(plan.warp.warp_cm, imperial=imperial),
        "changes": list(words.change_sentences(plan)),
        "tables": [
            ("Warp lengths beside this one", words.LENGTHS_HEAD, words.length_rows(plan, imperial=imperial)),
        ],
        "balls_head": words.BALLS_HEAD,
        "balls": words.ball_rows(plan, imperial=imperial),
        "balls_sum": words.balls_sum(plan, imperial=imperial),
        "stripes": [words.stripe_sentence(one, imperial=imperial) for one in plan.stripes],
    }


def _picture(revision: Revision, runs: Sequence[HandRun], sett: float | None, imperial: bool) -> str:
    pairs = [(run.yarn, run.ends) for run in runs]
    return sheets.warp_order_svg(pairs, yarn_colours(revision.tree), ends_per_cm=sett, imperial=imperial)
