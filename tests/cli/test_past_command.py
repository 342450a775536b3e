"""Past projects sharpen a plan on the command line, go out as a table, and are replayed from it."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from test_commands import EXAMPLES, answered, run

SLATE = EXAMPLES / "slate-tide-cloth.toml"
RECORD = """
[record]
date = {day}
ends = 148
warp_wound = "346 cm"
waste = "61 cm"
on_warp_sample = "0 cm"
width = {{ finished = {{ start = "43.0 cm", end = "43.6 cm" }} }}
length = {{ on_loom = "279 cm", finished = "244 cm" }}
picks = {{ count = 34, over = "10 cm" }}
left = [ {{ yarn = "slate tide", weight = "4 g" }} ]
"""


@pytest.fixture
def past(tmp_path: Path) -> Path:
    """A folder of three finished projects and a file that is none."""
    folder = tmp_path / "past"
    folder.mkdir()
    for number, day in enumerate(("2025-11-02", "2026-01-15", "2026-03-14")):
        text = SLATE.read_text(encoding="utf-8").replace("Slate tide cloth", f"Stole {number}")
        (folder / f"stole-{number}.toml").write_text(text + RECORD.format(day=day), encoding="utf-8")
    (folder / "broken.toml").write_text("record = 5", encoding="utf-8")
    (folder / "notes.txt").write_text("nothing of ours", encoding="utf-8")
    return folder


def test_a_plan_made_with_past_projects_is_surer_and_says_which(past: Path) -> None:
    alone = answered("plan", str(SLATE))
    done = run("plan", str(SLATE), "--past", str(past), "--json")
    assert done.returncode == 0
    plan = json.loads(done.stdout)
    width = {name: one["cloth"]["finished_width_cm"] for name, one in (("alone", alone), ("known", plan))}
    assert (width["known"]["high"] - width["known"]["low"]) < 0.9 * (width["alone"]["high"] - width["alone"]["low"])
    line = next(line for line in plan["working"] if line["step"] == "Loom waste")
    assert (line["rung"], line["from"]) == ("past projects", "loom waste of 3 warps on this loom, and 55 cm as typed")


def test_a_past_file_that_cannot_be_read_is_told_and_the_rest_used(past: Path, tmp_path: Path) -> None:
    done = run("plan", str(SLATE), "--past", str(past), "--past", str(tmp_path / "gone.toml"), "--json")
    assert done.returncode == 0
    assert re.search(r"broken\.toml left out: record: “5” came", done.stderr)
    assert "gone.toml left out" in done.stderr
    assert "notes.txt" not in done.stderr
    assert any(line["rung"] == "past projects" for line in json.loads(done.stdout)["working"])


def test_the_project_planned_is_not_its_own_past(past: Path) -> None:
    """Planned from a folder that holds itself, it stands on the two finished before it."""
    plan = answered("plan", str(past / "stole-2.toml"), "--past", str(past))
    line = next(line for line in plan["working"] if line["step"] == "Loom waste")
    assert line["from"] == "loom waste of 2 warps on this loom, and 55 cm as typed"


def test_finished_cloths_go_out_as_a_table_that_is_replayed_and_planned_from(past: Path, tmp_path: Path) -> None:
    table = tmp_path / "cloths.csv"
    assert run("records", str(past), "-o", str(table)).returncode == 0
    with table.open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    assert [row["finished_on"] for row in rows] == ["2025-11-02", "2026-01-15", "2026-03-14"]
    assert float(rows[0]["reed_width_cm"]) == pytest.approx(148 / 3, rel=1e-4)
    assert (rows[0]["finished_width_cm"], rows[0]["loom_waste_cm"], rows[0]["weaver"]) == ("43.3", "61", "own")
    replayed = answered("trueness", str(table))
    assert (replayed["n"], replayed["finished_width"]["n"]) == (3, 3)
    by_table, by_files = (
        next(line for line in answered("plan", str(SLATE), "--past", str(source))["working"] if line["step"] == step)
        for source, step in ((table, "Loom waste"), (past, "Loom waste"))
    )
    assert by_table["value"] == pytest.approx(by_files["value"], rel=0.001)


def test_samples_go_out_once_when_they_are_asked_for(past: Path) -> None:
    ids = [row["id"] for row in answered("records", str(past), "--samples")["records"]]
    assert ids == [
        "first square of Stole 0",
        *(f"Stole {n}, finished {day}" for n, day in enumerate(("2025-11-02", "2026-01-15", "2026-03-14"))),
    ]


def test_what_each_figure_rests_on_is_told_when_it_is_asked_for(past: Path) -> None:
    width, *_ = answered("plan", str(SLATE), "--past", str(past), "--evidence")["evidence"]
    assert width["figure"] == "Finished ÷ heddle width"
    assert [stage["rung"] for stage in width["stages"][:2]] == ["rule of thumb", "past projects"]
    assert "finished width 43.3 cm" in width["stages"][1]["measurements"]
    text = run("plan", str(SLATE), "--past", str(past), "--evidence")
    assert "past projects, Stole 2, finished 2026-03-14: 0.8" in text.stdout
    assert text.stderr.count("broken.toml left out") == 1


def test_nothing_finished_is_said(tmp_path: Path) -> None:
    done = run("records", str(SLATE))
    assert done.returncode == 2
    assert "no finished cloth is in these files" in done.stderr


def test_trueness_draws_its_picture(tmp_path: Path) -> None:
    table = EXAMPLES.parent / "tests/published/cloths/records.csv"
    picture = tmp_path / "held.svg"
    done = run("trueness", str(table), "--picture", str(picture))
    assert done.returncode == 0, done.stderr
    assert "Finished width, 30 forecasts" in ElementTree.parse(picture).getroot()[1].text
    claims = answered("trueness", str(table))["calibration"]["finished_width"]
    assert [round(one["share"], 1) for one in claims] == [tenth / 10 for tenth in range(1, 10)]
    assert run("trueness", str(table), "--picture", str(tmp_path)).returncode == 2
