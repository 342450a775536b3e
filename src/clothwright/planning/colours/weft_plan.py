"""The weft order of a project: which yarn every pick is of, where each begins, where a ball runs out, and whether all last.

Picks and what they take come from the plan, or are typed. A ball is woven until it has no whole pick left, and the next of
its yarn goes on; so a yarn, not a ball, lasts or does not.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

import numpy as np

from clothwright.colours import is_even, repeats_in, woven
from clothwright.evidence import independent, joint, metres_of_balls, stock_belief
from clothwright.measure import Draws
from clothwright.planning.answer import Drawn, Plan
from clothwright.planning.colours.colour_answer import ColourPlan, Warped
from clothwright.planning.colours.weft_answer import WeftAnswer, Wefted
from clothwright.planning.colours.weft_asked import asked_of, weft_part
from clothwright.planning.colours.weft_keeping import keeping
from clothwright.planning.colours.weft_ordered import as_runs, ordered_of
from clothwright.planning.colours.weft_told import ball_lines, join_lines, notes_of, run_lines, stripe_lines
from clothwright.project import Project
from clothwright.project.domain import lots

_PICK_LENGTH: Final = "weft yarn of a pick"


def wanted_weft(project: Project) -> Wefted | None:
    """The weft as typed with its colours; None where the plan must say some of it."""
    part = weft_part(project)
    if part.picks is None or part.pick_length is None or part.stripes or part.as_the_warp:
        return None
    return Wefted(part.picks, drawn_apart(project).weft_m, np.zeros(1), _typed_picks_per_cm(project))


def planned_weft(project: Project, plan: Plan, warp: Warped) -> Wefted:
    """The weft of a plan, for a warp of so many ends; with the picks and their length typed with its colours where they are.

    Picks per cm and the length ratio stand as typed where they are, as a person reckons with them, so that stripes come out
    as they do on paper.
    """
    part, typed = weft_part(project), project.cloth.length_ratio
    planned = planned_picks(plan)
    per_cm = _typed_picks_per_cm(project) or plan.weft.picks_per_cm_on_loom.expected
    picks = part.picks or math.ceil(plan.weft.weave_to_cm * per_cm - 1e-6)
    planned_share = plan.cloth.finished_length_cm.expected / max(plan.weft.woven_on_loom_cm.expected, 1e-9)
    share = typed.expected if typed else planned_share
    weft, sample = _planned_metres(plan)
    wider = warp.ends / plan.warp.ends
    metres = drawn_apart(project).weft_m if part.pick_length else weft * wider * picks / max(planned, 1)
    return Wefted(picks, metres, sample * wider, per_cm, share, plan.cloth.asked_length_cm)


def planned_picks(plan: Plan) -> int:
    """The picks to where the weaving stops, at the expected picks per cm; the on-warp sample is not counted."""
    return math.ceil(plan.weft.weave_to_cm * plan.weft.picks_per_cm_on_loom.expected - 1e-6)


def with_weft(
    project: Project, answer: ColourPlan, plan: Plan | None, *, seed: int | None = None, redraw: bool = False
) -> ColourPlan:
    """The colours with the weft's order beside the warp's, where picks and their metres are typed or planned."""
    wefted = wanted_weft(project) or (planned_weft(project, plan, answer.warp) if plan else None)
    if wefted is None:
        return answer
    drawn = plan.drawn if plan else None
    return replace(answer, weft=plan_weft(project, answer, wefted, drawn=drawn, seed=seed, redraw=redraw))


def _planned_metres(plan: Plan) -> tuple[Draws, Draws]:
    if plan.drawn is None:
        return np.array([plan.weft.yarn_m.expected]), np.zeros(1)
    return plan.drawn.weft_m, plan.drawn.sample_weft_m


def _typed_picks_per_cm(project: Project) -> float | None:
    cloth = project.cloth
    return cloth.picks.per_cm if cloth.picks and cloth.picks_counted == "on loom" else None


def drawn_apart(project: Project) -> Drawn:
    """The balls and the weft's metres drawn without a plan; the weft is nothing where its picks are not typed."""
    part, every = weft_part(project), lots(project)
    length = part.pick_length
    blocks = [stock_belief(tuple(lot for lot in every if lot.balls))]
    if length:
        blocks.append(independent({_PICK_LENGTH: (math.log(length.expected / 100), length.log_sd or 0.0)}))
    draws = joint(blocks).draws()
    balls = {lot.name: metres_of_balls(lot, draws) for lot in every if lot.balls}
    weft = (part.picks or 1) * np.exp(draws[_PICK_LENGTH]) if length else np.zeros(1)
    return Drawn(balls, weft, np.zeros(1))


def plan_weft(
    project: Project,
    warped: ColourPlan,
    wefted: Wefted,
    *,
    drawn: Drawn | None = None,
    seed: int | None = None,
    redraw: bool = False,
) -> WeftAnswer:
    """The weft order of a project beside the order of its warp; ProblemsFound where its rules clash or it has no yarn.

    `drawn`: the draws of the plan the weft is of; `redraw`: an order the project holds is drawn anew, all but its held picks.
    """
    asked = asked_of(project, warped, wefted, drawn or drawn_apart(project))
    by_seed = seed if seed is not None else asked.part.seed if asked.part.seed is not None else warped.seed
    ordered = ordered_of(asked, by_seed, redraw)
    made = woven(
        ordered.picks, [one.ball for one in asked.basket], pick_m=wefted.pick_m, carried_picks=asked.carried_picks
    )
    balls = tuple(ball_lines(asked, made, ordered))
    return WeftAnswer(
        seed=by_seed,
        turn_picks=asked.weaving.turn_picks,
        wefted=wefted,
        order=tuple(run_lines(asked, made, ordered)),
        joins=tuple(join_lines(asked, made, ordered)),
        balls=balls,
        lies=ordered.lies,
        drawn=ordered.drawn,
        rules=ordered.rules,
        broken=ordered.broken,
        chance_balls_last=asked.chance_all(made, pooled=ordered.pooled),
        notes=tuple(notes_of(asked, ordered, made)),
        stripes=tuple(stripe_lines(asked)),
        repeat=repeats_in(asked.repeat, asked.finishes_cm) if asked.repeat else None,
        even=is_even(asked.repeat) if asked.repeat else None,
        short_picks=asked.short(made),
        keeping=keeping(asked.lots, warped, asked.drawn.balls, wefted, also=asked.yarns),
        woven_from=tuple(as_runs(ordered)),
        lasting={yarn: asked.lasts(yarn, made, pooled=ordered.pooled) for yarn in asked.yarns},
    )
