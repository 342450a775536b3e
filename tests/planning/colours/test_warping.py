"""How a coloured warp is wound: the outer ends of one peg, loops at the rod, turns of a board."""

from __future__ import annotations

import pytest
from planning.colours.test_colour_plan import basket, colours_of

from clothwright.planning.colours.warping import chains, distance_for_cm, loops, on_winder, outer_end_cm
from clothwright.yarn import true_winder


@pytest.mark.parametrize(("distance_cm", "more_cm", "share"), [(150, 2.1, 0.014), (300, 1.0, 0.0035)])
def test_the_outer_end_is_longer_by_pythagoras(distance_cm: float, more_cm: float, share: float) -> None:
    """Common practice, no source; by hand for 50 cm of width: √(150² + 25²) = 152.07, √(300² + 25²) = 301.04."""
    more = outer_end_cm(distance_cm, 50) - distance_cm
    assert round(more, 1) == more_cm
    assert more / distance_cm == pytest.approx(share, abs=0.0005)


def test_every_pair_is_a_loop_in_a_slot_and_the_colours_agree_with_the_order() -> None:
    answer = colours_of(basket())
    every = loops(answer)
    assert [loop.slot for loop in every] == list(range(1, 61))
    assert [loop.yarn for loop in every] == [run.yarn for run in answer.order for _ in range(run.ends // 2)]
    assert every[-1].after == "end"


def test_a_yarn_that_comes_again_within_reach_is_carried_and_one_that_does_not_is_cut() -> None:
    """Without a sett the reach is three loops: moss comes again after one, sky not at all."""
    order = [("moss", 2), ("sky", 4), ("moss", 4), ("cream", 20), ("moss", 2)]
    project = basket(
        ends=32, longest_run=None, use_up=[], not_at_edges=[], order=[{"yarn": y, "ends": n} for y, n in order]
    )
    after = [loop.after for loop in loops(colours_of(project))]
    assert after[:5] == ["change, carry", "go on", "change, cut", "go on", "change, cut"]
    assert set(after[5:14]) == {"go on"}
    assert after[14:] == ["change, cut", "end"]


def test_a_warp_that_is_not_direct_has_no_loops() -> None:
    assert loops(colours_of(basket(warping="indirect"))) == ()


def test_a_warp_lies_on_a_board_by_its_own_turn() -> None:
    """A turn called 2 m that measured 1.98 m: 310 cm is one turn and 112 cm."""
    board = true_winder("board", nominal_m=2.0, turns=10, measured_m=19.8)
    one = on_winder(310, board)
    assert (one.whole, round(one.turn_cm, 6), round(one.rest_cm, 6)) == (1, 198, 112)
    assert on_winder(396, board).whole == 2
    assert on_winder(396, board).rest_cm == pytest.approx(0, abs=1e-6)


def test_more_pegs_and_a_farther_peg_bring_the_outer_ends_to_a_share() -> None:
    """At the distance told, the outer end is that share longer, whatever the width and the pegs."""
    for pegs in (1, 2, 3):
        far = distance_for_cm(0.005, 50, pegs)
        assert outer_end_cm(far, 50, pegs) / far == pytest.approx(1.005)
    assert round(distance_for_cm(0.005, 50), 1) == 249.7
    assert outer_end_cm(150, 50, 2) == pytest.approx(outer_end_cm(150, 25))


@pytest.mark.parametrize("ends", [1, 9, 10, 119, 120, 121, 135, 290, 999])
def test_chains_hold_every_end_once_and_none_too_many(ends: int) -> None:
    found = chains(ends)
    assert [end for one in found for end in range(one.first, one.last + 1)] == list(range(1, ends + 1))
    assert max(one.ends for one in found) <= 120
    assert sum(one.ends for one in found) == ends
