"""`clothwright sample` plans the smallest sample, as text and as data."""

from __future__ import annotations

import json
from pathlib import Path

from commands import typed as ran

EXAMPLES = Path(__file__).parents[2] / "examples"
SLATE = str(EXAMPLES / "slate-tide-cloth.toml")


def test_it_says_size_yarn_chance_and_how() -> None:
    said = ran("sample", SLATE)
    assert said.returncode == 0
    for words in (
        "On a small warp",
        "woven at 30/10 cm",
        "of yarn",
        "chances in 100 that the verdict is definite",
        "Wind ",
    ):
        assert words in said.stdout


def test_without_a_loom_it_is_a_card_with_more_doubt() -> None:
    loom, card = (json.loads(ran("sample", SLATE, *more, "--json").stdout) for more in ((), ("--no-loom",)))
    assert card["choice"]["sample"]["on"] == "card"
    assert loom["choice"]["sample"]["on"] == "loom"
    assert card["choice"]["narrows_width"] < loom["choice"]["narrows_width"]


def test_a_heddle_that_is_not_owned_is_one_sentence_and_status_two() -> None:
    said = ran("sample", SLATE, "--heddle", "99/in")
    assert said.returncode == 2
    assert "“99/in” is not among the heddles owned; write one of 30/10 cm" in said.stderr
    assert "Traceback" not in said.stderr


def test_a_file_that_is_not_there_is_one_sentence_and_status_two() -> None:
    said = ran("sample", "no-such-tide.toml")
    assert said.returncode == 2
    assert len(said.stderr.strip().splitlines()) == 1


def test_the_plan_says_what_contributes_most() -> None:
    said = ran("plan", SLATE, "--seconds", "0").stdout
    assert "What makes it unsure" in said
    assert "in what is left over from metres per gram of slate tide" in said
