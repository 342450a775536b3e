"""A size between two: the two at the ends, even steps between, refused where which place is which would be a guess.

Even steps between corresponding points are common practice, no source; areas and lengths are shapely's.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pattern.fitted import Numbers, bodice, lengths, published, some_numbers

from clothwright.pattern import Between, Change, Do, Edge, GradingRefused, MarkKind, Piece, PieceMark, grade, take_steps

SMALL, LARGE = Numbers(half=21, depth=18, length=54), Numbers(half=25, depth=21, length=58)


def two(small: Numbers = SMALL, large: Numbers = LARGE) -> list[Piece]:
    return [replace(piece, size=size) for size, n in (("S", small), ("L", large)) for piece in bodice(n)]


def at(pieces: list[Piece], share: float) -> dict[str, Piece]:
    return {piece.name: piece for piece in grade(pieces, Between("M", "S", "L", share))}


@given(some_numbers(), some_numbers())
@settings(max_examples=12, deadline=None)
def test_the_ends_are_the_two_sizes_themselves(small: Numbers, large: Numbers) -> None:
    pieces = two(small, large)
    for share, size in ((0.0, "S"), (1.0, "L")):
        for piece in (p for p in pieces if p.size == size):
            made = at(pieces, share)[piece.name]
            assert made.polygon.symmetric_difference(piece.polygon).area < 0.02
            assert lengths(made) == pytest.approx(lengths(piece), abs=0.01)
            assert made.size == "M"


@given(st.floats(0, 1))
@settings(max_examples=12, deadline=None)
def test_straight_seams_and_extents_go_evenly_from_one_size_to_the_other(share: float) -> None:
    pieces = two()
    made = at(pieces, share)
    for name in ("back", "front"):
        small, large = (next(p for p in pieces if (p.name, p.size) == (name, size)) for size in "SL")
        assert made[name].length_cm == pytest.approx((1 - share) * small.length_cm + share * large.length_cm, abs=0.05)
        assert made[name].width_cm == pytest.approx((1 - share) * small.width_cm + share * large.width_cm, abs=0.05)
        for seam in ("shoulder", f"hem {name}"):
            evenly = (1 - share) * lengths(small)[seam] + share * lengths(large)[seam]
            assert lengths(made[name])[seam] == pytest.approx(evenly, abs=0.02)
        assert small.area_cm2 - 1 < made[name].area_cm2 < large.area_cm2 + 1


@pytest.mark.parametrize("name", ["shirts", "trousers", "dagli", "albano", "synthetic_jacket"])
def test_a_published_outline_and_itself_half_as_large_again_have_a_quarter_larger_between(name: str) -> None:
    """Every point half-way between p and 1.5 p is 1.25 p: the area is 1.25² of the first."""
    for piece in published(name):
        larger = replace(
            piece,
            outline=tuple((1.5 * x, 1.5 * y) for x, y in piece.outline),
            edges=tuple(Edge(tuple((1.5 * x, 1.5 * y) for x, y in edge.line), seam=edge.seam) for edge in piece.edges),
            marks=tuple(replace(m, points=tuple((1.5 * x, 1.5 * y) for x, y in m.points)) for m in piece.marks),
            size="L",
        )
        (made,) = grade([replace(piece, size="S"), larger], Between("M", "S", "L", 0.5))
        assert made.area_cm2 == pytest.approx(1.25**2 * piece.area_cm2, rel=1e-6)
        assert made.around_cm == pytest.approx(1.25 * piece.around_cm, rel=1e-6)
        assert np.array(made.marks[0].points[0]) == pytest.approx(1.25 * np.array(piece.marks[0].points[0]))


def test_no_change_at_all_leaves_every_size_as_it_was() -> None:
    pieces = tuple(two())
    assert take_steps(pieces, []).pieces == pieces


def test_a_size_between_and_a_change_of_as_much_on_all_may_be_made_in_either_order() -> None:
    change = Change(Do.LOWER, 2.0, seam="hem back")
    before = at(list(take_steps(two(), [change]).pieces), 0.5)["back"]
    after = take_steps([at(two(), 0.5)["back"]], [change]).pieces[0]
    assert before.polygon.symmetric_difference(after.polygon).area < 0.05


RING = ((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0))


@pytest.mark.parametrize(
    ("large", "why"),
    [
        (
            Piece("yoke", (*RING[:3], (15, 14), (0, 10)), size="L"),
            "4 corners and ends of seams in size S and 5 in size L",
        ),
        (Piece("yoke", RING, size="L", edges=(Edge(RING[:2], seam="side"),)), "other seams in size S than in size L"),
        (Piece("yoke", RING, size="L", marks=(PieceMark(MarkKind.NOTCH, RING[:1]),)), "other notches or lines"),
        (Piece("cuff", RING, size="L"), "yoke is not drawn in size L"),
        (Piece("yoke", RING, size="XL"), "“L”: the pattern has no such size; there are S, XL"),
    ],
)
def test_sizes_that_do_not_correspond_are_refused_with_what_differs(large: Piece, why: str) -> None:
    with pytest.raises(GradingRefused) as refused:
        grade([Piece("yoke", RING, size="S"), large], Between("M", "S", "L", 0.5))
    assert why in str(refused.value)


def test_a_size_that_is_there_already_is_not_made_again() -> None:
    with pytest.raises(GradingRefused, match="has that size already"):
        grade(two(), Between("S", "S", "L", 0.5))
