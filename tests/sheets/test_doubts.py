"""What makes a plan unsure, in words and as bars."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from sheets.plans import BY_HAND, SHAWL, with_names

from clothwright.sheets import doubt_svg, doubts
from clothwright.sheets.pictures.doubt import longest_first

NS = {"svg": "http://www.w3.org/2000/svg"}


def rects(svg: str, css: str) -> list[dict[str, float]]:
    found = ElementTree.fromstring(svg).findall(f".//svg:rect[@class='cw-{css}']", NS)
    return [{name: float(one.get(name, "0")) for name in ("x", "width")} for one in found]


def test_bars_are_as_long_as_what_they_stand_for() -> None:
    """Each bar against the whole of its figure, from the drawing's own numbers."""
    svg = doubt_svg(SHAWL)
    wholes, bars = rects(svg, "whole"), rects(svg, "swing")
    margin = SHAWL.margin.m.high - SHAWL.margin.m.low
    assert bars[0]["width"] / wholes[0]["width"] == pytest.approx(47.0 / margin, abs=0.001)
    assert len(wholes) == 3


def test_bars_lie_about_one_middle_longest_first() -> None:
    svg = doubt_svg(SHAWL)
    middles = [one["x"] + one["width"] / 2 for one in (*rects(svg, "whole"), *rects(svg, "swing"))]
    assert max(middles) - min(middles) < 0.02
    spreads = [spread for _, spread in longest_first(SHAWL.doubt, lambda one: one.finished_width_cm)]
    assert spreads == sorted(spreads, reverse=True) == [2.1, 1.1]


def test_the_picture_says_in_words_what_it_shows() -> None:
    desc = ElementTree.fromstring(doubt_svg(SHAWL)).find("svg:desc", NS)
    assert desc is not None
    said = (desc.text or "").replace("\u00a0", " ")
    assert "What is left over: 59 m (65 yd) from low to high. picks per cm 47 m (51 yd)," in said


def test_names_that_were_typed_are_never_markup() -> None:
    nasty = replace(SHAWL, doubt=tuple(replace(one, what="<script>alert(1)</script>") for one in SHAWL.doubt))
    svg = doubt_svg(with_names(nasty, "x" * 300))
    assert "<script" not in svg
    assert not re.search(r'\bstyle=|\bid="', svg)


def test_each_unknown_has_a_row_with_what_would_be_left_if_it_were_known() -> None:
    rows = doubts.doubt_rows(SHAWL, imperial=False)
    assert rows[0] == ["picks per cm", "47\u00a0m (51\u00a0yd) [36\u00a0m (39\u00a0yd)]", "–", "–", "–"]
    assert rows[2][3:] == ["7.9\u00a0cm (3⅛\u00a0in) [4.3\u00a0cm (1¾\u00a0in)]", "14\u00a0m (16\u00a0yd)"]


def test_the_first_of_each_figure_is_named_in_a_sentence() -> None:
    assert doubts.doubt_sentence(SHAWL) == (
        "Most of the doubt comes: in what is left over from picks per cm, in the finished width from width lost in "
        "finishing, in the finished length from length lost in finishing."
    )
    assert doubts.doubt_sentence(BY_HAND) == ""


def test_costs_are_said_in_the_units_chosen() -> None:
    sample, weighing = SHAWL.measure_next
    assert doubts.costs_words(sample, imperial=True).startswith(
        "120 minutes and a night to dry, 33\u00a0yd (30\u00a0m)"
    )
    assert doubts.costs_words(weighing, imperial=False) == "5 minutes, no yarn, before warping"
    assert "takes about 12\u00a0m (13\u00a0yd) less" in doubts.tells_words(sample, imperial=False)
    assert "less" not in doubts.tells_words(weighing, imperial=False)
