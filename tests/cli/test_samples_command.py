"""`clothwright samples FILE`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from clothwright.cli.app import commands
from clothwright.cli.planned import demo_file


def run(*given: str) -> tuple[int, str]:
    done = CliRunner().invoke(commands, ["samples", *given])
    return done.exit_code, done.output


def test_the_demo_s_sample_is_told_in_words() -> None:
    status, said = run(str(demo_file()), "--seconds", "0")
    assert status == 0
    for words in (
        "tide-pool square",
        "The sett is right",
        "supports",
        "at the same loss in cm",
        "narrows the forecast",
    ):
        assert words in said


def test_json_has_the_same_in_cm_and_shares() -> None:
    status, said = run(str(demo_file()), "--json", "--seconds", "0")
    one = json.loads(said)["samples"][0]
    assert status == 0
    assert one["width_forecast"]["same_share_cm"]["expected"] > one["width_forecast"]["asked_width_cm"] * 0.8
    assert 0 < one["narrows"]["finished_width"] < 1


def test_a_file_without_samples_is_wrong_input_in_one_sentence(tmp_path: Path) -> None:
    file = tmp_path / "bare.toml"
    file.write_text('[[yarn]]\nname = "kelp"\nballs = ["100 g"]\ngrist = "300 m/100 g"\n', encoding="utf-8")
    done = CliRunner().invoke(commands, ["samples", str(file)])
    assert done.exit_code != 0
    assert "no sample is given yet" in (done.stderr or done.output)


def test_a_drawing_outside_the_folder_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "square.toml"
    file.write_text('[[sample]]\nname = "square"\ntraced = { drawing = "../other.svg" }\n', encoding="utf-8")
    done = CliRunner().invoke(commands, ["samples", str(file)])
    assert "outside the project file" in (done.stderr or done.output)


@pytest.mark.parametrize("words", ["samples", "--json"])
def test_the_command_says_what_it_does(words: str) -> None:
    assert words in CliRunner().invoke(commands, ["samples", "--help"]).output
