"""What holds of crimp for any threads."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from clothwright.cloth import (
    crimp,
    crimp_of_take_up,
    crimps,
    geometry_of_warp_crimp,
    jammed_spacing,
    plain_geometry,
    take_up,
    thickness,
    wave_height,
)

spacings = st.floats(1.02, 8)
heights = st.floats(0.02, 0.98)
setts = st.floats(1, 25)
diameters = st.floats(0.1, 2.5)


@given(spacings, heights)
def test_crimp_satisfies_both_of_peirces_equations(spacing: float, height: float) -> None:
    """An independent root finder, on l and θ as Peirce writes them, finds the same crimp (Peirce 1937)."""

    def length(angle: float) -> float:
        return (spacing - math.sin(angle)) / math.cos(angle) + angle

    def too_high(angle: float) -> float:
        return (length(angle) - angle) * math.sin(angle) + 1 - math.cos(angle) - height

    angle = brentq(too_high, 0, math.pi / 2 - 1e-9, xtol=1e-15)
    assert crimp(spacing, height, 1.0) == pytest.approx(length(angle) / spacing - 1, rel=1e-6, abs=1e-11)


@given(spacings, heights, st.floats(1.01, 2))
def test_closer_threads_are_wavier(spacing: float, height: float, times: float) -> None:
    """The same wave over a shorter spacing takes more yarn."""
    assert crimp(spacing, height, 1.0) > crimp(spacing * times, height, 1.0)


@given(spacings, heights)
def test_a_higher_wave_takes_more_yarn(spacing: float, height: float) -> None:
    """Crimp grows with the height of the wave, from none."""
    assert crimp(spacing, height, 1.0) > crimp(spacing, height / 2, 1.0) > 0
    assert crimp(spacing, 0.0, 1.0) == 0.0


@given(spacings, heights, st.floats(0.1, 10))
def test_crimp_has_no_unit(spacing: float, height: float, scale: float) -> None:
    """In mm or in inches the crimp is one."""
    assert crimp(spacing * scale, height * scale, scale) == pytest.approx(crimp(spacing, height, 1.0), rel=1e-6)


@given(setts, setts, diameters, diameters, st.floats(0.2, 0.8), st.floats(1.01, 3))
def test_closer_cloth_never_loses_crimp(
    ends: float, picks: float, warp: float, weft: float, share: float, times: float
) -> None:
    """More picks make the warp wavier, more ends the weft, up to the jam and not beyond."""
    warp_crimp, weft_crimp = crimps(ends, picks, warp, weft, warp_share=share)
    assert crimps(ends, picks * times, warp, weft, warp_share=share)[0] >= warp_crimp - 1e-6
    assert crimps(ends * times, picks, warp, weft, warp_share=share)[1] >= weft_crimp - 1e-6
    assert warp_crimp >= 0
    assert weft_crimp >= 0


@given(setts, diameters)
def test_square_cloth_waves_alike_both_ways(sett: float, diameter: float) -> None:
    """With one yarn, one spacing and half the wave each, warp and weft crimp are equal."""
    warp_crimp, weft_crimp = crimps(sett, sett, diameter, diameter)
    assert warp_crimp == pytest.approx(weft_crimp, rel=1e-9)
    assert warp_crimp <= math.pi / 3 / (math.sqrt(3) / 2) - 1 + 1e-5


@given(setts, setts, diameters, st.floats(0.1, 0.45))
def test_a_straighter_warp_makes_a_wavier_weft(ends: float, picks: float, diameter: float, share: float) -> None:
    """The two waves together are as high as the two threads: what tension takes from one goes to the other."""
    even, tight = (crimps(ends, picks, diameter, diameter, warp_share=one) for one in (0.5, share))
    assert tight[0] < even[0]
    assert tight[1] > even[1]


def test_threads_too_close_to_wave_are_refused() -> None:
    """Half a diameter apart, threads cannot wave at half the height."""
    with pytest.raises(ValueError, match="jammed"):
        crimp(0.5, 0.5, 1.0)


@given(spacings, heights, st.floats(0.1, 5))
def test_the_wave_is_found_again_from_its_crimp(spacing: float, height: float, diameters: float) -> None:
    """Crimp measured on a ravelled thread gives back the height of its wave."""
    seen = crimp(spacing * diameters, height * diameters, diameters)
    assert wave_height(spacing * diameters, seen, diameters) == pytest.approx(height * diameters, rel=1e-5)


def test_more_crimp_than_any_wave_is_refused() -> None:
    """Threads two diameters apart cannot be a third longer than the cloth."""
    with pytest.raises(ValueError, match="no wave"):
        wave_height(2.0, 0.34, 1.0)
    with pytest.raises(ValueError, match="no wave"):
        wave_height(0.8, 0.5, 1.0)


@given(setts, setts, diameters, diameters, st.floats(0.05, 0.95))
def test_the_two_waves_touch_and_the_cloth_is_the_thicker_side(
    ends: float, picks: float, warp: float, weft: float, share: float
) -> None:
    """h1 + h2 = d1 + d2; thickness lies between the thicker thread with the lower wave and both threads over each other twice."""
    cloth = plain_geometry(ends, picks, warp, weft, warp_share=share)
    assert cloth.warp_height + cloth.weft_height == pytest.approx(warp + weft)
    assert cloth.thickness_mm >= max(warp + cloth.warp_height, weft + cloth.weft_height) - 1e-9
    assert warp + weft - 1e-9 <= cloth.thickness_mm <= warp + weft + max(warp, weft)
    assert (cloth.warp_crimp, cloth.weft_crimp) == crimps(ends, picks, warp, weft, warp_share=share)


@given(diameters, diameters)
def test_cloth_is_thinnest_when_both_faces_are_level(warp: float, weft: float) -> None:
    """With h1 = d2 and h2 = d1 warp and weft rise equally high, and no other wave makes a thinner cloth (Peirce 1937)."""
    level = thickness(warp, weft, weft)
    assert level == pytest.approx(warp + weft)
    assert all(thickness(warp, weft, share * (warp + weft)) >= level - 1e-9 for share in (0, 0.2, 0.5, 0.8, 1))


@given(st.floats(4, 12), st.floats(4, 12), st.floats(0.2, 0.6), st.floats(0.2, 0.6), st.floats(0.2, 0.8))
def test_a_measured_warp_crimp_gives_the_whole_cloth_back(
    ends: float, picks: float, warp: float, weft: float, share: float
) -> None:
    """From one crimp the other follows, where the threads have room."""
    assume(warp + weft < 10 / max(ends, picks))
    cloth = plain_geometry(ends, picks, warp, weft, warp_share=share)
    again = geometry_of_warp_crimp(ends, picks, warp, weft, cloth.warp_crimp)
    assert again.weft_crimp == pytest.approx(cloth.weft_crimp, rel=1e-3)
    assert again.thickness_mm == pytest.approx(cloth.thickness_mm, rel=1e-4)


@given(st.floats(0.05, 0.999))
def test_jammed_cloth_is_jammed_seen_from_either_side(spacing: float) -> None:
    """The closest picks for a sett are such that the sett is the closest for them; square at √3/2 (Peirce 1937)."""
    other = jammed_spacing(spacing, 1.0)
    assert jammed_spacing(other, 1.0) == pytest.approx(spacing, rel=1e-6, abs=1e-6)
    assert jammed_spacing(math.sqrt(3) / 2, 1.0) == pytest.approx(math.sqrt(3) / 2)
    assert jammed_spacing(1.2, 1.0) == 0.0


@given(st.floats(0, 0.9))
def test_take_up_and_crimp_are_one_loss_on_two_lengths(share: float) -> None:
    """Crimp is on the cloth, take-up on the yarn, and each gives the other back."""
    assert crimp_of_take_up(take_up(share)) == pytest.approx(share)
    assert take_up(share) <= share
