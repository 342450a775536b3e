"""The documents say what the program does."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from pydantic import BaseModel

from clothwright.cli.app import commands
from clothwright.cli.pattern.drawing import pieces_of_table
from clothwright.library.shelves.yarn_csv import COLUMNS
from clothwright.measure import Grist, Length, QuantityError, Share, ThreadsPerLength, Weight
from clothwright.pattern import LONGEST_TEXT, MOST_HAND_CORNERS, MOST_HAND_PIECES
from clothwright.pattern.by_hand.as_table import CORNER_KEYS, PIECE_KEYS
from clothwright.project import Project, read_toml
from clothwright.sheets import SHEETS
from clothwright.web.pattern.sketch import MOST_BEFORE
from clothwright.yarn import read_grist

ROOT = Path(__file__).parent.parent
FILE_PAGE = (ROOT / "docs/project-file.md").read_text(encoding="utf-8")


def fields(model: type[BaseModel]) -> set[str]:
    """Every field name of the document, at any depth."""
    found: set[str] = set()
    waiting: list[object] = [model]
    while waiting:
        one = waiting.pop()
        if isinstance(one, type) and issubclass(one, BaseModel):
            found |= set(one.model_fields)
            waiting += [field.annotation for field in one.model_fields.values()]
        else:
            waiting += getattr(one, "__args__", ())
    return found


def test_every_field_of_the_project_file_is_on_its_page() -> None:
    missing = {name for name in fields(Project) if not re.search(rf"\b{name}\b", FILE_PAGE)}
    assert not missing


def test_every_quantity_shown_on_the_page_is_read() -> None:
    readers = {
        "length": Length.read,
        "weight": Weight.read,
        "threads per length": ThreadsPerLength.read,
        "grist, yarn number": read_grist,
        "share": Share.read,
    }
    shown = 0
    for kind, read in readers.items():
        row = next(line for line in FILE_PAGE.splitlines() if line.startswith(f"| {kind} |"))
        for text in re.findall(r"`([^`]+)`", row.split("|")[2]):
            assert read(text).expected > 0, text
            shown += 1
    assert shown > 25


def test_a_bare_count_is_refused_as_the_page_says() -> None:
    for read, text in ((Grist.read, "1,700 yd/lb"), (Length.read, "24"), (read_grist, "2/40"), (read_grist, "15 cut")):
        try:
            read(text)
        except QuantityError:
            continue
        raise AssertionError(text)


def test_every_command_of_the_readme_exists() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    said = subprocess.run(
        [sys.executable, "-m", "clothwright", "--help"], capture_output=True, text=True, check=True
    ).stdout
    named = set(re.findall(r"bin/clothwright (\w+)", readme))
    assert len(named) >= 7
    assert all(re.search(rf"^  {name}\b", said, re.MULTILINE) for name in named)


def test_every_link_of_the_documents_leads_somewhere() -> None:
    for page in (ROOT / "README.md", *(ROOT / "docs").glob("*.md")):
        for link in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / link).exists(), f"{page.name}: {link}"


def test_every_room_is_drawn_and_every_fact_has_its_source() -> None:
    house = (ROOT / "docs/house.md").read_text(encoding="utf-8")
    rooms = {path.parent.name for path in (ROOT / "src/clothwright").glob("*/__init__.py")}
    assert all(re.search(rf"\b{room}\b", house) for room in rooms)
    package = ROOT / "src/clothwright"
    #: Tables of the pages say which example and which words belong to which page: nothing of the trade.
    tables = [
        path for path in package.rglob("*.toml") if path.parent.name != "demo" and package / "web" not in path.parents
    ]
    assert len(tables) >= 6
    for table in tables:
        text = table.read_text(encoding="utf-8")
        entries, sources = (
            len(re.findall(r"^\[\[", text, re.MULTILINE)),
            len(re.findall(r"^source = ", text, re.MULTILINE)),
        )
        assert sources >= max(1, entries), table.name


def test_every_file_the_house_names_is_there() -> None:
    """A name alone stands in the folder last named before it in its line, as `weft_told.py` after `planning/colours/weft_asked.py`."""
    package, named = ROOT / "src/clothwright", 0
    for line in (ROOT / "docs/house.md").read_text(encoding="utf-8").splitlines():
        folder = package
        for path in re.findall(r"`([a-z_/]+\.(?:py|toml|js)|[a-z_]+/[a-z_/]+/)`", line):
            there = [
                top / path for top in ((package, ROOT) if "/" in path else (folder, ROOT)) if (top / path).exists()
            ]
            assert there, f"{path} in: {line}"
            folder, named = (there[0] if there[0].is_dir() else there[0].parent), named + 1
    assert named > 200


def test_every_folder_of_the_large_rooms_is_in_the_table_of_walls() -> None:
    walls = (ROOT / "docs/house.md").read_text(encoding="utf-8").split("## Walls inside the rooms")[1].split("\n## ")[0]
    rows = [[cell.strip() for cell in line.split("|")[1:-1]] for line in walls.splitlines() if line.startswith("| `")]
    for column, room in enumerate(("planning", "web", "sheets", "project", "library"), start=1):
        folders = {f"`{path.parent.name}/`" for path in (ROOT / "src/clothwright" / room).glob("*/__init__.py")}
        assert {row[0] for row in rows if row[column]} == folders - {"`templatetags/`", "`migrations/`"}, room


def test_every_column_of_the_table_of_yarns_is_on_its_page() -> None:
    page = (ROOT / "docs/web.md").read_text(encoding="utf-8")
    named = re.findall(r"^\| `(\w+)` \|", page, re.MULTILINE)
    assert named == list(COLUMNS)


def test_every_kind_of_sheet_is_on_its_page() -> None:
    page = (ROOT / "docs/sheets.md").read_text(encoding="utf-8")
    listed = re.findall(r"^\| `([a-z-]+)` \| (.+?) \|", page.split("## The set")[1], re.MULTILINE)
    assert listed == [(sheet.kind, sheet.title) for sheet in SHEETS]


def test_every_option_of_the_picture_is_on_its_page() -> None:
    page = (ROOT / "docs/cloth-picture.md").read_text(encoding="utf-8")
    options = {name for option in commands.commands["picture"].params for name in option.opts if name.startswith("--")}
    shared = {"--past", "--seconds"}
    assert {name for name in options if f"`{name}`" not in page} == shared


def test_the_table_on_the_page_about_drawing_by_hand_is_drawn() -> None:
    page = (ROOT / "docs/drawing-by-hand.md").read_text(encoding="utf-8")
    (table,) = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    pieces = pieces_of_table(read_toml(table))
    assert [piece.name for piece in pieces] == ["back"]
    assert round(pieces[0].length_cm(1), 2) == 24.13
    assert all(f"`{key}`" in page for key in (*PIECE_KEYS[:-1], *CORNER_KEYS))
    for limit in (
        f"{MOST_HAND_CORNERS} corners",
        f"{MOST_HAND_PIECES} pieces",
        f"{LONGEST_TEXT} letters",
        f"{MOST_BEFORE} steps",
    ):
        assert limit in page


def test_every_file_of_tests_has_a_name_of_its_own() -> None:
    """Two of one name in two folders cannot be collected together."""
    names = [path.name for path in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))
