"""Trade words in the names of pieces tell which are often of another cloth; common practice, no source."""

from __future__ import annotations

import pytest

from clothwright.pattern import often_of_other_cloth, other_cloth_width_cm


@pytest.mark.parametrize(
    "name",
    [
        "back neck facing",
        "Facings",
        "armhole binding",
        "pocket bag",
        "pockets",
        "collar stand",
        "Undercollar",
        "hem facing",
    ],
)
def test_names_with_such_a_word_are_found_with_a_reason(name: str) -> None:
    assert often_of_other_cloth(name)


@pytest.mark.parametrize("name", ["back", "collar", "pocketless front", "upper yoke", "surfacing panel"])
def test_other_names_are_not(name: str) -> None:
    assert often_of_other_cloth(name) is None


def test_other_cloth_has_a_width_of_its_own() -> None:
    assert other_cloth_width_cm() == 90
