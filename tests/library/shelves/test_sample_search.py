"""Samples are found by yarn, sett and structure."""

from __future__ import annotations

from typing import Any

import pytest

from clothwright.library.shelves.on_hand import Tree
from clothwright.library.shelves.sample_search import found, read_search


def tree(**sample: Any) -> Tree:
    return {
        "yarn": [{"name": "slate tide", "fibre": "wool"}, {"name": "causeway", "fibre": "cotton"}],
        "sample": [{"name": "square", **sample}],
    }


@pytest.mark.parametrize(
    ("asked", "there"),
    [
        ({"yarn": "slate"}, True),
        ({"yarn": "COTTON cause"}, True),
        ({"yarn": "linen"}, False),
        ({"sett": "3/cm"}, True),
        ({"sett": "7.5/in"}, True),  # 2.95 per cm, within 3 in 100 of 30/10 cm
        ({"sett": "40/10 cm"}, False),
        ({"weave": "plain"}, False),
        ({"weave": "twill 2/2"}, True),
        ({"yarn": "slate", "sett": "3/cm", "weave": "twill 2/2"}, True),
        ({"yarn": "slate", "sett": "5/cm"}, False),
        ({}, True),
    ],
)
def test_a_sample_is_found_by_what_it_is(asked: dict[str, str], there: bool) -> None:
    assert found(tree(heddle="30/10 cm", structure="twill 2/2"), read_search(**asked)) is there


def test_a_sett_that_cannot_be_read_is_told_and_hides_nothing() -> None:
    search = read_search(sett="quite close")
    assert "quite close" in search.problem
    assert found(tree(heddle="30/10 cm"), search)


def test_whatever_was_typed_can_be_searched() -> None:
    for odd in ({"sample": "nonsense", "yarn": 3}, {}, tree(heddle=7, structure=["x"])):
        assert found(odd, read_search(yarn="slate", sett="3/cm", weave="plain")) in (True, False)


def test_a_structure_not_said_is_plain() -> None:
    assert found(tree(), read_search(weave="plain"))
