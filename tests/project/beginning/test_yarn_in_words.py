"""Yarn as a weaver would say it becomes the fields of a project, or a question each answer to which is understood.

Lengths and weights are checked by hand: 1 yd = 0.9144 m and 1 lb = 453.59237 g (international yard and pound, 1959).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.measure import Length, Weight
from clothwright.project import read_project
from clothwright.project.beginning.yarn_in_words import yarn_in_words, yarns_in_words
from clothwright.project.domain import lots


def metres(line: str) -> float:
    """What the yarn of a line comes to by hand."""
    told = yarn_in_words(line)
    assert told.question is None, told.question
    return lots(read_project({"yarn": [told.row]}))[0].metres_by_hand().expected


@pytest.mark.parametrize(
    ("line", "expected_m"),
    [
        ("250 g of 400 m/100 g wool", 1000),
        ("400 m per 100 g merino, 250 g", 1000),
        ("3 balls of 50 g, 160 m each", 480),
        ("three balls of 50 g, 160 m each, alpaca", 480),
        ("3 x 50 g, 400 m/100 g", 600),
        ("a handspun skein, 92 g, 310 m", 310),
        ("3 skeins, 276 g in all, 310 m each", 930),
        ("1 lb of 1700 yd/lb linen", 1700 * 0.9144),
        ("½ lb of 1700 yd/lb linen", 850 * 0.9144),
        ("500 yds of 2/16 worsted", 500 * 0.9144),
        ("6 balls of 50 g alpaca, 50 g = 160 m", 960),
        # 8s cotton twofold is 840 × 8 ÷ 2 yd to the pound: the hank of 840 yd (Taylor, Cotton Weaving and Designing).
        ("8/2 cotton, 1 lb", 840 * 4 * 0.9144),
    ],
)
def test_what_a_weaver_would_say_comes_to_its_metres(line: str, expected_m: float) -> None:
    """Each line gives the metres that the sum on paper gives, to four figures."""
    assert metres(line) == pytest.approx(expected_m, rel=1e-3)


@pytest.mark.parametrize(
    ("line", "asked", "choices"),
    [
        ("3 balls of 50 g, 160 m", "on each of the 3", 2),
        ("3 skeins, 276 g, 310 m each", "on each of the 3", 2),
        ("8/2, 250 g", "without its system", 4),
        ("a cone of 20/2 silk, 200 g net", "without its system", 5),
        ("1,700 yd/lb linen, 2 lb", "1700 yd/lb or 1.700 yd/lb", 2),
        ("100 gr of 300 m/100 g wool", "grams or in grains", 2),
        ("a cone of 6.77 m/g cotton, 486 g", "wound on", 2),
        ("250 g, 400 m/100 g, 1000 m", "which two", 2),
    ],
)
def test_what_can_be_read_in_two_ways_is_a_question_with_the_choices(line: str, asked: str, choices: int) -> None:
    """Nothing of an unclear line is taken, and every choice settles what was asked."""
    told = yarn_in_words(line)
    assert told.question is not None
    assert not told.row
    assert asked in told.question.sentence
    assert len(told.question.choices) == choices
    for choice in told.question.choices:
        answered = yarn_in_words(choice).question
        assert answered is None or answered.sentence != told.question.sentence


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("8/2 cotton", "how much of it"),
        ("250 g wool", "how long is 250 g"),
        ("310 m of wool", "weigh"),
        ("wool", "no quantity"),
        ("250 g of 400 m/100 g wool, 12 euros", "what is “12 euros”"),
        ("-5 g of 8/2 cotton", "-5 g"),
        ("0 balls of 50 g, 160 m each", "nothing"),
        ("two skeins, 112 g and 104 g, 310 m", "a line of its own"),
        ("2 balls of 50 g and 3 cones of 100 g", "a line of its own"),
        ("x" * 400, "400 letters"),
    ],
)
def test_what_is_missing_or_left_over_is_asked_for(line: str, asked: str) -> None:
    """A number is never dropped, and what is missing is named with a form that is understood."""
    question = yarn_in_words(line).question
    assert question is not None
    assert asked in question.sentence


def test_a_cone_weighed_with_its_core_is_a_band_of_metres() -> None:
    """486 g with a core of 12 g to 2 oz, at 6.77 m/g: 2 906 to 3 209 m by hand."""
    told = yarn_in_words("a cone of 6.77 m/g cotton, 486 g with core")
    held = lots(read_project({"yarn": [told.row]}))[0].metres_by_hand()
    assert held.low == pytest.approx((486 - 2 * 28.349523) * 6.77, abs=1)
    assert held.high == pytest.approx((486 - 12) * 6.77, abs=1)


def test_words_left_over_are_the_name_and_known_ones_the_fibre() -> None:
    """Handspun, unwashed and a fibre of the table go into their fields; two of one name are told apart."""
    first, second = yarns_in_words("my grey shetland from Jane, handspun, unwashed, 250 g, 400 m per 100 g\n\n" * 2)
    assert first.row["name"] == "grey shetland from Jane"
    assert (first.row["fibre"], first.row["made"], first.row["state"]) == ("shetland", "handspun", "unwashed")
    assert second.row["name"] == "grey shetland from Jane 2"


def test_a_count_is_taken_for_a_mill_yarn_and_said_to_be_taken() -> None:
    """What nobody said is marked, with why."""
    assert [field for field, _ in yarn_in_words("8/2 cotton, 250 g").taken] == ["made"]
    assert yarn_in_words("8/2 cotton, handspun, 250 g").taken == ()


@given(
    st.integers(2, 9),
    st.floats(1, 900).map(lambda grams: f"{grams:.1f} g"),
    st.floats(1, 900).map(lambda length: f"{length:.1f} m"),
)
def test_balls_alike_hold_what_one_holds_so_many_times(count: int, weight: str, length: str) -> None:
    """Whatever the figures, metres and grams are those of one ball times their number."""
    told = yarn_in_words(f"{count} skeins of {weight}, {length} each")
    held = lots(read_project({"yarn": [told.row]}))[0]
    assert held.grams * held.m_per_g == pytest.approx(count * Length.read(length).cm / 100)
    assert held.grams == pytest.approx(count * Weight.read(weight).grams)


@given(st.text(max_size=120))
def test_whatever_is_typed_is_read_or_asked_about(text: str) -> None:
    """No text makes a fault: every line comes back with a row or a question."""
    for told in yarns_in_words(text):
        assert bool(told.row) != bool(told.question)
