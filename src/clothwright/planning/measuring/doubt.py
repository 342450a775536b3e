"""What contributes most to the doubt: each unknown of the plan, and how far it moves margin, width and length.

A bar says how far a figure moves when one unknown goes from its low to its high end, what goes along with it going
along: E[figure | unknown], nine times in ten. Its square as a share of the whole is the share of the variance that would
go if the unknown were known exactly, the first-order index. Where unknowns hang together (width and length shrink
together in one wash), knowing one tells of the other, and the shares come to more than the whole; where two offset each
other, to less. They do not add up, and are not meant to.

*Source*: first-order variance index after I. M. Sobol (1993); for correlated unknowns as Var E[y | x] ÷ Var y, A. Saltelli
and S. Tarantola (2002), from memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from clothwright.evidence import (
    EDGE,
    LENGTH_STEPS,
    METER,
    Making,
    Step,
    ball_unknown,
    core_unknown,
    grist_unknown,
)
from clothwright.measure import Draws, Interval
from clothwright.planning.answer import Doubt, Swing
from clothwright.planning.forecast import WASTE, all_lots
from clothwright.planning.measuring.narrowing import Narrowing, Of, Told
from clothwright.planning.weighing_up import WeighedUp
from clothwright.project.domain import making
from clothwright.yarn import Lot

_WORTH_SAYING: Final = 0.002


@dataclass(frozen=True)
class _Named:
    """Unknowns that a weaver knows by one name."""

    what: str
    unknowns: tuple[str, ...]


def doubts(weighed: WeighedUp) -> tuple[Doubt, ...]:
    """What each unknown adds to the doubt, most in what is left over first; those that hardly add are left out."""
    narrowing = Narrowing(weighed, weighed.forecast.belief)
    whole = {Of.SPARE: weighed.stock.slack_m, Of.WIDTH: weighed.outcome.finished_width}
    wide = {what: _wide(draws) for what, draws in (whole | {Of.LENGTH: weighed.outcome.finished_length}).items()}
    found = [_doubt(one, narrowing, wide) for one in _named(weighed)]
    return tuple(sorted((one for one in found if _most(one) >= _WORTH_SAYING), key=_order))


def _wide(draws: Draws) -> float:
    """From the low to the high end."""
    one = Interval.of_draws(draws)
    return one.high - one.low


def _most(one: Doubt) -> float:
    return max(one.margin_m.share, one.finished_width_cm.share, one.finished_length_cm.share)


def _order(one: Doubt) -> tuple[float, float, float]:
    return -round(one.margin_m.share, 4), -one.finished_width_cm.share, -one.finished_length_cm.share


def _doubt(one: _Named, narrowing: Narrowing, wide: dict[Of, float]) -> Doubt:
    known = [name for name in one.unknowns if name in narrowing.weighed.forecast.drawn]
    told = narrowing.told_by_knowing(known) if known else Told(dict.fromkeys(Of, 0.0))
    margin, width, length = (_swing(told.part[what], wide[what]) for what in (Of.SPARE, Of.WIDTH, Of.LENGTH))
    return Doubt(one.what, margin, width, length, max(0.0, narrowing.saves_m(told)))


def _swing(share: float, wide: float) -> Swing:
    return Swing(wide * math.sqrt(share), wide * math.sqrt(1 - share), share)


def _named(weighed: WeighedUp) -> Iterator[_Named]:
    """Every unknown of a plan by the name a weaver knows it by."""
    job = weighed.job
    yield from _of_cloth(making(job.project, job.yarns, job.heddle.per_cm))
    yield _Named("loom waste", (WASTE,))
    for lot in all_lots(job):
        yield from _of_lot(lot)
    yield _Named("the meter", (METER,))
    tools = {ball.wound_on for lot in all_lots(job) for ball in lot.balls if ball.wound_on}
    for tool in sorted(tools):
        yield _Named(f"a turn of {tool}", (f"yarn wound on {tool}",))


def _of_cloth(made: Making) -> Iterator[_Named]:
    after = (Step.WIDTH_RELEASE, Step.WIDTH_FINISHING)
    yield _Named("picks per cm", (made.unknown(Step.PICKS),))
    yield _Named("draw-in on the loom", (made.unknown(Step.DRAW_IN),))
    yield _Named("weft take-up", (made.unknown(Step.PICK_LENGTH),))
    yield _Named("width lost off the loom and in finishing", tuple(map(made.unknown, after)))
    yield _Named("what the edges lose", (EDGE,))
    yield _Named("warp take-up", (made.unknown(Step.TAKE_UP),))
    yield _Named("length lost off the loom and in finishing", tuple(map(made.unknown, LENGTH_STEPS)))


def _of_lot(lot: Lot) -> Iterator[_Named]:
    balls = tuple(ball_unknown(lot, number) for number, ball in enumerate(lot.balls) if ball.net_g is not None)
    yield _Named(f"metres per gram of {lot.name}", (grist_unknown(lot), *balls))
    yield _Named(f"what washing does to {lot.name}", (washing_unknown(lot),))
    yield _Named(f"the core {lot.name} was weighed with", (core_unknown(lot),))
    yield _Named(f"the scale that weighed {lot.name}", (scale_unknown(lot),))


def washing_unknown(lot: Lot) -> str:
    """Name of the log of what washing leaves of a lot's metres."""
    return f"yarn {lot.name}: washing"


def scale_unknown(lot: Lot) -> str:
    """Name of the error of the scale over all of a lot's balls, g."""
    return f"yarn {lot.name}: scale"
