"""Records are found by what they are of, and what cannot be read in a search is said beside its field."""

from __future__ import annotations

from typing import Any

import pytest
from project.parts.test_record_parts import stole

from clothwright.project import ProblemsFound
from clothwright.project.record.record_search import found, is_found, read_asked, said_of

SAID = said_of(
    stole(
        number="2026-007",
        notes="for the harbour market",
        photo=[{"file": "front.jpg", "shows": "folded over a rail"}],
        later=[
            {"day": "2026-05-01", "about": "liked it", "liked": "partly"},
            {"day": "2026-05-02", "about": "wear", "says": "pills at the fold"},
            {"day": "2026-05-03", "about": "wear", "says": "does not pill", "corrects": 2},
        ],
    )
)


@pytest.mark.parametrize(
    "asked",
    [
        {"yarn": "SANDBAR"},
        {"fibre": "wool"},
        {"sett": "30/10 cm"},
        {"sett": "7.6/in"},
        {"structure": "tabby"},
        {"width": "25 to 28 cm"},
        {"width": "27.5 cm"},
        {"garment": "stole"},
        {"liked": "partly"},
        {"words": "harbour rail 2026-007"},
        {"words": "does not pill"},
        {},
    ],
)
def test_it_is_found_by(asked: dict[str, str]) -> None:
    assert is_found(SAID, read_asked(asked))


@pytest.mark.parametrize(
    "asked",
    [
        {"yarn": "kelp"},
        {"fibre": "linen"},
        {"sett": "4/cm"},
        {"structure": "twill 2/2"},
        {"width": "30 cm"},
        {"garment": "jacket"},
        {"liked": "yes"},
        {"words": "pills"},
        {"words": "harbour", "liked": "no"},
    ],
)
def test_it_is_not_found_by(asked: dict[str, str]) -> None:
    """“pills” was corrected, and what a later note put right no longer finds it."""
    assert not is_found(SAID, read_asked(asked))


def test_each_field_that_cannot_be_read_has_its_sentence() -> None:
    with pytest.raises(ProblemsFound) as wrong:
        read_asked({"sett": "5", "width": "wide", "structure": "zigzag", "liked": "a lot"})
    assert {one.path[0] for one in wrong.value.problems} == {"sett", "width", "structure", "liked"}


def test_the_latest_finished_stands_first() -> None:
    days: list[Any] = ["2025-01-01", "2026-01-01", ""]
    records = [said_of(stole(date=day)) for day in days]
    assert [one.day for one in found(records, read_asked({}))] == ["", "2026-01-01", "2025-01-01"]
