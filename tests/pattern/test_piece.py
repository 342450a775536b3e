"""A piece is checked once when made, and brought to its own origin, counter-clockwise."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.pattern import Piece, PieceError, rectangle

sides = st.floats(0.5, 300)


@given(sides, sides)
def test_a_rectangle_given_as_numbers_lies_with_its_length_along_the_grain(width: float, length: float) -> None:
    piece = rectangle("back", width_cm=width, length_cm=length)
    assert piece.length_cm == pytest.approx(length)
    assert piece.width_cm == pytest.approx(width)
    assert piece.area_cm2 == pytest.approx(width * length)


def test_a_rectangle_on_the_fold_is_twice_as_wide_once_opened_out() -> None:
    assert rectangle("back", width_cm=20, length_cm=60, fold=True).width_cm == 40


def test_a_clockwise_outline_is_turned_counter_clockwise_and_moved_to_its_own_origin() -> None:
    piece = Piece("a", ((5, 5), (5, 9), (8, 9), (8, 5)))
    assert piece.polygon.exterior.is_ccw
    assert piece.polygon.bounds == (0, 0, 3, 4)


@pytest.mark.parametrize(
    "ring", [(), ((0, 0), (1, 1)), ((0, 0), (1, 1), (2, 2)), ((0, 0), (2, 2), (2, 0), (0, 2))], ids=str
)
def test_an_outline_without_area_or_that_crosses_itself_is_refused_by_name(ring: tuple) -> None:
    with pytest.raises(PieceError, match="cuff"):
        Piece("cuff", ring)


def test_a_piece_is_cut_once_or_more() -> None:
    with pytest.raises(PieceError, match="cut 0"):
        rectangle("a", width_cm=1, length_cm=1, cut=0)


def test_half_of_a_pair_is_mirrored() -> None:
    assert rectangle("a", width_cm=1, length_cm=1, cut=4, pair=True).mirrored_count == 2
    assert rectangle("a", width_cm=1, length_cm=1, cut=4).mirrored_count == 0
