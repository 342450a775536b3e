"""The front of the room: a project in, a plan out, forecast or by hand."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from clothwright.cloth import grams_per_m2
from clothwright.evidence import NO_HISTORY, History, Questioned
from clothwright.measure import Draws, Interval
from clothwright.planning.answer import (
    ClothPlan,
    Drawn,
    Margin,
    Plan,
    Shortfall,
    WarpPlan,
    WayOut,
    WeftPlan,
    YarnLine,
)
from clothwright.planning.behind import known_figures
from clothwright.planning.cautions import cautions
from clothwright.planning.colours.ball_by_ball import with_balls
from clothwright.planning.describing import working
from clothwright.planning.forecast import all_lots
from clothwright.planning.hand_plan import plan_by_hand
from clothwright.planning.job import Job, job_of
from clothwright.planning.measuring.doubt import doubts
from clothwright.planning.measuring.measure_next import what_to_measure
from clothwright.planning.measuring.samples_told import questions_of, samples_of, width_forecasts
from clothwright.planning.notes import notes
from clothwright.planning.pieces.fitting import Fitted, LayoutSearch
from clothwright.planning.pieces.width_steps import Aimed, WidthsTold, tell_widths
from clothwright.planning.ways_out import best_first, second_yarn, ways_out
from clothwright.planning.weighing_up import WeighedUp, weigh_up
from clothwright.project import Project

_NO_DRAWINGS: Mapping[str, bytes] = MappingProxyType({})


def plan(
    project: Project,
    *,
    drawings: Mapping[str, bytes] = _NO_DRAWINGS,
    layouts: LayoutSearch | None = None,
    brief_layouts: LayoutSearch | None = None,
    by_hand: bool = False,
    history: History = NO_HISTORY,
) -> Plan:
    """The plan of a project; `layouts` searches for layouts, `brief_layouts` for those of the ways out.

    `history` is what was measured outside this project: it sharpens the forecast, and a plan by hand does not use it.

    Left out, layouts are first guesses, quick and always the same.

    ProblemsFound, with every problem, when the project cannot be planned as it stands.
    """
    job = job_of(project, drawings, NO_HISTORY if by_hand else history)
    return plan_by_hand(job, layouts) if by_hand else _forecast_plan(job, layouts, brief_layouts)


def _forecast_plan(job: Job, layouts: LayoutSearch | None, brief_layouts: LayoutSearch | None) -> Plan:
    weighed, known = weigh_up(job, layouts), known_figures(job)
    cloth = _cloth(weighed)
    weight = cloth.g_per_m2.expected if cloth.g_per_m2 else None
    fitted, widths = weighed.fitted, _widths(weighed)
    found = Plan(
        name=job.project.name,
        by_hand=False,
        verdict=weighed.verdict,
        chance_enough=weighed.chance_enough,
        chance_size=weighed.forecast.chance_size(weighed.outcome, weighed.wanted),
        trust_yarn=weighed.trust,
        trust_size=job.project.trust.size.expected,
        warp=_warp(weighed),
        weft=_weft(weighed),
        cloth=cloth,
        yarns=_yarns(weighed),
        margin=_margin(weighed),
        shortfall=_shortfall(weighed),
        ways_out=_ways_out(weighed, brief_layouts),
        measure_next=what_to_measure(weighed),
        working=working(weighed, known),
        cautions=cautions(job, weight),
        notes=notes(
            job, known, (*_of_layout(fitted), *questions_of(weighed), *_questions(weighed.forecast.belief.questioned))
        ),
        layout=fitted.layout if fitted else None,
        outlines=fitted.outlines if fitted else (),
        staircase=widths.staircase if widths else (),
        squaring_cm=job.garment.squaring_cm if job.garment else 0.0,
        selvedge_trim_cm=job.garment.trim_cm if job.garment else 0.0,
        width_forecasts=width_forecasts(weighed, samples_of(weighed)),
        doubt=doubts(weighed),
        provisional_because=job.provisional_because,
        pattern_state=job.pattern_state,
        width_advice=widths.advice if widths else None,
        least_length=widths.least if widths else None,
        drawn=_drawn(weighed),
    )
    return with_balls(job.project, found)


def _drawn(weighed: WeighedUp) -> Drawn:
    sample, weft = weighed.job.on_warp_sample_cm, weighed.outcome.weft_m
    of_sample = weft * sample / np.maximum(weighed.outcome.woven + sample, 1e-9)
    return Drawn(weighed.forecast.balls, weft - of_sample, of_sample)


def _widths(weighed: WeighedUp) -> WidthsTold | None:
    """The staircase told for the cloth this warp gives."""
    if weighed.fitted is None or weighed.job.garment is None:
        return None
    width = weighed.outcome.finished_width
    aimed = Aimed(float(np.median(width)), width, float(np.median(weighed.metres_per_finished_cm)))
    return tell_widths(weighed.job.garment, weighed.fitted, aimed)


def _of_layout(fitted: Fitted | None) -> tuple[str, ...]:
    return fitted.told if fitted else ()


def _questions(questioned: tuple[Questioned, ...]) -> tuple[str, ...]:
    return tuple(
        f"{one.what} lies {one.spreads:.1f} spreads from what was expected. Measured while slack, or a slip of the tape? "
        "It is kept, with less weight until a second measurement confirms it."
        for one in questioned
    )


def _warp(weighed: WeighedUp) -> WarpPlan:
    job, decision = weighed.job, weighed.decision
    return WarpPlan(
        heddle=job.heddle.name,
        ends_per_cm=job.heddle.per_cm,
        ends=decision.ends + job.extra_ends,
        width_in_heddle_cm=job.width_in_heddle(decision.ends),
        length_cm=decision.warp_cm,
        yarn_m=Interval.of_draws(weighed.outcome.warp_m),
        waste_cm=Interval.of_draws(weighed.forecast.waste),
        on_warp_sample_cm=job.on_warp_sample_cm,
    )


def _weft(weighed: WeighedUp) -> WeftPlan:
    return WeftPlan(
        picks_per_cm_on_loom=Interval.of_draws(weighed.forecast.picks_per_cm),
        woven_on_loom_cm=Interval.of_draws(weighed.outcome.woven),
        yarn_m=Interval.of_draws(weighed.outcome.weft_m),
        weave_to_cm=weighed.decision.weave_to_cm,
    )


def _cloth(weighed: WeighedUp) -> ClothPlan:
    return ClothPlan(
        finished_width_cm=Interval.of_draws(weighed.outcome.finished_width),
        finished_length_cm=Interval.of_draws(weighed.outcome.finished_length),
        g_per_m2=Interval.of_draws(_mass(weighed)),
        asked_width_cm=weighed.wanted.width_cm,
        asked_length_cm=weighed.wanted.length_cm,
    )


def _mass(weighed: WeighedUp) -> Draws:
    """Finished g/m²: threads per finished cm, and the yarn in a finished cm of each."""
    forecast, width = weighed.forecast, weighed.outcome.finished_width
    heddle = weighed.job.width_in_heddle(weighed.decision.ends)
    warp_tex, weft_tex = (1000 / lots[0].expected_m_per_g for lots in (weighed.job.yarns.warp, weighed.job.yarns.weft))
    mass = grams_per_m2(
        ends_per_cm=weighed.decision.ends / width,
        picks_per_cm=forecast.picks_per_cm / forecast.length_ratio,
        warp_tex=warp_tex,
        weft_tex=weft_tex,
        warp_crimp=1 / (forecast.take_up * forecast.length_ratio) - 1,
        weft_crimp=heddle * forecast.pick_length / width - 1,
    )
    return np.asarray(mass)


def _yarns(weighed: WeighedUp) -> tuple[YarnLine, ...]:
    return tuple(_yarn(weighed, lot.name, lot.colour, str(lot.use), lot.grams) for lot in all_lots(weighed.job))


def _yarn(weighed: WeighedUp, name: str, colour: str, use: str, grams: float) -> YarnLine:
    have, need = weighed.stock.of_lot[name], weighed.stock.need_of_lot[name]
    return YarnLine(
        name=name,
        colour=colour,
        use=use,
        have_g=round(grams, 1),
        have_m=Interval.of_draws(have),
        need_m=Interval.of_draws(need),
        spare_m=Interval.of_draws(have - need),
        chance_enough=float(np.mean(have >= need)),
    )


def _margin(weighed: WeighedUp) -> Margin:
    slack = weighed.stock.slack_m
    return Margin(
        m=Interval.of_draws(slack),
        g=Interval.of_draws(slack / _m_per_g(weighed)),
        finished_cm=Interval.of_draws(slack / weighed.metres_per_finished_cm),
    )


def _m_per_g(weighed: WeighedUp) -> float:
    """Metres per gram of the yarn that is short first: the weft's."""
    return weighed.job.yarns.weft[0].expected_m_per_g


def _shortfall(weighed: WeighedUp) -> Shortfall | None:
    """What is missing at the chance asked; None when nothing is."""
    missing = -float(np.quantile(weighed.stock.slack_m, 1 - weighed.trust))
    if missing <= 0:
        return None
    per_cm = float(np.median(weighed.metres_per_finished_cm))
    return Shortfall(m=missing, g=missing / _m_per_g(weighed), finished_cm=missing / per_cm)


def _ways_out(weighed: WeighedUp, layouts: LayoutSearch | None) -> tuple[WayOut, ...]:
    if weighed.chance_enough >= weighed.trust:
        return ()

    def fares(job: Job) -> tuple[float, float]:
        changed = weigh_up(job, layouts, like=weighed)
        return changed.chance_enough, float(np.median(changed.stock.slack_m))

    slack = weighed.stock.slack_m
    found = ways_out(weighed.job, weighed.wanted, fares, weighed.trust, float(np.median(slack)))
    banded = second_yarn(slack, weighed.outcome.weft_m, weighed.trust)
    return best_first((*found, banded) if banded else found)
