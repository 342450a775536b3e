"""What holds of yarn numbers whatever the system and the yarn."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import product

import pint
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from strategies import m_per_g, numbering_systems, yarn_texts

from clothwright.measure import QuantityError
from clothwright.yarn import System, YarnNumber, folded, in_every_system, missing_strand, read_grist, read_yarn, systems

UNITS = pint.UnitRegistry()


@given(numbering_systems, m_per_g)
def test_a_number_comes_back_from_every_system(system: System, ratio: float) -> None:
    """Metres per gram to any system and back lose nothing."""
    assert system.m_per_g(system.number(ratio)) == pytest.approx(ratio, rel=1e-9)
    assert in_every_system(ratio)[system.name] == pytest.approx(system.number(ratio), rel=1e-12)


@given(numbering_systems, numbering_systems, st.floats(1e-3, 1e6))
def test_a_number_goes_from_any_system_to_any_other_and_back(one: System, other: System, number: float) -> None:
    """Converting there and back loses nothing, whichever two systems."""
    there = other.number(one.m_per_g(number))
    assert one.number(other.m_per_g(there)) == pytest.approx(number, rel=1e-9)


@pytest.mark.parametrize("one", systems(), ids=lambda system: system.name)
def test_a_number_typed_goes_to_every_system_and_back(one: System) -> None:
    """To each of the others as text and read from there, and back: nothing is lost to one part in 10⁹, thick or thin."""
    others = [other for other in systems() if other is not one]
    assert len(others) >= 21
    for other, number in product(others, (0.07, 1.0, 8.5, 40.0, 2345.6789)):
        yarn = read_yarn(f"{Decimal(number):f} {one.words[0]}")
        there = Decimal(in_every_system(yarn.m_per_g)[other.name])
        back = read_yarn(f"{there:f} {other.words[0]}")
        assert in_every_system(back.m_per_g)[one.name] == pytest.approx(number, rel=1e-9), other.name


@given(numbering_systems, st.lists(st.integers(7, 200), min_size=2, max_size=4), st.integers(2, 6), st.integers(2, 3))
def test_strands_of_any_system_are_folded_and_cabled(
    system: System, counts: list[int], plies: int, cabled: int
) -> None:
    """Tex adds over strands, plies and cabling, in every system and in spun silk too where the strands stand apart."""
    word, tex = system.words[0], [1000 / system.m_per_g(count) for count in counts]
    unequal = " + ".join(f"{count} {word}" for count in counts)
    for text, expected, strands in (
        (unequal, sum(tex), len(tex)),
        (f"{counts[0]} {word} x {plies}", plies * tex[0], plies),
        (f"({unequal}) x {plies}", plies * sum(tex), plies * len(tex)),
        (f"({counts[0]} {word} x {plies}) x {cabled}", cabled * plies * tex[0], cabled * plies),
    ):
        yarn = read_yarn(text)
        assert yarn.tex == pytest.approx(expected, rel=1e-12), text
        assert len(yarn.strands_m_per_g) == strands, text
        assert 1000 / folded(*yarn.strands_m_per_g) == pytest.approx(expected, rel=1e-12), text


def test_every_system_a_handweaver_meets_is_there() -> None:
    """The systems of ASTM D2260, the old trades' and the plain ratios."""
    names = {system.name for system in systems()}
    assert names >= {"tex", "dtex", "denier", "silk denier (520 yd)", "silk drams", "grains per 120 yd", "Nm", "Ne"}
    assert names >= {"worsted", "linen lea", "woollen run", "woollen cut (300)", "Galashiels cut (200)", "Alloa"}
    assert names >= {"Yorkshire skein", "spun silk (English)", "French cotton", "yd/lb", "yd/oz", "m/100 g", "m/kg"}


@given(numbering_systems, st.integers(1, 300))
def test_a_number_reads_by_every_word_of_its_system(system: System, number: int) -> None:
    """Each word of the table names its system, before the number or after it."""
    for word in system.words:
        assert read_yarn(f"{number} {word}").m_per_g == pytest.approx(system.m_per_g(number), rel=1e-12)


@given(m_per_g)
def test_tex_and_denier_are_pints(ratio: float) -> None:
    """Tex and denier of a yarn are those of an independent library."""
    density = UNITS.Quantity(1 / ratio, "g/m")
    numbers = in_every_system(ratio)
    assert numbers["tex"] == pytest.approx(density.to("tex").magnitude, rel=1e-12)
    assert numbers["denier"] == pytest.approx(density.to("denier").magnitude, rel=1e-12)
    assert numbers["dtex"] == pytest.approx(density.to("dtex").magnitude, rel=1e-12)


@given(st.lists(m_per_g, min_size=2, max_size=5))
def test_a_folded_yarn_is_thicker_than_each_strand(strands: list[float]) -> None:
    """Weights add: fewer metres per gram than the thickest strand, and tex that is the sum."""
    resultant = folded(*strands)
    assert all(resultant < strand for strand in strands)
    assert 1000 / resultant == pytest.approx(sum(1000 / strand for strand in strands), rel=1e-12)


@given(m_per_g, m_per_g)
def test_the_missing_strand_makes_the_resultant(one: float, other: float) -> None:
    """Folding and taking a strand away again are inverse."""
    assume(0.01 < one / other < 100)
    assert missing_strand(folded(one, other), one) == pytest.approx(other, rel=1e-9)


@example(1.9, 1.0)
@example(3.7, 1.0)
@given(m_per_g, st.floats(0.1, 1))
def test_a_strand_thicker_than_the_folded_yarn_cannot_be_in_it(resultant: float, share: float) -> None:
    """The sum has no answer then, and says so."""
    with pytest.raises(ValueError, match="thick"):
        missing_strand(resultant, resultant * share)


@given(st.integers(7, 200), st.integers(2, 4))
def test_spun_silk_folds_the_other_way(count: int, plies: int) -> None:
    """40/2 cotton is a 20s, 40/2 spun silk a 40s made of two 80s (W. H. Dooley; J. T. Taylor)."""
    cotton, silk = read_yarn(f"{count}/{plies} cotton"), read_yarn(f"{count}/{plies} spun silk")
    single = read_yarn(f"{count} cotton").m_per_g
    assert silk.m_per_g == pytest.approx(single, rel=1e-12)
    assert cotton.m_per_g == pytest.approx(single / plies, rel=1e-12)
    for yarn in (cotton, silk):
        assert len(yarn.strands_m_per_g) == plies
        assert folded(*yarn.strands_m_per_g) == pytest.approx(yarn.m_per_g, rel=1e-12)


@given(st.integers(7, 200), st.integers(1, 4))
def test_either_order_of_a_plain_pair_is_one_yarn(count: int, plies: int) -> None:
    """8/2 and 2/8 are read by size, since nobody folds eight strands of twos."""
    for system in ("cotton", "worsted", "Nm", "lea"):
        one, other = read_yarn(f"{count}/{plies} {system}"), read_yarn(f"{plies}/{count} {system}")
        assert one.m_per_g == pytest.approx(other.m_per_g, rel=1e-12)


@given(yarn_texts(), yarn_texts())
def test_strands_written_with_a_plus_are_folded(one: str, other: str) -> None:
    """Unlike yarns fold by their weights, and every strand of each is kept."""
    together = read_yarn(f"{one} + {other}")
    parts = read_yarn(one), read_yarn(other)
    assert together.m_per_g == pytest.approx(folded(*(part.m_per_g for part in parts)), rel=1e-12)
    assert together.strands_m_per_g == parts[0].strands_m_per_g + parts[1].strands_m_per_g
    assert together.typed == f"{one} + {other}"


@given(yarn_texts())
def test_a_grist_is_read_from_a_label_or_a_count(text: str) -> None:
    """Both ways in give the same metres per gram and keep the text."""
    grist = read_grist(text)
    assert grist.m_per_g == pytest.approx(read_yarn(text).m_per_g, rel=1e-12)
    assert grist.typed == text


YARNLIKE = st.text(st.sampled_from("0123456789./-½ sxRNmetcounwrldgayk()+;SZf=×"), max_size=22)
#: Pieces of whole yarns in any order: most are nonsense, and all have an end.
JUMBLED = st.lists(
    st.sampled_from(
        [
            "34 tex",
            "8/2 cotton",
            " S 600",
            " x 2",
            " x 3 Z 400",
            "; R 69.3 tex",
            "R 69.3 tex",
            " / ",
            "(",
            ")",
            " + ",
            "; ",
            "2",
            " t 0",
            "170 m/50 g",
            " f 40",
        ]
    ),
    max_size=9,
).map("".join)


@settings(max_examples=500)
@given(st.text(max_size=30) | YARNLIKE | JUMBLED)
def test_any_text_is_a_yarn_or_a_question(text: str) -> None:
    """Whatever comes is a yarn of some thickness, or is refused with a sentence."""
    yarn = _read(text)
    if isinstance(yarn, QuantityError):
        assert yarn.why in str(yarn)
    else:
        assert yarn.m_per_g > 0
        assert math.isfinite(yarn.tex)
        assert all(strand > 0 for strand in yarn.strands_m_per_g)


def _read(text: str) -> YarnNumber | QuantityError:
    try:
        return read_yarn(text)
    except QuantityError as refusal:
        return refusal


def test_every_system_names_its_source_and_no_word_names_two() -> None:
    """The table is whole: one size each, a source, words of its own."""
    words = [word for system in systems() for word in system.words]
    assert len(words) == len(set(words))
    for system in systems():
        sizes = (system.tex_per_unit, system.yards_per_pound, system.metres_per_kilogram)
        assert sum(size is not None for size in sizes) == 1
        assert system.source
