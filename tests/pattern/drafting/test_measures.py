"""Body measures as typed: names and other names, units, and what is refused with a question."""

from __future__ import annotations

import pytest

from clothwright.pattern.drafting import MeasureRefused, measure_named, measures, read_measure
from clothwright.pattern.drafting.measures import read_body, size_table


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("bust girth", "bust girth"),
        ("Bust_Girth", "bust girth"),
        ("chest girth", "bust girth"),
        ("neck base girth", "neck-base girth"),
        ("neck_base_girth", "neck-base girth"),
        ("nape to waist", "cervical to waist"),
        ("stature", "height"),
    ],
)
def test_a_measure_is_known_by_its_names(typed: str, name: str) -> None:
    assert measure_named(typed).name == name


def test_no_two_measures_share_a_name() -> None:
    names = [name for one in measures().values() for name in (one.name, *one.also)]
    assert len(names) == len(set(names))


def test_units_may_be_mixed_as_typed() -> None:
    body = read_body({"bust girth": "36 1/4 in", "waist_girth": "74 cm", "arm length": "0.58 m"})
    assert body == {"bust girth": pytest.approx(92.075), "waist girth": 74.0, "arm length": pytest.approx(58.0)}


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("bust girth", "92", "92 what?"),
        ("bust girth", "92 mm", "is 9.2 cm; between 40 and 180 cm is accepted"),
        ("bust girth", "90 to 94 cm", "is a range"),
        ("waist girth", "by proportion", "no published rule here gives it"),
        ("hip grith", "98 cm", "is it hip girth"),
        ("waist girth", "74 g", "74 g"),
    ],
)
def test_what_is_no_measure_is_asked_about(name: str, text: str, says: str) -> None:
    with pytest.raises(MeasureRefused, match=says):
        read_measure(name, text)


def test_a_measure_by_proportion_needs_the_one_it_is_found_from() -> None:
    assert read_body({"scye depth": "by proportion", "bust girth": "36 in"})["scye depth"] == pytest.approx(9 * 2.54)
    with pytest.raises(MeasureRefused, match="the bust girth is needed"):
        read_body({"scye depth": "by proportion"})


def test_one_measure_under_two_names_is_a_question() -> None:
    with pytest.raises(MeasureRefused, match="came twice"):
        read_body({"bust girth": "92 cm", "chest girth": "96 cm"})


def test_a_table_that_is_not_here_is_named_with_those_that_are() -> None:
    with pytest.raises(MeasureRefused, match="there are ASTM D5585 straight, ASTM D5585 curvy"):
        size_table("shoe sizes")
