"""The test weaver's sheet: the figures of the leaflet, and a box for everything that is typed back."""

from __future__ import annotations

import datetime
import re

import pytest
from planning.asking import tree
from sheets.printed import reader, text_of
from web.forms.test_form import ALL_FIELDS, parts_of

from clothwright.planning import leaflet
from clothwright.project import read_project
from clothwright.sheets import leaflet_words
from clothwright.sheets.asked import TEST_WEAVER, paths
from clothwright.sheets.teaching import test_weaver_sheet
from clothwright.web.forms.record_fields import STAGES

DAY = datetime.date(2026, 11, 26)
OF_RECORD = [field for stage in STAGES for field in parts_of(stage.parts)]
VEST = leaflet(read_project(tree("tideline-vest")), drawings={})


@pytest.mark.parametrize("large_print", [False, True])
def test_every_box_and_every_figure_told_stands_on_the_paper(large_print: bool) -> None:
    """Read back from its PDF; it is tagged, and the version is on it."""
    pdf = test_weaver_sheet.sheet_of_test_pdf(VEST, made_on=DAY, large_print=large_print)
    said = " ".join(text_of(pdf).replace("\u00a0", " ").split())
    for part in TEST_WEAVER.parts:
        for box in (*part.asks, *(part.rows.columns if part.rows else ())):
            assert box.label in said
    for _, rows in leaflet_words.groups(VEST, imperial=False):
        for cell in (cell.replace("\u00a0", " ") for row in rows for cell in row):
            assert cell in said
    assert "not given out" in said
    assert reader(pdf).trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_everything_that_makes_her_cloth_evidence_has_a_box() -> None:
    """Each size of the record in each state, what she put on and cut off, and whose it is."""
    asked = set(paths(TEST_WEAVER))
    sizes = {f"record.{side}.{state}" for side in ("width", "length") for state in ("on_loom", "off_loom")}
    assert sizes | {f"record.width.finished.{place}" for place in ("start", "middle", "end")} <= asked
    assert {"record.weaver", "record.date", "record.ends", "record.warp_wound", "record.waste", "yarn.*.grist"} <= asked
    assert asked <= {re.sub(r"\.\d+", ".*", field.path) for field in (*ALL_FIELDS, *OF_RECORD)} | {"yarn.*.grist"}
