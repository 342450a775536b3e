"""`clothwright finish` answers in words and in data, and refuses what cannot be in one sentence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from finishing.cloths import EXAMPLE

from clothwright.cli.app import commands
from clothwright.cli.failing import WRONG_INPUT, Refused


def run(*arguments: str) -> tuple[int, str]:
    """What a command answers; input it refuses ends the program with 2."""
    found = CliRunner().invoke(commands, arguments)
    code = WRONG_INPUT if isinstance(found.exception, Refused) else found.exit_code
    return code, found.output.replace("\u00a0", " ")


def test_the_example_is_told_from_measuring_to_the_last_check() -> None:
    code, said = run("finish", str(EXAMPLE))
    assert code == 0
    at = 0
    for title in ("Measured off the loom", "The recipe", "As it was done", "The cloth that there is", "These ways",
                  "Before cutting", "Cutting", "Sewing", "Before wearing", "Take care"):  # fmt: skip
        at = said.index(title, at)


def test_its_data_is_in_cm_g_and_degrees_celsius() -> None:
    told = json.loads(run("finish", str(EXAMPLE), "--json")[1])
    assert told["cloth"]["usable_width_cm"] == 43.6
    assert told["cut_from_it"]["widest_piece"] == {"name": "back", "width_cm": 44.0}
    assert any(way["fits"] and way["costs"]["allowance_less_cm"] == 0.2 for way in told["cut_from_it"]["ways"])
    wash = next(step for step in told["recipe"]["steps"] if step["step"] == "wash")
    assert (wash["water_c"], wash["stop_and_look_after_min"], wash["done"]) == (35, [1, 2, 3, 4], True)
    assert told["missed_a_mark"] is None


def test_inches_come_first_where_the_project_is_in_inches(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    file.write_text(
        EXAMPLE.read_text(encoding="utf-8").replace("clothwright = 1", 'clothwright = 1\nunits = "imperial"')
    )
    said = run("finish", str(file))[1]
    assert "95 °F (35 °C)" in said
    assert "17 in (43.6 cm)" in said


@pytest.mark.parametrize(("was", "wrong", "said"), [
    ('water = "95 °F"', 'water = "warm"', "write 38 °C or 100 °F"),
    ('length = "188 cm"', 'length = "188"', "188 what"),
    ('check = "measured"', 'chek = "measured"', "is not a field here"),
])  # fmt: skip
def test_wrong_input_is_one_sentence_and_exit_2(tmp_path: Path, was: str, wrong: str, said: str) -> None:
    file = tmp_path / "p.toml"
    file.write_text(EXAMPLE.read_text(encoding="utf-8").replace(was, wrong, 1), encoding="utf-8")
    code, told = run("finish", str(file))
    assert code == WRONG_INPUT
    assert said in told
    assert "Traceback" not in told


def test_both_sheets_are_written_where_all_is_cut_from_the_cloth(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    text = EXAMPLE.read_text(encoding="utf-8").replace(
        "[[real_cloth.flaw]]", '[real_cloth]\nsides_less = "2 mm"\n\n[[real_cloth.flaw]]'
    )
    file.write_text(text, encoding="utf-8")
    only = ("--only", "finishing", "--only", "cutting-real", "--seconds", "0")
    code, _ = run("sheets", str(file), *only, "-o", str(tmp_path / "out"))
    assert code == 0
    assert {one.name for one in (tmp_path / "out").iterdir()} == {"p-finishing.pdf", "p-cutting-real.pdf"}


def test_no_cutting_sheet_is_written_while_not_all_is_cut_from_it(tmp_path: Path) -> None:
    code, said = run("sheets", str(EXAMPLE), "--only", "cutting-real", "--seconds", "0", "-o", str(tmp_path))
    assert code == WRONG_INPUT
    assert "take one of the ways first" in said
