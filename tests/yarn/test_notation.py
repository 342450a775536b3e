"""Whole yarns, written as ISO 1139 and people write them, are read and written again without loss."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import yarn_texts

from clothwright.measure import QuantityError, Share
from clothwright.yarn import (
    Construction,
    Folded,
    Single,
    Twist,
    YarnNumber,
    fold_to_single,
    folded,
    in_every_system,
    leaves_out_folding,
    read_yarn,
    side_by_side,
    single_to_fold,
    singles,
    with_take_up,
    yarn_notes,
)

#: Single to fold, fold to single. From memory of ISO 1139:1973; ISO 1139:2025 keeps both orders
#: (contents page, https://standards.iteh.ai/catalog/standards/iso/ec8d8dc8-b4db-4db7-a4f4-ac06224b3b8f/iso-1139-2025).
PAIRS = [
    ("40 tex Z 660", "40 tex Z 660"),
    ("34 tex S 600 x 2 Z 400; R 69.3 tex", "R 69.3 tex Z 400 / 2 S 600; 34 tex"),
    ("20 tex Z 700 x 2 S 400 x 3 Z 200; R 132 tex", "R 132 tex Z 200 / 3 S 400 / 2 Z 700; 20 tex"),
    ("(25 tex S 420 + 60 tex Z 80) S 360; R 89.2 tex", "R 89.2 tex S 360 / (S 420; 25 tex + Z 80; 60 tex)"),
    (
        "(20 tex Z 700 x 3 S 400 + 34 tex S 600) Z 200; R 96 tex",
        "R 96 tex Z 200 / (S 400 / 3 Z 700; 20 tex + S 600; 34 tex)",
    ),
]


@pytest.mark.parametrize(("from_single", "from_fold"), PAIRS)
def test_both_orders_of_the_standard_are_one_yarn(from_single: str, from_fold: str) -> None:
    """Each order is read, and each is written from the other, to the letter."""
    for typed in (from_single, from_fold):
        yarn = read_yarn(typed)
        assert single_to_fold(yarn) == from_single
        assert fold_to_single(yarn) == from_fold
        assert yarn.typed == typed


def test_twist_and_resultant_of_the_standards_example_are_kept() -> None:
    """R 69.3 from 2 × 34 is 1.91 % of take-up, by arithmetic; the notation from memory of ISO 1139:1973."""
    yarn = read_yarn("34 tex S 600 x 2 Z 400; R 69.3 tex")
    assert yarn.tex == pytest.approx(69.3, rel=1e-12)
    assert 1000 / yarn.nominal_m_per_g == pytest.approx(68, rel=1e-12)
    assert yarn.take_up == pytest.approx(0.0191, abs=5e-5)
    assert yarn.take_up_from == "measured"
    assert yarn.twist == Twist("Z", 400)
    assert yarn.construction is not None
    assert {strand.twist for strand in singles(yarn.construction)} == {Twist("S", 600)}


def test_a_cabled_yarn_of_the_hank_counts_is_read() -> None:
    """24 Ne, fifteen strands, is 1.6 before take-up and said to be 1.4: http://mytextilenotes.blogspot.com/2011/07."""
    yarn = read_yarn("24 Ne Z 15tpi / 5 S 9 tpi / 3 Z 5 tpi; R 1.4 cc")
    assert in_every_system(yarn.m_per_g)["Ne"] == pytest.approx(1.4, rel=1e-12)
    assert in_every_system(yarn.nominal_m_per_g)["Ne"] == pytest.approx(24 / 15, rel=1e-12)
    assert len(yarn.strands_m_per_g) == 15
    assert yarn.twist == Twist("Z", pytest.approx(5 / 0.0254))  # type: ignore[arg-type]


def test_filament_yarns_and_yarns_wound_together_are_read() -> None:
    """f40 and t0 of http://mytextilenotes.blogspot.com/2011/07: 40 filaments, no twist."""
    filament = read_yarn("11 tex f40 s 2.5tpi").construction
    assert isinstance(filament, Single)
    assert filament.filaments == 40
    assert filament.twist == Twist("S", pytest.approx(2.5 / 0.0254))  # type: ignore[arg-type]
    wound = read_yarn("25 tex Z 15 tpi x 2 t0")
    assert wound.twist == Twist("")
    assert wound.tex == pytest.approx(50)
    assert read_yarn("R 17.4 dtex f 1 S 800; 17 dtex").take_up == pytest.approx(0.4 / 17)


def test_cabled_and_unequal_yarns_fold_by_their_weights() -> None:
    """60s and 40s make 24s (J. T. Taylor, 1909); three such make 8s, by arithmetic. 34 tex x 2 x 3 is 204 tex."""
    cabled = read_yarn("(60s cotton + 40s cotton) x 3")
    assert in_every_system(cabled.m_per_g)["Ne"] == pytest.approx(8, rel=1e-12)
    assert len(cabled.strands_m_per_g) == 6
    assert read_yarn("34 tex x 2 x 3").tex == pytest.approx(204, rel=1e-12)
    assert isinstance(cabled.construction, Folded)
    assert len(cabled.construction.parts) == 3


def test_yarns_side_by_side_average_where_folded_ones_add() -> None:
    """64s, 48s and 32s fold to 14 10/13 and average 44 4/13 side by side: W. Davis, Hosiery Manufacture, ex. 30."""
    strands = [read_yarn(f"{count} cotton").m_per_g for count in (64, 48, 32)]
    assert in_every_system(folded(*strands))["Ne"] == pytest.approx(14 + 10 / 13, rel=1e-12)
    assert in_every_system(side_by_side(*strands))["Ne"] == pytest.approx(44 + 4 / 13, rel=1e-12)


def test_take_up_is_never_added_unasked() -> None:
    """2/80s is nominally 40s; Brooks warns that folding makes it coarser. Unsaid it is not there, said it is."""
    yarn = read_yarn("80/2 cotton")
    assert in_every_system(yarn.m_per_g)["Ne"] == pytest.approx(40, rel=1e-12)
    assert yarn.take_up is None
    stated = with_take_up(yarn, Share.read("3 %"))
    assert stated.tex == pytest.approx(yarn.tex * 1.03, rel=1e-12)
    assert stated.take_up_from == "stated"
    of_length = with_take_up(yarn, Share.read("3 % of strands"))
    assert of_length.tex == pytest.approx(yarn.tex / 0.97, rel=1e-12)


@pytest.mark.parametrize("text", ["3 % of warp", "100 %"])
def test_a_take_up_of_something_else_is_refused(text: str) -> None:
    """Take-up of the warp is another thing, and all of it is too much."""
    with pytest.raises(ValueError, match="%"):
        with_take_up(read_yarn("80/2 cotton"), Share.read(text))


twists = st.builds(
    lambda sign, turns: f" {sign} {turns}" if turns else "", st.sampled_from("SZ"), st.integers(0, 900)
) | st.just(" t 0")
strands = st.builds(lambda tex, twist: f"{tex} tex{twist}", st.integers(5, 900), twists)


def folds(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """A fold of what is inside: like strands, or two unlike ones in brackets."""
    like = st.builds(lambda one, times, twist: f"{one} x {times}{twist}", inner, st.integers(2, 4), twists)
    unlike = st.builds(lambda one, other, twist: f"({one} + {other}){twist}", inner, inner, twists)
    return like | unlike


yarns = st.recursive(strands, folds, max_leaves=4)


@given(yarns, st.booleans())
def test_what_is_written_is_read_as_the_same_yarn(text: str, measured: bool) -> None:
    """Whatever is folded of whatever, both orders come back with the same tex, twist and strands."""
    yarn = read_yarn(text)
    if measured:
        yarn = read_yarn(f"{text}; R {yarn.tex * 1.05:.1f} tex")
    for written in (single_to_fold(yarn), fold_to_single(yarn)):
        again = read_yarn(written)
        assert again.tex == pytest.approx(yarn.tex, rel=2e-3 if measured else 1e-9), written
        assert shape(again) == shape(yarn), written


def shape(yarn: YarnNumber) -> object:
    """Twist, numbers and strands of a yarn, without how it was typed."""

    def of(made: Construction) -> object:
        if isinstance(made, Single):
            return round(1000 / made.m_per_g, 6), made.twist
        return tuple(of(part) for part in made.parts), made.twist

    assert yarn.construction is not None
    return of(yarn.construction)


@given(yarn_texts())
def test_any_count_is_written_in_tex_to_four_figures(text: str) -> None:
    """A count in hanks is written as the tex of its strands and read back within the rounding."""
    yarn = read_yarn(text)
    for written in (single_to_fold(yarn), fold_to_single(yarn)):
        again = read_yarn(written)
        assert again.tex == pytest.approx(yarn.tex, rel=1e-3)
        assert len(again.strands_m_per_g) == len(yarn.strands_m_per_g)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("30/20 cotton", ("which number is the count", "30s cotton x 2")),
        ("2/60 spun silk", ("finished yarn",)),
        ("34 tex/2", ("34 tex x 2", "R 68 tex / 2")),
        ("34 tex x 2; R 34 tex", ("68 tex", "which is right")),
        ("2 x 34 tex", ("34 tex x 2",)),
        ("34 tex x 0", ("one strand or more",)),
        ("34 tex x 100 x 100", ("cannot be folded",)),
        ("40 tex Z 0", ("t 0",)),
        ("R 60 tex / (2; 20 tex + 2 Z 300)", ("some strands",)),
        ("34 tex x 2; R 8/2 cotton", ("one number",)),
        ("15 wraps per inch", ("thickness",)),
        ("15/in", ("thickness",)),
        ("((((((((((((((20 tex))))))))))))))", ("too long",)),
        ("(60s cotton", ("not a yarn number",)),
    ],
)
def test_what_cannot_be_told_is_asked(text: str, words: tuple[str, ...]) -> None:
    """A pair that can be two yarns, a resultant that cannot be one, wraps for a number: each its sentence."""
    with pytest.raises(QuantityError) as caught:
        read_yarn(text)
    assert all(word in str(caught.value) for word in words)


@pytest.mark.parametrize(
    ("weight_first", "length_first"),
    [
        ("50 g = 170 m", "170 m/50 g"),
        ("100 g/350 m", "350 m/100 g"),
        ("50g = ca. 170 m", "about 170 m/50 g"),
        ("4 oz: 425 yd", "425 yd/4 oz"),
        ("3.0 to 3.4 g/10 m", "3.2 g/10 m"),
    ],
)
def test_labels_with_the_weight_first_are_read(weight_first: str, length_first: str) -> None:
    """A label may begin with the weight of the ball."""
    assert read_yarn(weight_first).m_per_g == pytest.approx(read_yarn(length_first).m_per_g, rel=5e-3)


def test_a_weight_for_a_length_without_figures_is_a_question() -> None:
    """6 oz/yd is how cloth is sold by weight."""
    with pytest.raises(QuantityError, match="a yarn or a cloth"):
        read_yarn("6 oz/yd")


@pytest.mark.parametrize(
    "text", ["8/2 cotton", "34 tex x 2", "60s cotton + 40s cotton", "2/17 Nm", "40s spun silk x 2"]
)
def test_a_folded_count_leaves_out_what_folding_took_up(text: str) -> None:
    """Plying contracts, so that 2/80s is really a little coarser than 40s: C. P. Brooks, Cotton Manufacturing."""
    assert read_yarn(text).leaves_out_folding
    assert leaves_out_folding(text)
    assert "Folding take-up is not in these numbers" in " ".join(yarn_notes(read_yarn(text)))


@pytest.mark.parametrize(
    "text",
    [
        *("34 tex x 2; R 69.3 tex", "R 69.3 tex Z 400 / 2 S 600; 34 tex", "R 74 tex / 2", "R 74 tex"),
        *("40/2 spun silk", "34 tex", "310 m/100 g", "310 m/100 g ± 3 %", "no yarn"),
    ],
)
def test_a_number_of_the_whole_yarn_has_what_folding_took_up(text: str) -> None:
    """R is the resultant as measured (ISO 1139), and English spun silk counts the finished yarn (Dooley, 1910)."""
    assert not leaves_out_folding(text)
