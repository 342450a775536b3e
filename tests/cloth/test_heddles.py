"""Heddles are what is printed on them, and every way to sley them is exact."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.cloth import (
    Structure,
    Thickness,
    firmness_bands,
    read_heddle,
    read_heddles,
    read_threading,
    read_threadings,
    sett_wanted,
    sleyed_candidates,
    sleyings,
    split_heddles,
    structure,
    structures,
    threadings,
    worth_sampling,
)
from clothwright.measure import QuantityError

every_structure = st.sampled_from(structures())
wraps = st.floats(2, 20)
thicknesses = st.builds(lambda warp, weft: Thickness(warp, weft, warp / 0.7, weft / 0.7), wraps, wraps)
some_heddles = st.lists(
    st.sampled_from(
        ["20/10 cm", "30/10 cm", "40/10 cm", "7.5/in", "12.5/in", "8/in reed", "10/in reed", "70 Stockport"]
    ),
    min_size=1,
    max_size=5,
    unique=True,
)


def test_a_heddle_is_never_the_size_it_nearly_is() -> None:
    """30/10 cm is 7.62 to the inch, 45/10 is 11.43 and 50/10 is 12.70; 8 to the inch is 3.15 to the cm. By arithmetic."""
    for printed, per_inch in (("30/10 cm", 7.62), ("45/10 cm", 11.43), ("50/10 cm", 12.70), ("8/in", 8.0)):
        assert read_heddle(printed).per_cm * 2.54 == pytest.approx(per_inch)
    assert read_heddle("30/10 cm") != read_heddle("8/in")


def test_a_heddle_of_sections_is_as_wide_as_its_sections() -> None:
    """20 cm of 3 and 10 cm of 4 hold 100 ends over 30 cm. By arithmetic."""
    heddle = read_heddle("30/10 cm for 20 cm + 40/10 cm for 10 cm")
    assert heddle.width_cm == pytest.approx(30)
    assert heddle.per_cm * 30 == pytest.approx(100)
    assert [part.printed for part in heddle.sections] == ["30/10 cm", "40/10 cm"]
    mixed = read_heddle("7.5/in for 8 in + 10/in for 4 in")
    assert mixed.per_cm * mixed.width_cm == pytest.approx(100)


def test_old_reeds_are_heddles_too() -> None:
    """70 Stockport is 70 ends to the inch, 1200/4 silk 133 1/3, 16s reeds are asked for as reeds (trade tables)."""
    assert read_heddle("70 Stockport").per_cm * 2.54 == pytest.approx(70)
    assert read_heddle("1200/4 silk").per_cm * 2.54 == pytest.approx(400 / 3)
    assert read_heddle("72 Bradford").per_cm * 2.54 == pytest.approx(80)
    assert read_heddle("reed 12/in").of == "reed"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("30", "30 what"),
        ("30/10", "30/10"),
        ("12 dent reed", "per inch or per 10 cm"),
        ("3 to 4/cm", "one sett"),
        ("30/10 cm for 20 cm + 40/10 cm", "how wide is the section"),
        ("30/10 cm for 20 cm +", "how wide is the section"),
        ("30/10 cm for 0 cm", "some width"),
        ("30/10 cm for twenty", "twenty"),
        ("0/10 cm", "more than nothing"),
        ("0 Stockport", "more than nothing"),
        ("70 Timbuktu", "70 Timbuktu"),
        ("reed", "nothing came"),
    ],
)
def test_what_is_no_heddle_is_refused_with_a_sentence(text: str, said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        read_heddle(text)


def test_heddles_come_repeated_or_with_commas() -> None:
    """A comma inside a number is a decimal comma; the same heddle twice is one."""
    found = read_heddles(["30/10 cm, 40/10 cm", "7,5/in,8/in", "30/10 cm"])
    assert [one.printed for one in found] == ["30/10 cm", "40/10 cm", "7,5/in", "8/in"]
    assert found[2].per_cm * 2.54 == pytest.approx(7.5)


@pytest.mark.parametrize("way", sleyings(), ids=lambda way: f"{way.of} {way.short}")
def test_a_way_to_sley_puts_in_the_ends_it_says(way: object) -> None:
    """Filling ten repeats of places one by one holds as many ends as the average promises."""
    places = 10 * len(way.order)
    ends = sum(way.heddles * way.order[place % len(way.order)] for place in range(places))
    assert way.ends_per_place * places == pytest.approx(ends)
    assert way.words
    assert way.source


def test_a_reed_reaches_the_setts_between() -> None:
    """10 dents to the inch give 13 1/3 by 1-1-2, 15 by 1-2, 16 2/3 by 1-2-2, 25 by 2-3. By arithmetic."""
    per_inch = {one.way.short: one.per_cm * 2.54 for one in threadings([read_heddle("10/in reed")])}
    for order, expected in (("1-1-2", 40 / 3), ("1-2", 15), ("1-2-2", 50 / 3), ("2-3", 25), ("1-1-0", 20 / 3)):
        assert per_inch[order] == pytest.approx(expected)


def test_a_rigid_heddle_doubles_and_halves() -> None:
    """Two ends in each place, or two heddles, give six to the cm from 30/10; every other slot one and a half."""
    ways = {one.way.short: one for one in threadings([read_heddle("30/10 cm")])}
    assert {short: pytest.approx(one.per_cm) for short, one in ways.items()} == {
        "1": 3.0,
        "2": 6.0,
        "1 in 2 heddles": 6.0,
        "2-1": 4.5,
        "1-1-0-0": 1.5,
    }
    assert ways["2"].way.as_one
    assert not ways["1 in 2 heddles"].way.as_one


@given(some_heddles, thicknesses, every_structure, st.sampled_from([None, *firmness_bands()[:-1]]))
def test_candidates_are_the_heddles_owned_nearest_first_then_other_ways(
    texts: list[str], thickness: Thickness, of: Structure, wanted: object
) -> None:
    """Each heddle once, as usually sleyed; after them other ways to sley one that come nearer than its usual way."""
    found = sleyed_candidates(read_heddles(texts), thickness, of, wanted)
    usual = [one for one in found if one.usual]
    assert sorted(one.heddle for one in usual) == sorted(texts)
    assert list(found[: len(usual)]) == usual
    away = [max(one.against_advice, 1 / one.against_advice) for one in usual]
    assert away == sorted(away)
    for one in found[len(usual) :]:
        assert one.sample_this
        assert one.heddle in texts
        assert max(one.against_advice, 1 / one.against_advice) < away[[two.heddle for two in usual].index(one.heddle)]
    for one in usual:
        assert one.ends_per_cm == pytest.approx(one.against_advice * sett_wanted(thickness, of, wanted))
        assert one.share_of_closest == pytest.approx(one.ends_per_cm / thickness.closest(of))
        assert 0 < one.cover <= 1


def test_pairs_are_judged_as_the_cloth_they_weave() -> None:
    """A yarn of 24 wraps to the inch, two in each place of 30/10 cm: half basket at two thirds, not a plain weave at nine tenths."""
    thickness = Thickness(*(2 * (24 / 2.54,)), *(2 * (24 / 2.54 / 0.7,)))
    found = sleyed_candidates(read_heddles(["30/10 cm"]), thickness, structure("plain"))
    pairs = next(one for one in found if one.order == "2")
    assert pairs.structure == "half basket, ends in pairs"
    assert pairs.share_of_closest == pytest.approx(6.0 / (24 / 2.54 / 0.7 * 2 / 3))
    assert pairs.named == "30/10 cm, 2"
    assert all(one.structure == "plain" for one in found if one.usual)


@given(some_heddles, thicknesses, every_structure)
def test_one_or_two_are_to_be_sampled_first(texts: list[str], thickness: Thickness, of: Structure) -> None:
    """The nearest as usually sleyed where one is near, and one plainly to its other side; opener first."""
    found = sleyed_candidates(read_heddles(texts), thickness, of)
    first = worth_sampling(found)
    near = [one for one in found if one.sample_this and one.usual]
    assert 1 <= len(first) <= 2
    assert set(first) <= set(found)
    if near:
        assert near[0] in first
    if len(first) == 2:
        assert all(one.sample_this for one in first)
        assert first[1].against_advice / first[0].against_advice >= 1.08


def test_heddles_all_but_alike_are_sampled_once() -> None:
    """7.5/in is 2.95 to the cm and 30/10 cm is 3.00: one sample, with 25/10 cm to its open side."""
    thickness = Thickness(*(2 * (15 / 2.54,)), *(2 * (15 / 2.54 / 0.7,)))
    found = sleyed_candidates(read_heddles(["7.5/in, 30/10 cm, 40/10 cm"]), thickness, structure("plain"))
    assert "30/10 cm" not in [one.heddle for one in worth_sampling(found) if one.usual]
    found = sleyed_candidates(read_heddles(["30/10 cm, 25/10 cm"]), thickness, structure("plain"))
    assert [one.named for one in worth_sampling(found)] == ["25/10 cm", "30/10 cm"]


def test_sections_are_judged_apart() -> None:
    """The closer section is the firmer cloth; ends are whole in each."""
    thickness = Thickness(*(2 * (15 / 2.54,)), *(2 * (15 / 2.54 / 0.7,)))
    heddle = read_heddle("20/10 cm for 10.4 cm + 40/10 cm for 10 cm")
    one = sleyed_candidates([heddle], thickness, structure("plain"))[0]
    assert [part.ends for part in one.sections] == [20, 40]
    assert one.sections[0].firmness != one.sections[1].firmness
    assert one.width_cm == pytest.approx(20.4)


@given(thicknesses, every_structure)
def test_wanting_the_middling_firmness_is_wanting_what_the_wraps_advise(thickness: Thickness, of: Structure) -> None:
    """Half the wraps is 0.7 of the closest sett, so a band round 0.7 asks for much the same."""
    sewing = next(band for band in firmness_bands() if band.name == "sewing cloth")
    assert sett_wanted(thickness, of, sewing) == pytest.approx(sett_wanted(thickness, of), rel=0.05)


@pytest.mark.parametrize(
    ("typed", "ends_per_inch", "words"),
    [
        ("12/in reed, 1-2", 18, "one, two: the ends of one dent and the next"),
        ("12/in reed, 1-2-1-2", 18, "one, two: the ends of one dent and the next"),
        ("10/in reed, 1-1-2", 40 / 3, "one, one, two"),
        ("10/in reed, 1-3", 20, "1, 3 ends in one place after the other"),
        ("7.5/in, 1 in 2 heddles", 15, "two such heddles"),
        ("7,5/in, 1 in two heddles", 15, "two such heddles"),
        ("7.5/in, 2", 15, "each pair weaves as one"),
        ("8/in, 1-1-0-0", 4, "every other slot"),
        ("7.5/in", 7.5, "one end in each slot and each hole"),
        ("70 Stockport", 70, "as its number says"),
    ],
)
def test_a_heddle_is_typed_with_the_order_it_is_sleyed_in(typed: str, ends_per_inch: float, words: str) -> None:
    """Ends per inch are dents per inch times ends per dent on average: by arithmetic. The text stays as typed."""
    sley = read_threading(typed)
    assert sley.per_cm * 2.54 == pytest.approx(ends_per_inch)
    assert words in sley.way.words
    assert str(sley) == typed
    assert read_threading(sley.named).way == sley.way


@given(st.sampled_from(["30/10 cm", "7.5/in", "12/in reed", "70 Stockport", "30/10 cm for 20 cm + 40/10 cm for 10 cm"]))
def test_what_the_sett_command_names_can_be_typed(printed: str) -> None:
    """Every way of the table, as a candidate is named, reads back as itself."""
    for one in threadings([read_heddle(printed)]):
        again = read_threading(one.named)
        assert (again.heddle, again.way) == (one.heddle, one.way)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("12/in reed, 0-0", "fills some place"),
        ("12/in reed, 99", "cannot be sleyed"),
        ("12/in reed, 1 in 2 heddles", "a reed stands alone"),
        ("70 Stockport, 1-2", "its number says how it is filled"),
        ("30/10 cm, 1 in 0 heddles", "cannot be sleyed"),
        ("30, 1-2", "30"),
        ("3.0 to 3.4/cm", "one sett"),
    ],
)
def test_an_order_that_cannot_be_sleyed_is_refused(typed: str, why: str) -> None:
    """One sentence, with a form that is accepted."""
    with pytest.raises(QuantityError, match=why):
        read_threading(typed)


def test_the_reed_of_a_loom_with_shafts_parts_its_ends() -> None:
    """Two ends in a dent are lifted apart by the shafts; two in a slot of a rigid heddle are lifted as one."""
    typed = read_threading("12/in, 2")
    assert typed.way.as_one
    assert typed.ends_together == 2
    in_reed = typed.in_shafts
    assert not in_reed.way.as_one
    assert in_reed.ends_together == 1
    assert in_reed.per_cm == typed.per_cm
    assert read_threading("12/in rigid heddle, 2").in_shafts.way.as_one
    with pytest.raises(ValueError, match="a reed stands alone"):
        _ = read_threading("12/in, 1 in 2 heddles").in_shafts


def test_a_list_of_heddles_keeps_each_with_its_order() -> None:
    """A comma before an order does not part two heddles; semicolons always do, and so do other commas."""
    typed = "30; 12/in reed, 1-2; 25/10 cm, 1 in 2 heddles, 40/10 cm, 7,5/in, 30/10 cm, 2"
    assert split_heddles(typed) == [
        "30",
        "12/in reed, 1-2",
        "25/10 cm, 1 in 2 heddles",
        "40/10 cm",
        "7,5/in",
        "30/10 cm, 2",
    ]
    assert split_heddles("30, 40\n50") == ["30", "40", "50"]


def test_an_order_typed_is_compared_whether_or_not_it_comes_near() -> None:
    """1-1-3 of a reed is in no table and five ends to three dents of it, twice over; the heddles themselves stay each once."""
    texts = ["30/10 cm, 12/in reed, 1-1-3; 12/in reed", "70 Stockport"]
    typed = read_threadings(part for text in texts for part in text.split(";"))
    assert [one.named for one in typed] == ["30/10 cm", "12/in reed, 1-1-3", "12/in reed", "70 Stockport"]
    owned = read_heddles(["30/10 cm", "12/in reed, 1-1-3", "12/in reed"])
    assert [one.printed for one in owned] == ["30/10 cm", "12/in reed"]
    thickness = Thickness(6.0, 6.0, 8.0, 8.0)
    found = sleyed_candidates(owned, thickness, structure("plain"), typed=typed)
    asked = [one for one in found if one.order == "1-1-3"]
    assert [one.named for one in asked] == ["12/in reed, 1-1-3"]
    assert asked[0].ends_per_inch == pytest.approx(20)
    assert not asked[0].sample_this
    assert asked[0] not in sleyed_candidates(owned, thickness, structure("plain"))


def test_an_order_typed_that_comes_near_anyway_stands_once() -> None:
    thickness = Thickness(11.0, 11.0, 15.0, 15.0)
    typed = read_threadings(["10/in reed, 1-2"])
    found = sleyed_candidates([typed[0].heddle], thickness, structure("plain"), typed=typed)
    assert [one.named for one in found].count("10/in reed, 1-2") == 1
    assert found == sleyed_candidates([typed[0].heddle], thickness, structure("plain"))
