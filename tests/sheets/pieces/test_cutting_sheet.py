"""The cutting sheet, read back from its PDF: every piece in its order, counted, with what to do before the first cut."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace

import pytest
from sheets.plans import NASTY_NAMES, SHAWL, WAISTCOAT, with_names
from sheets.printed import reader, text_of

from clothwright.planning import cutting_order
from clothwright.project import ProblemsFound, Project, read_project
from clothwright.sheets import cutting_sheet_pdf
from clothwright.sheets.pieces.cutting_sheet import cutting_data

DAY = datetime.date(2026, 11, 25)
PROJECT = Project(name=WAISTCOAT.name)


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_every_piece_stands_on_it_in_the_order_it_is_cut(large_print: bool, imperial: bool) -> None:
    pdf = cutting_sheet_pdf(WAISTCOAT, PROJECT, imperial=imperial, made_on=DAY, large_print=large_print)
    said = text_of(pdf)
    at = [said.index(f"{one.number}. {one.piece}") for one in cutting_order(WAISTCOAT)]
    assert at == sorted(at)
    assert len(at) == len(WAISTCOAT.outlines)
    for words in ("Stitch before you cut", "Grain: every piece lies along the warp", "One layer", "Check the print"):
        assert words in said


def test_copies_are_counted_as_drawn_and_as_mirror_images() -> None:
    rows = {row[0]: row for row in cutting_data(WAISTCOAT, PROJECT, 10)["count"]}
    for name, row in rows.items():
        copies = [one for one in WAISTCOAT.outlines if one.piece == name]
        assert [int(figure) for figure in row[1:4]] == [
            len(copies),
            sum(not one.mirrored for one in copies),
            sum(one.mirrored for one in copies),
        ]
    assert sum(int(row[1]) for row in rows.values()) == len(WAISTCOAT.outlines)


def test_stitching_goes_into_the_gap_where_there_is_one() -> None:
    gap = read_project({"clothwright": 1, "name": "x", "layout": {"gap": "5 mm"}})
    assert any("in the 5 mm left between pieces" in line for line in cutting_data(WAISTCOAT, gap, 10)["before"])
    assert any("just inside each line" in line for line in cutting_data(WAISTCOAT, PROJECT, 10)["before"])


def test_what_the_layout_does_not_keep_is_said_before_the_first_cut() -> None:
    told = "Not kept in the layout: flaws are covered."
    assert told in cutting_data(replace(WAISTCOAT, notes=(told, "Another note.")), PROJECT, 10)["before"]


def test_a_cloth_without_pieces_has_no_cutting_sheet() -> None:
    with pytest.raises(ProblemsFound, match="nothing to cut"):
        cutting_sheet_pdf(SHAWL, PROJECT, made_on=DAY)


@pytest.mark.parametrize("name", NASTY_NAMES)
def test_nothing_typed_is_markup(name: str) -> None:
    named = with_names(WAISTCOAT, name)
    names = {(was.piece, was.copy): now.piece for was, now in zip(WAISTCOAT.outlines, named.outlines, strict=True)}
    assert named.layout is not None
    placed = tuple(replace(one, piece=names[one.piece, one.copy]) for one in named.layout.placed)
    pdf = cutting_sheet_pdf(replace(named, layout=replace(named.layout, placed=placed)), PROJECT, made_on=DAY)
    assert len(reader(pdf).pages) <= 4
    assert re.search(r"Cutting sheet of 25 November 2026", text_of(pdf))


@pytest.mark.parametrize(
    ("left_is", "as_drawn", "mirrored"), [("as drawn", "left", "right"), ("mirror image", "right", "left")]
)
def test_left_and_right_are_named_where_it_is_said_which_is_drawn(left_is: str, as_drawn: str, mirrored: str) -> None:
    said = read_project({"clothwright": 1, "name": "x", "pattern": {"left_is": left_is}})
    data = cutting_data(WAISTCOAT, said, 10)
    for cut, row in zip(cutting_order(WAISTCOAT), data["order"], strict=True):
        paired = any(one.mirrored for one in WAISTCOAT.outlines if one.piece == cut.piece)
        notes = row[3].split("; ")
        assert ((mirrored if cut.mirrored else as_drawn) in notes) == paired
    assert not any(line.startswith("Left or right?") for line in data["before"])
    for row in data["count"]:
        if row[3] != "0":
            assert (row[2].split()[1], row[3].split()[1]) == (as_drawn, mirrored)


def test_where_it_is_not_said_the_sheet_asks_and_names_the_pairs() -> None:
    (asked,) = [line for line in cutting_data(WAISTCOAT, PROJECT, 10)["before"] if line.startswith("Left or right?")]
    assert {one.piece for one in WAISTCOAT.outlines if one.mirrored} <= set(re.findall(r"\w[\w ]*\w", asked)) | set(
        asked.split()
    )
    assert any("facing you" in line for line in cutting_data(WAISTCOAT, PROJECT, 10)["before"])
