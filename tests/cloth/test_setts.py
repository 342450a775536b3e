"""Structures, candidates and firmness."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import (
    Structure,
    candidates,
    closest_sett,
    firmness,
    firmness_bands,
    grams_per_m2,
    sett_from_wraps,
    structure,
    structures,
)

every_structure = st.sampled_from(structures())


@given(every_structure, every_structure, st.floats(1, 40))
def test_a_structure_of_fewer_crossings_is_set_closer(one: Structure, other: Structure, diameters: float) -> None:
    """The closest sett falls as crossings per end rise: plain is most open, satin closest."""
    if one.crossing_share > other.crossing_share:
        assert closest_sett(diameters, one) < closest_sett(diameters, other)
        assert sett_from_wraps(diameters, one) < sett_from_wraps(diameters, other)


def test_plain_weave_takes_up_most_and_satin_least() -> None:
    """Crossings per pick order the structures as take-up does (M. Y. Ali and M. G. Robbani, BUFT J., 80 cloths)."""
    assert max(structures(), key=lambda one: one.crossing_share).name == "plain"
    assert min(structures(), key=lambda one: one.crossing_share).name == "satin 8"
    assert structure("plain").crossing_share == 1.0
    assert structure("twill 2/2").crossing_share == 0.5


def test_half_the_wraps_for_plain_and_two_thirds_for_twill() -> None:
    """15 wraps to the inch suggest 7.5 ends in plain weave and 10 in twill. Common practice, no source."""
    assert sett_from_wraps(15, structure("plain")) == 7.5
    assert sett_from_wraps(15, structure("twill")) == pytest.approx(10)


def test_a_structure_is_found_by_any_of_its_words() -> None:
    """Tabby is plain weave; what nobody knows is refused with what there is."""
    for one in structures():
        assert one.source
        assert all(structure(f" {word.upper()} ") == one for word in one.words)
    with pytest.raises(KeyError, match="twill 2/2"):
        structure("lace of cobwebs")


def test_the_bands_of_firmness_meet_and_each_share_has_a_word() -> None:
    """No gap between bands, no overlap, every band with a source."""
    bands = firmness_bands()
    assert bands[0].least_share == 0.0
    for lower, upper in pairwise(bands):
        assert lower.most_share == upper.least_share
    for band in bands:
        assert band.source
        assert firmness(band.least_share) == band.name
    assert firmness(1000.0) == bands[-1].name


@given(st.dictionaries(st.text("0123456789/", min_size=1), st.floats(1, 20), min_size=1), st.floats(1, 20))
def test_heddles_come_nearest_first_and_none_is_lost(heddles: dict[str, float], advised: float) -> None:
    """Every heddle owned is a candidate; nearness is by ratio, so 3 for 6 is as far as 12 for 6."""
    found = candidates(heddles, advised, 2 * advised)
    assert {one.heddle: one.ends_per_cm for one in found} == heddles
    away = [max(one.against_advice, 1 / one.against_advice) for one in found]
    assert away == pytest.approx(sorted(away), rel=1e-12)
    for one in found:
        assert one.share_of_closest == pytest.approx(one.ends_per_cm / (2 * advised))
        assert one.sample_this == (max(one.against_advice, 1 / one.against_advice) <= 1.35)


@given(st.floats(1, 30), st.floats(1, 30), st.floats(5, 500), st.floats(5, 500), st.floats(0, 0.3), st.floats(0, 0.3))
def test_mass_is_the_weight_of_the_yarn_in_a_square_metre(
    ends: float, picks: float, warp: float, weft: float, warp_crimp: float, weft_crimp: float
) -> None:
    """By lengths: 100 ends per cm-count of a metre each, and the picks the same, their crimp added. By arithmetic."""
    metres_of_warp, metres_of_weft = 100 * ends * (1 + warp_crimp), 100 * picks * (1 + weft_crimp)
    by_length = metres_of_warp * warp / 1000 + metres_of_weft * weft / 1000
    mass = grams_per_m2(
        ends_per_cm=ends,
        picks_per_cm=picks,
        warp_tex=warp,
        weft_tex=weft,
        warp_crimp=warp_crimp,
        weft_crimp=weft_crimp,
    )
    assert mass == pytest.approx(by_length, rel=1e-12)
    drawn = grams_per_m2(
        ends_per_cm=np.full(3, ends),
        picks_per_cm=picks,
        warp_tex=warp,
        weft_tex=weft,
        warp_crimp=warp_crimp,
        weft_crimp=weft_crimp,
    )
    assert drawn == pytest.approx(np.full(3, by_length), rel=1e-12)
