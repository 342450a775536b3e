"""In what order the picks of a weft come: in stripes, one yarn after another, turn about, at random under rules, or as kept."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from clothwright.colours import TAIL_M, Clash, Picks, Taken, across, broken, draw, one_after_another, turn_about
from clothwright.planning.colours.weft_asked import Asked
from clothwright.planning.colours.weft_rules import PATH, Weaving, has_rules, rules_of_weft, told_of_weft
from clothwright.project import Problem, ProblemsFound
from clothwright.project.parts.colour_parts import WeftColoursPart
from clothwright.yarn import Lot


@dataclass(frozen=True)
class Ordered:
    """An order as asked for, before it is woven: in what way it lies, its rules, and what of it is held, pick by pick."""

    picks: tuple[Picks, ...]
    lies: str
    drawn: bool = False
    rules: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    held: tuple[bool, ...] = ()

    @property
    def pooled(self) -> bool:
        """Whether each yarn simply goes on where the one before it ends, so that only all of them together can run short."""
        return self.lies == "one after another"


def ordered_of(asked: Asked, seed: int, redraw: bool) -> Ordered:
    """The order in the way that is asked for; ProblemsFound where its rules clash or a yarn of it is not there."""
    part = asked.part
    if asked.repeat:
        return Ordered(_striped(asked), "stripes")
    if part.order and not redraw:
        return _standing(asked)
    lies = part.lies or ("at random" if has_rules(part) else "turn about" if part.turn_about else "one after another")
    if lies == "at random":
        return _drawn(asked, seed)
    if lies == "turn about":
        return Ordered(turn_about(_spools(asked), asked.picks, step=asked.weaving.step, most=asked.most), lies)
    return Ordered(one_after_another(asked.yarns, asked.picks, step=asked.weaving.step, most=asked.most), lies)


def _striped(asked: Asked) -> tuple[Picks, ...]:
    check_there(asked, [stripe.yarn for stripe in asked.repeat], "stripes")
    filled = across(asked.repeat, asked.picks, step=asked.weaving.step, balance=asked.part.stripes_lie)
    return tuple(Picks(stripe.yarn, stripe.threads) for stripe in filled)


def check_there(asked: Asked, yarns: Sequence[str], field: str) -> None:
    """ProblemsFound where a yarn is asked for of which the weft has none."""
    gone = [yarn for yarn in dict.fromkeys(yarns) if yarn not in asked.yarns]
    if gone:
        sentence = f"{', '.join(gone)}: none of it is for the weft; set its use, keep a share of it, or take what the warp leaves"
        raise ProblemsFound(Problem((*PATH, field), sentence))


def _standing(asked: Asked) -> Ordered:
    """The order as it stands, its last run made longer or cut short to the picks there are; and the rules it breaks."""
    check_there(asked, [run.yarn for run in asked.part.order], "order")
    found, left = [], asked.picks
    for number, run in enumerate(asked.part.order):
        last = number == len(asked.part.order) - 1
        many = left if last else min(run.picks, left)
        found += [Picks(run.yarn, many)] if many else []
        left -= many
    held = tuple(held for run in asked.part.order for held in [run.held] * run.picks)
    rules = rules_of_weft(asked.part, asked.weaving, _lots_of(asked), {})
    turns = [Taken(yarn, 1, asked.picks) for yarn in _turn_yarns(found, asked.weaving.turn_picks)]
    balls = tuple(Taken(yarn, 1, asked.picks) for yarn in asked.yarns)
    breaks = broken(turns, rules, balls) if has_rules(asked.part) else ()
    return Ordered(tuple(found), "kept", False, _rules_told(asked), breaks, held)


def _turn_yarns(found: Sequence[Picks], turn_picks: int) -> list[str]:
    """The yarn of the first pick of every turn."""
    threads = [one.yarn for one in found for _ in range(one.picks)]
    return threads[::turn_picks]


def _rules_told(asked: Asked) -> tuple[str, ...]:
    if not has_rules(asked.part):
        return ()
    rules = rules_of_weft(asked.part, asked.weaving, _lots_of(asked), {})
    return tuple(told_of_weft(asked.part, rules, asked.weaving))


def _lots_of(asked: Asked) -> list[Lot]:
    return [lot for lot in asked.lots if lot.name in asked.yarns]


def _drawn(asked: Asked, seed: int) -> Ordered:
    """An order at random under the rules, around the held picks; ProblemsFound with the least set of rules that clash."""
    weaving, part = asked.weaving, asked.part
    held = dict(_held_turns(part, weaving))
    rules = rules_of_weft(part, weaving, _lots_of(asked), held)
    balls = [Taken(yarn, 1, _most_turns(asked, yarn)) for yarn in asked.yarns]
    try:
        turns = draw(balls, rules, seed=seed).turns
    except Clash as clash:
        words = "; ".join(clash.sentences)
        said = "no order keeps the rules" if len(clash.sentences) == 1 else "no order keeps all these rules together"
        raise ProblemsFound(Problem(PATH, f"{said}: {words}")) from None
    runs = groupby(turn.yarn for turn in turns)
    picks = tuple(Picks(yarn, len(list(group)) * weaving.turn_picks) for yarn, group in runs)
    kept = tuple(turn in held for turn in range(weaving.turns) for _ in range(weaving.turn_picks))
    return Ordered(picks, "at random", True, tuple(told_of_weft(part, rules, weaving)), (), kept)


def _most_turns(asked: Asked, yarn: str) -> int:
    """Whole turns of a yarn, each with two tails: by its expected metres, or those that are sure."""
    have = asked.have(yarn)
    trust = 1 - asked.trust if asked.part.balls_last == "sure" else 0.5
    return math.floor(float(np.quantile(have, trust)) / (asked.weaving.turn_picks * asked.wefted.pick_m + 2 * TAIL_M))


def _held_turns(part: WeftColoursPart, weaving: Weaving) -> Iterator[tuple[int, str]]:
    """The turns that stay, by their place from 0: those whose first pick is of a held run."""
    picks = [(run.yarn, run.held) for run in part.order for _ in range(run.picks)]
    for turn, (yarn, held) in enumerate(picks[:: weaving.turn_picks][: weaving.turns]):
        if held:
            yield turn, yarn


def _spools(asked: Asked) -> list[tuple[str, int]]:
    """What goes turn about: the yarns named, else the first two; one yarn alone with two of its balls."""
    names = asked.part.turn_about or list(asked.yarns[:2])
    check_there(asked, names, "turn_about")
    return [(names[0], 1), (names[0], 2)] if len(names) == 1 else [(name, 1) for name in names]


def as_runs(ordered: Ordered) -> Iterator[tuple[str, int, bool]]:
    """The order as yarn, picks and whether they are held."""
    yarns = [one.yarn for one in ordered.picks for _ in range(one.picks)]
    held = [*ordered.held, *[False] * len(yarns)][: len(yarns)]
    for (yarn, kept), group in groupby(zip(yarns, held, strict=True)):
        yield yarn, len(list(group)), kept
