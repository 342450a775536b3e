"""Closer, right or more open: what a washed sample says of its sett, with the reason, or what is missing."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from planning.sampled import USUAL, told

from clothwright.planning.samples.sett_verdict import SettAdvice, SettVerdict


def verdict(**changes: Any) -> SettVerdict:
    one = deepcopy(USUAL) | changes
    return told({key: value for key, value in one.items() if value is not None}).samples[0].sett


def test_a_usual_sample_is_right_and_says_why() -> None:
    one = verdict(hand="drapes well")
    assert one.advice is SettAdvice.RIGHT
    assert {sign.what for sign in one.signs} == {"width", "length", "picks", "sett", "hand"}
    assert "drapes well" in one.why


def test_a_cloth_that_shrank_far_and_slips_was_too_open() -> None:
    """Looser setts shrank more: a weaver's merino samples (tumtumtree.net, fulling wool)."""
    one = verdict(
        width={"in_heddle": "24 cm", "finished": "17.0 cm"},
        length={"on_loom": "30 cm", "finished": "23 cm"},
        picks={"count": 130, "over": "30 cm"},
        hand="limp, threads slip",
    )
    assert one.advice is SettAdvice.CLOSER
    assert "where a well-set cloth so finished loses" in one.why


def test_a_stiff_cloth_that_hardly_shrank_was_too_close() -> None:
    one = verdict(
        width={"in_heddle": "24 cm", "finished": "23.6 cm"},
        length={"on_loom": "30 cm", "finished": "29.5 cm"},
        picks={"count": 60, "over": "30 cm"},
        hand="stiff and boardy",
    )
    assert one.advice is SettAdvice.MORE_OPEN
    assert one.leans is not None
    assert one.leans < -0.25


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"width": {"in_heddle": "24 cm"}, "length": None}, "measure it finished and in an earlier state"),
        (
            {"width": {"finished": "21 cm"}, "length": None, "hand": "stiff"},
            "measure it finished and in an earlier state",
        ),
        ({"length": None, "picks": None}, "one sign is too few: give the length"),
        ({"width": None, "picks": None}, "one sign is too few: give the width"),
    ],
)
def test_too_little_is_not_judged_and_says_what_is_missing(changes: dict[str, Any], words: str) -> None:
    one = verdict(**changes)
    assert one.advice is None
    assert any(words in each for each in one.missing)


def test_signs_that_pull_hard_both_ways_make_no_answer() -> None:
    one = verdict(width={"in_heddle": "24 cm", "finished": "15.5 cm"}, hand="boardy")
    assert one.advice is None
    assert one.missing == ()
    assert "do not agree" in one.why


def test_a_fulled_cloth_is_held_against_fulled_cloths() -> None:
    """The same loss of width is much for a hand wash and usual for fulling."""
    sizes = {
        "width": {"in_heddle": "24 cm", "finished": "18.3 cm"},
        "length": {"on_loom": "30 cm", "finished": "26 cm"},
    }
    gentle, hard = verdict(**sizes), verdict(**sizes, finish="fulled hot")
    assert (gentle.leans or 0) > (hard.leans or 0) + 0.1


def test_words_not_in_the_table_are_told() -> None:
    assert verdict(hand="stiff, squeaky").words_not_used == ("squeaky",)


def test_picks_are_judged_in_the_state_they_were_counted() -> None:
    """Finished picks are more than picks on the loom of the same cloth, by the length lost, so they lean alike."""
    on_loom = verdict(picks={"count": 81, "over": "30 cm", "where": "on loom"})
    finished = verdict(picks={"count": 81, "over": "26.9 cm", "where": "finished"})
    leans = [next(sign.leans for sign in one.signs if sign.what == "picks") for one in (on_loom, finished)]
    assert leans[0] == pytest.approx(leans[1], abs=0.1)
