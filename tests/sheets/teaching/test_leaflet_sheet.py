"""The leaflet's pages, read back from their PDF and re-added by what is printed."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace

import pytest
from planning.asking import changed, tree
from sheets.printed import reader, text_of

from clothwright.planning import Leaflet, NoRow, leaflet
from clothwright.project import read_project
from clothwright.sheets import leaflet_pdf, leaflet_words
from clothwright.sheets.teaching.leaflet_sheet import leaflet_data

DAY = datetime.date(2026, 11, 25)
VEST = tree("tideline-vest")


def made(**changes: object) -> Leaflet:
    """The vest's leaflet with something changed."""
    return leaflet(read_project(changed(VEST, **changes)), drawings={})


def whole(cell: str) -> int:
    """The first number of a cell, as a reader types it into a calculator."""
    return int(cell.replace("\u00a0", "").split("m")[0].split("y")[0])


@pytest.mark.parametrize("imperial", [False, True])
@pytest.mark.parametrize("by_hand", [False, True])
def test_warp_and_weft_as_printed_add_up_to_the_sum_as_printed(imperial: bool, by_hand: bool) -> None:
    """Every row, in metres and in yards."""
    rows = [row for _, rows in leaflet_words.groups(made(leaflet__by_hand=by_hand), imperial=imperial) for row in rows]
    assert len(rows) == 6
    assert all(whole(row[4]) + whole(row[5]) == whole(row[6]) for row in rows)


@pytest.mark.parametrize("large_print", [False, True])
def test_every_figure_of_the_table_stands_on_the_paper(large_print: bool) -> None:
    """The text of the PDF holds each cell; it is tagged, and says its title and language."""
    pdf = leaflet_pdf(made(), made_on=DAY, large_print=large_print)
    said = text_of(pdf).replace("\u00a0", " ")
    for group in leaflet_data(made())["groups"]:
        for row in group["rows"]:
            for cell in row:
                assert re.sub(r"\s+", " ", cell) in said
    root = reader(pdf).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert reader(pdf).metadata.title == "Tideline vest"
    assert "PROOF" not in said


def test_a_leaflet_that_is_not_ready_is_stamped_with_the_reasons() -> None:
    """A size with no layout at all, a mock-up not ticked, a figure that does not follow."""
    right = made()
    wrong = replace(
        right,
        left_out=(NoRow("XL", "", 42.0, "back is wider than the cloth"),),
        provisional_because="The mock-up was not sewn",
        rows=(replace(right.rows[0], ends=999), *right.rows[1:]),
    )
    said = text_of(leaflet_pdf(wrong, made_on=DAY))
    for words in (
        "PROOF, NOT TO BE GIVEN OUT",
        "999 ends",
        "ize XL has no layout at any width: tabulate a wider cloth, give its length (cloth_lengths), or leave it out",
        "The mock-up was not sewn.",
    ):
        assert words in said


def test_the_advice_the_box_for_a_sample_and_the_cautions_are_on_it() -> None:
    """With what the figures stand on."""
    said = text_of(leaflet_pdf(made(), made_on=DAY))
    for words in (
        "warp it 42 cm (16½ in) wide on a wide loom too",
        "Your own sample",
        "What the figures stand on",
        "Take care",
    ):
        assert words in said
