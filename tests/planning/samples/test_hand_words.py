"""Words of the hand and what they lean to. The table is common practice, no source."""

from __future__ import annotations

import tomllib
from importlib import resources

import pytest

from clothwright.planning.samples.hand_words import hand_in_words


@pytest.mark.parametrize("words", ["stiff", "boardy", "Stiff, and boardy!", "feels like a board", "too firm"])
def test_a_stiff_hand_leans_to_more_open(words: str) -> None:
    assert (hand_in_words(words).leans or 0) < 0


@pytest.mark.parametrize("words", ["limp", "sleazy", "threads slip", "slips", "a little loose"])
def test_a_limp_hand_leans_to_closer(words: str) -> None:
    assert (hand_in_words(words).leans or 0) > 0


def test_a_right_hand_leans_to_neither() -> None:
    assert hand_in_words("drapes well, just right").leans == 0


def test_a_little_is_half_and_very_is_more() -> None:
    little, plain, very = (hand_in_words(words).leans or 0 for words in ("a little limp", "limp", "very limp"))
    assert 0 < little < plain < very


def test_not_stiff_says_nothing_of_limp() -> None:
    hand = hand_in_words("not stiff")
    assert hand.leans is None
    assert hand.used == ("not stiff",)


def test_unknown_words_are_kept_and_told_as_not_used() -> None:
    hand = hand_in_words("woolly, stiff and squeaky")
    assert hand.used == ("stiff",)
    assert hand.not_used == ("woolly", "squeaky")


def test_no_words_say_nothing() -> None:
    assert hand_in_words(" ; ").leans is None


def test_every_word_of_the_table_is_understood_by_itself() -> None:
    table = tomllib.loads(
        resources.files("clothwright.planning.samples").joinpath("hand_words.toml").read_text(encoding="utf-8")
    )
    for row in table["hand"]:
        for word in row["words"]:
            hand = hand_in_words(word)
            assert hand.leans == pytest.approx(row["leans"]), word
            assert hand.not_used == ()
