"""The page on fit is a tested contract: its examples are read, its verbs are those there are, its sums are right."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from clothwright.pattern import Change, Do, Edge, Piece, alter
from clothwright.project import read_project, read_toml
from clothwright.project.pattern.changing import change_in_words

PAGE = (Path(__file__).parents[1] / "docs" / "fit.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)


def test_every_example_on_the_page_is_read() -> None:
    assert len(EXAMPLES) == 2
    projects = [read_project(read_toml(text)) for text in EXAMPLES]
    assert projects[0].pattern is not None
    assert change_in_words(projects[0].pattern.change[0]) == "“side” let out by 1 cm, to nothing at the top."


def test_the_table_names_every_verb_there_is() -> None:
    rows = [line.split("|")[1] for line in PAGE.splitlines() if line.startswith("| `")]
    assert {verb for row in rows for verb in re.findall(r"`([a-z ]+)`", row)} - {"do"} == {str(do) for do in Do}


def test_a_side_that_slants_by_10_degrees_gains_what_the_page_says() -> None:
    """5 cos 10° = 4.92, as on paper; a long side, so that trueing costs under half a millimetre."""
    assert "slants by 10° gains\n4.92 cm for 5" in PAGE
    slant = math.radians(10)
    across = 60 * math.tan(slant)
    ring = ((0.0, 0.0), (60.0, across), (60.0, 40.0), (0.0, 40.0))
    skirt = Piece("skirt", ring, edges=(Edge(ring[:2], seam="side"),))
    (after,) = alter([skirt], Change(Do.LENGTHEN, 5.0, pieces=("skirt",), at_cm=30.0)).pieces
    gained = after.piece.edges[0].length_cm - skirt.edges[0].length_cm
    assert 5 * math.cos(slant) == pytest.approx(4.92, abs=0.005)
    assert gained == pytest.approx(4.92, abs=0.05)
