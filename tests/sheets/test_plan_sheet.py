"""The plan sheet, read back from its PDF: what it says, that it measures true, and that nothing typed is markup.

An inch is 25.4 mm (international yard and pound agreement, 1959) and a point of PDF is 1/72 in (ISO 32000-2, 8.3.2.3).
ISO 14289-1 (PDF/UA-1) asks for tags, a language and a shown title, and forbids a character without a glyph.
"""

from __future__ import annotations

import datetime
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from pypdf import PageObject
from sheets.plans import BY_HAND, LONG_BAND, NASTY_NAMES, SHAWL, WAISTCOAT, with_names
from sheets.printed import Drawn, paths, reader, text_of

from clothwright.planning import Plan, plan
from clothwright.project import Project
from clothwright.project.pattern.pattern_state import PatternState
from clothwright.sheets import plan_sheet_pdf, wording
from clothwright.sheets.page import A4, ORDINARY
from clothwright.sheets.paper import FONTS, NO_LETTER, TEMPLATES, unprintable
from clothwright.sheets.pictures import rows_high_at_scale
from clothwright.sheets.plan_sheet import SCALES, cautions, scaled_layout

DAY = datetime.date(2026, 11, 25)
ROOT = Path(__file__).parents[2]


@cache
def sheet(of: Plan = WAISTCOAT, *, imperial: bool = False, large_print: bool = False) -> bytes:
    return plan_sheet_pdf(of, Project(name=of.name), imperial=imperial, made_on=DAY, large_print=large_print)


@pytest.mark.parametrize("of", [SHAWL, WAISTCOAT, BY_HAND, LONG_BAND], ids=lambda of: of.name)
@pytest.mark.parametrize("imperial", [False, True])
def test_the_sheet_says_the_verdict_and_what_to_set_up(of: Plan, imperial: bool) -> None:
    said = text_of(sheet(of, imperial=imperial))
    assert wording.verdict_sentence(of) in said
    for kind, value in ((wording.LENGTH, of.warp.length_cm), (wording.LENGTH, of.weft.weave_to_cm)):
        assert kind.text(value, imperial=imperial, rounding=wording.Rounding.UP).replace("\u00a0", " ") in said
    assert f"Ends {of.warp.ends}, in {of.warp.ends // 2} pairs" in said
    assert "Plan sheet of 25 November 2026" in said


def test_the_sheet_goes_from_setting_up_to_the_working_on_no_more_than_four_pages() -> None:
    """One part after the other; what cannot be parted leaves no page half empty for it."""
    pages = [page.extract_text() for page in reader(sheet()).pages]
    heads = [
        "What to set up",
        "Take care",
        "What to measure next",
        "The layout, on finished cloth",
        "Cutting list",
        "What this plan assumes",
        "What makes it unsure",
        "The working",
        "What really came out",
    ]
    assert len(pages) <= 4
    said = " ".join(pages)
    assert sorted(heads, key=said.index) == heads
    assert all(head in pages[0] for head in ("What to set up", "The warp, to scale", "The yarn: need against have"))


def test_the_margin_stands_in_metres_in_grams_and_in_cm_of_cloth() -> None:
    said = text_of(sheet(SHAWL))
    assert "6 m (6½ yd) to spare" in said
    assert "1.9 g" in said
    assert "2.9 cm (1⅛ in) to spare of finished cloth" in said
    assert "Missing for the chance you asked: 24 m (26 yd)" in said


def test_every_line_of_the_working_is_printed_with_its_sum_value_rung_and_source() -> None:
    said = text_of(sheet())
    for line in WAISTCOAT.working:
        for part in (
            line.step,
            line.sum,
            f"{wording.plain_number(line.value)} {line.unit}",
            str(line.rung),
            line.source,
        ):
            assert part in said


def test_ways_out_and_what_to_measure_next_are_printed_with_their_chances() -> None:
    said = text_of(sheet(SHAWL))
    assert "Weave and wash a 20 cm (7⅞ in) square 83 chances in 100" in said
    assert "No on-warp sample" in said
    assert "61 m (66 yd) to spare" in said


def test_there_is_a_box_for_each_figure_that_will_really_come_out() -> None:
    said = text_of(sheet())
    for what in ("at the start", "in the middle", "at the end"):
        assert f"Finished width, {what} 47.8 to 50.6 cm" in said
    for what in ("Woven length, under tension", "Finished length", "Weight left: wrack brown"):
        assert what in said


def test_the_cutting_list_has_each_piece_once_with_its_mirrored_copies() -> None:
    said = text_of(sheet())
    assert "front 2 64 cm (25¼ in) 26 cm (10¼ in) 1 mirrored" in said
    assert "back 2 62 cm (24½ in) 24 cm (9½ in)" in said
    assert "Cutting list" not in text_of(sheet(SHAWL))


def test_the_two_cautions_of_every_sheet_are_always_there_and_never_twice() -> None:
    none = cautions(replace(SHAWL, cautions=()))
    assert [one.split()[0] for one in none] == ["Cut", "Weave"]
    assert "Weave and wash a sample with your own yarn first." in none
    own = cautions(replace(SHAWL, cautions=("Cut single layer, fold pieces opened out.", "Mind the tide.")))
    assert sum("cut single layer" in one.lower() for one in own) == 1
    assert "Mind the tide." in own


def test_a_plan_by_hand_says_no_chance_and_no_interval() -> None:
    said = text_of(sheet(BY_HAND)).lower()
    assert "chances in 100" not in said
    assert "nine times in ten" not in said
    assert "at worst 23 m (26 yd) missing" in said


def straight(pdf: bytes, least_mm: float) -> list[Drawn]:
    return [one for one in paths(pdf) if len(one.points) == 2 and one.size[1] == 0 and one.size[0] > least_mm]


@pytest.mark.parametrize("imperial", [False, True])
def test_the_check_ruler_measures_true(imperial: bool) -> None:
    """One line of 100 mm and one of 4 in, with butt ends (cap 0), so that what is seen is what was drawn."""
    lengths = {
        wanted: [one for one in straight(sheet(imperial=imperial), 60.0) if abs(one.size[0] - wanted) < 0.2]
        for wanted in (100.0, 101.6)
    }
    for wanted, lines in lengths.items():
        (line,) = lines
        assert line.size[0] == pytest.approx(wanted, abs=0.01)
        assert line.cap == 0


def test_the_marks_of_the_check_ruler_do_not_make_it_longer() -> None:
    every = paths(sheet(), 1)
    (line,) = [one for one in every if abs(one.size[0] - 100.0) < 0.2 and one.size[1] == 0]
    left, right = min(x for x, _ in line.points), max(x for x, _ in line.points)
    height = line.points[0][1]
    marks = [one for one in every if len(one.points) == 2 and one.size[0] == 0 and abs(one.points[1][1] - height) < 0.3]
    assert len(marks) == 11
    assert min(one.points[0][0] - one.line_mm / 2 for one in marks) == pytest.approx(left, abs=0.01)
    assert max(one.points[0][0] + one.line_mm / 2 for one in marks) == pytest.approx(right, abs=0.01)


def test_the_layout_has_the_scale_it_states() -> None:
    """190 × 48 cm at 1:12 is 158.3 × 40.0 mm."""
    assert "Scale 1:12: 1 cm on this paper is 12 cm of cloth" in text_of(sheet())
    sizes = [one.size for one in paths(sheet(), 1) if one.painted == "f"]
    assert (pytest.approx(1900 / 12, abs=0.05), pytest.approx(480 / 12, abs=0.05)) in sizes


def test_the_layout_takes_the_largest_scale_that_leaves_room() -> None:
    across = A4.across_mm / ORDINARY.unit_mm
    scale, _ = scaled_layout(WAISTCOAT, ORDINARY, imperial=False, across=across)
    high = rows_high_at_scale(WAISTCOAT, units_per_cm=10 / scale / ORDINARY.unit_mm, across=across)
    assert high * ORDINARY.unit_mm <= ORDINARY.layout_mm
    larger = replace_limit(SCALES[SCALES.index(scale) - 1])
    assert larger > ORDINARY.layout_mm


def replace_limit(scale: int) -> float:
    """How high the rows of the layout would be at a scale, reckoned anew: 190 cm in rows that split at 62 and 126."""
    rows = 2 if scale in (8, 10) else 3
    return rows * (480 / scale + 84 * ORDINARY.unit_mm)


def test_the_same_plan_and_date_give_the_same_bytes() -> None:
    again = plan_sheet_pdf(WAISTCOAT, Project(name=WAISTCOAT.name), made_on=DAY)
    assert again == sheet()
    assert plan_sheet_pdf(WAISTCOAT, Project(name=WAISTCOAT.name), made_on=DAY + datetime.timedelta(days=1)) != again


@pytest.mark.parametrize(("imperial", "size_mm"), [(False, (210.0, 297.0)), (True, (215.9, 279.4))])
def test_paper_is_a4_or_us_letter(imperial: bool, size_mm: tuple[float, float]) -> None:
    box = reader(sheet(imperial=imperial)).pages[0].mediabox
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(size_mm, abs=0.1)


def test_the_document_is_tagged_named_and_in_english() -> None:
    read = reader(sheet())
    root = read.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"].startswith("en")
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert read.metadata is not None
    assert read.metadata.title == "Saltings waistcoat"
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert read.metadata.creation_date == datetime.datetime(2026, 11, 25, tzinfo=datetime.UTC)


def test_large_print_says_the_same_in_larger_letters() -> None:
    large = text_of(sheet(large_print=True))
    for part in (wording.verdict_sentence(WAISTCOAT), "Cutting list", "Weight left: wrack brown", "Sum: 148 × 3.46"):
        assert part in large
    assert largest_letters(sheet(large_print=True)) > 1.5 * largest_letters(sheet())
    assert len(reader(sheet(large_print=True)).pages) > 3


def largest_letters(pdf: bytes) -> float:
    return max(size for page in reader(pdf).pages for _, size in letters(page))


def letters(page: PageObject) -> list[tuple[float, float]]:
    """Where each run of text starts across the page, in points, and how large its letters are."""
    found: list[tuple[float, float]] = []

    def visit(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.append((tm[4] * cm[0] + cm[4], size * abs(tm[0])))

    page.extract_text(visitor_text=visit)
    return found


#: Characters that sums, measures and words of a sheet are made of.
PRINTED = "÷×−–²½¼¾⅛⅜⅝⅞°±“”‘’—…→≥≤≈≠□·%éÅßłőМорёΑθ"


def test_what_sheets_are_made_of_can_be_printed() -> None:
    assert unprintable(PRINTED) == set()
    assert unprintable("wool 🧶 波 ok") == {"🧶", "波"}
    assert unprintable("") == set()


def test_what_sheets_are_made_of_is_printed_in_words_and_in_pictures() -> None:
    said = text_of(sheet(with_names(SHAWL, PRINTED))).replace(" ", "")
    assert said.count(PRINTED) >= 4 + 2 * len(SHAWL.working)


def test_a_character_no_font_has_is_printed_as_a_box() -> None:
    said = text_of(sheet(with_names(SHAWL, "wool 🧶 yarn")))
    assert f"wool {NO_LETTER} yarn" in said


@pytest.mark.parametrize("name", NASTY_NAMES)
def test_what_was_typed_is_printed_letter_by_letter(name: str) -> None:
    said = text_of(sheet(with_names(WAISTCOAT, name))).replace(" ", "")
    shown = wording.shortened(wording.literal(name), 60).replace("🧶", NO_LETTER)
    assert shown.removesuffix("…").replace(" ", "") in said


@pytest.mark.parametrize("name", [NASTY_NAMES[6], NASTY_NAMES[7], "W" * 200, "MW %" * 60])
def test_no_name_is_so_long_that_it_leaves_the_paper(name: str) -> None:
    pdf = sheet(with_names(WAISTCOAT, name))
    width = float(reader(pdf).pages[0].mediabox.width)
    assert max(start for page in reader(pdf).pages for start, _ in letters(page)) < width
    edge = 210.0 - 12.0  # pictures may reach 3.85 mm into the margin of 15 mm
    assert max(x for one in paths(pdf) for x, _ in one.points if one.painted == "S") < edge


def test_letters_are_those_kept_beside_the_code_with_their_licence() -> None:
    names = {
        str(font.get_object()["/BaseFont"])
        for page in reader(sheet()).pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert names
    assert all("AtkinsonHyperlegibleNext" in name for name in names)
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / "OFL.txt").read_text()
    assert sum(one.stat().st_size for one in FONTS.glob("*.ttf")) < 300_000


def test_templates_ask_nothing_of_the_network() -> None:
    templates = list(TEMPLATES.glob("*.typ"))
    assert len(templates) >= 3
    assert not [one.name for one in templates if "@" in one.read_text()]


@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize("example", ["slate-tide-cloth.toml", "rows-of-rectangles.toml"])
def test_a_real_project_prints(example: str, by_hand: bool) -> None:
    project = Project.model_validate(tomllib.loads((ROOT / "examples" / example).read_text()))
    answer = plan(project, by_hand=by_hand)
    said = text_of(plan_sheet_pdf(answer, project, made_on=DAY))
    assert wording.verdict_sentence(answer) in said
    assert f"Ends {answer.warp.ends}" in said
    for line in answer.working:
        assert line.step in said.replace("- ", "-")
    for one in answer.outlines:
        assert one.piece in said


def test_a_plan_that_no_mock_up_has_proved_is_stamped_in_words_and_names_the_state_of_its_pattern() -> None:
    state = PatternState("3f9a21c4", "2026-10-03", 2, "M", None)
    unproved = replace(WAISTCOAT, provisional_because="Provisional: no mock-up has been sewn.", pattern_state=state)
    said = text_of(sheet(unproved))
    assert "PROVISIONAL" in said.replace(" ", "")
    assert "Provisional: no mock-up has been sewn." in said
    assert "Made from pattern 3f9a21c4, 2 changes, the last of 3 October 2026." in said
    assert "PROVISIONAL" not in text_of(sheet(SHAWL)).replace(" ", "")
