"""Which balls are best kept for the weft, by sums on paper."""

from __future__ import annotations

import numpy as np
import pytest

from clothwright.planning import Wefted
from clothwright.planning.colours.colour_answer import ColourPlan, Warped
from clothwright.planning.colours.weft_keeping import keeping
from clothwright.yarn import Ball, Lot, Use


def lot(name: str, use: Use, *metres: float) -> Lot:
    return Lot(name, tuple(Ball(metres=one) for one in metres), use=use)


def warped(ends: int) -> ColourPlan:
    """A warp of so many ends of 3 m, in pairs."""
    return ColourPlan(1, 2, Warped(ends, 300.0), (), (), (), (), True, (), (), 1.0, (), ())


def balls(*lots: Lot) -> dict[str, np.ndarray]:
    return {one.name: np.array([np.full(8, ball.metres) for ball in one.balls]) for one in lots}


WEFT = Wefted(100, np.full(8, 50.0), np.zeros(8))


def test_the_ball_that_leaves_most_over_in_the_warp_is_kept_while_the_warp_has_its_pairs() -> None:
    """Pairs of 6 m. 59 m: 9 pairs, 5 over. 60 m: 10, none. 64 m: 10, 4 over. 20 pairs wanted of 29: one ball is spared."""
    kelp = lot("kelp", Use.BOTH, 59, 60, 64)
    found = keeping([kelp], warped(40), balls(kelp), WEFT)
    assert found is not None
    assert [(one.ball, one.warp_turns, round(one.warp_over_m, 6), one.keep) for one in found.balls] == [
        (1, 9, 5.0, True),
        (2, 10, 0.0, False),
        (3, 10, 4.0, False),
    ]
    assert (found.over_m, found.over_if_kept_m) == (pytest.approx(9.0), pytest.approx(4.0))
    assert found.balls[0].weft_picks == int((59 - 0.06) / 0.5)


def test_no_ball_is_kept_that_the_warp_wants_or_the_weft_does_not() -> None:
    """29 pairs wanted of 29; and 80 m of a yarn that is for the weft alone, which wants 50."""
    kelp, shell = lot("kelp", Use.BOTH, 59, 60, 64), lot("shell", Use.WEFT, 80)
    full = keeping([kelp], warped(58), balls(kelp), WEFT)
    assert full is not None
    assert not any(one.keep for one in full.balls)
    plenty = keeping([kelp, shell], warped(40), balls(kelp, shell), WEFT)
    assert plenty is not None
    assert plenty.weft_wants_m == 0
    assert not any(one.keep for one in plenty.balls)


def test_yarns_of_one_use_only_are_not_weighed_each_way() -> None:
    wrack, shell = lot("wrack", Use.WARP, 60), lot("shell", Use.WEFT, 80)
    assert keeping([wrack, shell], warped(20), balls(wrack, shell), WEFT) is None
    assert keeping([wrack, shell], warped(20), balls(wrack, shell), WEFT, also=("wrack",)) is not None
