"""The drawings at true size carry their size in mm, and their threads are as thick and as far apart as said."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from clothwright.cloth import Thickness, read_heddles, structure, usual_heddles
from clothwright.planning.setts.side_by_side import SettQuestion, compare_setts
from clothwright.sheets import ShownSett, check_line_svg, sett_svg, shown_setts, worth_drawing
from clothwright.sheets.sampling.setts import against_in_words

SVG = "{http://www.w3.org/2000/svg}"


def drawn(svg: str) -> tuple[ElementTree.Element, float]:
    """The drawing, and how many mm a unit of it is."""
    root = ElementTree.fromstring(svg)
    across = float(root.attrib["viewBox"].split()[2])
    assert root.attrib["width"].endswith("mm")
    assert root.attrib["height"].endswith("mm")
    return root, float(root.attrib["width"][:-2]) / across


def threads(root: ElementTree.Element, css: str) -> list[dict[str, str]]:
    return [one.attrib for one in root.iter(f"{SVG}line") if one.attrib["class"] == f"cw-{css}"]


@pytest.mark.parametrize(("ends", "thick"), [(3.0, 1.17), (12.0, 0.3), (0.8, 6.0), (30.0, 0.1)])
def test_ends_lie_as_far_apart_and_are_as_thick_as_said(ends: float, thick: float) -> None:
    root, mm = drawn(sett_svg(ends, warp_mm=thick))
    warp = threads(root, "warp")
    places = [float(one["x1"]) * mm for one in warp]
    assert len(warp) == pytest.approx(3 * ends, abs=1)
    assert all(b - a == pytest.approx(10 / ends, abs=0.01) for a, b in pairwise(places))
    assert all(float(one["stroke-width"]) * mm == pytest.approx(thick, abs=0.005) for one in warp)


def test_every_pick_lies_over_every_other_end_and_the_next_over_those_between() -> None:
    root, mm = drawn(sett_svg(4.0, warp_mm=1.0))
    left = float(threads(root, "true")[0]["x1"])
    over = threads(root, "over")
    assert len(over) == 8
    for number, one in enumerate(over):
        dash, gap = (float(part) * mm for part in one["stroke-dasharray"].split())
        assert dash == pytest.approx(2.5, abs=1e-3) == gap
        assert (float(one["x1"]) - left) * mm == pytest.approx(2.5 * (number % 2), abs=0.01)


def test_warp_and_weft_may_differ() -> None:
    root, mm = drawn(sett_svg(4.0, warp_mm=1.0, weft_mm=0.5, picks_per_cm=8.0))
    assert len(threads(root, "weft")) == 16
    assert float(threads(root, "weft")[0]["stroke-width"]) * mm == pytest.approx(0.5, abs=0.005)


def test_the_check_line_is_5_cm() -> None:
    root, mm = drawn(check_line_svg())
    line = threads(root, "true")[0]
    assert (float(line["x2"]) - float(line["x1"])) * mm == pytest.approx(50, abs=0.01)


def test_what_is_typed_is_escaped_and_nothing_has_a_style() -> None:
    svg = sett_svg(3.0, warp_mm=1.0, name='<script>"&')
    assert "<script>" not in svg
    assert not re.search(r"\sstyle=|\sid=", svg)


HEDDLES = read_heddles(["20/10 cm", "30/10 cm", "40/10 cm", "60/10 cm"])
SIX_WRAPS = Thickness(6.0, 6.0, 6 / 0.7, 6 / 0.7)


def shown(**more: Any) -> dict[str, ShownSett]:
    question = SettQuestion(structure("plain"), SIX_WRAPS, HEDDLES, other_ways=False, **more)
    return {one.heddle: one for one in shown_setts(compare_setts(question))}


def test_candidates_come_nearest_first_and_those_worth_a_sample_are_drawn() -> None:
    found = shown()
    assert list(found)[:3] == ["30/10 cm", "40/10 cm", "20/10 cm"]
    assert found["30/10 cm"].against == "as advised"
    assert found["30/10 cm"].share.replace("\u00a0", " ") == "70 %"
    assert worth_drawing(tuple(found.values())) == tuple(found.values())
    assert next(iter(found.values())).sampled == "first"
    assert found["60/10 cm"].sampled == ""


def test_of_many_heddles_those_worth_a_sample_are_drawn() -> None:
    """Of the fourteen commonly sold, only setts near the advised one, six at most."""
    heddles = read_heddles(usual_heddles())
    every = shown_setts(compare_setts(SettQuestion(structure("plain"), SIX_WRAPS, heddles, other_ways=False)))
    drawn = worth_drawing(every)
    assert len(every) == 14
    assert len(drawn) == 6
    assert drawn == tuple(one for one in every if one.sampled)[:6]


def test_what_a_sett_leads_to_follows_from_the_width() -> None:
    """44 ÷ 0.9 × 4 = 195.6, so 98 pairs; 196 ÷ 4 = 49 cm."""
    found = shown(finished_width_cm=44.0, width_ratio=0.9, warp_tex=320.0, weft_tex=320.0)["40/10 cm"]
    facts = {what: much.replace("\u00a0", " ") for what, much in found.facts}
    assert facts["Ends"] == "196, in 98 pairs"
    assert facts["Width in the heddle ↔"].startswith("49 cm")
    assert {"Warp for a metre of cloth", "Weft for a metre of cloth", "Weight of the cloth"} <= set(facts)
    narrow = shown(finished_width_cm=44.0, width_ratio=0.9, loom_cm=40.0)["40/10 cm"]
    assert dict(narrow.facts)["Ends"] == "160 of the 196 needed go in"


def test_without_a_width_it_is_told_for_ten_cm_and_without_a_number_not_of_weight() -> None:
    """10 cm finished take 30 ends and those that are lost; nothing is known of grams."""
    facts = {what.replace("\u00a0", " "): much for what, much in shown()["30/10 cm"].facts}
    assert int(facts["Ends for 10 cm (3⅞ in) finished"].split(",")[0]) > 30
    assert "Ends" not in facts
    assert "Weight of the cloth" not in facts


def test_what_the_loom_and_the_wash_take_is_told_as_shares() -> None:
    """The 5 % and 95 % points of the answer itself, in hundredths."""
    question = SettQuestion(structure("plain"), SIX_WRAPS, HEDDLES, other_ways=False)
    answer = compare_setts(question)
    for one, (_, leads) in zip(shown_setts(answer), answer.candidates, strict=True):
        lost = {what: much.replace("\u00a0", " ") for what, much in one.lost}
        for what, one_lost in (("Draws in on the loom", leads.draw_in), ("Length lost in all ↕", leads.length_lost)):
            low, high = round(100 * one_lost.low), round(100 * one_lost.high)
            assert high > 0
            assert lost[what] == (f"{low} to {high} %" if low > 0 else f"up to {high} %")
    assert {leads.length_lost.low > 0.005 for _, leads in answer.candidates} == {True, False}


def test_how_far_from_the_advice_is_said_in_words() -> None:
    said = [against_in_words(one).replace("\u00a0", " ") for one in (1.0, 1.004, 1.11, 0.9)]
    assert said == ["as advised", "as advised", "11 % closer than advised", "10 % opener than advised"]
