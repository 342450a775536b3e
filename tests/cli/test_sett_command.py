"""clothwright sett: every way to say how thick a yarn is, every heddle, and what each leads to."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from clothwright.cli.app import commands
from clothwright.cli.failing import Refused


def asked(*arguments: str) -> dict:
    """The answer in JSON."""
    done = CliRunner().invoke(commands, ["sett", *arguments, "--json"])
    assert done.exit_code == 0, (done.output, done.exception)
    return json.loads(done.stdout)


def refused(*arguments: str) -> str:
    """The sentences on standard error of a refusal."""
    done = CliRunner().invoke(commands, ["sett", *arguments])
    assert isinstance(done.exception, Refused), (done.output, done.exception)
    return done.stderr


def shown(*arguments: str) -> str:
    """The answer as text, in one line."""
    done = CliRunner().invoke(commands, ["sett", *arguments])
    assert done.exit_code == 0, (done.output, done.exception)
    return " ".join(done.stdout.split())


def test_each_candidate_says_what_the_contract_names_and_what_it_leads_to() -> None:
    """Heddle, ends per cm, firmness; ends, width in heddle, yarn, mass with their spread; the working re-added elsewhere."""
    answer = asked("--wraps", "15/in", "--yarn", "310 m/100 g", "--heddles", "30/10 cm", "--width", "44 cm")
    one = answer["candidates"][0]
    assert (one["heddle"], one["ends_per_cm"], one["firmness"]) == ("30/10 cm", pytest.approx(3.0), "sewing cloth")
    assert one["sleying"] == "one end in each slot and each hole"
    led = one["leads_to"]
    assert led["for_width_cm"] == 44.0
    assert led["fits"]
    assert led["ends"] % 2 == 0
    for name in ("finished_width_cm", "warp_m_per_m", "weft_m_per_m", "g_per_m2", "draw_in", "length_lost"):
        assert led[name]["low"] < led[name]["expected"] < led[name]["high"], name
        assert led[name]["expected"] > 0, name
    assert {"step", "sum", "value", "unit", "rung", "from"} == set(answer["working"][0])


@pytest.mark.parametrize("wraps", [("--warp-wraps", "12/in", "--weft-wraps", "24/in"), ("--together-wraps", "8/in")])
def test_a_weft_of_its_own_wraps_has_no_weight_until_it_is_numbered(wraps: tuple[str, ...]) -> None:
    """The warp's number is not taken for a weft that was wrapped apart."""
    numbered = (*wraps, "--yarn", "8/2 cotton", "--heddles", "30/10 cm")
    assert asked(*numbered)["candidates"][0]["leads_to"]["g_per_m2"] is None
    weighed = asked(*numbered, "--weft-yarn", "16/2 cotton")["candidates"][0]["leads_to"]
    assert weighed["g_per_m2"]["low"] > 0


def test_without_a_width_it_is_told_for_ten_cm() -> None:
    assert asked("--wraps", "15/in", "--heddles", "30/10 cm")["candidates"][0]["leads_to"]["for_width_cm"] == 10.0


def test_an_order_of_no_table_is_compared_as_a_project_takes_it() -> None:
    """One, one and three ends of a 12-dent reed are 20 to the inch: by arithmetic."""
    found = {one["order"]: one for one in asked("--wraps", "15/in", "--heddles", "12/in reed, 1-1-3")["candidates"]}
    assert found["1-1-3"]["ends_per_cm"] == pytest.approx(20 / 2.54)
    assert "1, 1, 3 ends" in found["1-1-3"]["sleying"]
    assert {one["heddle"] for one in found.values()} == {"12/in reed"}
    assert "1" in found
    assert "leave the order out" in refused("--wraps", "15/in", "--heddles", "70 Stockport, 1-2")


def test_both_yarns_wrapped_together_are_the_two_wrapped_apart() -> None:
    """12 wraps of warp alone and 24 of weft are 8 of each in an inch, turn about: the plain sett. By arithmetic."""
    apart = asked("--warp-wraps", "12/in", "--weft-wraps", "24/in")
    together = asked("--together-wraps", "8/in", "--warp-wraps", "12/in")
    assert together["advised_ends_per_cm"] == pytest.approx(8 / 2.54)
    assert together["advised_ends_per_cm"] == pytest.approx(apart["advised_ends_per_cm"])
    twill = ("--structure", "twill 2/2")
    assert asked("--together-wraps", "8/in", "--warp-wraps", "12/in", *twill)["advised_ends_per_cm"] == pytest.approx(
        asked("--warp-wraps", "12/in", "--weft-wraps", "24/in", *twill)["advised_ends_per_cm"]
    )


def test_a_mixed_warp_is_wrapped_by_proportion() -> None:
    """Two ends of 18 wraps to one of 9 wrap as 13.5, not as their average of 15. By arithmetic."""
    answer = asked("--wraps", "2 x 18/in + 1 x 9/in")
    assert answer["advised_ends_per_cm"] == pytest.approx(13.5 / 2 / 2.54)
    assert "the widths that add" in answer["working"][0]["sum"]


def test_counted_wraps_and_calculated_diameters_stay_two_scales() -> None:
    """A lofty single of 4,800 m/kg wraps 16 to the inch and calculates to 41 (a spinner's skein): the count decides the sett."""
    counted = asked("--wraps", "16/in", "--yarn", "4800 m/1 kg", "--fibre", "woollen")
    number = asked("--yarn", "4800 m/1 kg", "--fibre", "woollen")
    assert counted["advised_ends_per_cm"] == pytest.approx(8 / 2.54)
    assert number["closest_ends_per_cm"] == pytest.approx(41.0 / 2 / 2.54, rel=0.002)
    assert any(line["value"] == pytest.approx(41.0 / 2.54, rel=0.002) for line in counted["working"])


def test_how_wraps_were_taken_is_shown() -> None:
    """Half a wrap over 5 cm is a tenth of a wrap to the cm; pushed together leans to the opener heddle."""
    lines = asked("--wraps", "6/cm", "--wraps-taken", "over 5 cm, pushed together")["working"]
    line = next(line for line in lines if line["step"] == "How they were counted")
    assert "5.90 to 6.10 per cm" in line["sum"]
    assert "opener" in line["from"]


def test_the_fibre_a_yarn_names_is_used() -> None:
    """8/2 cotton is cotton: its draw-in is cotton's, and it is asked about burning when light."""
    named = asked("--yarn", "8/2 cotton", "--heddles", "50/10 cm")
    told = asked("--yarn", "8/2 cotton", "--heddles", "50/10 cm", "--fibre", "cotton")
    assert named == told


def test_two_heddles_and_two_in_a_place_reach_a_fine_yarn() -> None:
    """30 wraps to the inch in a 30/10 heddle: two heddles, or pairs that weave as a half basket."""
    ways = {one["order"]: one for one in asked("--wraps", "30/in", "--heddles", "30/10 cm")["candidates"]}
    assert ways["1 in 2 heddles"]["ends_per_cm"] == pytest.approx(6.0)
    assert "second heddle" in ways["1 in 2 heddles"]["sleying"]
    assert ways["2"]["structure"] == "half basket, ends in pairs"


def test_a_wanted_firmness_chooses_the_heddle() -> None:
    heddles = ("--wraps", "15/in", "--heddles", "20/10 cm, 30/10 cm, 40/10 cm")
    assert asked(*heddles, "--firmness", "gauze")["candidates"][0]["heddle"] == "20/10 cm"
    assert asked(*heddles, "--firmness", "upholstery")["candidates"][0]["heddle"] == "40/10 cm"


def test_a_pattern_in_inches_on_a_heddle_in_centimetres() -> None:
    """160 ends at 8 to the inch, 20 in wide, 18 in finished, on 30/10 and a 50 cm loom. By arithmetic."""
    said = shown(
        *("--like", "8/in", "--heddles", "30/10 cm", "--width", "18 in", "--width-ratio", "18/20"),
        *("--loom-width", "50 cm", "--ends", "160"),
    )
    for part in (
        "160 ends would be 53.3 cm",
        "does not fit",
        "150 ends do: 50.0 cm",
        "45.0 cm (17.7 in)",
        "7.62",
        "0.7 cm",
    ):
        assert part in said
    assert "8.00" not in said


def test_the_text_shows_both_units_and_the_working() -> None:
    said = shown("--wraps", "15/in", "--heddles", "30/10 cm", "--width", "44 cm", "--fibre", "wool")
    assert "44 cm (17.3 in) finished" in said
    assert "Working" in said
    assert "Sample at 30/10 cm" in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "how thick the yarn is"),
        (("--wraps", "15/in", "--like", "8/in"), "--wraps and --like came"),
        (("--weft-wraps", "15/in"), "how thick"),
        (("--weft-wraps", "15/in", "--yarn", "8/2 cotton"), "--weft-wraps came alone"),
        (("--together-wraps", "8/in", "--warp-wraps", "7/in"), "no closer"),
        (
            ("--together-wraps", "8/in", "--warp-wraps", "12/in", "--weft-wraps", "24/in"),
            "follow from the two together",
        ),
        (("--wraps", "15"), "15 what"),
        (("--wraps", "2 x 18/in + 9/in"), "how many ends"),
        (("--wraps", "0 x 18/in + 1 x 9/in"), "some ends"),
        (("--wraps", "15/in", "--wraps-taken", "on a Tuesday"), "how the wraps were counted"),
        (("--wraps", "15/in", "--wraps-taken", "over 0 cm"), "some length"),
        (("--wraps", "15/in", "--structure", "half basket"), "ends in pairs or the picks"),
        (("--wraps", "15/in", "--structure", "cobweb"), "known structures"),
        (("--wraps", "15/in", "--firmness", "cloth"), "more than one band"),
        (("--wraps", "15/in", "--heddles", "12 dent reed"), "per inch or per 10 cm"),
        (("--wraps", "15/in", "--width", "0 cm"), "more than nothing"),
        (("--wraps", "15/in", "--width", "44"), "44 what"),
        (("--wraps", "15/in", "--width-ratio", "90"), "90"),
        (("--yarn", "2/40"), "2/40"),
    ],
)
def test_what_does_not_tell_is_refused_in_one_sentence(arguments: tuple[str, ...], said: str) -> None:
    sentence = refused(*arguments)
    assert said in sentence
    assert len(sentence.strip().splitlines()) == 1
