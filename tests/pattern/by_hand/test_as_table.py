"""The table of corners and sides: read in mixed units, written, and refused in a sentence with its place."""

from __future__ import annotations

import copy
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.hand_drawn import TABLE, back

from clothwright.pattern import HandRefused, hand_table, read_hand_piece, told


def test_a_table_in_mixed_units_is_the_piece() -> None:
    assert read_hand_piece(TABLE) == back()


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_a_piece_written_as_a_table_is_read_back(unit: str) -> None:
    again = read_hand_piece(hand_table(back(), unit=unit))
    for one, other in zip(again.corners, back().corners, strict=True):
        assert one == pytest.approx(other, abs=0.002)
    assert [side.words for side in again.sides] == [side.words for side in back().sides]
    assert again.lengths_cm == pytest.approx(back().lengths_cm, abs=0.01)


def test_a_length_in_the_table_moves_the_next_corner() -> None:
    table = copy.deepcopy(TABLE)
    table["corner"][2]["length"] = "10 in"
    piece = read_hand_piece(table)
    assert piece.corners[3] == pytest.approx((26, 46 - 25.4))
    assert piece.sides[3].handles[0] == pytest.approx((22, 22 - 5.4))  # type: ignore[index]


def changed(at: str, text: object) -> dict:
    table = copy.deepcopy(TABLE)
    if at in ("name", "cut", "pair", "grain", "line", "allowance", "corner", "colour"):
        table[at] = text
    else:
        table["corner"][2][at] = text
    return table


@pytest.mark.parametrize(
    ("at", "text", "why"),
    [
        ("across", "24", "24 cm or 24 in"),
        ("across", "", "it is needed"),
        ("across", "nan cm", "24 cm"),
        ("across", "1e9 cm", "24 cm"),
        ("across", "99999999999999999999999999999999 cm", "at most 500 cm"),
        ("across", "24 ± 1 cm", "one length"),
        ("down", ["1 cm"], "24 cm"),
        ("length", "0 cm", "longer than nothing"),
        ("length", "-4 cm", "more than nothing"),
        ("curve", ["1 cm", "2 cm"], "four lengths"),
        ("curve", "round", "four lengths"),
        ("side", "seam side, hem", "accepted is a length"),
        ("side", "frayed", "“frayed” is not understood"),
        ("side", "fold, seam side", "say “fold” alone"),
        ("side", "hem 4 cm, allowance 2 cm", "keep one"),
        ("side", "hem 4 cm, hem 5 cm", "twice"),
        ("notches", "a", "is no notch"),
        ("notches", "90 cm", "beyond the end of the side, which is 20.0 cm long"),
        ("notches", ";".join(["1m"] * 30), "at most 20"),
        ("name", "", "needs a name"),
        ("name", "x" * 500, "letters"),
        ("cut", "two", "a whole number"),
        ("pair", "true", "even number"),
        ("grain", "sideways", "degrees"),
        ("line", "tear", "“cut” or “stitch”"),
        ("allowance", "wide", "a length with its unit"),
        ("corner", [], "3 or more"),
        ("corner", "many", "a list of corners"),
        ("colour", "kelp", "is not a field here"),
        ("edge", "kelp", "is not a field here"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_place(at: str, text: object, why: str) -> None:
    with pytest.raises(HandRefused) as refused:
        read_hand_piece(changed(at, text))
    sentences = " ".join(told(refused.value.problems))
    assert why in sentences or (at == "allowance" and "24 cm" in sentences)
    assert refused.value.problems[0][0][-1] in (at, "cut", "corner", 0)


def test_every_problem_of_a_table_is_told_at_once() -> None:
    with pytest.raises(HandRefused) as refused:
        read_hand_piece({"corner": [{"across": "one", "down": "two"}]})
    assert len(refused.value.problems) == 4


@pytest.mark.parametrize("count", [151, 1_000_000])
def test_more_corners_than_a_hand_draws_are_refused_at_once(count: int) -> None:
    start = time.process_time()
    with pytest.raises(HandRefused, match=f"{count} corners came"):
        read_hand_piece({"name": "back", "corner": [{"across": "1 cm", "down": "1 cm"}] * count})
    assert time.process_time() - start < 2


def test_a_bare_number_takes_the_unit_the_page_shows() -> None:
    piece = read_hand_piece({"corner": [{"across": "2", "down": "-1 1/2"}]}, unit="in", whole=False)
    assert piece.corners[0] == pytest.approx((5.08, -3.81))


@given(
    st.dictionaries(
        st.sampled_from(["across", "down", "length", "side", "curve", "notches", "odd"]),
        st.text() | st.lists(st.text(), max_size=5) | st.integers() | st.none(),
    )
)
def test_whatever_is_typed_gives_a_piece_or_sentences(row: dict) -> None:
    told_of: tuple = ()
    try:
        read_hand_piece({"name": "back", "corner": [row, row, row]})
    except HandRefused as refused:
        told_of = refused.problems
    assert all(sentence and "\n" not in sentence for _, sentence in told_of)
