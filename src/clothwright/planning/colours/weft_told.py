"""A weft order told: its runs and joins with their places, its balls and stripes, and what is to be said of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from clothwright.colours import TAIL_M, Balance, Join, StripeThreads, Woven, is_even, is_symmetric
from clothwright.measure import Interval
from clothwright.planning.colours.colour_rules import lightness_of, lightness_told
from clothwright.planning.colours.weft_answer import JoinLine, WeftBallLine, WeftRunLine, WeftStripeLine
from clothwright.planning.colours.weft_asked import Asked, stripes_drawn
from clothwright.planning.colours.weft_ordered import Ordered
from clothwright.planning.colours.weft_rules import PATH, has_rules


def run_lines(asked: Asked, made: Woven, ordered: Ordered) -> Iterator[WeftRunLine]:
    """Every run of one ball, with where it begins."""
    held = [*ordered.held, *[False] * asked.picks]
    for run in made.runs:
        before = run.first - 1
        yield WeftRunLine(
            run.yarn,
            run.ball,
            run.picks,
            run.first,
            asked.wefted.loom_cm(before),
            asked.wefted.finished_cm_of(before),
            str(run.after),
            all(held[before : run.last]),
        )


def join_lines(asked: Asked, made: Woven, ordered: Ordered) -> Iterator[JoinLine]:
    """Every place where a ball runs out."""
    for join in made.joins:
        yield JoinLine(
            join.pick,
            asked.wefted.loom_cm(join.pick),
            asked.wefted.finished_cm_of(join.pick),
            join.yarn,
            join.ball,
            join.next_yarn,
            join.next_ball,
            _between(asked, made, join, pooled=ordered.pooled),
        )


def _between(asked: Asked, made: Woven, join: Join, *, pooled: bool) -> tuple[float, float] | None:
    """Where nine times in ten a ball runs out, cm on the loom; None where two shuttles share the yarn, or cm are not known."""
    places = [pick for run in made.runs if run.yarn == join.yarn for pick in range(run.first, run.last + 1)]
    turns = [run.ball for run in made.runs if run.yarn == join.yarn]
    if asked.wefted.picks_per_cm is None or turns != sorted(turns):
        return None
    metres = sum(one.metres for one in asked.basket if one.ball.yarn == join.yarn and one.ball.number <= join.ball)
    reached = np.quantile(metres / (asked.wefted.metres / asked.wefted.picks), (0.05, 0.95))
    ends = [_place(places, float(many), pooled=pooled) / asked.wefted.picks_per_cm for many in reached]
    return ends[0], ends[1]


def _place(places: Sequence[int], many: float, *, pooled: bool) -> float:
    """The pick at which so many picks of a yarn are woven; beyond its last where the yarn would then go on."""
    whole = min(max(int(many), 1), len(places))
    return places[whole - 1] + (max(0.0, many - len(places)) if pooled else 0.0)


def ball_lines(asked: Asked, made: Woven, ordered: Ordered) -> Iterator[WeftBallLine]:
    """Every ball of the weft: what it holds, gives and keeps."""
    finished = {(join.yarn, join.ball) for join in made.joins}
    for one in asked.basket:
        yarn, number = one.ball.yarn, one.ball.number
        picks = made.picks_of(yarn, number)
        need = picks * asked.wefted.pick_m + made.tails.get((yarn, number), 0) * TAIL_M
        runs_out = (yarn, number) in finished
        chance = float(np.mean(asked.lasts(yarn, made, pooled=ordered.pooled))) if picks else 1.0
        left = one.ball.metres - need
        yield WeftBallLine(yarn, number, Interval.of_draws(one.metres), picks, need, left, runs_out, chance)


def stripe_lines(asked: Asked) -> Iterator[WeftStripeLine]:
    """Every stripe of the repeat, as drawn and in whole picks."""
    per_cm = asked.wefted.picks_per_finished_cm or 0.0
    for drawn, made in zip(stripes_drawn(asked), asked.repeat, strict=True):
        yield WeftStripeLine(drawn.yarn, drawn.finished_cm, drawn.finished_cm * per_cm, made.threads, made.finished_cm)


def notes_of(asked: Asked, ordered: Ordered, made: Woven) -> Iterator[str]:
    """What is to be said of the order."""
    yield from _of_sums(asked, ordered)
    yield from _of_stripes(asked, ordered)
    yield from _of_skeins(asked, ordered, made)
    for yarn, picks in asked.short(made).items():
        reach = asked.wefted.finished_cm_of(picks)
        cm = f", {reach:.1f} cm of finished cloth" if reach else ""
        yield f"{yarn} is {picks} picks short{cm}: it is woven on here from its last ball, which does not hold them."
    yield from _gambles(asked, made, ordered)
    threads = [one.yarn for one in ordered.picks for _ in range(one.picks)]
    lots = [lot for lot in asked.lots if lot.name in asked.yarns]
    lightness = lightness_of(asked.part.light_and_dark, lots, (*PATH, "light_and_dark"))
    yield from lightness_told(threads, lightness, "the first pick")


def _of_sums(asked: Asked, ordered: Ordered) -> Iterator[str]:
    woven_picks = sum(one.picks for one in ordered.picks)
    if woven_picks != asked.wefted.picks:
        yield f"{asked.wefted.picks} picks are woven as {woven_picks}: {asked.weaving.turn_picks} come together at least."
    kept = sum(run.picks for run in asked.part.order)
    if ordered.lies == "kept" and kept != asked.picks:
        yield f"The order kept has {kept} picks and the weaving takes {asked.picks}: its end is made to fit."
    if ordered.lies not in ("at random", "kept") and has_rules(asked.part):
        yield f"The rules of an order drawn at random are not used while the weft lies {_lies_words(ordered.lies)}."
    sample = float(np.median(asked.wefted.sample_m))
    if sample > 0:
        yield f"The on-warp sample, woven first, takes about {sample:.1f} m of {asked.sampled_with}; lengths here begin after it."


def _lies_words(lies: str) -> str:
    return "in stripes" if lies == "stripes" else lies


def _of_stripes(asked: Asked, ordered: Ordered) -> Iterator[str]:
    if not asked.repeat:
        return
    if not is_even(asked.repeat):
        yield (
            "The repeat is uneven, another from either end: pieces keep one way up (even = false under [[layout.stripes]])."
        )
    filled = [StripeThreads(one.yarn, one.picks, 1.0) for one in ordered.picks]
    if asked.part.stripes_lie is not Balance.AS_THEY_FALL and not is_symmetric(filled):
        yield "The stripes do not read the same from both ends: the repeat has two ways round, or one step would set it in the middle."


def _of_skeins(asked: Asked, ordered: Ordered, made: Woven) -> Iterator[str]:
    """What can be done about skeins of one yarn that differ."""
    several = [yarn for yarn, many in Counter(yarn for yarn, _ in made.tails).items() if many > 1]
    handspun = [lot.name for lot in asked.lots if lot.name in several and lot.made == "handspun"]
    if handspun and ordered.lies in ("one after another", "stripes"):
        yield (
            f"Skeins of {', '.join(handspun)} may differ: weave two of them turn about (two shuttles), or put the odd one where "
            "it is a stripe or a facing."
        )


def _gambles(asked: Asked, made: Woven, ordered: Ordered) -> Iterator[str]:
    if ordered.pooled:
        chance = asked.chance_all(made, pooled=True)
        if chance < asked.trust:
            yield f"The yarns of the weft last together with a chance of {chance:.0%}, and {asked.trust:.0%} is asked."
        return
    for yarn in asked.yarns:
        chance = float(np.mean(asked.lasts(yarn, made, pooled=False)))
        if any(run.yarn == yarn for run in made.runs) and chance < asked.trust and yarn not in asked.short(made):
            yield f"{yarn}: the order takes what it holds with a chance of {chance:.0%}, and {asked.trust:.0%} is asked."
