"""The requirement table of a leaflet.

*Source of the figures*: worked by hand with a calculator outside this program: sizes by cloth lengths, 3 ends and 3.2 picks per
cm, ratios 0.9 and 0.875, waste 55 cm, 4 m in a gram, balls of 50 g, a margin of 10 %. There the take-up is multiplied by 1.03 and
the warp rounded up to the next centimetre; here the loss of 3 % of the warp is divided out, so figures may differ by a metre.
"""

from __future__ import annotations

import pytest
from planning.asking import changed, tree

from clothwright.planning import Leaflet, LeafletRow, leaflet
from clothwright.project import ProblemsFound, read_project

VEST = tree("tideline-vest")
ROWS = tree("rows-of-rectangles")
BY_HAND = {
    ("S", 42): (448, 403, 3, 3),
    ("M", 42): (490, 448, 3, 3),
    ("L", 42): (522, 484, 3, 3),
    ("S", 52): (445, 379, 3, 3),
    ("M", 52): (485, 423, 3, 3),
    ("L", 52): (649, 601, 4, 4),
}


def table(given: object) -> Leaflet:
    """The leaflet of a tree, by first guesses."""
    return leaflet(read_project(given), drawings={})  # type: ignore[arg-type]


def by_cell(found: Leaflet) -> dict[tuple[str, float], LeafletRow]:
    """Rows by size and cloth width."""
    return {(row.size, row.cloth_width_cm): row for row in found.rows}


@pytest.mark.parametrize("cell", BY_HAND, ids=str)
def test_every_cell_is_the_sum_by_hand(cell: tuple[str, float]) -> None:
    """Metres of warp and weft within a metre, balls of each exactly."""
    row = by_cell(table(VEST))[cell]
    warp, weft, warp_balls, weft_balls = BY_HAND[cell]
    assert (row.warp.m, row.weft.m) == pytest.approx((warp, weft), abs=1)
    assert (row.warp.balls, row.weft.balls) == (warp_balls, weft_balls)


def test_a_size_that_needs_more_yarn_on_wider_cloth_is_told_to_warp_narrow() -> None:
    """Size L alone: its front does not pair on 52 cm either."""
    (advice,) = table(VEST).advice
    assert advice.startswith("size L: cloth 52 cm wide takes 244 m more yarn than cloth 42 cm wide")


def test_a_changed_length_changes_its_cell_alone() -> None:
    """M at 42 cm from 250 to 254 cm: more warp and weft there, every other row as it was."""
    lengths = {**VEST["leaflet"]["cloth_lengths"], "M": {"42 cm": "254 cm", "52 cm": "190 cm"}}
    was, now = by_cell(table(VEST)), by_cell(table(changed(VEST, leaflet__cloth_lengths=lengths)))
    assert [cell for cell in was if was[cell] != now[cell]] == [("M", 42.0)]
    assert now["M", 42.0].warp.m == pytest.approx(was["M", 42.0].warp.m + 140 * 4 / 0.875 / 0.97 / 100, abs=0.02)


def test_at_the_trust_more_is_asked_for_than_by_hand() -> None:
    """The chances asked are met by more ends or more length, and low and high stand about what is needed."""
    by_hand, trusted = table(VEST), table(changed(VEST, leaflet__by_hand=False))
    for sums, row in zip(by_hand.rows, trusted.rows, strict=True):
        assert row.total_m > sums.total_m
        assert row.weft.low_m < row.weft.m <= row.weft.high_m


def test_a_length_that_is_not_given_is_that_of_the_pieces_laid_out() -> None:
    """Rectangles whose layout is known by hand: 252 cm at 47 cm of usable width, 190 cm at 48 cm and at 49 cm."""
    asked = changed(ROWS, leaflet={"cloth_widths": ["49 cm", "47 cm", "48 cm"], "by_hand": True})
    found = table(asked)
    lengths = {row.cloth_width_cm: row.cloth_length_cm for row in found.rows}
    assert lengths == {47.0: 252.0, 48.0: 190.0, 49.0: 190.0}
    assert all(row.laid_out for row in found.rows)


def test_cloth_too_narrow_for_a_piece_is_told_and_the_other_widths_answered() -> None:
    """The front is 26 cm wide."""
    found = table(changed(ROWS, leaflet={"cloth_widths": ["20 cm", "48 cm"], "by_hand": True}))
    assert [row.cloth_width_cm for row in found.rows] == [48.0]
    (missing,) = found.left_out
    assert missing.cloth_width_cm == 20
    assert "wider than the cloth" in missing.why


def test_every_heddle_has_its_rows_on_the_same_cloth() -> None:
    """More ends in a finer heddle, the cloth as long."""
    found = table(changed(VEST, leaflet__heddles=["30/10 cm", "40/10 cm"]))
    assert len(found.rows) == 12
    for coarse, fine in zip(found.rows[::2], found.rows[1::2], strict=True):
        assert (coarse.cloth_length_cm, coarse.size) == (fine.cloth_length_cm, fine.size)
        assert fine.ends > coarse.ends


def test_a_yarn_nobody_weighed_is_enough_for_a_leaflet() -> None:
    """It asks how much a reader needs; grams and metres are as with balls in hand."""
    assert table(changed(VEST, yarn__0__balls=[])).rows == table(VEST).rows


def test_the_reader_is_not_bound_by_the_designers_loom() -> None:
    """A loom of 40 cm weaves none of these cloths; the table says how wide a loom each takes."""
    row = table(changed(VEST, loom__weaving_width="40 cm")).rows[0]
    assert row.width_in_heddle_cm > 40


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"leaflet": None}, "which finished widths of cloth? Write cloth_widths as 42 cm, 52 cm"),
        ({"leaflet__cloth_lengths": {"S": {"42": "225 cm"}}}, "42 what? Write 42 cm or 42 in"),
        ({"leaflet__cloth_lengths": {"S": {"42 cm": "about 225 cm"}}}, "write one length, as 225 cm"),
        ({"leaflet__ball": "0 g"}, "0 g"),
        ({"leaflet__measures": {"chest": {"XXL": "130 cm"}}}, "no size “XXL” in the leaflet; its sizes are S, M, L"),
        ({"leaflet__measures": {"chest": {"S": "90 to 94 cm"}}}, "write one length, as 92 cm"),
        ({"leaflet__cloth_widths": ["42 cm", "60 cm"]}, "no length is given for it"),
    ],
    ids=lambda one: str(one)[:30],
)
def test_what_cannot_be_tabulated_is_refused_in_a_sentence(given: dict[str, object], sentence: str) -> None:
    """The sentence names what is asked for; a width without a length is told beside the table."""
    try:
        told = " ".join(one.why for one in table(changed(VEST, **given)).left_out)
    except ProblemsFound as refused:
        told = str(refused)
    assert sentence in told
