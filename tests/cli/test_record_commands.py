"""Records on the command line: told, found, labelled, used again. Each command is called as the door calls it, in this process."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from sheets.printed import reader, text_of

from clothwright.cli.app import commands
from clothwright.cli.failing import Refused
from clothwright.project import read_project, read_toml
from clothwright.project.parts.remnant_shape import outline_area

EXAMPLES = Path(__file__).parents[2] / "examples"
STOLE = EXAMPLES / "ebb-stole.toml"
TABARD = EXAMPLES / "eelgrass-tabard.toml"


def called(*arguments: str) -> Result:
    return CliRunner().invoke(commands, list(arguments), standalone_mode=False)


def answered(*arguments: str) -> dict[str, Any]:
    result = called(*arguments, "--json")
    assert result.exception is None, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def refused(*arguments: str) -> str:
    result = called(*arguments)
    assert isinstance(result.exception, Refused), result.output
    return result.stderr


def test_a_record_is_told_with_its_plan_and_its_lesson() -> None:
    """59 cm of waste ÷ what the plan forecast; 41.8 to 42.5 cm wide at three places, their mean 42.2 (by hand)."""
    told = answered("record", str(STOLE))
    lines = {one["what"]: one for one in told["beside"]}
    assert lines["Loom waste ↕"]["came"] == 59
    assert lines["Finished width ↔"]["came"] == pytest.approx(42.2)
    assert {one["figure"] for one in told["learnt"]["figures"]} >= {"Loom waste", "Picks per cm on the loom"}
    assert "the width off the loom" in told["still_to_complete"]


def test_in_words_it_has_tables_and_says_what_is_wanting() -> None:
    said = called("record", str(STOLE)).stdout
    for words in ("Plan beside what came", "What it taught", "Yarn used and cloth left", "Still to complete"):
        assert words in said


def test_a_project_without_a_record_is_refused_in_a_sentence() -> None:
    assert "has no record yet" in refused("record", str(EXAMPLES / "slate-tide-cloth.toml"))
    assert "no record to start from" in refused("again", str(EXAMPLES / "slate-tide-cloth.toml"))


def test_records_are_found_in_files_and_labelled(tmp_path: Path) -> None:
    numbered = tmp_path / "stole.toml"
    text = STOLE.read_text(encoding="utf-8").replace("[record]", '[record]\nnumber = "2026-007"')
    numbered.write_text(text, encoding="utf-8")
    found = answered("records", str(numbered), "--yarn", "slate", "--sett", "3/cm", "--width", "40 to 43 cm")
    assert [one["number"] for one in found["records"]] == ["2026-007"]
    assert answered("records", str(numbered), "--find", "kelp")["records"] == []
    labels = tmp_path / "labels.pdf"
    called("records", str(numbered), "--labels", str(labels), "--copies", "11")
    assert len(reader(labels.read_bytes()).pages) == 2
    assert "2026-007" in text_of(labels.read_bytes())
    assert "has a number" in refused("records", str(STOLE), "--labels", str(labels))


def test_what_cannot_be_read_in_a_search_is_said() -> None:
    said = refused("records", str(STOLE), "--sett", "5", "--liked", "very")
    assert "5 what?" in said
    assert "accepted are yes, partly, no" in said


def test_used_again_is_planned_from_ratios_and_written(tmp_path: Path) -> None:
    """The stole used 304 − 59 = 245 cm for 208 cm: 1.178; 100 × 1.178 + 59 = 177 cm, by proportion 146 (by hand)."""
    out = tmp_path / "new.toml"
    told = answered("again", str(STOLE), "--length", "100 cm", "--seconds", "0", "-o", str(out))
    warp = told["compared"]["lines"][0]
    assert warp["by_ratio"] == pytest.approx(176.8, abs=0.1)
    assert warp["by_proportion"] == pytest.approx(146.2, abs=0.1)
    assert warp["by_ratio"] < warp["planned"]["expected"] < 1.1 * warp["by_ratio"]
    assert any(line["rung"] == "past projects" for line in told["plan"]["working"])
    assert read_toml(out.read_text(encoding="utf-8"))["want"]["length"] == "100 cm"
    assert "nothing is written over" in refused("again", str(STOLE), "--seconds", "0", "-o", str(out))


def test_a_remnant_traced_is_printed_as_lines_that_a_record_takes(tmp_path: Path) -> None:
    """A triangle of 24 by 30 cm: half of that is 360 cm², as far as the camera tells."""
    from pattern.photographed import BROWN, Shot, lay, lay_strip, photograph, table

    picture = table()
    lay(picture, [(36.0, 60.0), (60.0, 60.0), (36.0, 30.0)], BROWN)
    for strip, at in ((0, (22, 17)), (2, (34, 78))):
        lay_strip(picture, strip, at, 0)
    photo = tmp_path / "rest.jpg"
    photo.write_bytes(photograph(picture, Shot(tilt_deg=20, noise=4)))
    lines = called("trace", str(photo), "--as-remnant", "--name", "end piece").stdout
    (remnant,) = read_project(read_toml(lines)).record.remnant  # type: ignore[union-attr]
    assert remnant.name == "end piece"
    assert outline_area(remnant.corners) == pytest.approx(360, rel=0.02)


def test_the_page_of_the_record_tells_what_the_example_teaches() -> None:
    """The table on the page has the figures that the command gives."""
    page = (EXAMPLES.parent / "docs/record.md").read_text(encoding="utf-8")
    told = answered("record", str(EXAMPLES / "sandbar-shrug.toml"))
    figures = {one["figure"].lower(): one for one in told["learnt"]["figures"]}
    rows = [
        row for row in re.findall(r"^\| ([^|]+) \| ([^|]+) \| ([^|]+) \| ([^|]+) \|$", page, re.M) if row[0] in figures
    ]
    assert len(rows) == 2
    for name, before, came, after in rows:
        one, step = figures[name], 0.1 if "cm" in before else 0.001
        for text, interval in ((before, one["before"]), (after, one["after"])):
            low, high = (float(number) for number in re.findall(r"[\d.]+", text))
            assert low == pytest.approx(interval["low"], abs=step)
            assert high == pytest.approx(interval["high"], abs=step)
        assert float(came.split()[0]) == pytest.approx(one["came"], abs=step / 2)
    assert all(one["held"] for one in told["forecasts"])
    assert told["still_to_complete"] == []
