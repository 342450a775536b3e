"""The sheet of the threading, read back from its PDF and every end counted again."""

from __future__ import annotations

import datetime
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from planning.cloth.test_threading_plan import rigid, shaft, threaded
from sheets.printed import reader, text_of

from clothwright.project import Project
from clothwright.sheets import threading_pdf, threading_svg
from clothwright.sheets.cloth.threading_sheet import threading_data
from clothwright.sheets.cloth.threading_words import groups, repeated, standing_sentences, time_sentence

DAY = datetime.date(2026, 11, 25)
TWILL = {"ends": 135, "threading": "1-2-3-4 16 times; 3-2-1-4 17 times; 3 once", "sleying": "1-2"}


def twill(**draft: Any) -> Project:
    """Two floating selvedges, 133 ends in a reed of 12."""
    return shaft(TWILL | draft, cloth={"floating_selvedges": True})


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_the_sheet_is_tagged_dated_and_has_its_ruler(large_print: bool, imperial: bool) -> None:
    project = twill()
    pdf = threading_pdf(threaded(project), project, made_on=DAY, large_print=large_print, imperial=imperial)
    said = text_of(pdf)
    for words in ("25 November 2026", "Check the print", "Count now", "Count twice: 135 ends?", "stop if it hurts"):
        assert words in said
    assert reader(pdf).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]


def test_every_end_on_paper_is_counted_again_shaft_by_shaft() -> None:
    """A separate adder reads the lines of ten off the paper: shaft by shaft 33, 33, 34, 33, and two that float. By hand."""
    project = twill()
    said = text_of(threading_pdf(threaded(project), project, made_on=DAY, large_print=True))
    lines = re.findall(r"(\d+) to (\d+) (?=[\d f])((?:floats; )?[\d-]+(?:, \d+ times; \d+)?(?:-floats)?) dents", said)
    assert len(lines) == 14
    on: dict[str, int] = {}
    for first, last, ends in lines:
        single = []
        for part in ends.split("; "):
            times = re.fullmatch(r"([\d-]+), (\d+) times", part)
            single += (times[1].split("-") * int(times[2])) if times else part.split("-")
        assert len(single) == int(last) - int(first) + 1
        for one in single:
            on[one] = on.get(one, 0) + 1
    assert on == {"1": 33, "2": 33, "3": 34, "4": 33, "floats": 2}
    assert "33 on shaft 1 + 33 on shaft 2 + 34 on shaft 3 + 33 on shaft 4 + 2 floating = 135" in said


def test_half_is_asked_for_once_and_nearest_to_the_middle() -> None:
    data = threading_data(threaded(twill()))
    assert [group["half"] for group in data["groups"]].index(True) == 6
    assert sum(group["half"] for group in data["groups"]) == 1
    assert data["half_says"] == "Count now, in heddle and reed: 70 ends?"


def test_where_the_first_end_goes_is_told_from_the_edge_and_from_the_middle() -> None:
    """180 places, 148 filled: place 17 is slot 9, since odd places are slots; 74 on either side. By hand."""
    said = " ".join(standing_sentences(threaded(rigid({"threading": "slot-hole"})), imperial=False))
    assert "180 places" in said
    assert "between places 90 and 91" in said
    assert "goes into place 17, which is slot 9; the last into place 164, which is hole 82" in said
    assert "74 places to the left of it and 74 to the right" in said


def test_the_whole_is_told_in_words_too() -> None:
    words = threading_data(threaded(twill()))["words"]
    assert (
        words == "From the first end: floats; 1, 2, 3, 4, 16 times; 3, 2, 1, 4, 17 times; 3, floats. Yarns: 135 kelp."
    )


@given(st.lists(st.sampled_from(["hole", "slot", "1", "2", "3"]), min_size=1, max_size=50))
def test_words_with_what_repeats_told_once_say_every_word(words: list[str]) -> None:
    """Spoken again in full."""
    said: list[str] = []
    for part in repeated(words, ", "):
        *once, last = part.split(", ")
        times = re.fullmatch(r"(\d+) times", last)
        said += once * int(times[1]) if times else [*once, last]
    assert said == words


def test_a_blank_sheet_has_boxes_for_two_hundred_ends() -> None:
    for large_print in (False, True):
        said = text_of(threading_pdf(None, None, made_on=DAY, large_print=large_print))
        assert "191 to 200" in said
        assert "Width measured in the heddle" in said


def test_the_picture_has_a_mark_for_every_end_and_no_style() -> None:
    """Squares with numbers for shafts; rings, bars and letters for holes, slots and sticks."""
    on_shafts = threading_svg(threaded(twill()))
    root = ElementTree.fromstring(on_shafts)
    marks = [node for node in root if node.get("class") == "cw-number"]
    assert len(marks) == 133
    assert {node.text for node in marks} == {"1", "2", "3", "4"}
    assert "style=" not in on_shafts
    on_heddle = ElementTree.fromstring(threading_svg(threaded(rigid({"ends": 40}, cloth={"structure": "weft floats"}))))
    kinds = [node.get("class") for node in on_heddle]
    assert (kinds.count("cw-hole"), kinds.count("cw-slot"), kinds.count("cw-number")) == (20, 10, 10)


def test_a_yarn_named_like_markup_is_printed_as_typed() -> None:
    project = shaft({"ends": 12}, yarn=[{"name": "#strong[x] *y* <b>", "use": "warp"}])
    assert "#strong[x] *y* <b>" in text_of(threading_pdf(threaded(project), project, made_on=DAY))


def test_times_are_told_as_a_band_and_by_what_they_rest_on() -> None:
    assert "common practice" in time_sentence(threaded(shaft({"ends": 100})))
    own = time_sentence(threaded(shaft({"ends": 100, "timed": [{"ends": 60, "minutes": 24}]})))
    assert "from 1 time of your own" in own


def test_every_end_of_every_group_is_said_once() -> None:
    answer = threaded(twill())
    assert sum(group.many for group in groups(answer)) == 135
    assert groups(answer)[0].yarns == ("10 kelp",)
