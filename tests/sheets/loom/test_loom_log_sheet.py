"""The log of the weaving on paper: its marks, its order, and room to write."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from sheets.printed import reader, text_of

from clothwright.cli.app import commands
from clothwright.project import read_project
from clothwright.sheets import loom_log_pdf
from clothwright.sheets.loom.loom_log_sheet import loom_log_data, marks_to_come

DAY = datetime.date(2026, 11, 25)
TABARD = Path(__file__).parents[3] / "examples" / "eelgrass-tabard.toml"
PROJECT = read_project({"name": "Kelp stole", "on_loom": {"to_weave": "263 cm", "marks_every": "60 cm"}})


def test_marks_lie_at_her_step_and_end_before_the_end() -> None:
    """By hand: 60, 120, 180, 240 of 263; of 240, the last mark would be the end itself."""
    assert marks_to_come(PROJECT, 263, imperial=False) == [60, 120, 180, 240]
    assert marks_to_come(PROJECT, 240, imperial=False) == [60, 120, 180]
    assert marks_to_come(None, 60, imperial=False) == [25, 50]
    assert marks_to_come(None, 60, imperial=True) == [25.4, 50.8]
    assert marks_to_come(None, None, imperial=False) == []
    assert len(marks_to_come(None, 1e9, imperial=False)) < 500


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_the_log_has_a_row_for_every_mark_and_one_for_the_end(large_print: bool, imperial: bool) -> None:
    pdf = loom_log_pdf(PROJECT, 263, imperial=imperial, made_on=DAY, large_print=large_print)
    said = text_of(pdf)
    assert "for Kelp stole" in said
    assert "25 November 2026" in said
    assert "Check the print" in said
    rows = loom_log_data(PROJECT, 263, imperial=imperial)["rows"]
    assert [row[0].split("\u00a0")[0] for row in rows] == (
        ["23½", "47¼", "70¾", "94½", "103½"] if imperial else ["60", "120", "180", "240", "263"]
    )
    assert reader(pdf).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]


def test_the_columns_stand_in_the_order_in_which_the_phone_asks() -> None:
    """The page of the phone, read from its template."""
    page = Path(__file__).parents[3] / "src/clothwright/web/templates/clothwright/phone_loom.html"
    asked = page.read_text(encoding="utf-8")
    places = [asked.index(f'data-kind="{kind}"') for kind in ("woven", "weighed", "picks", "happened", "width", "note")]
    assert places == sorted(places)
    head = loom_log_data(None, None, imperial=False)["head"]
    begins = ["Mark", "Woven", "Weighed", "Its core", "Picks", "Knot", "Wide", "Minutes"]
    assert [name.startswith(begin) for name, begin in zip(head, begins, strict=True)] == [True] * 8


def test_the_command_prints_it_filled_and_blank(tmp_path: Path) -> None:
    for options in ([str(TABARD)], ["--blank"]):
        found = CliRunner().invoke(commands, ["sheets", *options, "--only", "loom-log", "-o", str(tmp_path)])
        assert found.exit_code == 0, found.output
    assert "208 cm" in text_of((tmp_path / "eelgrass-tabard-loom-log.pdf").read_bytes()).replace("\u00a0", " ")
    assert "to fill in" in text_of((tmp_path / "blank-loom-log.pdf").read_bytes())
