"""Which balls to keep for the weft: what each gives each way, and what the warp then leaves over.

In the warp a ball gives whole turns, and what is over is no use there; in the weft it is woven to its last pick. So a ball
of which much would be over in the warp is better in the weft, as long as the warp has its turns from the others. Balls are
kept in that order, the largest share over first, until the weft has what it wants; it is a first guess, not a search.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from clothwright.colours import TAIL_M, whole_turns
from clothwright.measure import Draws
from clothwright.planning.colours.colour_answer import ColourPlan
from clothwright.planning.colours.weft_answer import EachWay, Keeping, Wefted
from clothwright.yarn import Lot, Use


def keeping(
    lots: Sequence[Lot], warped: ColourPlan, balls: Mapping[str, Draws], wefted: Wefted, *, also: Sequence[str] = ()
) -> Keeping | None:
    """The balls that may go into warp or weft, each way, and which are best kept; None where there are none.

    `also`: yarns of the warp of which some is for the weft.
    """
    turn_m = warped.turn_ends * warped.warp.warp_cm / 100
    each = tuple(_each_way(lots, balls, turn_m, wefted.pick_m, also))
    if not each:
        return None
    wants = max(0.0, wefted.pick_m * wefted.picks + float(np.median(wefted.sample_m)) - _weft_only(lots, balls))
    spare = _turns(lots, balls, turn_m) - warped.warp.ends // warped.turn_ends
    kept = _kept(each, wants, spare)
    told = tuple(replace(one, keep=(one.yarn, one.ball) in kept) for one in each)
    return Keeping(
        weft_wants_m=wants,
        kept_m=sum(one.have_m for one in told if one.keep),
        balls=told,
        over_m=sum(one.warp_over_m for one in told),
        over_if_kept_m=sum(one.warp_over_m for one in told if not one.keep),
    )


def _each_way(
    lots: Sequence[Lot], balls: Mapping[str, Draws], turn_m: float, pick_m: float, also: Sequence[str]
) -> Iterator[EachWay]:
    for lot in lots:
        if lot.use is Use.BOTH or (lot.use is Use.WARP and lot.name in also):
            for number, metres in enumerate(balls.get(lot.name, ()), 1):
                have = float(np.median(metres))
                turns = whole_turns(have, turn_m)
                picks = max(0, math.floor((have - 2 * TAIL_M) / pick_m))
                yield EachWay(lot.name, number, have, turns, turns * turn_m, have - turns * turn_m, picks, keep=False)


def _weft_only(lots: Sequence[Lot], balls: Mapping[str, Draws]) -> float:
    return sum(float(np.median(metres)) for lot in lots if lot.use is Use.WEFT for metres in balls.get(lot.name, ()))


def _turns(lots: Sequence[Lot], balls: Mapping[str, Draws], turn_m: float) -> int:
    """Turns that all balls give that may go into the warp."""
    return sum(
        whole_turns(float(np.median(metres)), turn_m)
        for lot in lots
        if lot.use in (Use.WARP, Use.BOTH)
        for metres in balls.get(lot.name, ())
    )


def _kept(each: Sequence[EachWay], wants_m: float, spare_turns: int) -> set[tuple[str, int]]:
    """The balls kept: the largest share over first, while the warp has its turns from the others."""
    kept: set[tuple[str, int]] = set()
    have = 0.0
    for one in sorted(each, key=lambda one: -one.warp_over_m / max(one.have_m, 1e-9)):
        if have < wants_m and one.warp_turns <= spare_turns:
            kept.add((one.yarn, one.ball))
            have += one.have_m
            spare_turns -= one.warp_turns
    return kept
