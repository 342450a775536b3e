"""Measures, tables of sizes and layouts as cutting books and standards print them; each row names its source."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from bodies import MERLE, design
from published import Row, every_row, holds

from clothwright.measure import Length
from clothwright.pattern.drafting import Drafted, draft, proportions, size_table

IN = 2.54


def by_proportion_in(measure: str, breast_in: float) -> float:
    return proportions()[measure].cm(breast_in * IN) / IN


def half_by_proportion_in(measure: str, breast_in: float) -> float:
    return by_proportion_in(measure, breast_in) / 2


def from_one_bolt(height_cm: float, bolt_cm: float) -> Drafted:
    """The jacket as long as the rule has it: height and 8 cm with its hem, the band's neck 15 cm down, sleeves the rest."""
    (one,) = draft(
        design(
            "wrap jacket",
            MERLE,
            allowance_cm=1.0,
            cloth_width="36 cm",
            length=f"{height_cm + 8 - 4} cm",
            hem="4 cm",
            neck_drop="15 cm",
            overlap="panel",
            cloth_length=f"{bolt_cm} cm",
        )
    )
    return one


def lengths_cm(one: Drafted, name: str) -> float:
    return sum(piece.length_cm * piece.cut for piece in one.pieces if piece.name == name)


def bolt_body_cm(height_cm: float, bolt_cm: float) -> float:
    return lengths_cm(from_one_bolt(height_cm, bolt_cm), "body")


def bolt_overlap_cm(height_cm: float, bolt_cm: float) -> float:
    return lengths_cm(from_one_bolt(height_cm, bolt_cm), "overlap panel")


def bolt_sleeve_cm(height_cm: float, bolt_cm: float) -> float:
    return lengths_cm(from_one_bolt(height_cm, bolt_cm), "sleeve") / 4


ANSWERS: dict[str, Callable[..., float]] = {
    one.__name__: one
    for one in (
        by_proportion_in,
        half_by_proportion_in,
        bolt_body_cm,
        bolt_overlap_cm,
        bolt_sleeve_cm,
    )
}


@every_row("garment")
def test_the_published_answer_is_ours(row: Row) -> None:
    holds(row, ANSWERS)


def test_a_garment_from_a_bolt_of_its_own_width_leaves_nothing_over() -> None:
    """Rectangles alone, cut across the whole width: the pieces are all of the cloth. Exact, by arithmetic."""
    one = from_one_bolt(160, 1200)
    assert sum(piece.area_cm2 * piece.cut for piece in one.pieces) == pytest.approx(36 * 1200, rel=1e-6)


#: ASTM D5585-11e1, misses: bust and the two waists, in cm as recomputed from the printed inches.
#: http://www.astm.org/Standards/D5585.htm
ASTM_BUST_CM = (79.1, 80.6, 83.8, 86.7, 89.5, 92.1, 94.6, 98.4, 102.6, 107.0, 111.8, 116.8)


def test_the_bust_row_of_the_standard_is_read_as_printed() -> None:
    table = size_table("ASTM D5585 straight")
    found = [Length.read(table.body(size)["bust girth"]).cm for size in table.sizes]
    assert found == [pytest.approx(cm, abs=0.051) for cm in ASTM_BUST_CM]
    assert table.sizes == ("00", "0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20")


@pytest.mark.parametrize(
    ("name", "ends"),
    [("ASTM D5585 straight", ("25 3/8 in", "40 1/2 in")), ("ASTM D5585 curvy", ("23 7/8 in", "39 in"))],
)
def test_the_waist_rows_of_the_standard_rise_and_have_the_printed_ends(name: str, ends: tuple[str, str]) -> None:
    table = size_table(name)
    typed = [table.body(size)["waist girth"] for size in table.sizes]
    assert (typed[0], typed[-1]) == ends
    cm = [Length.read(text).cm for text in typed]
    assert cm == sorted(cm)


def test_a_table_gives_only_what_was_read_of_it() -> None:
    """Hips, lengths and widths of the standard were not seen, so they are asked for and never filled in."""
    for name in ("ASTM D5585 straight", "ASTM D5585 curvy"):
        assert [measure for measure, _ in size_table(name).measures] == ["bust girth", "waist girth"]
    with pytest.raises(KeyError, match="“22” is no size of ASTM D5585-11e1"):
        size_table("ASTM D5585 curvy").body("22")


def test_the_eases_taken_lie_where_the_trade_has_them() -> None:
    """From memory: fitted 5 to 8 cm, shirts 10 to 15, jackets 15 to 20; a range, and no more."""
    from clothwright.pattern.drafting import garments

    bust = {
        name: Length.read(e.default).cm for name, a in garments().items() for e in a.eases if e.girth == "bust girth"
    }
    assert all(5 <= cm <= 20 for cm in bust.values())
    assert bust["waistcoat"] <= bust["top"] <= bust["tunic"]
