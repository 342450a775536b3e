"""The colour order of a project: what each ball gives at this warp length, an order under the rules, and what is left.

Ends and warp length are as typed, else the plan's. The order is drawn by a seed, or, where the project holds an order
already, that one, changed only where it must be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

from clothwright.colours import (
    Clash,
    LengthTried,
    Order,
    Rules,
    StripeThreads,
    Taken,
    WarpBall,
    broken,
    chance_all_last,
    draw,
    lengths_tried,
    mended,
    warps_tried,
)
from clothwright.evidence import metres_of_balls, stock_belief
from clothwright.measure import Interval
from clothwright.planning.answer import Drawn, Plan
from clothwright.planning.colours.colour_answer import BallLine, Change, ColourPlan, Run, Warped
from clothwright.planning.colours.colour_rules import Winding, lightness_told, rules_of, told
from clothwright.planning.colours.colour_stripes import balance_note, stripe_lines, stripes_of
from clothwright.planning.colours.thickness_families import odd_yarn_notes
from clothwright.project import Problem, ProblemsFound, Project
from clothwright.project.domain import yarns
from clothwright.project.parts.colour_parts import ColoursPart
from clothwright.yarn import Lot

#: Warp lengths beside the one planned, as shares of it.
_LENGTHS: Final = (0.8, 0.85, 0.9, 0.95, 1.0, 1.05, 1.1, 1.15, 1.2)


def plan_colours(
    project: Project, warp: Warped, *, seed: int | None = None, redraw: bool = False, drawn_from: Drawn | None = None
) -> ColourPlan:
    """The colour order of a project for a warp; ProblemsFound where the rules clash or a colour is not said.

    `redraw`: an order the project holds is drawn anew, all but its held ends. `drawn_from`: the draws of the plan the warp
    is of.
    """
    asked = _asked(project, warp, drawn_from)
    by_seed = _seed(project) if seed is None else seed
    striped = stripes_of(asked.part, warp, asked.winding)
    drawn = not striped and (redraw or not asked.part.order)
    order = _striped(asked, striped) if striped else _order(asked, by_seed if drawn else None)
    used = Counter(order.turns)
    lines = tuple(_line(asked, ball, used[taken]) for ball, taken in asked.by_ball)
    return ColourPlan(
        seed=by_seed,
        turn_ends=asked.winding.turn_ends,
        warp=replace(warp, ends=asked.winding.turns * asked.winding.turn_ends),
        balls=lines,
        order=tuple(_runs(asked, order)),
        stripes=stripe_lines(asked.part, warp, asked.winding),
        changes=() if drawn or striped else tuple(_changes(asked, order)),
        drawn=drawn,
        rules=tuple(told(asked.part, asked.rules, asked.winding)),
        broken=broken(order.turns, asked.rules, asked.taken),
        chance_balls_last=chance_all_last(((ball, used[one]) for ball, one in asked.by_ball), asked.winding.turn_m),
        lengths=lengths_tried(
            asked.balls, _lengths(warp), turn_ends=asked.winding.turn_ends, needed=asked.winding.turns
        ),
        parted=_parted(asked),
        notes=(
            *_notes(asked, lines),
            *lightness_told([turn.yarn for turn in order.turns], asked.rules.lightness, "the first selvedge"),
            *odd_yarn_notes(yarns(project).warp, asked.rules.spread),
        ),
        stood=() if drawn or striped else broken(_overdrawn(asked), asked.rules, asked.taken),
        colours={lot.name: lot.colour for lot in (*yarns(project).warp, *yarns(project).weft) if lot.colour},
    )


def _seed(project: Project) -> int:
    """The seed of the order: its own where it has one, else the project's."""
    own = project.colours.seed if project.colours else None
    return project.seed if own is None else own


def wanted_warp(project: Project) -> Warped | None:
    """The warp as typed with the colours; None where the plan must say some of it."""
    part = project.colours or ColoursPart()
    if part.ends is None or part.warp_length is None or part.stripes:
        return None
    waste = project.loom.waste
    return Warped(
        part.ends, part.warp_length.cm, ends_per_cm=_stated_sett(project), waste_cm=waste.cm if waste else None
    )


def _stated_sett(project: Project) -> float | None:
    """Ends per cm of the heddle stated, or of the only one owned; None where it is still to be chosen."""
    owned = project.loom.heddles
    heddle = project.cloth.heddle or (owned[0] if len(owned) == 1 else None)
    return heddle.per_cm if heddle else None


def planned_warp(project: Project, plan: Plan) -> Warped:
    """The warp of a plan, with the ends and the length typed with the colours where there are any."""
    part = project.colours or ColoursPart()
    ends = part.ends or plan.warp.ends
    length_cm = part.warp_length.cm if part.warp_length else plan.warp.length_cm
    width_cm = plan.cloth.finished_width_cm.expected * ends / plan.warp.ends
    return Warped(ends, length_cm, width_cm, plan.warp.ends_per_cm, plan.warp.waste_cm.expected)


# --- what is asked -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Asked:
    """One question: the balls as measured and as an order may take them, how the warp is wound, and the rules."""

    part: ColoursPart
    warp: Warped
    winding: Winding
    balls: tuple[WarpBall, ...]
    taken: tuple[Taken, ...]
    rules: Rules
    trust: float

    @property
    def by_ball(self) -> Iterator[tuple[WarpBall, Taken]]:
        """Each ball as measured beside itself as an order takes it."""
        return zip(self.balls, self.taken, strict=True)


def _asked(project: Project, warp: Warped, drawn_from: Drawn | None) -> _Asked:
    part, lots = project.colours or ColoursPart(), yarns(project).warp
    turn_ends = 2 if project.loom.warping == "direct" else 1
    winding = Winding(-(-warp.ends // turn_ends), turn_ends, turn_ends * warp.warp_cm / 100)
    trust = project.trust.yarn.expected
    balls = _balls(lots, drawn_from)
    taken = tuple(Taken(ball.yarn, ball.number, _most(part, ball, winding, trust)) for ball in balls)
    return _Asked(part, warp, winding, balls, taken, rules_of(part, winding, lots, balls), trust)


def _balls(lots: tuple[Lot, ...], drawn_from: Drawn | None) -> tuple[WarpBall, ...]:
    drawn = {} if drawn_from else stock_belief(lots).draws()
    metres_of = drawn_from.balls if drawn_from else {lot.name: metres_of_balls(lot, drawn) for lot in lots}
    return tuple(
        WarpBall(lot.name, number, metres) for lot in lots for number, metres in enumerate(metres_of[lot.name], 1)
    )


def _most(part: ColoursPart, ball: WarpBall, winding: Winding, trust: float) -> int:
    sure = part.balls_last == "sure"
    return ball.sure_turns(winding.turn_m, trust) if sure else ball.turns(winding.turn_m)


# --- the order ---------------------------------------------------------------------------------------------------


def _order(asked: _Asked, seed: int | None) -> Order:
    """An order drawn by a seed; without one, the order as it stands, mended."""
    try:
        if seed is not None:
            return draw(asked.taken, asked.rules, seed=seed)
        return mended(_standing(asked), asked.taken, asked.rules)
    except Clash as clash:
        raise ProblemsFound(Problem(("colours",), _clashing(clash))) from None


def _striped(asked: _Asked, striped: tuple[StripeThreads, ...]) -> Order:
    """The order that the stripes make; ProblemsFound where a yarn does not reach."""
    turn_ends = asked.winding.turn_ends
    turns = [Taken(stripe.yarn, 0, 0) for stripe in striped for _ in range(stripe.threads // turn_ends)]
    order = _with_balls(turns, asked.taken)
    short = Counter(turn.yarn for turn in order if turn not in asked.taken)
    if short:
        sentences = (f"{yarn} is {asked.rules.counted(many)} short of its stripes" for yarn, many in short.items())
        raise ProblemsFound(*(Problem(("colours", "stripes"), sentence) for sentence in sentences))
    return Order(tuple(order))


def _clashing(clash: Clash) -> str:
    if len(clash.sentences) == 1:
        return f"no order keeps the rules: {clash.sentences[0]}"
    return f"no order keeps all these rules, though it would without one of them: {'; '.join(clash.sentences)}"


def _standing(asked: _Asked) -> list[Taken]:
    """The order as it stands in the project, turn by turn, by the balls it is wound from."""
    winding = asked.winding
    odd = [run for run in asked.part.order if run.ends % winding.turn_ends]
    if odd:
        sentence = (
            f"{odd[0].ends} ends of {odd[0].yarn} lie together, and ends are wound in pairs; write an even number"
        )
        raise ProblemsFound(Problem(("colours", "order"), sentence))
    turns = [
        Taken(run.yarn, run.ball or 0, 0) for run in asked.part.order for _ in range(run.ends // winding.turn_ends)
    ]
    if len(turns) != winding.turns:
        came, asks = len(turns) * winding.turn_ends, winding.turns * winding.turn_ends
        sentence = f"the order has {came} ends and the warp {asks}; make them agree, or draw the order anew"
        raise ProblemsFound(Problem(("colours", "order"), sentence))
    return _with_balls(turns, asked.taken)


def _overdrawn(asked: _Asked) -> list[Taken]:
    """The order as it stands, turns that no ball gives any more counted to the largest ball of their yarn."""
    largest = {ball.yarn: ball for ball in sorted(asked.taken, key=lambda one: one.most)}
    return [turn if turn in asked.taken else largest.get(turn.yarn, turn) for turn in _standing(asked)]


def _with_balls(turns: list[Taken], balls: tuple[Taken, ...]) -> list[Taken]:
    """The turns with the ball each is wound from, where the order does not say: the smallest that still has some."""
    left = {ball: ball.most for ball in balls}
    found = []
    for turn in turns:
        of_yarn = [one for one in balls if one.yarn == turn.yarn and turn.number in (0, one.number)]
        ball = min((one for one in of_yarn if left[one]), key=lambda one: one.most, default=turn)
        left[ball] = left.get(ball, 1) - 1
        found.append(ball)
    return found


# --- told --------------------------------------------------------------------------------------------------------


def _line(asked: _Asked, ball: WarpBall, used: int) -> BallLine:
    turn_m = asked.winding.turn_m
    return BallLine(
        yarn=ball.yarn,
        number=ball.number,
        have_m=Interval.of_draws(ball.metres),
        capacity=ball.turns(turn_m),
        sure=ball.sure_turns(turn_m, asked.trust),
        used=used,
        left_m=ball.expected_m - used * turn_m,
        chance_lasts=ball.chance_of(used, turn_m),
    )


def _runs(asked: _Asked, order: Order) -> Iterator[Run]:
    turn_ends = asked.winding.turn_ends
    held = [place in asked.rules.held for place in range(len(order.turns))]
    for (yarn, kept), group in groupby(zip(order.turns, held, strict=True), key=lambda one: (one[0].yarn, one[1])):
        turns = [turn for turn, _ in group]
        balls = tuple((number, len(list(same)) * turn_ends) for number, same in groupby(one.number for one in turns))
        yield Run(yarn, len(turns) * turn_ends, balls, kept)


def _changes(asked: _Asked, order: Order) -> Iterator[Change]:
    turn_ends = asked.winding.turn_ends
    was = [run.yarn for run in asked.part.order for _ in range(run.ends // turn_ends)]
    for place in order.changed:
        if was[place] != order.turns[place].yarn:
            first = place * turn_ends + 1
            yield Change(first, first + turn_ends - 1, was[place], order.turns[place].yarn)


def _lengths(warp: Warped) -> tuple[float, ...]:
    return tuple(round(warp.warp_cm * share) for share in _LENGTHS)


def _parted(asked: _Asked) -> tuple[LengthTried, ...]:
    """The same cloth from one warp, two and three; nothing where the loom waste is not known."""
    warp, winding = asked.warp, asked.winding
    if warp.waste_cm is None or warp.waste_cm >= warp.warp_cm:
        return ()
    return warps_tried(asked.balls, warp.warp_cm, warp.waste_cm, turn_ends=winding.turn_ends, needed=winding.turns)


def _notes(asked: _Asked, lines: tuple[BallLine, ...]) -> Iterator[str]:
    ends, run = asked.winding.turns * asked.winding.turn_ends, asked.part.longest_run
    if ends != asked.warp.ends:
        yield f"{asked.warp.ends} ends are wound as {asked.winding.turns} pairs, {ends} ends: cut one end off at the peg, or let it be."
    if run and run % asked.winding.turn_ends:
        yield f"Ends are wound in pairs, so a longest run of {run} ends is kept as {run - 1}."
    yield from balance_note(asked.part, asked.warp, asked.winding)
    for line in lines:
        if line.used and line.chance_lasts < asked.trust:
            yield (
                f"{line.yarn}{_ball_words(lines, line)}: the order takes {asked.rules.counted(line.used)}, which it gives with a "
                f"chance of {line.chance_lasts:.0%}; {line.sure} are sure at {asked.trust:.0%}."
            )


def _ball_words(lines: tuple[BallLine, ...], line: BallLine) -> str:
    return f", ball {line.number}" if sum(other.yarn == line.yarn for other in lines) > 1 else ""
