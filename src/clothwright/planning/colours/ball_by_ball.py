"""The plan's verdict ball by ball, where the project has rules of colours: an order takes from balls, not from a heap.

In all the yarn may last and one ball not: the warp takes whole ends of each, and the order says how many. So beside the
verdict of the whole there is one for every ball, by the same drawn cloths. Colours that are not settled yet stop no plan;
they are a note.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from clothwright.measure import Draws, Interval
from clothwright.planning.answer import BallInPlan, BallsInPlan, Drawn, Plan
from clothwright.planning.colours.colour_answer import ColourPlan
from clothwright.planning.weighing_up import verdict
from clothwright.project import ProblemsFound, Project


def with_balls(project: Project, plan: Plan) -> Plan:
    """The plan with its verdict ball by ball; as it was where the project has no rules of colours."""
    from clothwright.planning.colours.colour_plan import plan_colours, planned_warp
    from clothwright.planning.colours.weft_plan import with_weft

    if project.colours is None or plan.drawn is None:
        return plan
    try:
        colours = plan_colours(project, planned_warp(project, plan), drawn_from=plan.drawn)
        answer = with_weft(project, colours, plan)
    except ProblemsFound as wrong:
        unsettled = (f"The order of colours is not settled: {problem.sentence}." for problem in wrong.problems)
        return replace(plan, notes=(*plan.notes, *unsettled))
    return replace(plan, by_ball=balls_in_plan(answer, plan.drawn, plan.trust_yarn))


def balls_in_plan(answer: ColourPlan, drawn: Drawn, trust: float) -> BallsInPlan:
    """Every ball under the colour orders, with the chance that it lasts, in the cloths that were drawn."""
    turn_m = answer.turn_ends * answer.warp.warp_cm / 100
    used = {(line.yarn, line.number): line.used for line in answer.balls}
    weft = {(line.yarn, line.number): line for line in answer.weft.balls} if answer.weft else {}
    lasting = answer.weft.lasting if answer.weft else {}

    def lasts(key: tuple[str, int], metres: Draws) -> Draws:
        in_warp = metres >= used.get(key, 0) * turn_m * (1 - 1e-9)
        woven = key in weft and weft[key].picks > 0
        return np.asarray(np.logical_and(in_warp, lasting[key[0]]) if woven else in_warp)

    def every() -> Iterator[tuple[BallInPlan, Draws]]:
        for key, metres in _balls(drawn, {*used, *weft}):
            line, lasting_here = weft.get(key), lasts(key, metres)
            warp_m = used.get(key, 0) * turn_m
            weft_m = line.need_m if line else 0.0
            chance = float(np.mean(lasting_here))
            left = float(np.median(metres)) - warp_m - weft_m
            yield (
                BallInPlan(
                    yarn=key[0],
                    ball=key[1],
                    have_m=Interval.of_draws(metres),
                    warp_ends=used.get(key, 0) * answer.turn_ends,
                    warp_m=warp_m,
                    weft_picks=line.picks if line else 0,
                    weft_m=weft_m,
                    left_m=left,
                    chance_lasts=chance,
                    verdict=verdict(chance, trust),
                ),
                lasting_here,
            )

    told, lasting_all = zip(*every(), strict=True)
    chance = float(np.mean(np.all(np.broadcast_arrays(*lasting_all), axis=0)))
    return BallsInPlan(verdict(chance, trust), chance, told)


def _balls(drawn: Drawn, keys: set[tuple[str, int]]) -> Iterator[tuple[tuple[str, int], Draws]]:
    """The balls that may go into warp or weft, with their metres."""
    for yarn, balls in drawn.balls.items():
        for number, metres in enumerate(balls, 1):
            if (yarn, number) in keys:
                yield (yarn, number), metres
