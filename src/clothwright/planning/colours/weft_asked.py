"""What is asked of a weft order: the balls as the warp leaves them, how many picks, in what steps, in what stripes.

The weft has what the warp leaves: whole balls that are for the weft, what is over of balls that are for both, shares kept,
and what the warp leaves of its own yarns where that is asked. An on-warp sample is woven first, from the largest ball.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from typing import Final

import numpy as np

from clothwright.colours import CARRIED_CM, TAIL_M, Stripe, StripeThreads, WeftBall, Woven, in_threads
from clothwright.measure import Draws
from clothwright.planning.answer import Drawn
from clothwright.planning.colours.colour_answer import ColourPlan
from clothwright.planning.colours.weft_answer import Wefted
from clothwright.planning.colours.weft_rules import PATH, Weaving, weaving_of
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.domain import lots
from clothwright.project.parts.colour_parts import ColoursPart, WeftColoursPart
from clothwright.yarn import Lot, Use

#: Picks over which a yarn is carried where nobody knows how close they lie.
_CARRIED_PICKS: Final = 8


def weft_part(project: Project) -> WeftColoursPart:
    """What is asked of the weft's colours."""
    return (project.colours.weft if project.colours else None) or WeftColoursPart()


def asks_of_weft(project: Project) -> bool:
    """Whether the project asks anything of its weft's colours."""
    return project.colours is not None and project.colours.weft is not None


@dataclass(frozen=True)
class Spare:
    """A ball with what the warp leaves on it, as expected and as drawn."""

    ball: WeftBall
    metres: Draws


@dataclass(frozen=True)
class Asked:
    """One question: the balls as the warp leaves them, how many picks, in what steps."""

    part: WeftColoursPart
    colours: ColoursPart
    lots: tuple[Lot, ...]
    warped: ColourPlan
    wefted: Wefted
    drawn: Drawn
    basket: tuple[Spare, ...]
    weaving: Weaving
    trust: float
    sampled_with: str

    @property
    def yarns(self) -> tuple[str, ...]:
        """The yarns of the weft, in their order."""
        return tuple(dict.fromkeys(one.ball.yarn for one in self.basket))

    @property
    def picks(self) -> int:
        """The picks, in whole steps."""
        return math.ceil(self.wefted.picks / self.weaving.step) * self.weaving.step

    @property
    def carried_picks(self) -> int:
        """Over how many picks of others a yarn is carried up the side."""
        per_cm = self.wefted.picks_per_cm
        return math.floor(CARRIED_CM * per_cm) if per_cm else _CARRIED_PICKS

    @cached_property
    def most(self) -> dict[str, int]:
        """Whole picks there are of each yarn, its balls' tails taken off."""
        found: dict[str, int] = dict.fromkeys(self.yarns, 0)
        for one in self.basket:
            found[one.ball.yarn] += max(0, math.floor((one.ball.metres - 2 * TAIL_M) / self.wefted.pick_m + 1e-9))
        return found

    @cached_property
    def repeat(self) -> tuple[StripeThreads, ...]:
        """One repeat of the stripes in picks; empty where there are none."""
        drawn = stripes_drawn(self)
        per_cm = self.wefted.picks_per_finished_cm
        if drawn and per_cm is None:
            sentence = "how long the cloth finishes is not known, so stripes in centimetres cannot become picks; say what is wanted"
            raise ProblemsFound(Problem((*PATH, "stripes"), sentence))
        return in_threads(drawn, per_cm or 1.0, step=self.weaving.step) if drawn else ()

    @property
    def finishes_cm(self) -> float:
        """What the cloth is to finish at, else what its picks finish at."""
        return self.wefted.finished_cm or self.wefted.finished_cm_of(self.picks) or 0.0

    def need(self, yarn: str, made: Woven) -> Draws:
        """Metres a yarn takes in every drawn cloth: its share of the picks, and its tails."""
        picks = sum(run.picks for run in made.runs if run.yarn == yarn)
        tails = sum(many for (of, _), many in made.tails.items() if of == yarn)
        return np.asarray(self.wefted.metres * picks / self.wefted.picks + tails * TAIL_M)

    def have(self, yarn: str) -> Draws:
        """Metres the warp and the on-warp sample leave of a yarn, in every drawn cloth."""
        return np.asarray(sum(one.metres for one in self.basket if one.ball.yarn == yarn))

    def lasts(self, yarn: str, made: Woven, *, pooled: bool) -> Draws:
        """In which drawn cloths a yarn lasts; `pooled`: where each yarn goes on as the one before ends, all of them together."""
        yarns = self.yarns if pooled else (yarn,)
        have, need = (sum(of(one) for one in yarns) for of in (self.have, lambda one: self.need(one, made)))
        return np.asarray(have >= need * (1 - 1e-9))

    def chance_all(self, made: Woven, *, pooled: bool) -> float:
        """The chance that every yarn lasts to the end of its picks."""
        used = {run.yarn for run in made.runs}
        lasting = [self.lasts(yarn, made, pooled=pooled) for yarn in self.yarns if yarn in used]
        return float(np.mean(np.all(np.broadcast_arrays(*lasting), axis=0))) if lasting else 1.0

    def short(self, made: Woven) -> dict[str, int]:
        """Picks that each yarn lacks by its expected metres, of those that do not reach."""
        lacks = {}
        for yarn in self.yarns:
            missing = float(np.median(self.need(yarn, made))) - float(np.median(self.have(yarn)))
            picks = math.ceil(missing / self.wefted.pick_m - 1e-6)
            if any(run.yarn == yarn for run in made.runs) and picks > 0:
                lacks[yarn] = picks
        return lacks


def asked_of(project: Project, warped: ColourPlan, wefted: Wefted, drawn: Drawn) -> Asked:
    """The question of a project's weft; ProblemsFound where no yarn is left for it."""
    colours, every = project.colours or ColoursPart(), lots(project)
    part = weft_part(project)
    basket = tuple(_basket(colours, part, every, warped, drawn))
    if not basket:
        sentence = "no yarn is left for the weft; keep a share, or take what the warp leaves"
        raise ProblemsFound(Problem((*PATH, "yarns"), sentence))
    most = max(basket, key=lambda one: one.ball.metres)
    return Asked(
        part,
        colours,
        every,
        warped,
        wefted,
        drawn,
        tuple(_sampled(one, wefted) if one is most else one for one in basket),
        weaving_of(part, wefted.picks),
        project.trust.yarn.expected,
        most.ball.yarn,
    )


def _sampled(one: Spare, wefted: Wefted) -> Spare:
    """A ball once the on-warp sample has been woven from it."""
    left = np.clip(one.metres - wefted.sample_m, 0.0, None)
    return Spare(replace(one.ball, metres=float(np.median(left))), np.asarray(left))


def _basket(
    colours: ColoursPart, part: WeftColoursPart, every: Sequence[Lot], warped: ColourPlan, drawn: Drawn
) -> Iterator[Spare]:
    """The balls the weft may take, with what the warp leaves on them."""
    turn_m = warped.turn_ends * warped.warp.warp_cm / 100
    used = {(line.yarn, line.number): line.used for line in warped.balls}
    by_name = {lot.name: lot for lot in every}
    for name in part.yarns or [lot.name for lot in sorted(every, key=_weft_first) if _for_weft(lot, colours, part)]:
        for number, metres in enumerate(drawn.balls.get(name, ()), 1):
            left = np.clip(metres - used.get((name, number), 0) * turn_m, 0.0, None)
            if by_name[name].use is not Use.SAMPLED:
                yield Spare(WeftBall(name, number, float(np.median(left))), np.asarray(left))


def _weft_first(lot: Lot) -> int:
    return [Use.WEFT, Use.BOTH, Use.WARP, Use.SAMPLED].index(lot.use)


def _for_weft(lot: Lot, colours: ColoursPart, part: WeftColoursPart) -> bool:
    kept = lot.name in colours.keep_for_weft or part.warp_leavings
    return lot.use in (Use.WEFT, Use.BOTH) or (kept and lot.use is Use.WARP)


def stripes_drawn(asked: Asked) -> list[Stripe]:
    """The stripes as drawn; as the warp's where the cloth is to be a check."""
    if asked.part.as_the_warp and asked.colours.stripes:
        return [Stripe(one.yarn, one.width.cm) for one in asked.colours.stripes]
    if asked.part.as_the_warp:
        return _warp_as_stripes(asked.warped)
    return [Stripe(one.yarn, one.length.cm) for one in asked.part.stripes]


def _warp_as_stripes(warped: ColourPlan) -> list[Stripe]:
    """The warp's runs as stripes as wide as they finish."""
    warp = warped.warp
    if warp.finished_width_cm is None:
        sentence = "how wide the cloth finishes is not known, so the weft cannot follow the warp; say what is wanted"
        raise ProblemsFound(Problem((*PATH, "as_the_warp"), sentence))
    runs = groupby(warped.order, key=lambda run: run.yarn)
    return [Stripe(yarn, sum(run.ends for run in group) * warp.finished_width_cm / warp.ends) for yarn, group in runs]
