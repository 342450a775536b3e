"""Choosing the pieces of one size and version; how sizes are named is the weaver's own (common practice, no source)."""

from dataclasses import replace

import pytest

from clothwright.pattern import PieceError, rectangle, select, sizes, versions

PLAIN = rectangle("pocket", width_cm=10, length_cm=12)
BACK_S = replace(rectangle("back", width_cm=40, length_cm=60), size="S")
BACK_M = replace(rectangle("back", width_cm=44, length_cm=62), size="M")
SHORT_M = replace(rectangle("sleeve", width_cm=30, length_cm=20), size="M", version="short")
LONG = replace(rectangle("sleeve", width_cm=30, length_cm=50), version="long")


def test_sizes_and_versions_come_in_the_order_of_the_pieces() -> None:
    assert sizes((PLAIN, BACK_S, BACK_M, SHORT_M)) == ("S", "M")
    assert versions((BACK_S, LONG, SHORT_M)) == ("long", "short")


def test_a_piece_that_names_no_size_belongs_to_all() -> None:
    assert select((PLAIN, BACK_S, BACK_M), size="M", version=None) == (PLAIN, BACK_M)


def test_size_and_version_must_both_fit() -> None:
    assert select((PLAIN, BACK_M, SHORT_M, LONG), size="M", version="long") == (PLAIN, BACK_M, LONG)


@pytest.mark.parametrize("asked", [None, "XL"])
def test_without_a_known_size_the_sizes_there_are_told(asked: str | None) -> None:
    with pytest.raises(PieceError, match=r"sizes S, M;.*say which size"):
        select((BACK_S, BACK_M), size=asked, version=None)


def test_without_a_known_version_the_versions_there_are_told() -> None:
    with pytest.raises(PieceError, match="versions short, long"):
        select((SHORT_M, LONG), size="M", version="wide")


def test_pieces_without_sizes_serve_any_size_asked() -> None:
    assert select((PLAIN,), size="M", version="short") == (PLAIN,)


def test_a_size_and_version_that_no_piece_has_together_is_refused() -> None:
    with pytest.raises(PieceError, match="together"):
        select((replace(BACK_S, version="long"), SHORT_M), size="S", version="short")
