"""Structures, candidates and firmness."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import (
    Structure,
    Thickness,
    candidates,
    closest_sett,
    cloth_cover,
    firmness,
    firmness_band,
    firmness_bands,
    firmness_named,
    grams_per_m2,
    mixed_wraps,
    read_threading,
    reed_system,
    reed_systems,
    sett_from_both_wraps,
    sett_from_wraps,
    sett_wrapped_together,
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


@given(st.sets(st.integers(5, 200), min_size=1, max_size=9), st.floats(1, 20))
def test_heddles_come_nearest_first_and_none_is_lost(printed: set[int], advised: float) -> None:
    """Every heddle owned is a candidate; nearness is by ratio, so 3 for 6 is as far as 12 for 6."""
    owned = [read_threading(f"{per_10_cm}/10 cm") for per_10_cm in printed]
    thickness = Thickness(2 * advised, 2 * advised, 4 * advised, 4 * advised)
    pairs = candidates(owned, thickness, structure("plain"))
    assert {heddle for heddle, _ in pairs} == set(owned)
    found = [one for _, one in pairs]
    assert sorted(one.ends_per_cm for one in found) == pytest.approx(sorted(number / 10 for number in printed))
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


@given(st.floats(2, 40), st.floats(2, 40), every_structure)
def test_wrapping_both_yarns_together_is_the_sett_of_two_yarns(warp: float, weft: float, of: Structure) -> None:
    """Side by side, turn about, a cm holds 1/(1/warp + 1/weft) of each: the plain sett; other structures by the same two."""
    together = 1 / (1 / warp + 1 / weft)
    assert sett_wrapped_together(together, structure("plain")) == pytest.approx(together)
    assert sett_wrapped_together(together, of, warp) == pytest.approx(sett_from_both_wraps(warp, weft, of))


@given(st.floats(2, 40), every_structure)
def test_one_yarn_wrapped_twice_over_is_wrapped_alone(wraps: float, of: Structure) -> None:
    """A yarn wrapped beside itself counts half, and suggests what it suggests alone."""
    assert sett_wrapped_together(wraps / 2, of) == pytest.approx(sett_from_wraps(wraps, of))
    assert closest_sett(wraps, of, wraps) == pytest.approx(closest_sett(wraps, of))


def test_a_warp_that_wraps_no_closer_alone_is_refused() -> None:
    """The weft between takes room."""
    with pytest.raises(ValueError, match="no closer"):
        sett_wrapped_together(6.0, structure("twill"), 6.0)


@given(st.lists(st.tuples(st.floats(0.5, 40), st.floats(2, 40)), min_size=1, max_size=5))
def test_a_mixed_warp_fills_the_width_its_yarns_fill(parts: list[tuple[float, float]]) -> None:
    """So many ends of each, wound side by side: their widths add up, whatever the order."""
    width = sum(ends / wraps for ends, wraps in parts)
    mean = mixed_wraps(parts)
    assert sum(ends for ends, _ in parts) / mean == pytest.approx(width)
    counted = sum(ends * wraps for ends, wraps in parts) / sum(ends for ends, _ in parts)
    assert mean <= counted * (1 + 1e-9)
    assert min(wraps for _, wraps in parts) * (1 - 1e-9) <= mean


def test_a_thick_end_to_two_thin_ones() -> None:
    """Two ends of 18 wraps and one of 9 fill what 3 ends of 13.5 wraps fill; the plain average would say 15. By arithmetic."""
    assert mixed_wraps([(2, 18), (1, 9)]) == pytest.approx(13.5)


def test_bands_are_found_by_what_they_are_for() -> None:
    """A word of the name or the uses; a word of more than one band is a question."""
    assert firmness_named("gauze").name == "gauze"
    assert firmness_named("Sewing cloth").name == "sewing cloth"
    assert "upholstery" in firmness_named("upholstery").name
    assert firmness_named("shirts").name == "sewing cloth"
    with pytest.raises(KeyError, match="more than one band"):
        firmness_named("cloth")
    with pytest.raises(KeyError, match="no such band"):
        firmness_named("sailcloth")


def test_every_band_says_what_it_is_for_and_how_it_feels() -> None:
    """The middle of a band lies in it."""
    for band in firmness_bands():
        assert band.uses
        assert band.hand
        assert firmness_band(band.middle_share) == band


@given(st.floats(0, 2), st.floats(0, 2))
def test_two_sets_of_threads_cover_no_more_than_the_whole(warp: float, weft: float) -> None:
    """Cover grows with either set, and is that of the other where one is missing."""
    both = cloth_cover(warp, weft)
    assert max(min(warp, 1), min(weft, 1)) - 1e-12 <= both <= 1
    assert cloth_cover(warp, 0) == min(warp, 1)


def test_old_reeds_are_found_by_name() -> None:
    """Every system has its words and its source; an unknown one is refused with those there are."""
    for one in reed_systems():
        assert one.source
        assert all(reed_system(word.upper()) == one for word in one.words)
    with pytest.raises(KeyError, match="Stockport"):
        reed_system("Timbuktu")


@given(st.floats(10, 200), st.integers(1, 4))
def test_what_is_put_in_a_dent_counts_only_where_dents_are_counted(number: float, in_each: int) -> None:
    """Bradford counts ends, so two in a dent change nothing; a reed counts dents."""
    assert reed_system("Bradford").ends_per_cm(number, in_each) == reed_system("Bradford").ends_per_cm(number)
    assert reed_system("reed").ends_per_cm(number, in_each) == pytest.approx(
        in_each * reed_system("reed").ends_per_cm(number)
    )
