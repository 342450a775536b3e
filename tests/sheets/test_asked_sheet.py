"""Sheets that ask: two pages for a whole record, a page for each yarn, room for snips, filled as typed, a code that opens the form."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import outloud
import pypdfium2
import pytest
from sheets.printed import reader, text_of

from clothwright.project import read_project
from clothwright.sheets.asked import ASKED, EQUIPMENT, PROJECT, YARN_TESTING, AskSheet, paths
from clothwright.sheets.asked_sheet import answer_at, asked_data, asked_pdf
from clothwright.sheets.cautions_sheet import by_step, cautions_pdf
from clothwright.sheets.code import Opens, squares

DAY = date(2026, 11, 26)
ADDRESS = "http://192.168.4.20:8765/project/3f9a2c1e-0b6d-4e0f-9a53-6c1f2d7b8e90/sheets/equipment/type/"
project_pdf, equipment_pdf, yarn_testing_pdf = (
    partial(asked_pdf, kind=kind) for kind in ("project", "equipment", "yarn-testing")
)
KNOWN = read_project(
    {
        "name": "Eelgrass coat",
        "units": "metric",
        "yarn": [
            {
                "name": "eelgrass",
                "fibre": "wool",
                "colour": "#41604f",
                "wraps": "6/cm",
                "grist": [{"length": "10 m", "weight": "3.1 g"}],
                "balls": ["104 g"],
                "wash_test": {"before": "20 m", "after": "17.6 m"},
                "heddle_trial": {"hole": "rubs", "rub_strokes": 100, "rub": "fuzzes"},
            },
            {"name": "cockle", "fibre": "cotton", "grist": "8/2 cotton", "balls": ["250 g"]},
        ],
        "core": [{"name": "card cone", "weight": "1 1/4 oz"}],
        "winder": [{"name": "niddy-noddy", "nominal": "2 yd", "turns": 20, "measured": "35.4 m"}],
        "loom": {
            "name": "the window loom",
            "weaving_width": "60 cm",
            "heddles": ["30/10 cm", "7.5/in"],
            "waste": "52 cm",
        },
        "record": {
            "width": {"finished": {"start": "44.1 cm", "end": "43.6 cm"}},
            "left": [{"yarn": "cockle", "weight": "31 g"}],
        },
    }
)


def test_the_record_of_a_garment_has_two_pages_blank_and_filled() -> None:
    for project in (None, KNOWN):
        for imperial in (False, True):
            assert len(reader(project_pdf(project, imperial=imperial, made_on=DAY)).pages) == 2


def test_the_front_is_the_plan_and_the_back_what_happened_with_room_for_what_is_kept() -> None:
    front, back = (" ".join(page.extract_text().split()) for page in reader(project_pdf(KNOWN, made_on=DAY)).pages)
    for words in (
        "Loom and cloth, as planned",
        "Snip of warp and weft",
        "Sketch of the garment",
        "the window loom",
        "6/cm",
    ):
        assert words in front
    for words in (
        "What really happened",
        "44.1 cm",
        "43.6 cm",
        "cockle 31 g",
        "Photo of the garment",
        "Remnant of the finished cloth",
    ):
        assert words in back


def test_what_was_typed_is_filled_in_as_it_was_typed() -> None:
    said = text_of(equipment_pdf(KNOWN, made_on=DAY))
    for words in (
        "30/10 cm (7.62 per in); 7.5/in (2.95 per cm)",
        "52 cm (20½ in)",
        "card cone",
        "1 1/4 oz (35 g)",
        "niddy-noddy 2 yd (1.8 m) 20 35.4 m (39 yd)",
    ):
        assert words in said


def test_every_yarn_has_a_page_of_its_own() -> None:
    pages = [" ".join(page.extract_text().split()) for page in reader(yarn_testing_pdf(KNOWN, made_on=DAY)).pages]
    assert len(pages) == 2
    for page, name in zip(pages, ("eelgrass", "cockle"), strict=True):
        assert name in page
        assert "Washing test" in page
        assert "Snip, washed" in page
    assert "20 m" in pages[0]
    assert "17.6 m" in pages[0]
    assert "rubs" in pages[0]
    assert "#41604f" not in pages[0]
    assert len(reader(yarn_testing_pdf(None, made_on=DAY)).pages) == 1


@pytest.mark.parametrize("sheet", ASKED.values(), ids=list(ASKED))
def test_every_box_with_a_place_is_a_place_of_the_document(sheet: AskSheet) -> None:
    """A name that no part of the document has would never be filled in nor typed."""
    schema = type(KNOWN).model_json_schema()
    for path in paths(sheet):
        assert has(schema, schema, path.split(".")), path


def has(schema: dict[str, object], part: dict[str, object], steps: list[str]) -> bool:
    """Whether a JSON Schema has a property at the end of the steps."""
    if "$ref" in part:
        return has(schema, schema["$defs"][str(part["$ref"]).rsplit("/", 1)[-1]], steps)  # type: ignore[index]
    if any(has(schema, one, steps) for key in ("anyOf", "oneOf", "allOf") for one in part.get(key, [])):  # type: ignore[attr-defined]
        return True
    if not steps:
        return True
    if steps[0] == "*":
        return "items" in part and has(schema, part["items"], steps[1:])  # type: ignore[arg-type]
    inside = part.get("properties", {})
    return steps[0] in inside and has(schema, inside[steps[0]], steps[1:])  # type: ignore[operator, index]


def test_a_table_has_its_empty_rows_below_what_is_filled() -> None:
    cores = next(part for part in asked_data(EQUIPMENT, KNOWN)["parts"] if part["title"].startswith("Cores"))
    assert cores["rows"] == [["card cone", "1 1/4 oz (35\u00a0g)"], *[["", ""]] * 4]
    blank = next(part for part in asked_data(EQUIPMENT, None)["parts"] if part["title"].startswith("Cores"))
    assert blank["rows"] == [["", ""]] * 5


def test_a_place_that_is_not_filled_is_blank() -> None:
    assert answer_at(KNOWN, "want.width") is None
    assert answer_at(KNOWN, "yarn.7.name") is None
    assert answer_at(None, "name") is None
    assert len(asked_data(YARN_TESTING, KNOWN)["parts"]) == 2 * len(YARN_TESTING.parts)
    assert len(asked_data(PROJECT, KNOWN)["parts"]) == len(PROJECT.parts)


def test_the_code_on_a_sheet_is_read_off_the_rendered_page() -> None:
    """By OpenCV's own reader of QR codes (ISO/IEC 18004), at the 200 dots to the inch of a plain scan."""
    cv2 = pytest.importorskip("cv2", reason="reading the code needs the extra “photo” (OpenCV), which is not installed")
    pdf = equipment_pdf(KNOWN, made_on=DAY, opens=Opens("equipment 3f9a2c", ADDRESS))
    page = np.ascontiguousarray(
        pypdfium2.PdfDocument(pdf)[0].render(scale=200 / 72, grayscale=True).to_numpy().squeeze()
    )
    assert cv2.QRCodeDetector().detectAndDecode(page)[0] == ADDRESS
    said = text_of(pdf).replace(" ", "")
    assert "equipment3f9a2c" in said
    assert ADDRESS in said


def test_a_sheet_with_an_address_is_tagged_and_its_address_is_a_link(tmp_path: Path) -> None:
    """By outloud, which knows the conditions of PDF/UA-1 (ISO 14289-1)."""
    file = tmp_path / "sheet.pdf"
    file.write_bytes(equipment_pdf(KNOWN, made_on=DAY, opens=Opens("equipment 3f9a2c", ADDRESS)))
    told = outloud.check(str(file))
    assert [
        one.message for one in told.findings if one.rule.startswith(("LNK", "FIG")) or one.severity == "error"
    ] == []
    notes: Any = reader(file.read_bytes()).pages[0]["/Annots"]
    assert {str(note.get_object()["/A"]["/URI"]) for note in notes} == {ADDRESS}


def test_without_a_server_the_sheet_has_its_code_in_words_alone() -> None:
    said = text_of(equipment_pdf(None, made_on=DAY, opens=Opens("equipment")))
    assert "enter the code equipment." in said
    assert "http" not in said
    assert squares(ADDRESS)[0][:7] == [True] * 7


def test_cautions_are_gathered_from_the_sheets_that_carry_them_and_defer_to_others() -> None:
    said = text_of(cautions_pdf(made_on=DAY))
    for words in (
        "trip line",
        "ratchets",
        "scald",
        "hood or neck",
        "nightwear",
        "rotary cutter",
        "ask the local authority or a professional",
    ):
        assert words in said
    assert next(iter(by_step())).startswith("Yarn")
    assert all(by_step().values())


def test_every_caution_of_the_table_says_where_it_is_from() -> None:
    import tomllib

    table = Path(__file__).parents[2] / "src/clothwright/sheets/cautions_by_step.toml"
    rows = tomllib.loads(table.read_text(encoding="utf-8"))["caution"]
    assert all(row["source"] and row["text"].endswith(".") for row in rows)
