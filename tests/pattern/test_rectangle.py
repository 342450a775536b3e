"""A piece given as numbers says what its edges are; sizes are as they are cut. Lengths are sums by hand."""

from __future__ import annotations

import pytest

from clothwright.pattern import PieceError, check_pieces, read_edge_words, rectangle


def test_edges_run_along_the_stitching_line_within_the_size() -> None:
    words = {
        "right": read_edge_words("seam side"),
        "bottom": read_edge_words("hem 4 cm"),
        "left": read_edge_words("selvedge"),
    }
    piece = rectangle("back", width_cm=24, length_cm=62, allowance_cm=1.5, edges=words)
    assert (piece.width_cm, piece.length_cm, piece.allowance_cm) == (24, 62, 1.5)
    side, hem, left = (
        next(edge for edge in piece.edges if test(edge))
        for test in (lambda e: e.seam, lambda e: e.hem, lambda e: e.selvedge)
    )
    assert side.length_cm == pytest.approx(62 - 4 - 1.5)
    assert hem.length_cm == pytest.approx(24 - 3)
    assert {y for _, y in side.line} == {1.5}
    assert {y for _, y in left.line} == {24 - 1.5}
    assert {x for x, _ in hem.line} == {4}


def test_on_the_fold_the_right_edge_is_both_edges_of_the_whole() -> None:
    piece = rectangle("back", width_cm=12, length_cm=60, fold=True, edges={"right": read_edge_words("seam side")})
    assert [edge.seam for edge in piece.edges] == ["side", "side"]
    assert {y for edge in piece.edges for _, y in edge.line} == {0, 24}
    with pytest.raises(PieceError, match="which is its left"):
        rectangle("back", width_cm=12, length_cm=60, fold=True, edges={"left": read_edge_words("seam side")})


def test_allowances_that_leave_nothing_are_refused() -> None:
    with pytest.raises(PieceError, match="leave nothing"):
        rectangle("band", width_cm=3, length_cm=60, allowance_cm=1.5)


def test_seams_of_pieces_given_as_numbers_are_checked_against_each_other() -> None:
    one = rectangle("back", width_cm=24, length_cm=62, edges={"right": read_edge_words("seam side")})
    other = rectangle("side", width_cm=12, length_cm=60, edges={"left": read_edge_words("seam side")})
    (check,) = check_pieces([one, other])
    assert "2.0 cm longer" in check.sentence
