"""How colours look to others, and how far apart: held against the tables that the methods were published with."""

from __future__ import annotations

import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import light_of_colours
from clothwright.colours import Likeness, Sight, difference, likeness, seen_by

#: L*, a*, b* of two colours and their difference. *Source*: G. Sharma, W. Wu and E. N. Dalal, The CIEDE2000 Color-Difference
#: Formula, Color Res. Appl. 30 (2005) 21-30, table 1, all 34 pairs.
SHARMA = """
50.0000 2.6772 -79.7751 50.0000 0.0000 -82.7485 2.0425
50.0000 3.1571 -77.2803 50.0000 0.0000 -82.7485 2.8615
50.0000 2.8361 -74.0200 50.0000 0.0000 -82.7485 3.4412
50.0000 -1.3802 -84.2814 50.0000 0.0000 -82.7485 1.0000
50.0000 -1.1848 -84.8006 50.0000 0.0000 -82.7485 1.0000
50.0000 -0.9009 -85.5211 50.0000 0.0000 -82.7485 1.0000
50.0000 0.0000 0.0000 50.0000 -1.0000 2.0000 2.3669
50.0000 -1.0000 2.0000 50.0000 0.0000 0.0000 2.3669
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0009 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0010 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0011 7.2195
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0012 7.2195
50.0000 -0.0010 2.4900 50.0000 0.0009 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0010 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0011 -2.4900 4.7461
50.0000 2.5000 0.0000 50.0000 0.0000 -2.5000 4.3065
50.0000 2.5000 0.0000 73.0000 25.0000 -18.0000 27.1492
50.0000 2.5000 0.0000 61.0000 -5.0000 29.0000 22.8977
50.0000 2.5000 0.0000 56.0000 -27.0000 -3.0000 31.9030
50.0000 2.5000 0.0000 58.0000 24.0000 15.0000 19.4535
50.0000 2.5000 0.0000 50.0000 3.1736 0.5854 1.0000
50.0000 2.5000 0.0000 50.0000 3.2972 0.0000 1.0000
50.0000 2.5000 0.0000 50.0000 1.8634 0.5757 1.0000
50.0000 2.5000 0.0000 50.0000 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""
PAIRS = [tuple(map(float, line.split())) for line in SHARMA.split("\n") if line]

#: What becomes of red, green and blue light without one kind of cones at all. *Source*: G. M. Machado, M. M. Oliveira and L. A. F.
#: Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298, table 1, severity 1.0.
MACHADO = {
    Sight.PROTAN: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    Sight.DEUTAN: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
}
COLOURS = st.tuples(*[st.integers(0, 255)] * 3).map(lambda rgb: "#{:02x}{:02x}{:02x}".format(*rgb))


@pytest.mark.parametrize("pair", PAIRS)
def test_the_difference_is_that_of_the_published_pairs(pair: tuple[float, ...]) -> None:
    """The formula used gives every pair of the paper to its four places, whichever of the two comes first."""
    one, other = Color("lab-d65", pair[:3]), Color("lab-d65", pair[3:6])
    for first, second in ((one, other), (other, one)):
        assert first.delta_e(second, method="2000", space="lab-d65") == pytest.approx(pair[6], abs=1e-4)


def test_black_and_white_are_a_hundred_apart() -> None:
    """L* runs from 0 to 100, and neither has any chroma. *Source*: CIE 142-2001, by its definition."""
    assert difference("#000000", "#ffffff") == pytest.approx(100, abs=1e-3)


@pytest.mark.parametrize("sight", MACHADO)
@pytest.mark.parametrize("colour", ["#6f8f4e", "#a0764a", "#8fb7c4", "#808080", "#c8b48f", "#4e6b5a"])
def test_colours_without_red_or_green_cones_are_those_of_the_paper(sight: Sight, colour: str) -> None:
    """Red, green and blue light times the matrix, for colours that stay within what a screen can show."""
    light = light_of_colours([colour])[0]
    wanted = [min(1.0, max(0.0, sum(m * c for m, c in zip(row, light, strict=True)))) for row in MACHADO[sight]]
    assert light_of_colours([seen_by(colour, sight)])[0] == pytest.approx(wanted, abs=0.005)


@pytest.mark.parametrize("sight", list(Sight))
@pytest.mark.parametrize("grey", ["#000000", "#2f2f2f", "#808080", "#d5d5d5", "#ffffff"])
def test_greys_look_the_same_to_all(sight: Sight, grey: str) -> None:
    """What is neutral stays neutral. *Source*: Brettel, Viénot and Mollon 1997, whose planes meet in the greys; Machado's rows sum to 1."""
    seen = [int(seen_by(grey, sight)[at : at + 2], 16) for at in (1, 3, 5)]
    assert max(abs(one - int(grey[1:3], 16)) for one in seen) <= 1


@given(COLOURS, COLOURS)
def test_nothing_is_told_apart_that_is_the_same_and_order_does_not_matter(one: str, other: str) -> None:
    for sight in Sight:
        assert difference(one, one, sight) == 0
        assert difference(one, other, sight) == pytest.approx(difference(other, one, sight), abs=1e-6)


def test_reds_and_greens_of_one_lightness_are_taken_for_each_other() -> None:
    """A moss green and a brown far apart to most come close together without green cones; blues and browns stay apart."""
    moss, kelp, tide = "#6d7d3f", "#94683c", "#3f6d94"
    assert likeness(difference(moss, kelp)) is Likeness.APART
    assert difference(moss, kelp, Sight.DEUTAN) < difference(moss, kelp) / 2
    assert likeness(difference(moss, kelp, Sight.DEUTAN)) is Likeness.SAME
    assert likeness(difference(kelp, tide, Sight.DEUTAN)) is Likeness.APART


def test_likeness_has_three_words() -> None:
    assert [str(likeness(one)) for one in (0, 2.9, 3, 9.9, 10)] == [
        "the same",
        "the same",
        "nearly the same",
        "nearly the same",
        "different",
    ]
