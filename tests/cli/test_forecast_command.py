"""`clothwright forecast`: text, data, exit status."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

from commands import typed

EXAMPLE = Path(__file__).parents[2] / "examples" / "eelgrass-tabard.toml"
LOG_ALONE = """
[on_loom]
to_weave = "263 cm"
[[log]]
woven = "0 cm"
weft_left = { weft = "212 g" }
[[log]]
woven = "60 cm"
weft_left = { weft = "165 g" }
[[log]]
woven = "150 cm"
weft_left = { weft = "85 g" }
"""


def ran(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return typed("forecast", *words)


def test_it_tells_what_is_left_needed_short_and_what_to_do(tmp_path: Path) -> None:
    file = tmp_path / "log.toml"
    file.write_text(LOG_ALONE, encoding="utf-8")
    said = ran(file, "--by-hand")
    assert said.returncode == 0
    text = said.stdout.replace("\u00a0", " ")
    for words in ("Not enough", "85 g", "short by 15 g", "grown heavier", "Ways out", "over the last 20 cm", "Working"):
        assert words in text, words


def test_it_answers_as_data(tmp_path: Path) -> None:
    file = tmp_path / "log.toml"
    file.write_text(LOG_ALONE, encoding="utf-8")
    told = json.loads(ran(file, "--json").stdout)
    assert told["verdict"] == "not enough"
    assert told["yarns"][0]["chance_enough"] < 0.05
    assert told["still_to_weave_cm"] == 113
    by_hand = json.loads(ran(file, "--json", "--by-hand").stdout)
    assert round(by_hand["yarns"][0]["short_cm"]) == 17


def test_the_example_is_finished_well() -> None:
    told = json.loads(ran(EXAMPLE, "--json").stdout)
    assert told["verdict"] == "enough"
    assert told["first_plan"]["weave_to_cm"] == 226


def test_what_is_wrong_is_a_sentence_each_and_status_two(tmp_path: Path) -> None:
    file = tmp_path / "log.toml"
    file.write_text(LOG_ALONE.replace('"60 cm"', '"60"'), encoding="utf-8")
    said = ran(file)
    assert said.returncode == 2
    assert "log 2, woven" in said.stderr
    file.write_text('[on_loom]\nto_weave = "2 m"\n', encoding="utf-8")
    said = ran(file)
    assert said.returncode == 2
    assert "nothing has been weighed yet" in said.stderr
    assert "Traceback" not in said.stderr
