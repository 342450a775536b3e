"""One table lists every sheet; every door is served from it, and looking at it waits for no typesetter."""

from __future__ import annotations

import datetime
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

from clothwright.cli import papers
from clothwright.sheets import BY_KIND, SHEETS, How, Need, Sheet, draw
from clothwright.sheets.paper import TEMPLATES
from clothwright.sheets.registry import drawer, staged

DAY = datetime.date(2026, 11, 26)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.kind)
def test_a_sheet_is_drawn_by_a_function_that_takes_what_its_row_says(sheet: Sheet) -> None:
    takes = inspect.signature(drawer(sheet)).parameters.values()
    asked = [one for one in takes if one.kind is not inspect.Parameter.KEYWORD_ONLY]
    named = {one.name for one in takes if one.kind is inspect.Parameter.KEYWORD_ONLY}
    least = [one for one in asked if one.default is inspect.Parameter.empty]
    assert len(least) <= len(sheet.needs) <= len(asked)
    assert named == {"imperial", "made_on"} | ({"large_print"} if sheet.large else set()) | (
        {"opens"} if sheet.typed else set()
    ) | ({"kind"} if sheet.one_of_many else set())


def test_every_kind_is_listed_once_in_one_stage() -> None:
    kinds = [sheet.kind for sheet in SHEETS]
    assert sorted(kinds) == sorted(set(kinds)) == sorted(BY_KIND)
    assert [sheet for of_stage in staged().values() for sheet in of_stage] == list(SHEETS)


def test_both_doors_have_everything_a_sheet_may_need() -> None:
    from clothwright.web.sheets import sheet_given

    assert set(papers.SUPPLIES) == set(Need)
    assert set(sheet_given.SUPPLIES) == set(Need)
    assert set(sheet_given.SETTLED_ON) == set(Need)


def test_a_sheet_that_needs_a_project_is_not_drawn_without_one() -> None:
    with pytest.raises(ValueError, match="cutting cannot be blank"):
        draw(BY_KIND["cutting"], None, How(DAY))


def test_the_table_and_the_words_are_read_without_typesetter_search_or_pages() -> None:
    """What a command that only says a length waits for: no typesetter, no pictures, nothing of the loom, no pages."""
    asks = "import sys, clothwright.cli.app, clothwright.sheets.wording; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True).stdout.split()
    late = {"typst", "django", "clothwright.sheets.pictures", "clothwright.sheets.paper", "clothwright.weaving"}
    assert not late & set(loaded)
    assert "clothwright.sheets.registry" in loaded


#: What a template has to be written in by hand; a tick alone is no answer.
_WRITTEN_IN = re.compile(r"\b(?:boxes|asked|asked-parts|to-fill|repeat)\(")


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.kind)
def test_a_sheet_with_boxes_to_write_in_has_a_form_or_says_what_becomes_of_them(sheet: Sheet) -> None:
    """By the templates that the file of its function names, and what a page of the house has to write in."""
    file = inspect.getsourcefile(drawer(sheet))
    assert file
    source = Path(file).read_text(encoding="utf-8")
    templates = set(re.findall(r'"([a-z-]+\.typ)"', source)) or {"cutting.typ"}
    has_boxes = any(_WRITTEN_IN.search((TEMPLATES / one).read_text(encoding="utf-8")) for one in templates)
    if sheet.kind in ("colour-order", "cutting-real"):  # drawn from files with the templates of others in them
        has_boxes = False
    assert has_boxes == bool(sheet.typed or sheet.on_paper)
    assert not (sheet.typed and sheet.on_paper)
