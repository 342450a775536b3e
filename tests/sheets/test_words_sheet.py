"""Words on paper, and the class sheet to fill in."""

from __future__ import annotations

import datetime
import tomllib
from pathlib import Path

import pytest
from sheets.printed import body_of, reader, text_of

from clothwright.planning import piece_figures
from clothwright.project import read_project
from clothwright.sheets import BY_KIND, How, draw, words_sheet_pdf
from clothwright.sheets.glossary import glossary
from clothwright.sheets.teaching.class_blank import blank_class_sheet_pdf
from clothwright.sheets.translating import Language

DAY = datetime.date(2026, 11, 26)
EXAMPLES = Path(__file__).parents[2] / "examples"


def piece(name: str) -> dict[str, object]:
    return tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("code", ["en", "de"])
def test_every_word_stands_on_the_paper(code: str, large_print: bool) -> None:
    """With its line, in its language; that nobody has read the German stands on the sheet itself."""
    language = Language(code)
    pdf = words_sheet_pdf(made_on=DAY, large_print=large_print, language=language)
    text = body_of(pdf)
    close = text.replace(" ", "")  # a line may end at a hyphen
    assert [one.word for one in glossary() if one.said(language).replace(" ", "") not in close] == []
    assert [one.word for one in glossary() if one.explained(language).replace(" ", "") not in close] == []
    assert ("hat diese Wörter gelesen" in text) == (code == "de")
    assert reader(pdf).trailer["/Root"]["/Lang"].startswith(code)


def test_a_blank_class_sheet_has_the_numbers_of_its_piece_and_room_for_the_rest() -> None:
    """36 × 180 cm at 0.9, 0.87, 3.2 and 1.05 as the piece says; a sum that is not needed is left out."""
    text = text_of(blank_class_sheet_pdf(read_project(piece("rockpool-runner")), made_on=DAY))
    for part in (
        "Ends: 36 cm finished ÷ 0.9 × ……… per cm",
        "180 cm finished ÷ 0.87 = ……… cm",
        "3.2 per cm × ………",
        "× 1.05 =",
    ):
        assert part in text
    assert "Warp the weaving takes" not in text
    inches = text_of(blank_class_sheet_pdf(read_project(piece("rockpool-runner")), imperial=True, made_on=DAY))
    assert "14¼ in finished ÷ 0.9 × ……… per in" in inches
    assert "÷ 36, rounded up = ……… yd" in inches


def test_a_blank_class_sheet_of_nothing_has_room_for_everything() -> None:
    """One page in ordinary print; no figure of any piece."""
    pdf = draw(BY_KIND["class-sheet"], None, How(DAY))
    text = text_of(pdf)
    assert len(reader(pdf).pages) == 1
    assert "……… cm finished ÷ ……… × ……… per cm" in text
    assert "Warp the weaving takes: ……… cm ÷ ………" in text
    assert len(reader(draw(BY_KIND["class-sheet"], None, How(DAY, large_print=True))).pages) > 1


def test_a_piece_that_is_cut_has_no_one_cloth_for_every_loom() -> None:
    """Its width and length are left to write, since a narrow loom lays the pieces out anew; the ratios stand."""
    found = piece_figures(read_project(piece("rows-of-rectangles")))
    assert (found.width_cm, found.length_cm) == (None, None)
    assert (found.width_ratio, found.length_ratio) == (0.9, 0.875)
