"""Structures are counted from their drafts, and named without guessing."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import Structure, structure, structures

every_structure = st.sampled_from(structures())


def _woven(of: Structure, repeats: int) -> list[str]:
    """Cloth of so many repeats each way, as rows of ends."""
    return [pick * repeats for pick in of.draft] * repeats


@pytest.mark.parametrize("one", structures(), ids=lambda one: one.name)
def test_a_draft_is_a_cloth_that_holds_together(one: Structure) -> None:
    """Every pick is as wide as the next, and every end and every pick lies on both faces somewhere."""
    assert {len(pick) for pick in one.draft} == {one.ends}
    assert set("".join(one.draft)) == {"0", "1"}
    ends = zip(*one.draft, strict=True)
    assert all(len(set(thread)) == 2 for thread in (*one.draft, *ends))
    assert one.asks
    assert one.source


@given(every_structure, st.integers(2, 5))
def test_what_is_counted_in_a_repeat_holds_in_the_cloth(one: Structure, repeats: int) -> None:
    """Changes of face counted thread by thread in a wide cloth come to the repeat's, less the ones cut at the edges."""
    cloth = _woven(one, repeats)
    along_picks = sum(a != b for pick in cloth for a, b in pairwise(pick)) / len(cloth)
    assert 0 <= one.intersections * repeats - along_picks <= 1
    columns = ["".join(column) for column in zip(*cloth, strict=True)]
    along_ends = sum(a != b for end in columns for a, b in pairwise(end)) / len(columns)
    assert 0 <= one.warp_intersections * repeats - along_ends <= 1
    assert max(len(run) for pick in cloth for run in pick.replace("10", "1 0").replace("01", "0 1").split()) == (
        one.longest_weft_float
    )
    assert max(len(run) for end in columns for run in end.replace("10", "1 0").replace("01", "0 1").split()) == (
        one.longest_warp_float
    )


def test_turned_over_or_on_its_side_a_structure_asks_the_same() -> None:
    """Twill 1/3 is the wrong side of twill 3/1: one factor, the other share of the face. By counting."""
    for one, other in (("twill 3/1", "twill 1/3"), ("twill 2/1", "twill 1/2")):
        face, back = structure(one), structure(other)
        assert face.weave_factor == back.weave_factor
        assert face.warp_share_of_face == pytest.approx(1 - back.warp_share_of_face)
    ends, picks = structure("half basket, ends in pairs"), structure("half basket, picks in pairs")
    assert (ends.intersections / ends.ends, ends.warp_crossing_share) == (0.5, 1.0)
    assert (picks.intersections / picks.ends, picks.warp_crossing_share) == (1.0, 0.5)


def test_point_and_broken_twills_ask_what_their_twill_asks() -> None:
    """Breaking or turning the line moves the crossings and keeps their number. By counting."""
    assert structure("point twill").weave_factor == structure("twill 2/2").weave_factor
    assert structure("broken twill 3/1").weave_factor == structure("twill 3/1").weave_factor
    assert structure("broken twill 2/2") == structure("herringbone") == structure("twill 2/2")


def test_floats_are_as_long_as_their_names_say() -> None:
    """A satin of n floats over n - 1; a pick-up of every other slot over three."""
    for name, weft, warp in (
        ("plain", 1, 1),
        ("twill 2/2", 2, 2),
        ("point twill", 3, 2),
        ("basket 3/3", 3, 3),
        ("weft floats", 3, 3),
        ("satin 5", 4, 4),
        ("satin 8", 7, 7),
    ):
        assert (structure(name).longest_weft_float, structure(name).longest_warp_float) == (weft, warp)
    assert structure("satin 8").average_float == 4


def test_pick_up_structures_cross_less_than_plain_and_more_than_twill() -> None:
    """Floats are lifted out of plain weave, so that much of it is left: between a half and three fifths of diameters."""
    for name in ("weft floats", "warp floats", "waffle-like", "spot"):
        assert structure("plain").weave_factor < structure(name).weave_factor < structure("twill 2/1").weave_factor


def test_a_pick_up_draft_can_be_lifted_with_one_stick() -> None:
    """Holes (ends 1 and 3) rise and sink together; of the slots the stick lifts one, and only a heddle down lifts the other."""
    for name in ("weft floats", "warp floats", "waffle-like", "spot"):
        for hole, on_stick, other_hole, slot in structure(name).draft:
            assert hole == other_hole
            assert (hole, on_stick, slot) in {("1", "0", "0"), ("0", "1", "0"), ("1", "1", "0"), ("0", "1", "1")}


def test_two_ends_as_one_make_a_plain_warp_a_half_basket() -> None:
    """Two ends in each slot and hole cross half as often for each end; the pairs cross as often as before."""
    assert structure("plain").with_ends_in_pairs() == structure("half basket, ends in pairs")
    for one in structures():
        pairs = one.with_ends_in_pairs()
        assert pairs.crossing_share == pytest.approx(one.crossing_share / 2)
        assert pairs.warp_crossing_share == pytest.approx(one.warp_crossing_share)


def test_a_word_for_more_than_one_structure_is_a_question() -> None:
    """Half basket: ends in pairs or picks? Satin: over how many?"""
    for word, asked in (
        ("half basket", "ends in pairs or the picks"),
        ("satin", "over how many"),
        ("broken twill", "which twill"),
        ("pick-up", "weft or of warp"),
    ):
        with pytest.raises(KeyError, match=asked):
            structure(word)


def test_no_word_names_two_structures() -> None:
    """Each word leads to one place."""
    words = [word for one in structures() for word in one.words]
    assert len(words) == len(set(words))
