"""What holds of crimp for any threads."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from clothwright.cloth import crimp, crimps

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
