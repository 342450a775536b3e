"""The command that draws by hand: from a table to a drawing and back, and one sentence for wrong input."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from cli.test_pieces_and_trace import run

TABLE = """
[[piece]]
name = "back"
grain = "y"
corner = [
  { across = "2 cm", down = "6 cm", side = "fold" },
  { across = "2 cm", down = "46 cm", side = "hem 4 cm", length = "9 1/2 in" },
  { across = "26 cm", down = "46 cm", side = "seam side" },
  { across = "24 cm", down = "8 cm" },
  { across = "9 cm", down = "4 cm", curve = ["9 cm", "6 cm", "5 cm", "6 cm"] },
]
"""


def test_a_table_becomes_a_drawing_that_is_read_and_opened_again(tmp_path: Path) -> None:
    (tmp_path / "back.toml").write_text(TABLE, encoding="utf-8")
    answer = json.loads(run("draw", tmp_path / "back.toml", "-o", tmp_path / "back.svg", "--json").stdout)
    (piece,) = answer["pieces"]
    assert piece["sides"][1] == {"corner": 2, "length_cm": pytest.approx(24.13), "curved": False, "is": "hem 4 cm"}
    (read,) = json.loads(run("pieces", tmp_path / "back.svg", "--json").stdout)["pieces"]
    assert (read["name"], read["on_fold"], read["grain_stated"]) == ("back", True, True)
    assert read["width_cm"] == pytest.approx(2 * 24.13)
    again = run("draw", tmp_path / "back.svg", "-o", tmp_path / "again.toml")
    assert "24.1 cm (9.5 in), straight; hem 4 cm" in again.stdout
    second = run("draw", tmp_path / "again.toml", "-o", tmp_path / "second.svg")
    assert second.returncode == 0
    assert (tmp_path / "second.svg").read_bytes() == (tmp_path / "back.svg").read_bytes()


def test_a_line_that_crosses_itself_is_told_with_the_place(tmp_path: Path) -> None:
    rows = ", ".join(f'{{ across = "{x} cm", down = "{y} cm" }}' for x, y in ((1, 1), (11, 11), (11, 1), (1, 11)))
    (tmp_path / "bow.toml").write_text(f'[[piece]]\nname = "bow"\ncorner = [{rows}]\n', encoding="utf-8")
    done = run("draw", tmp_path / "bow.toml", "-o", tmp_path / "bow.svg")
    assert "crosses itself near 6.0 cm across, 6.0 cm down" in done.stdout
    checks = json.loads(run("pieces", tmp_path / "bow.svg", "--json").stdout)["checks"]
    assert [(check["kind"], check["refuses"]) for check in checks] == [("outline crosses itself", True)]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        ("", "each headed [[piece]]"),
        ("piece = 3", "each headed [[piece]]"),
        ("[[piece", "not TOML"),
        ('[[piece]]\nname = "back"', "0 corners came"),
        (TABLE.replace('"26 cm"', '"nan cm"'), "corner 3, across"),
        (TABLE.replace('"26 cm"', '"1e999 cm"'), "corner 3, across"),
        (TABLE.replace('"26 cm"', '"9999999 cm"'), "at most 500 cm"),
        (
            TABLE.replace("corner = [", "corner = [" + '{ across = "1 cm", down = "1 cm" }, ' * 40_000),
            "40005 corners came",
        ),
        (TABLE * 61, "61 pieces came"),
        ("x" * 2_100_000, "larger than 2 MB"),
    ],
)
def test_wrong_tables_are_sentences_and_status_2_in_bounded_time(tmp_path: Path, content: str, why: str) -> None:
    (tmp_path / "a.toml").write_text(content, encoding="utf-8")
    start = time.monotonic()
    done = run("draw", tmp_path / "a.toml", "-o", tmp_path / "a.svg")
    assert time.monotonic() - start < 30
    assert done.returncode == 2
    assert why in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "a.svg").exists()
