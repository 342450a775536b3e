"""The sheet of the weft's order, read back from its PDF, every total added up again."""

from __future__ import annotations

import datetime
import re
import tomllib
from pathlib import Path

import pytest
from sheets.printed import reader, text_of

from clothwright.planning import ColourPlan, plan, plan_colours, planned_warp, with_weft
from clothwright.project import Project, read_project
from clothwright.sheets import weft_order_pdf, weft_order_svg
from clothwright.sheets.colours.weft_sheet import weft_data

DAY = datetime.date(2026, 11, 25)
STRANDLINE = Path(__file__).parents[3] / "examples" / "strandline-wrap.toml"


@pytest.fixture(scope="module")
def woven() -> tuple[ColourPlan, Project]:
    """The example, with its weft."""
    project = read_project(tomllib.loads(STRANDLINE.read_text("utf-8")))
    found = plan(project)
    colours = plan_colours(project, planned_warp(project, found), drawn_from=found.drawn)
    return with_weft(project, colours, found), project


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_the_sheet_is_tagged_dated_and_has_its_ruler(
    woven: tuple[ColourPlan, Project], large_print: bool, imperial: bool
) -> None:
    pdf = weft_order_pdf(*woven, made_on=DAY, large_print=large_print, imperial=imperial)
    said = text_of(pdf)
    assert "25 November 2026" in said
    assert "Check the print" in said
    assert "has run out; join ball" in said.replace("\n", " ")
    assert reader(pdf).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]


def test_the_picks_ticked_off_follow_one_another_and_add_up(woven: tuple[ColourPlan, Project]) -> None:
    """A separate adder: the numbers of every line, and the running length as picks ÷ picks per cm to a millimetre."""
    weft = woven[0].weft
    assert weft is not None
    at = 1
    data = weft_data(weft)
    for run in data["runs"]:
        first, last = map(int, run["picks"].split(" to "))
        count = int(re.match(r"(\d+) picks? of", run["yarn"]).group(1))  # type: ignore[union-attr]
        assert first == at
        assert last - first + 1 == count
        at = last + 1
    assert data["end_says"].endswith(f"Count {at - 1} picks.")
    begins = data["runs"][5]["begins"]
    cm = float(re.match(r"begins at ([\d.]+)\scm", begins).group(1))  # type: ignore[union-attr]
    assert cm == pytest.approx((weft.order[5].first - 1) / (weft.wefted.picks_per_cm or 1), abs=0.06)
    assert sum(run["half"] for run in data["runs"]) == 1


def test_an_answer_without_a_weft_is_refused(woven: tuple[ColourPlan, Project]) -> None:
    from dataclasses import replace

    with pytest.raises(ValueError, match="tells no weft"):
        weft_order_pdf(replace(woven[0], weft=None), woven[1], made_on=DAY)


def test_the_picture_says_picks_and_where_they_are_measured() -> None:
    said = weft_order_svg([("kelp", 20), ("shell", 12)], {"kelp": "#334433"}, picks_per_cm=4.0)
    assert "From the first pick: 20 kelp, 12 shell." in said
    assert "32 picks, 8 cm (3⅛ in) on the loom" in said.replace("\u00a0", " ")
