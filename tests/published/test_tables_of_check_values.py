"""The tables of check values are in order."""

from __future__ import annotations

from published import HERE, KINDS, rows

TABLES = sorted(path.stem for path in HERE.glob("*.toml"))


def test_every_row_says_what_it_is_and_where_it_comes_from() -> None:
    """Each row has its fields, a kind that is known and a citation; an id is used once."""
    every = rows(*TABLES)
    for row in every:
        assert {"id", "what", "answer", "inputs", "citation", "kind"} <= set(row), row
        assert row["kind"] in KINDS
        assert row["citation"]
    assert len({row["id"] for row in every}) == len(every)


def test_a_row_from_memory_is_only_a_range() -> None:
    """What nobody has seen in print never decides to the digit."""
    for row in rows(*TABLES):
        assert ("low" in row and "expected" not in row) == (row["kind"] == "from memory"), row["id"]


def test_a_published_row_states_how_closely_it_holds() -> None:
    """A published or wrong row has an absolute or a relative tolerance."""
    for row in rows(*TABLES):
        if row["kind"] in ("published", "wrong"):
            assert "absolute" in row or "relative" in row, row["id"]


def test_wrong_answers_are_kept_beside_the_right_ones() -> None:
    """A row of kind wrong holds both answers."""
    wrong = [row for row in rows(*TABLES) if row["kind"] == "wrong"]
    assert len(wrong) >= 8
    assert all("wrong" in row and "expected" in row for row in wrong)
