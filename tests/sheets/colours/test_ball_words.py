"""The plan's verdict ball by ball in words, and on the plan's paper."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

import pytest
from sheets.printed import text_of

from clothwright.measure import Interval
from clothwright.planning import BallInPlan, BallsInPlan, Verdict, plan
from clothwright.project import read_project
from clothwright.sheets import plan_sheet_pdf
from clothwright.sheets.colours.ball_words import by_ball_rows, by_ball_sentence

BASKET = Path(__file__).parents[3] / "examples" / "basket-of-balls.toml"


def ball(chance: float, verdict: Verdict, *, ends: int = 8, picks: int = 0) -> BallInPlan:
    return BallInPlan(
        "lichen", 1, Interval.exactly(26.4), ends, 24.8 if ends else 0.0, picks, 0.0, 1.6, chance, verdict
    )


@pytest.mark.parametrize(
    ("balls", "words"),
    [
        ([ball(0.98, Verdict.ENOUGH)], "each reaches the chance asked"),
        ([ball(0.6, Verdict.TOO_CLOSE)], "1 ball alone does not reach"),
        ([ball(0.6, Verdict.TOO_CLOSE)] * 2, "2 balls alone do not reach"),
    ],
)
def test_the_sentence_counts_the_balls_that_do_not_reach(balls: list[BallInPlan], words: str) -> None:
    said = by_ball_sentence(BallsInPlan(Verdict.TOO_CLOSE, 0.6, tuple(balls)))
    assert words in said
    assert "60 chances in 100 that every ball lasts" in said


def test_a_ball_that_is_not_used_says_so_and_has_no_verdict() -> None:
    found = BallsInPlan(Verdict.ENOUGH, 1.0, (ball(1.0, Verdict.ENOUGH, ends=0), ball(0.6, Verdict.TOO_CLOSE)))
    (unused, used) = by_ball_rows(found, imperial=False)
    assert unused[-1] == "not used"
    assert used[-1] == "Too close to call: 60 chances in 100"
    assert used[3].startswith("8 ends, 25\u00a0m")


def test_the_plan_on_paper_tells_every_ball() -> None:
    project = read_project(tomllib.loads(BASKET.read_text("utf-8")))
    pdf = plan_sheet_pdf(plan(project), project, made_on=datetime.date(2026, 11, 25))
    said = text_of(pdf).replace("\n", " ")
    assert "Ball by ball" in said
    assert "lichen" in said
