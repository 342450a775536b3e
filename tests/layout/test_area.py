"""What is known of a layout before it is looked for."""

import pickle
from dataclasses import replace

import pytest
from hypothesis import given, settings

from clothwright.layout import TooWide, area_cm2, copies, first_guess, least_length_cm, narrowest_cm
from clothwright.pattern import rectangle
from layout.cases import garments, waistcoat


def test_the_least_length_is_area_over_width():
    """2 × (24 × 62 + 26 × 64 + 12 × 40 + 8 × 64) = 8288 cm², on 50 cm 165.76 cm: own arithmetic."""
    assert area_cm2(waistcoat()) == pytest.approx(8288)
    assert least_length_cm(waistcoat(), 50) == pytest.approx(165.76)


@settings(deadline=None, max_examples=30)
@given(garments())
def test_no_layout_is_shorter_than_the_least_length(found):
    assert first_guess(found, 30.1).length_cm >= least_length_cm(found, 30.1) - 1e-6


def test_the_narrowest_cloth_is_as_wide_as_the_widest_piece():
    assert narrowest_cm(waistcoat()) == 26
    assert narrowest_cm(()) == 0


def test_every_piece_that_does_not_fit_is_named_once():
    with pytest.raises(TooWide) as caught:
        first_guess(waistcoat(), 23.5)
    assert caught.value.pieces == (("back", 24.0), ("front", 26.0))
    assert caught.value.cloth_cm == 23.5
    assert str(caught.value) == (
        "back (24.0 cm), front (26.0 cm) are wider than the cloth (23.5 cm): weave wider, or join panels"
    )


def test_a_piece_that_fits_in_one_of_its_turns_is_not_too_wide():
    (across,) = copies((rectangle("strip", width_cm=40, length_cm=5),), one_way=True)
    with pytest.raises(TooWide):
        first_guess((across,), 10)
    either = replace(across, turns_deg=(0.0, 90.0))
    assert first_guess((either,), 10).length_cm == pytest.approx(40)


def test_the_refusal_survives_the_way_between_processes():
    """The standard library's pickle rebuilds it whole, as a process pool needs."""
    refusal = TooWide((("yoke", 61.25),), 60.0)
    assert str(pickle.loads(pickle.dumps(refusal))) == str(refusal)


def test_a_piece_exactly_as_wide_as_the_cloth_fits():
    exact = copies((rectangle("yoke", width_cm=42.0, length_cm=10),), one_way=True)
    assert first_guess(exact, 42.0).length_cm == 10
