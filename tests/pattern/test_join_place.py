"""Places of joins, as people write them."""

from __future__ import annotations

import pytest

from clothwright.pattern import JoinAt, JoinPlace, read_join_place


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("centre", JoinPlace(JoinAt.CENTRE)),
        ("Center", JoinPlace(JoinAt.CENTRE)),
        ("3 equal panels", JoinPlace(JoinAt.EQUAL, panels=3)),
        ("two equal  panels", JoinPlace(JoinAt.EQUAL, panels=2)),
        ("side panels of 8 cm", JoinPlace(JoinAt.SIDES, lengths_cm=(8.0,))),
        ("12 cm and 40 cm from the left", JoinPlace(JoinAt.PLACES, lengths_cm=(12.0, 40.0))),
        ("7,5 cm", JoinPlace(JoinAt.PLACES, lengths_cm=(7.5,))),
        ("4 in from the right", JoinPlace(JoinAt.PLACES, lengths_cm=(pytest.approx(10.16),), from_right=True)),
        ("drawn lines", JoinPlace(JoinAt.DRAWN)),
        ("hem", JoinPlace(JoinAt.HEM)),
    ],
)
def test_a_place_is_read_as_it_is_written(text: str, place: JoinPlace) -> None:
    assert read_join_place(text) == place


@pytest.mark.parametrize(
    "text", ["", "12", "somewhere", "side panels of 3", "-4 cm", "0 cm", "12 cm and", "4 cm from the top"]
)
def test_a_text_that_means_no_place_is_refused_with_what_is_accepted(text: str) -> None:
    with pytest.raises(ValueError, match="centre, 3 equal panels"):
        read_join_place(text)


@pytest.mark.parametrize("text", ["1 equal panels", "40 equal panels"])
def test_a_piece_is_joined_from_two_panels_or_more(text: str) -> None:
    with pytest.raises(ValueError, match="from 2 to 12 panels"):
        read_join_place(text)


def test_only_joins_along_the_grain_can_be_of_selvedges() -> None:
    along = [text for text in ("centre", "4 cm", "hem", "drawn line") if read_join_place(text).along_the_grain]
    assert along == ["centre", "4 cm"]
