"""Changes one after another: in order, one set aside as if never typed, one that cannot be made told and passed over."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern.fitted import Numbers, bodice, lengths, some_numbers

from clothwright.pattern import Change, CheckKind, Do, alter, take_steps

OUT = Change(Do.LET_OUT, 1.0, seam="side")
LONGER = Change(Do.LENGTHEN, 2.0, match="waist")
LOWER = Change(Do.LOWER, 1.0, pieces=("back",), seam="neck", nothing_at="shoulder")


def test_steps_are_the_changes_made_one_after_another() -> None:
    stepped = take_steps(bodice(), [OUT, LONGER])
    once = [one.piece for one in alter(bodice(), OUT).pieces]
    twice = [one.piece for one in alter(once, LONGER).pieces]
    assert list(stepped.pieces) == twice
    assert [step.made for step in stepped.steps] == [True, True]


def test_a_change_set_aside_is_as_if_it_had_never_been_typed() -> None:
    with_it, without = take_steps(bodice(), [OUT, None, LONGER]), take_steps(bodice(), [OUT, LONGER])
    assert with_it.pieces == without.pieces
    assert (with_it.steps[0], with_it.steps[2]) == without.steps
    assert take_steps(bodice(), [None]).pieces == bodice()


def test_a_change_that_cannot_be_made_is_told_and_the_others_are_made() -> None:
    stepped = take_steps(bodice(), [Change(Do.LET_OUT, 1.0, seam="sied"), LONGER])
    assert "“sied”" in (stepped.steps[0].refused or "")
    assert stepped.pieces == take_steps(bodice(), [LONGER]).pieces


def test_what_a_piece_was_lies_where_it_did_on_what_it_is() -> None:
    """The part of the back that no change moves lies on itself: before and after, in one frame, share the hem's middle."""
    stepped = take_steps(bodice(), [OUT, LOWER])
    was, now = stepped.was[0], stepped.pieces[0]
    hem = {edge.seam: edge for edge in was.piece.edges}["hem back"].line
    inner = max(hem, key=lambda point: -abs(point[1] - was.piece.width_cm / 2))
    there = (inner[0] - was.moved[0], inner[1] - was.moved[1])
    after = {edge.seam: edge for edge in now.edges}["hem back"].line
    assert min(abs(there[0] - x) + abs(there[1] - y) for x, y in after) < 1e-6


def test_seams_are_walked_again_after_each_change_and_what_no_longer_matches_is_told_until_it_does() -> None:
    front = Change(Do.LENGTHEN, 3.0, pieces=("front",), match="waist")
    back = Change(Do.LENGTHEN, 3.0, pieces=("back",), match="waist")
    first, second = take_steps(bodice(), [front, back]).steps
    (asked,) = (check for check in first.asks if check.kind is CheckKind.SEAM and "“side”" in check.sentence)
    assert "front is 3.0 cm longer" in asked.sentence
    assert [check.sentence for check in second.settled] == [asked.sentence]
    assert second.asks == ()
    (walked,) = first.walked
    assert (walked.seam, walked.piece) == ("side", "front")
    assert walked.after_cm - walked.before_cm == pytest.approx(3, abs=0.05)
    assert walked.before_cm == pytest.approx(lengths(bodice()[1])["side"])


def some_changes() -> st.SearchStrategy[list[Change]]:
    """Changes of a side and at the waist, as large as a fitting asks for."""
    side = st.builds(
        Change,
        st.sampled_from([Do.LET_OUT, Do.TAKE_IN]),
        st.floats(0.2, 1.5),
        seam=st.just("side"),
        nothing_at=st.sampled_from([None, "top", "bottom"]),
    )
    waist = st.builds(Change, st.sampled_from([Do.LENGTHEN, Do.SHORTEN]), st.floats(0.3, 3), match=st.just("waist"))
    return st.lists(st.one_of(side, waist), min_size=1, max_size=4)


@given(some_numbers(), some_changes())
@settings(max_examples=20, deadline=None)
def test_any_changes_of_a_side_and_a_waist_leave_partners_that_match_and_pieces_that_can_be_cut(
    numbers: Numbers, changes: list[Change]
) -> None:
    """Lengths along the grain add up by hand; notches of one name stay at one height; a shapely polygon is valid."""
    pieces = bodice(numbers)
    stepped = take_steps(pieces, changes)
    assert all(step.made for step in stepped.steps)
    added = sum(change.signed_cm for change in changes if change.match)
    front = {edge.seam: edge for edge in stepped.pieces[1].edges}
    back = {edge.seam: edge for edge in stepped.pieces[0].edges}
    assert abs(front["side"].length_cm - back["side"].length_cm) < 0.1
    for was, now in zip(pieces, stepped.pieces, strict=True):
        assert now.polygon.is_valid
        hem, other = (next(e for e in p.edges if e.seam == f"hem {p.name}") for p in (was, now))
        neck, top = (next(e for e in p.edges if e.seam == "neck") for p in (was, now))
        extent = max(x for x, _ in neck.line) - hem.line[0][0]
        assert max(x for x, _ in top.line) - other.line[0][0] == pytest.approx(extent + added, abs=1e-6)
