"""The commands threading and draft, as a person types them."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from cli.test_colours_command import asked
from planning.cloth.test_threading_plan import BY_HAND

from clothwright.cloth import read_wif

EXAMPLES = Path(__file__).parents[2] / "examples"
TWILL = str(EXAMPLES / "saltmarsh-twill.toml")


def test_the_answer_tells_every_end_and_every_sum_agrees() -> None:
    """A 2/2 twill to a point, 133 ends in the reed and two that float; every sum added up again here."""
    status, out, _ = asked("threading", TWILL, "--json")
    answer = json.loads(out)
    assert status == 0
    assert [end["end"] for end in answer["threads"]] == list(range(1, 136))
    assert answer["ends_in_heddle"] == 133
    for check in answer["checks"]:
        assert check["agrees"]
        assert sum(check["parts"].values()) == check["total"] == 135
    on = [sum(number in end["shafts"] for end in answer["threads"]) for number in range(1, 5)]
    assert [shaft["ends"] for shaft in answer["shafts"]] == on == [33, 33, 34, 33]
    assert answer["minutes"]["low"] < answer["minutes"]["expected"] < answer["minutes"]["high"]


def test_it_is_told_in_words_and_written_as_a_file(tmp_path: Path) -> None:
    out_file = tmp_path / "out.wif"
    status, out, _ = asked("threading", TWILL, "--to-file", str(out_file))
    assert status == 0
    for words in ("Mark its middle", "1 to 10", "Written:", "has no place for heddle"):
        assert words in out
    assert len(read_wif(out_file.read_bytes()).draft.threading) == 135


def test_the_example_file_is_the_draft_of_the_example() -> None:
    """Threading, tie-up, treadling and colours; what wrote it may differ."""
    written = read_wif((EXAMPLES / "saltmarsh-twill.wif").read_bytes())
    answer = json.loads(asked("threading", TWILL, "--json")[1])
    assert [sorted(end) for end in written.draft.threading] == [end["shafts"] for end in answer["threads"]]
    assert written.draft.tie_up == tuple(map(frozenset, ({1, 2}, {2, 3}, {3, 4}, {1, 4})))
    assert written.warp.colours == ("#6f7f3a",) * 45 + ("#8a7663",) * 45 + ("#6f7f3a",) * 45


def test_a_file_is_told_and_becomes_lines_of_a_project_that_write_it_again(tmp_path: Path) -> None:
    """The lines printed make a project; written out, it has the threading, and the private section, of the file by hand."""
    came = tmp_path / "tide.wif"
    came.write_bytes(BY_HAND)
    status, out, _ = asked("draft", str(came))
    assert (status, "16 ends on 4 shafts, 8 picks" in out) == (0, True)
    status, lines, told = asked("draft", str(came), "--as-toml")
    assert "[PRIVATE BY HAND TIDES]" in told
    assert tomllib.loads(lines)["draft"]["first_end"] == "right"
    project = tmp_path / "tide.toml"
    project.write_text(f'[loom]\nkind = "shaft"\nheddles = ["12/in reed"]\n{lines}', encoding="utf-8")
    again = tmp_path / "again.wif"
    status, _, wrong = asked("threading", str(project), "--to-file", str(again))
    assert (status, wrong) == (0, "")
    assert read_wif(again.read_bytes()).draft.threading == read_wif(BY_HAND).draft.threading
    assert b"high=noon" in again.read_bytes()


def test_times_of_past_projects_on_such_a_loom_count(tmp_path: Path) -> None:
    past = tmp_path / "past.toml"
    past.write_text('[loom]\nkind = "shaft"\n[draft]\ntimed = [{ ends = 200, minutes = 60 }]\n', encoding="utf-8")
    assert "from 2 times of your own" in asked("threading", TWILL, "--past", str(past))[1]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<svg/>", "does not begin with a section [WIF]"),
        (b"[WIF]\n[WEAVING]\nProfile=yes\n", "blocks"),
        (b"[WIF]\n" + b"x" * 4_000_100, "larger than 4 MB"),
    ],
)
def test_a_file_that_is_no_draft_is_one_sentence(tmp_path: Path, content: bytes, words: str) -> None:
    file = tmp_path / "no.wif"
    file.write_bytes(content)
    status, out, wrong = asked("draft", str(file))
    assert (status, out) == (2, "")
    assert words in wrong
    assert "Traceback" not in wrong


def test_a_file_that_is_not_there_and_one_that_cannot_be_written_are_told(tmp_path: Path) -> None:
    assert asked("draft", str(tmp_path / "none.wif"))[0] == 2
    status, _, wrong = asked("threading", TWILL, "--to-file", str(tmp_path / "no" / "out.wif"))
    assert (status, "cannot be written" in wrong) == (2, True)


def test_a_threading_that_does_not_come_to_its_ends_is_told_at_its_field(tmp_path: Path) -> None:
    text = (EXAMPLES / "saltmarsh-twill.toml").read_text(encoding="utf-8")
    project = tmp_path / "short.toml"
    project.write_text(text.replace("1-2-3-4 16 times", "1-2-3-4 15 times"), encoding="utf-8")
    status, _, wrong = asked("threading", str(project))
    assert status == 2
    assert "draft, threading: 129 are written, and there are 133" in wrong


def test_the_sheet_is_printed_and_a_blank_one(tmp_path: Path) -> None:
    assert asked("sheets", TWILL, "--only", "threading", "-o", str(tmp_path))[0] == 0
    assert asked("sheets", "--blank", "--only", "threading", "-o", str(tmp_path))[0] == 0
    assert {file.name for file in tmp_path.glob("*.pdf")} == {"saltmarsh-twill-threading.pdf", "blank-threading.pdf"}
