"""The plan's verdict ball by ball, as pages, paper and the command say it."""

from __future__ import annotations

from typing import Final

from clothwright.planning import BallInPlan, BallsInPlan
from clothwright.sheets.wording import VERDICTS, YARN, Rounding, chances, literal

BALLS_IN_PLAN_HEAD: Final = ["Yarn", "Ball", "There is", "Warp", "Weft", "Left", "Lasts"]


def by_ball_sentence(found: BallsInPlan) -> str:
    """How sure it is that every ball lasts under the colour orders, and how many do not reach what is asked."""
    many = sum(line.verdict != "enough" for line in found.balls)
    which = (
        "each reaches the chance asked"
        if not many
        else f"{many} ball{'' if many == 1 else 's'} alone {'does' if many == 1 else 'do'} not reach the chance asked"
    )
    return (
        f"Ball by ball, as the colours take them: {VERDICTS[found.verdict].lower()}. "
        f"{chances(found.chance_all_last).capitalize()} that every ball lasts; {which}."
    )


def by_ball_rows(found: BallsInPlan, *, imperial: bool) -> list[list[str]]:
    """Each ball: what it holds, what warp and weft take, what is left, and its own verdict."""
    return [_row(line, imperial) for line in found.balls]


def _row(line: BallInPlan, imperial: bool) -> list[str]:
    return [
        literal(line.yarn),
        str(line.ball),
        YARN.text(line.have_m.expected, imperial=imperial, rounding=Rounding.DOWN),
        f"{line.warp_ends} ends, {YARN.text(line.warp_m, imperial=imperial, rounding=Rounding.UP)}"
        if line.warp_ends
        else "–",
        f"{line.weft_picks} picks, {YARN.text(line.weft_m, imperial=imperial, rounding=Rounding.UP)}"
        if line.weft_picks
        else "–",
        YARN.text(max(0.0, line.left_m), imperial=imperial, rounding=Rounding.DOWN),
        f"{VERDICTS[line.verdict]}: {chances(line.chance_lasts)}" if line.warp_ends or line.weft_picks else "not used",
    ]
