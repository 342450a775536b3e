"""Words for mass, and a question where cloth may burn: never a statement that it is safe."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import burning_question, weight_of, weight_words, weights

masses = st.floats(0, 2000)


def test_the_bands_of_mass_begin_at_nothing_and_rise() -> None:
    assert weights()[0].least_g_per_m2 == 0
    assert all(lower.least_g_per_m2 < upper.least_g_per_m2 for lower, upper in pairwise(weights()))
    assert all(band.source and band.season for band in weights())


@given(masses, masses, masses)
def test_a_mass_known_to_a_band_has_one_word_and_a_wide_one_two(one: float, other: float, third: float) -> None:
    """No more is said than is known."""
    low, expected, high = sorted((one, other, third))
    word, season = weight_words(low, expected, high)
    assert season == weight_of(expected).season
    assert (" to " in word) == (weight_of(low) != weight_of(high))


@given(st.sampled_from(["cotton", "Linen", "silk and viscose", "hemp"]), st.none() | st.floats(0, 87.9))
def test_light_plant_cloth_is_a_question(fibre: str, mass: float | None) -> None:
    """Below 88 g/m², or where nobody knows, it says ask; it never says exempt, safe or allowed."""
    said = burning_question(fibre, "", mass)
    assert said
    assert "Ask" in said
    assert not any(word in said.lower() for word in ("exempt", "safe", "comply", "allowed"))


@given(st.floats(88, 900))
def test_heavier_plain_plant_cloth_and_wool_are_not_asked_about(mass: float) -> None:
    """A raised face is asked about at any mass."""
    assert burning_question("cotton", "hand wash", mass) is None
    assert burning_question("wool", "hand wash", 40) is None
    assert burning_question("cotton", "brushed", mass)
