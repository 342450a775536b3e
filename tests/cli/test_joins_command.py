"""The command that proposes joins: answers, exit status, one sentence for wrong input."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from commands import typed as run

EXAMPLES = Path(__file__).parents[2] / "examples"
SMOCK = EXAMPLES / "wrack-smock.toml"


def test_ways_are_told_with_what_each_takes_and_what_to_write() -> None:
    done = run("joins", SMOCK)
    assert done.returncode == 0
    for words in ("back is 56 cm (22¼ in) wide: too wide", "1. Back joined", "Yarn: ", "of joins", "[[pattern.join]]"):
        assert words in done.stdout.replace("\u00a0", " ")
    assert "What may come from other cloth" in done.stdout


def test_what_is_told_to_be_written_plans_as_told(tmp_path: Path) -> None:
    answer = json.loads(run("joins", SMOCK, "--json").stdout)
    best = answer["proposals"][0]
    rows = "".join(
        "\n[[pattern.join]]\n" + "\n".join(f'{key} = "{text}"' for key, text in one.items()) + "\n"
        for one in best["joins"]
    )
    (tmp_path / "joined.toml").write_text(SMOCK.read_text(encoding="utf-8") + rows, encoding="utf-8")
    plan = json.loads(run("plan", tmp_path / "joined.toml", "--seconds", "0", "--json").stdout)
    assert plan["warp"]["ends"] == best["ends"]
    assert plan["warp"]["yarn_m"]["expected"] + plan["weft"]["yarn_m"]["expected"] == pytest.approx(
        best["yarn_m"], abs=0.1
    )
    names = {one["piece"] for one in plan["layout"]["placed"]}
    assert {"back, left panel", "back, right panel"} <= names
    assert best["seams_cm"] == pytest.approx(130)


def test_a_width_may_be_asked_for_in_any_unit() -> None:
    answer = json.loads(run("joins", SMOCK, "--width", "12 in", "--json").stdout)
    assert answer["cloth_width_cm"] == pytest.approx(30.48)
    assert {one["piece"] for one in answer["too_wide"]} == {"back", "front", "sleeve"}


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((SMOCK, "--width", "44"), "“44”"),
        ((SMOCK, "--other-width", "wide"), "“wide”"),
        ((EXAMPLES / "slate-tide-cloth.toml",), "no piece to join"),
        ((EXAMPLES / "nowhere.toml",), "was not found"),
    ],
)
def test_wrong_input_is_one_sentence_and_status_2(arguments: tuple[str | Path, ...], why: str) -> None:
    done = run("joins", *arguments)
    assert done.returncode == 2
    assert why in done.stderr
    assert "Traceback" not in done.stderr


def test_a_plan_of_a_piece_too_wide_names_the_command(tmp_path: Path) -> None:
    for command in ("plan", "lay"):
        done = run(command, SMOCK, "--seconds", "0")
        assert done.returncode == 2
        assert re.search(r"could be joined .*the command joins", done.stderr)


def test_panels_are_printed_at_true_size_and_listed(tmp_path: Path) -> None:
    text = SMOCK.read_text(encoding="utf-8") + '\n[[pattern.join]]\npiece = "back"\nat = "centre"\n'
    (tmp_path / "joined.toml").write_text(text, encoding="utf-8")
    pieces = json.loads(run("pieces", tmp_path / "joined.toml", "--json").stdout)["pieces"]
    assert [one["name"] for one in pieces][:2] == ["back, left panel", "back, right panel"]
    assert pieces[0]["edges"][0]["seam"] == "back, join"
    done = run("sheets", tmp_path / "joined.toml", "--only", "pieces-copyshop", "-o", tmp_path, "--json")
    (sheet,) = json.loads(done.stdout)["sheets"]
    from pypdf import PdfReader

    assert "back, left panel" in PdfReader(sheet).pages[0].extract_text()
