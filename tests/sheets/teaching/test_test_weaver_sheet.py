"""The test weaver's sheet: the figures of the leaflet, and a box for everything that is typed back."""

from __future__ import annotations

import datetime

import pytest
from planning.asking import tree
from sheets.printed import reader, text_of
from web.forms.test_form import ALL_FIELDS

from clothwright.planning import leaflet
from clothwright.project import read_project
from clothwright.sheets import leaflet_words
from clothwright.sheets.teaching import test_weaver_sheet

DAY = datetime.date(2026, 11, 26)
VEST = leaflet(read_project(tree("tideline-vest")), drawings={})


@pytest.mark.parametrize("large_print", [False, True])
def test_every_box_and_every_figure_told_stands_on_the_paper(large_print: bool) -> None:
    """Read back from its PDF; it is tagged, and the version is on it."""
    pdf = test_weaver_sheet.sheet_of_test_pdf(VEST, made_on=DAY, large_print=large_print)
    said = " ".join(text_of(pdf).replace("\u00a0", " ").split())
    for box in (*test_weaver_sheet.ABOUT, *test_weaver_sheet.CAME, *test_weaver_sheet.IN_WORDS):
        assert box in said
    for _, rows in leaflet_words.groups(VEST, imperial=False):
        for cell in (cell.replace("\u00a0", " ") for row in rows for cell in row):
            assert cell in said
    assert "not given out" in said
    assert reader(pdf).trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_the_boxes_come_in_the_order_of_the_form() -> None:
    """Those that the record has a field for, by the words they share with it."""
    asked = {
        "record.date": "Finished on", "record.ends": "Ends put on", "record.warp_wound": "Warp wound", "record.waste": "Waste cut off",
        "record.on_warp_sample": "Sample woven first", "record.width.on_loom": "Width at the fell", "record.width.off_loom": "Width off the loom",
        "record.width.finished.start": "Width finished", "record.length.on_loom": "Woven length", "record.length.off_loom": "Length off the loom",
        "record.length.finished": "Length finished", "record.picks.count": "Picks counted", "record.left.*.weight": "Yarn left",
        "record.finish": "How it was washed",
    }  # fmt: skip
    fields = [field.path for field in ALL_FIELDS if field.path in asked]
    assert fields == list(asked)
    places = [
        next(n for n, box in enumerate(test_weaver_sheet.CAME) if box.startswith(words)) for words in asked.values()
    ]
    assert places == sorted(places)
