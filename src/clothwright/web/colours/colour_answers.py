"""The colour orders of a revision, or the sentences why there are none, and the runs of them that can be changed by hand."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import Final

from clothwright.colours import HandRun
from clothwright.library.models import Revision
from clothwright.planning import (
    ColourPlan,
    Plan,
    Warped,
    asks_of_weft,
    plan_colours,
    planned_warp,
    wanted_warp,
    wanted_weft,
    with_weft,
)
from clothwright.project import Problem, ProblemsFound
from clothwright.project import Project as Document
from clothwright.web import planned
from clothwright.web.colours.colour_sides import WARP, WEFT, Side, hand_run, runs_kept
from clothwright.web.latest import Latest

NO_WEFT: Final = "Say how many picks there are and what each takes, or settle the plan, which then says both."
_NO_PLAN: Final = "Say how many ends and how long the warp is, or settle the plan, which then says both."
_answers: Final = Latest["Answered"](32)


@dataclass(frozen=True)
class Answered:
    """The colour orders of a revision, and what keeps any of them from being told: rules of the colours, or other parts."""

    plan: ColourPlan | None = None
    of_colours: tuple[Problem, ...] = ()
    elsewhere: tuple[Problem, ...] = ()

    def here(self, side: Side) -> tuple[Problem, ...]:
        """The problems that the page of one side shows beside its own fields."""
        return tuple(one for one in self.of_colours if _side_of(one) is side)

    def not_here(self, side: Side) -> tuple[Problem, ...]:
        """The problems that stand on other pages."""
        return (*(one for one in self.of_colours if _side_of(one) is not side), *self.elsewhere)


def _side_of(problem: Problem) -> Side:
    return WEFT if problem.path[:2] == WEFT.path else WARP


def answered(revision: Revision, *, weft: bool = False) -> Answered:
    """The colour orders of a revision, kept by all that they depend on; `weft`: the weft's is wanted, even if it costs a plan."""
    said = json.dumps([weft, revision.tree, revision.drawings], sort_keys=True)
    key = (revision.project_id, said, *planned.rests_on(revision))
    return _answers.made(key, partial(_answered, revision, weft))


def _answered(revision: Revision, weft: bool) -> Answered:
    try:
        document = planned.document(revision)
        warp = warp_of(document, revision)
        if isinstance(warp, Answered):
            return warp
        plan = _plan(document, revision, weft)
        answer = plan_colours(document, warp, drawn_from=plan.drawn if plan else None)
    except ProblemsFound as wrong:
        return _wrong(revision, wrong)
    try:
        return _with_weft(document, answer, plan, weft)
    except ProblemsFound as wrong:
        return replace(_wrong(revision, wrong), plan=answer)


def _wrong(revision: Revision, wrong: ProblemsFound) -> Answered:
    every = planned.problems_of(revision, wrong)
    return Answered(None, tuple(filter(_is_of_colours, every)), tuple(one for one in every if not _is_of_colours(one)))


def _is_of_colours(problem: Problem) -> bool:
    return problem.path[:1] == WARP.path


def _with_weft(document: Document, answer: ColourPlan, plan: Plan | None, weft: bool) -> Answered:
    found = with_weft(document, answer, plan)
    if found.weft is None and weft:
        return Answered(found, (Problem((*WEFT.path, "picks"), NO_WEFT),))
    return Answered(found)


def _plan(document: Document, revision: Revision, weft: bool) -> Plan | None:
    """The plan where the orders need it; None where what is typed is enough, or there is none."""
    wants = wanted_warp(document) is None or ((weft or asks_of_weft(document)) and wanted_weft(document) is None)
    return plan_now(revision) if wants else None


def plan_now(revision: Revision) -> Plan | None:
    """The plan of a revision; None while something of it is to be settled."""
    answer = planned.answer(revision)
    return None if answer.problems else answer.plan


def warp_of(document: Document, revision: Revision) -> Warped | Answered:
    """The warp as typed here, else of the plan; or why there is no plan."""
    if warp := wanted_warp(document):
        return warp
    answer = planned.answer(revision)
    if answer.plan is None or answer.problems:
        return Answered(None, (Problem(("colours", "ends"), _NO_PLAN),), answer.problems)
    return planned_warp(document, answer.plan)


def runs_now(revision: Revision, plan: ColourPlan | None, side: Side = WARP) -> tuple[HandRun, ...]:
    """The order to show: as kept where it stands as it is or nothing can be told of it, else as drawn or mended."""
    told = _told(plan, side)
    return tuple(hand_run(run, side) for run in told) if told is not None else runs_kept(revision.tree, side)


def _told(plan: ColourPlan | None, side: Side) -> Iterable[dict[str, object]] | None:
    if plan is None:
        return None
    if side is WEFT:
        return plan.weft.as_typed() if plan.weft and plan.weft.lies != "kept" else None
    return plan.as_typed() if plan.drawn or plan.changes or plan.stripes else None
