"""Quantities are read as people write them, and refused with a sentence where they can be read two ways."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import CM, decimals, lengths_cm

from clothwright.measure import (
    CM_PER_INCH,
    CM_PER_YARD,
    GRAINS_PER_POUND,
    GRAMS_PER_OUNCE,
    GRAMS_PER_POUND,
    Grist,
    Length,
    Quantity,
    QuantityError,
    Ratio,
    Share,
    ThreadsPerLength,
    Weight,
)

KINDS: tuple[type[Quantity], ...] = (Length, Weight, ThreadsPerLength, Grist, Share, Ratio)
UNITS = pint.UnitRegistry()

#: (kind, text, value, its unit for pint, our base unit for pint). Values by pint, an independent library.
ACCEPTED = [
    (Length, "24 cm", 24, "cm", "cm"),
    (Length, "240 mm", 240, "mm", "cm"),
    (Length, "2.4 m", 2.4, "m", "cm"),
    (Length, "7 1/2 in", 7.5, "inch", "cm"),
    (Length, '7½"', 7.5, "inch", "cm"),
    (Length, "7½ in", 7.5, "inch", "cm"),
    (Length, "1 yd 9 in", 45, "inch", "cm"),
    (Length, "1 yd, 9 in", 45, "inch", "cm"),
    (Length, "5 ft 6 in", 66, "inch", "cm"),
    (Length, "5' 6\"", 66, "inch", "cm"),
    (Length, "3 ft", 3, "foot", "cm"),
    (Length, "7,5 cm", 7.5, "cm", "cm"),
    (Length, "1,5 cm", 1.5, "cm", "cm"),
    (Length, "3/4 in", 0.75, "inch", "cm"),
    (Length, "2 950 m", 2950, "m", "cm"),
    (Length, "0,500 m", 50, "cm", "cm"),
    (Length, "10 yards", 10, "yard", "cm"),
    (Length, "44 centimetres", 44, "cm", "cm"),
    (Length, "15 millimeters", 15, "mm", "cm"),
    (Weight, "112 g", 112, "g", "g"),
    (Weight, "0.35 kg", 0.35, "kg", "g"),
    (Weight, "4 oz", 4, "ounce", "g"),
    (Weight, "1 lb 2 oz", 18, "ounce", "g"),
    (Weight, "25 grains", 25, "grain", "g"),
    (ThreadsPerLength, "7.5/in", 7.5, "1/inch", "1/cm"),
    (ThreadsPerLength, "7.5 epi", 7.5, "1/inch", "1/cm"),
    (ThreadsPerLength, "7.5 dpi", 7.5, "1/inch", "1/cm"),
    (ThreadsPerLength, "15 wpi", 15, "1/inch", "1/cm"),
    (ThreadsPerLength, "30/10 cm", 3, "1/cm", "1/cm"),
    (ThreadsPerLength, "3/cm", 3, "1/cm", "1/cm"),
    (ThreadsPerLength, "7 1/2 /in", 7.5, "1/inch", "1/cm"),
    (ThreadsPerLength, "12 ends per inch", 12, "1/inch", "1/cm"),
    (Grist, "220 m/100 g", 2.2, "m/g", "m/g"),
    (Grist, "6.77 m/g", 6.77, "m/g", "m/g"),
    (Grist, "1700 yd/lb", 1700, "yard/pound", "m/g"),
    (Grist, "425 yd/4 oz", 1700, "yard/pound", "m/g"),
    (Grist, "10 m / 3.1 g", 10 / 3.1, "m/g", "m/g"),
    (Share, "12.5 %", 12.5, "percent", "dimensionless"),
    (Share, "3 % of warp", 3, "percent", "dimensionless"),
    (Ratio, "0.90", 0.9, "dimensionless", "dimensionless"),
    (Ratio, "90 %", 90, "percent", "dimensionless"),
]

SPREADS = [
    (Length, "24 ± 0.3 cm", (23.7, 24, 24.3)),
    (Length, "24 cm ± 3 mm", (23.7, 24, 24.3)),
    (Length, "24 +/- 0.3 cm", (23.7, 24, 24.3)),
    (Length, "24 cm ± 5 %", (22.8, 24, 25.2)),
    (Length, "about 24 cm", (22.8, 24, 25.2)),
    (Length, "23 to 25 cm", (23, 24, 25)),
    (Length, "23-25 cm", (23, 24, 25)),
    (Length, "23 – 25 cm", (23, 24, 25)),
    (Length, "7 to 8 1/2 in", (7 * 2.54, 7.75 * 2.54, 8.5 * 2.54)),
    (Length, "7 1/2 to 8 1/4 in", (7.5 * 2.54, 7.875 * 2.54, 8.25 * 2.54)),
    (Length, "1/2 to 3/4 in", (0.5 * 2.54, 0.625 * 2.54, 0.75 * 2.54)),
    (ThreadsPerLength, "3.0 to 3.4/cm", (3.0, 3.2, 3.4)),
    (ThreadsPerLength, "30-34/10 cm", (3.0, 3.2, 3.4)),
    (ThreadsPerLength, "7 to 8 1/2 /in", (7 / 2.54, 7.75 / 2.54, 8.5 / 2.54)),
    (Grist, "300 to 320 m/100 g", (3.0, 3.1, 3.2)),
    (Share, "3 to 5 % of warp", (0.03, 0.04, 0.05)),
    (Share, "12 ± 2 %", (0.10, 0.12, 0.14)),
    (Share, "12 % ± 2 %", (0.10, 0.12, 0.14)),
    (Ratio, "0.88 to 0.92", (0.88, 0.90, 0.92)),
    (Ratio, "90 % ± 2 %", (0.88, 0.90, 0.92)),
]

#: (kind, text, words the sentence must hold)
REFUSED = [
    (Length, "24", ("24 cm", "24 in")),
    (Weight, "112", ("112 g", "112 oz")),
    (ThreadsPerLength, "30", ("30/in", "30/10 cm")),
    (ThreadsPerLength, "8 dent", ("8/in", "8/10 cm")),
    (ThreadsPerLength, "30/0 cm", ("no length", "30/10 cm")),
    (Share, "5", ("5 %",)),
    (Share, "120 %", ("whole", "12.5 %")),
    (Ratio, "90", ("90 %", "0.90")),
    (Grist, "220 m/0 g", ("no weight", "220 m/100 g")),
    (Grist, "310", ("310", "system")),
    (Grist, "100 m/50 gr", ("grams", "grains")),
    (Weight, "112 gr", ("112 g", "grains")),
    (Length, "1,700 m", ("1700", "1.700")),
    (Length, "-5 cm", ("more than nothing", "24 cm")),
    (Length, "", ("nothing", "24 cm")),
    (Length, "cm", ("cm",)),
    (Length, "24 elephants", ("24 elephants", "24 cm")),
    (Length, "24 cm 30 cm", ("more than one", "24 cm")),
    (Length, "9 in 1 yd", ("more than one", "1 yd 9 in")),
    (Length, "26 to 24 cm", ("above", "24 cm")),
    (Length, "24 ± 30 cm", ("more than nothing",)),
    (Length, "1-1/2 in", ("1 1/2", "“to”")),
    (Length, "1/0 in", ("divides by nothing",)),
    (Length, "1e3 cm", ("24 cm",)),
    (Length, "9" * 400 + " cm", ("too large",)),
    (Length, "9" * 5000 + "/3 cm", ("too large",)),
    (Length, "5 ın", ("no unit",)),
    (Weight, "5 lbſ", ("no unit",)),
]


@pytest.mark.parametrize(("kind", "text", "value", "unit", "base"), ACCEPTED)
def test_every_accepted_form_is_read(kind: type[Quantity], text: str, value: float, unit: str, base: str) -> None:
    """Each form of the accepted table means what pint says it does, and keeps its text."""
    quantity = kind.read(text)
    assert quantity.expected == pytest.approx(UNITS.Quantity(value, unit).to(base).magnitude, rel=1e-12)
    assert quantity.typed == str(quantity) == text
    assert not quantity.has_spread


@pytest.mark.parametrize(("kind", "text", "points"), SPREADS)
def test_every_form_of_spread_is_read(kind: type[Quantity], text: str, points: tuple[float, float, float]) -> None:
    """A spread has a low, an expected and a high, in that order."""
    quantity = kind.read(text)
    assert (quantity.low, quantity.expected, quantity.high) == pytest.approx(points, rel=1e-12)
    assert quantity.has_spread
    assert quantity.typed == text


@pytest.mark.parametrize(("kind", "text", "words"), REFUSED, ids=lambda value: str(value)[:30])
def test_what_can_be_misread_is_refused_with_a_sentence(
    kind: type[Quantity], text: str, words: tuple[str, ...]
) -> None:
    """The sentence names what came and shows a form that is understood."""
    with pytest.raises(QuantityError) as caught:
        kind.read(text)
    assert caught.value.came == text
    assert text in str(caught.value)
    for word in words:
        assert word in str(caught.value)


def test_a_share_keeps_what_it_is_a_share_of() -> None:
    """3 % of warp is a share of the warp, and 3 % alone of nothing yet."""
    assert Share.read("3 % of Warp").of == "warp"
    assert Share.read("3 %").of is None


def test_a_bare_number_takes_the_unit_shown_beside_the_field() -> None:
    """On a page the field shows its unit, and a number alone is in it."""
    assert Length.read("24", bare_unit="in").cm == pytest.approx(60.96, rel=1e-12)
    assert Weight.read("4", bare_unit="oz").grams == pytest.approx(113.398092500, rel=1e-12)
    assert ThreadsPerLength.read("30", bare_unit="/10 cm").per_cm == 3.0
    assert Share.read("5", bare_unit="%").expected == 0.05
    assert Ratio.read("90", bare_unit="%").expected == 0.9
    assert Grist.read("6.77", bare_unit="m/g").m_per_g == 6.77


@pytest.mark.parametrize(
    ("kind", "text", "step"),
    [
        (Weight, "3.1 g", 0.1),
        (Weight, "112 g", 1.0),
        (Weight, "3,15 g", 0.01),
        (Weight, "1 lb 2 oz", GRAMS_PER_OUNCE),
        (Weight, "3.1 ± 0.2 g", 0.1),
        (Length, "2.4 m", 10.0),
        (Length, "1 yd 9 in", CM_PER_INCH),
        (Length, "7 1/2 in", 0.0),
        (Length, "7½ in", 0.0),
    ],
)
def test_the_last_decimal_place_shows_what_was_told_apart(kind: type[Quantity], text: str, step: float) -> None:
    """3.1 g was read on a scale of 0.1 g, 1 lb 2 oz on one of an ounce; a fraction does not say."""
    assert kind.read(text).step == pytest.approx(step, rel=1e-9)


def test_the_exact_factors_are_those_of_an_independent_library() -> None:
    """Inch, yard, pound, ounce and grain are pint's, to the last digit that matters."""
    assert pytest.approx(UNITS.Quantity(1, "inch").to("cm").magnitude, rel=1e-15) == CM_PER_INCH
    assert pytest.approx(UNITS.Quantity(1, "yard").to("cm").magnitude, rel=1e-15) == CM_PER_YARD
    assert pytest.approx(UNITS.Quantity(1, "pound").to("g").magnitude, rel=1e-15) == GRAMS_PER_POUND
    assert pytest.approx(UNITS.Quantity(1, "ounce").to("g").magnitude, rel=1e-15) == GRAMS_PER_OUNCE
    assert pytest.approx(UNITS.Quantity(1, "pound").to("grain").magnitude, rel=1e-12) == GRAINS_PER_POUND


@given(lengths_cm)
def test_a_length_is_the_same_in_every_unit(cm: float) -> None:
    """Written in cm, mm, m, inches, yards, or feet and inches, a length reads the same."""
    feet, inches = divmod(cm / 2.54, 12)
    written = [f"{cm / factor:.15f} {unit}" for unit, factor in CM.items()] + [f"{feet:.0f} ft {inches:.15f} in"]
    for text in written:
        assert Length.read(text).cm == pytest.approx(cm, rel=1e-12)


@given(decimals(0, 999, 3), st.sampled_from(sorted(CM)), st.sampled_from(["", " "]))
def test_text_is_kept_as_typed(number: str, unit: str, space: str) -> None:
    """What was typed is what is shown, decimal comma or point; reading the shown text changes nothing."""
    for text in {f"{number}{space}{unit}", f"about {number}{space}{unit}"}:
        once = Length.read(text)
        assert str(once) == text
        assert Length.read(str(once)) == once


@given(decimals(1, 400), decimals(0, 1), st.sampled_from(sorted(CM)))
def test_a_spread_is_in_order_and_contains_its_middle(middle: str, half: str, unit: str) -> None:
    """Low is never above expected, nor expected above high; the spread of the log is never negative."""
    quantity = Length.read(f"{middle} ± {half} {unit}")
    assert quantity.low <= quantity.expected <= quantity.high
    assert quantity.expected == pytest.approx(float(middle) * CM[unit], rel=1e-12)
    assert quantity.log_sd >= 0
    assert quantity.has_spread == (quantity.high > quantity.low)


@given(decimals(1, 400), decimals(1, 400), st.sampled_from(["to", "–", "-"]))
def test_a_range_is_read_from_low_to_high_or_refused(one: str, other: str, mark: str) -> None:
    """The smaller number comes first."""
    text = f"{one} {mark} {other} cm"
    if float(one) > float(other):
        with pytest.raises(QuantityError, match="above"):
            Length.read(text)
    else:
        assert (Length.read(text).low, Length.read(text).high) == (float(one), float(other))


MEASURELIKE = st.text(st.sampled_from("0123456789.,/ ½¾-–±+~%'\"cmingozlbydptexNRSwf to×()"), max_size=25)


@settings(max_examples=500)
@given(st.sampled_from(KINDS), st.text(max_size=40) | MEASURELIKE)
def test_any_text_is_read_or_refused_with_a_sentence(kind: type[Quantity], text: str) -> None:
    """Whatever comes, the answer is a finite quantity in order, or a QuantityError."""
    quantity = _read(kind, text)
    if isinstance(quantity, QuantityError):
        assert quantity.came in text
        assert quantity.why in str(quantity)
    else:
        assert 0 <= quantity.low <= quantity.expected <= quantity.high
        assert all(map(math.isfinite, (quantity.high, quantity.step, quantity.log_sd)))


def _read(kind: type[Quantity], text: str) -> Quantity | QuantityError:
    try:
        return kind.read(text)
    except QuantityError as refusal:
        return refusal
