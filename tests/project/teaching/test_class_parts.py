"""What a class file may say, and the sentences for what it may not."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from clothwright.project import ProblemsFound, read_class

CLASS = tomllib.loads((Path(__file__).parents[3] / "examples/rockpool-class.toml").read_text(encoding="utf-8"))


def refused(tree: dict[str, Any]) -> dict[str, str]:
    """The sentences a class is refused with, by where they stand."""
    with pytest.raises(ProblemsFound) as found:
        read_class(tree)
    return {one.where: one.sentence for one in found.value.problems}


def test_the_example_is_read_as_typed() -> None:
    """Six students, one with yarn of her own: 220 g at 2.8 m/g are 616 m."""
    read = read_class(CLASS)
    assert [one.name for one in read.student] == ["Anemone", "Barnacle", "Coralline", "Dulse", "Eelgrass", "Fucus"]
    own = read.student[5].yarn
    assert own is not None
    assert own.metres == pytest.approx((616, 616, 616))


def test_a_length_of_own_yarn_needs_no_length_per_weight() -> None:
    """A spread stays one."""
    read = read_class({"student": [{"name": "A", "yarn": {"have": "500 to 520 m"}}]})
    own = read.student[0].yarn
    assert own is not None
    assert own.metres == pytest.approx((500, 510, 520))


def test_a_weight_of_own_yarn_asks_for_its_length_per_weight() -> None:
    """220 g say nothing of metres."""
    told = refused({"student": [{"name": "A", "yarn": {"have": "220 g"}}]})
    assert "of what length" in told["student 1, yarn"]


def test_two_students_of_one_name_are_told_apart_by_the_teacher() -> None:
    """Capitals make no difference."""
    assert "add a letter" in refused({"student": [{"name": "Dulse"}, {"name": "dulse"}]})["student"]


def test_every_wrong_row_is_told_at_once() -> None:
    """A bare number, a field nobody knows, a nameless student, a language there is not."""
    told = refused(
        {
            "student": [
                {"name": "A", "loom": {"waste": "45"}},
                {"name": "B", "lomo": {}},
                {"loom": {}},
                {"name": "D", "language": "la"},
            ]
        }
    )
    assert set(told) == {"student 1, loom, waste", "student 2, lomo", "student 3, name", "student 4, language"}
    assert "fields are name, units, print, language, loom, yarn" in told["student 2, lomo"]
    assert "accepted are en" in told["student 4, language"]


def test_a_later_version_of_the_file_is_refused() -> None:
    """It says which version is read."""
    assert refused({"clothwright_class": 2}) == {"clothwright_class": "“2” came; accepted are 1"}


def test_a_list_longer_than_a_class_is_refused() -> None:
    """A hundred students are read, one more is not."""
    assert len(read_class({"student": [{"name": f"{number}"} for number in range(100)]}).student) == 100
    assert "100" in refused({"student": [{"name": f"{number}"} for number in range(101)]})["student"]
