"""Text goes out to spreadsheets as text, and comes in as it was."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clothwright.evidence.records import NEEDED, read_records, written_records
from clothwright.library.shelves.yarn_csv import EXAMPLE, read_yarn_table, yarn_table
from clothwright.measure import as_text_cell, of_text_cell

#: *Source:* OWASP, CSV Injection: what a cell must not begin with.
SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@given(st.text(max_size=20) | st.text(alphabet="'=+-@x", max_size=8))
def test_whatever_is_typed_comes_back_and_no_cell_begins_as_a_formula_does(text: str) -> None:
    cell = as_text_cell(text)
    assert of_text_cell(cell) == text
    assert not cell.startswith(SIGNS)


@pytest.mark.parametrize("text", ["samphire", "'tis grey", "8/2 cotton", "104 g; 96 g", ""])
def test_ordinary_text_stays_as_it_is(text: str) -> None:
    assert as_text_cell(text) == text == of_text_cell(text)


@pytest.mark.parametrize("name", ['=HYPERLINK("http://example.org")', "@SUM(A1)", "-moss", "+1", "'=already"])
def test_a_yarn_named_like_a_formula_goes_out_as_text_and_comes_in_as_it_was(name: str) -> None:
    text = yarn_table([{**EXAMPLE[1], "name": name}])
    for row in csv.reader(io.StringIO(text)):
        assert not [cell for cell in row if cell.startswith(SIGNS)]
    ((_, back),) = read_yarn_table(text.encode()).yarns
    assert back["name"] == name


def test_a_table_of_cloths_holds_no_formula_either() -> None:
    row = dict.fromkeys(NEEDED, "10")
    text = written_records([{**row, "fibre": "=1+1", "weaver": "@sea"}])
    for cells in csv.reader(io.StringIO(text)):
        assert not [cell for cell in cells if cell.startswith(SIGNS)]
    (record,), bad = read_records(text)
    assert not bad
    assert record.words["fibre"] == "=1+1"
