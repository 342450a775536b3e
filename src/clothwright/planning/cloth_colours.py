"""Which yarn every end and every pick of a planned cloth is of."""

from __future__ import annotations

import math
import re
from typing import Final

from clothwright.colours import ColoursOfCloth, threads
from clothwright.planning.answer import Plan
from clothwright.planning.colour_plan import plan_colours, planned_warp
from clothwright.project import Project
from clothwright.project.domain import yarns

_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


def colours_of_cloth(project: Project, plan: Plan) -> ColoursOfCloth:
    """The yarn of every end and pick: by the colour orders where there are any, else by the first yarn of warp and weft.

    ProblemsFound where the rules of a colour order clash.
    """
    used = yarns(project)
    warp = [(used.warp[0].name, plan.warp.ends)]
    if project.colours:
        warp = [(run.yarn, run.ends) for run in plan_colours(project, planned_warp(project, plan)).order]
    weft = [(used.weft[0].name, planned_picks(plan))]
    said = {lot.name: lot.colour for lot in (*used.warp, *used.weft) if _HEX.fullmatch(lot.colour)}
    return ColoursOfCloth(threads(warp), threads(weft), said)


def planned_picks(plan: Plan) -> int:
    """The picks to where the weaving stops, at the expected picks per cm; the on-warp sample is not counted."""
    return math.ceil(plan.weft.weave_to_cm * plan.weft.picks_per_cm_on_loom.expected - 1e-6)
