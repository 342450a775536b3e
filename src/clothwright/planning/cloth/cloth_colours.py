"""Which yarn every end and every pick of a planned cloth is of."""

from __future__ import annotations

import re
from typing import Final

from clothwright.colours import ColoursOfCloth, threads
from clothwright.planning.answer import Plan
from clothwright.planning.colours.colour_plan import plan_colours, planned_warp
from clothwright.planning.colours.weft_plan import planned_picks, with_weft
from clothwright.project import Project
from clothwright.project.domain import yarns

_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


def colours_of_cloth(project: Project, plan: Plan) -> ColoursOfCloth:
    """The yarn of every end and pick: by the colour orders where there are any, else by the first yarn of warp and weft.

    ProblemsFound where the rules of a colour order clash.
    """
    used = yarns(project)
    warp, weft = [(used.warp[0].name, plan.warp.ends)], [(used.weft[0].name, planned_picks(plan))]
    if project.colours:
        colours = plan_colours(project, planned_warp(project, plan), drawn_from=plan.drawn)
        warp = [(run.yarn, run.ends) for run in colours.order]
        woven = with_weft(project, colours, plan).weft
        weft = [(run.yarn, run.picks) for run in woven.order] if woven else weft
    said = {lot.name: lot.colour for lot in (*used.warp, *used.weft) if _HEX.fullmatch(lot.colour)}
    return ColoursOfCloth(threads(warp), threads(weft), said)
