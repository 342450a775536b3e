"""Check values from outside the project, with their citations, as the tests of each room read them.

A row has `id`, `what`, `answer` (which question is asked of the code), `inputs`, `citation` and `kind`:

published    `expected`, within `absolute` or `relative` as the source rounds it
exact        `expected` by arithmetic from definitions, within `relative`
from memory  not seen in print: only a range, `low` to `high`
wrong        somebody printed `wrong`; the right answer is `expected`, and ours must be far from the wrong one

A published row may carry `exact` as well: the same value unrounded, held to one part in a million.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
KINDS = ("published", "exact", "from memory", "wrong")
#: A right answer lies at least this far, as a share, from one printed wrong.
FAR = 0.004

Row = dict[str, Any]


def rows(*tables: str) -> list[Row]:
    """The rows of some tables."""
    return [row for table in tables for row in tomllib.loads((HERE / f"{table}.toml").read_text("utf-8"))["check"]]


def every_row(*tables: str) -> pytest.MarkDecorator:
    """Runs a test once for each row, named by the row."""
    return pytest.mark.parametrize("row", rows(*tables), ids=lambda row: f"{row['id']} {row['what']}")


def holds(row: Row, answers: Mapping[str, Callable[..., float]]) -> None:
    """Asserts that the answer our code gives is the row's."""
    ours = answers[row["answer"]](**row["inputs"])
    if row["kind"] == "from memory":
        assert row["low"] <= ours <= row["high"], f"ours is {ours}"
        return
    default = 1e-6 if row["kind"] == "exact" else None
    relative = row.get("relative", default if "absolute" not in row else None)
    assert ours == pytest.approx(row["expected"], rel=relative or 0, abs=row.get("absolute", 0)), f"ours is {ours}"
    if "exact" in row:
        assert ours == pytest.approx(row["exact"], rel=1e-6), f"ours is {ours}"
    if row["kind"] == "wrong":
        assert abs(ours / row["wrong"] - 1) > FAR, f"ours is {ours}"
