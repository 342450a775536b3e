"""The commands answer, refuse in sentences, and exit with the status of the contract."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from commands import in_a_process
from commands import typed as run

EXAMPLES = Path(__file__).parents[2] / "examples"


def answered(*arguments: str) -> dict:
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_plan_answers_with_every_key_of_the_contract() -> None:
    plan = answered("plan", str(EXAMPLES / "slate-tide-cloth.toml"))
    assert plan["verdict"] == "too close"
    assert 0 < plan["chance_enough"] < 1
    assert plan["chance_size"] >= 0.8
    assert set(plan["warp"]) >= {"heddle", "ends", "width_in_heddle_cm", "length_cm", "yarn_m"}
    assert set(plan["weft"]) >= {"picks_per_cm_on_loom", "woven_on_loom_cm", "yarn_m"}
    assert set(plan["cloth"]) >= {"finished_width_cm", "finished_length_cm", "g_per_m2"}
    assert set(plan["yarns"][0]) >= {"name", "have_g", "have_m", "need_m", "spare_m", "chance_enough"}
    assert set(plan["shortfall"]) == {"m", "g", "finished_cm"}
    assert set(plan["ways_out"][0]) >= {"what", "change", "chance_enough", "spare_m"}
    assert set(plan["measure_next"][0]) >= {"what", "settles", "costs"}
    assert set(plan["working"][0]) == {"step", "sum", "value", "unit", "rung", "from"}
    assert plan["layout"] is None
    assert plan["cautions"]
    interval = plan["cloth"]["finished_width_cm"]
    assert interval["low"] < interval["expected"] < interval["high"]


def test_plan_by_hand_gives_the_sums_of_story_1() -> None:
    """Story 1 by hand: 148 ends, weft 440, 469 and 498 m, 987 m in hand, too close."""
    plan = answered("plan", str(EXAMPLES / "slate-tide-cloth.toml"), "--by-hand")
    assert plan["warp"]["ends"] == 148
    assert [round(plan["weft"]["yarn_m"][end]) for end in ("low", "expected", "high")] == [440, 469, 498]
    assert round(plan["yarns"][0]["have_m"]["expected"]) == 987
    assert plan["verdict"] == "too close"
    assert plan["chance_enough"] is None


def rows_at_48_cm(folder: Path) -> Path:
    """The example's rectangles, laid at one width."""
    rows = (EXAMPLES / "rows-of-rectangles.toml").read_text(encoding="utf-8")
    (file := folder / "rows.toml").write_text(f'{rows}\n[want]\nwidth = "48 cm"\n', encoding="utf-8")
    return file


def test_lay_gives_the_length_for_the_width_wanted(tmp_path: Path) -> None:
    """Story 5 at 48 cm: 190 cm."""
    layout = answered("lay", str(rows_at_48_cm(tmp_path)), "--seconds", "1")["layout"]
    assert layout["length_cm"] == pytest.approx(190, abs=0.05)
    assert len(layout["placed"]) == 8
    assert set(layout["placed"][0]) >= {"piece", "copy", "x_cm", "y_cm", "rotation_deg", "mirrored"}


def test_yarn_answers_for_every_text() -> None:
    """60s + 40s cotton is a 24s. *Source*: J. T. Taylor, Cotton Weaving and Designing, 1909."""
    first, second = answered("yarn", "8/2 cotton", "60s cotton + 40s cotton")["yarns"]
    assert first["typed"] == "8/2 cotton"
    assert first["yards_per_lb"] == pytest.approx(3360)
    assert second["resultant"]["numbers"]["Ne"] == pytest.approx(24)
    assert second["metres_per_kg"] == pytest.approx(24 * 840 * 0.9144 / 0.45359237)


def test_sett_answers_with_candidates_nearest_first() -> None:
    """Half of 15 wraps per inch is 7.5. *Source*: common practice, no source."""
    answer = answered("sett", "--wraps", "15/in", "--heddles", "40/10 cm, 7.5/in", "--heddles", "30/10 cm")
    assert answer["advised_ends_per_cm"] == pytest.approx(7.5 / 2.54)
    assert [one["heddle"] for one in answer["candidates"]] == ["7.5/in", "30/10 cm", "40/10 cm"]
    assert set(answer["candidates"][0]) >= {"heddle", "ends_per_cm", "firmness"}


def test_sett_for_two_yarns_leaves_room_for_each() -> None:
    """With weft as thick as warp it is half the wraps; a thinner weft lets the ends stand closer."""
    same = answered("sett", "--warp-wraps", "12/in", "--weft-wraps", "12/in")["advised_ends_per_cm"]
    finer = answered("sett", "--warp-wraps", "12/in", "--weft-wraps", "24/in")["advised_ends_per_cm"]
    assert same == pytest.approx(6 / 2.54)
    assert finer == pytest.approx(8 / 2.54)


def test_trueness_answers_for_finished_cloths() -> None:
    """45 public cloths, of which 30 state a finished width with an earlier one and 20 a length."""
    answer = answered("trueness", str(EXAMPLES.parent / "tests/published/cloths/records.csv"))
    for size, n in (("finished_width", 30), ("finished_length", 20)):
        assert set(answer[size]) == {"n", "coverage_50", "coverage_90", "median_error", "rule_of_thumb_median_error"}
        assert answer[size]["n"] == n
        assert 0.7 < answer[size]["coverage_90"] <= 1
    assert answer["rows_left_out"] == []


def test_a_table_that_is_none_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "b.csv").write_text("id,width\n")
    for name in ("a.csv", "b.csv", "lost.csv"):
        done = run("trueness", str(tmp_path / name))
        assert done.returncode == 2
        assert "Traceback" not in done.stderr


def test_schema_is_the_schema_of_the_project_file() -> None:
    schema = json.loads(run("schema").stdout)
    assert {"yarn", "loom", "cloth", "sample", "want", "pattern", "trust"} <= set(schema["properties"])


def test_every_problem_of_a_file_is_one_sentence_and_the_status_is_2(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(
        'clothwright = 1\n[[yarn]]\nname = "a"\nwraps = "15"\ncolr = "blue"\nballs = ["96"]\n[want]\nwidth = "44"\nlength = "2 m"\n'
    )
    done = run("plan", str(tmp_path / "bad.toml"))
    lines = done.stderr.strip().splitlines()
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(lines) == 4
    assert all(line.startswith(f"{tmp_path / 'bad.toml'}: ") for line in lines)
    for part in (
        "yarn 1, wraps: “15”",
        "“colr” is not a field here",
        "yarn 1, balls 1, net: “96”",
        "want, width: “44”: 44 what? Write 44 cm or 44 in",
    ):
        assert any(part in line for line in lines), part


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (None, "was not found"),
        ("name = [", "not TOML"),
        ("clothwright = 2", "it reads 1"),
        ("clothwright = 1", "what is to be woven"),
        ('clothwright = 1\n[pattern]\nfile = "../../etc/passwd"', "outside the project file's folder"),
        ('clothwright = 1\n[pattern]\nfile = "lost.svg"', "was not found"),
    ],
)
def test_files_that_cannot_be_planned_are_refused_without_a_traceback(
    content: str | None, said: str, tmp_path: Path
) -> None:
    if content is not None:
        (tmp_path / "a.toml").write_text(content)
    done = run("plan", str(tmp_path / "a.toml"))
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("plan",), "Missing argument 'FILE'"),
        (("pln", "x.toml"), "No such command 'pln'"),
        (("plan", "x.toml", "--seconds", "soon"), "'soon' is not a valid float"),
        (("plan", "x.toml", "--seed", "-1"), "-1 is not in the range"),
        (("sett", "30/10 cm"), "write it after --heddles, --wraps or --yarn"),
    ],
)
def test_a_command_wrongly_typed_is_told_in_one_sentence(words: tuple[str, ...], said: str) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.strip().splitlines()) == 1
    assert said in done.stderr


def test_several_heddles_may_follow_one_option() -> None:
    one, other = (
        json.loads(run("sett", "--wraps", "15/in", *heddles, "--json").stdout)
        for heddles in (("--heddles", "30/10 cm", "40/10 cm"), ("--heddles", "30/10 cm, 40/10 cm"))
    )
    assert one == other
    assert {candidate["heddle"] for candidate in one["candidates"]} == {"30/10 cm", "40/10 cm"}


def test_a_folder_given_for_a_file_is_called_one(tmp_path: Path) -> None:
    done = run("plan", str(tmp_path))
    assert done.returncode == 2
    assert "is a folder; name a file in it" in done.stderr


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_bytes(b"\xff\xfe\x00\x80")
    done = run("plan", str(tmp_path / "a.toml"))
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_ambiguous_yarn_is_a_question_and_the_status_is_2() -> None:
    done = run("yarn", "2/40", "8/2 cotton", "15 cut")
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 2
    assert "which cut" in done.stderr


def test_the_demo_is_planned_and_its_sheet_printed(tmp_path: Path) -> None:
    done = run("demo", "--no-serve", "--seconds", "2", "-o", str(tmp_path / "out"), folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert re.search(
        r"Wrackline waistcoat\. (Enough|Too close to call|Not enough): ", done.stdout
    )  # the search has a clock
    assert (tmp_path / "out" / "wrackline-waistcoat-plan.pdf").read_bytes().startswith(b"%PDF")


def test_stopping_a_search_keeps_the_best_layout_found() -> None:
    """Ctrl+C at a terminal reaches the whole group of processes; the plan is answered all the same."""
    if os.name == "nt":
        pytest.skip("a group of processes is stopped in another way on Windows")
    command = [
        sys.executable,
        "-m",
        "clothwright",
        "plan",
        str(EXAMPLES / "rows-of-rectangles.toml"),
        "--seconds",
        "40",
        "--json",
    ]
    running = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    )
    assert running.stderr
    assert running.stderr.readline().startswith("Searching layouts for 40 s")
    time.sleep(4)
    os.killpg(running.pid, signal.SIGINT)
    answer, said = running.communicate(timeout=100)
    assert running.returncode == 0, said
    assert "Stopped: the best layout found so far is used." in said
    assert "Traceback" not in said
    assert len(json.loads(answer)["layout"]["placed"]) == 8


def test_a_search_by_rounds_gives_the_same_answer_again(tmp_path: Path) -> None:
    """No clock is read: every place of every piece is the same from two starts of the program."""
    asked = ("lay", str(rows_at_48_cm(tmp_path)), "--rounds", "1", "--seed", "3")
    once, again = answered(*asked), json.loads(in_a_process(*asked, "--json").stdout)
    assert once == again
    assert once["layout"]["placed"]


def test_help_names_every_command() -> None:
    said = in_a_process("--help").stdout
    for command in (
        "plan",
        "lay",
        "leaflet",
        "picture",
        "yarn",
        "sett",
        "sheets",
        "schema",
        "demo",
        "serve",
        "backup",
        "restore",
        "export",
        "import",
    ):
        assert command in said


def test_help_sheets_are_printed_blank_without_a_file_and_filled_with_one(tmp_path: Path) -> None:
    blank = answered("sheets", "--blank", "-o", str(tmp_path))["sheets"]
    assert [Path(one).name for one in blank] == [
        "blank-measuring-yarn.pdf",
        "blank-finding-sett.pdf",
        "blank-sample-card.pdf",
        "blank-sett-comparison.pdf",
    ]
    file = str(EXAMPLES / "full-looking-cone.toml")
    filled = answered("sheets", file, "--only", "finding-sett", "-o", str(tmp_path))["sheets"]
    assert [Path(one).name for one in filled] == ["full-looking-cone-finding-sett.pdf"]
    assert all(Path(one).read_bytes().startswith(b"%PDF") for one in (*blank, *filled))


def test_sheets_without_a_file_or_a_blank_plan_are_refused(tmp_path: Path) -> None:
    for given, words in (((), "give a project file"), (("--blank", "--only", "plan"), "cannot be blank")):
        done = run("sheets", *given, "-o", str(tmp_path / "out"))
        assert (done.returncode, words in done.stderr) == (2, True)
    assert not (tmp_path / "out").exists()


def test_lay_prints_its_places_as_lines_that_the_file_takes_back(tmp_path: Path) -> None:
    """The layout kept is the layout laid, with squaring and trim, and pieces turned end for end."""
    rows = (EXAMPLES / "rows-of-rectangles.toml").read_text(encoding="utf-8")
    rows = rows.replace("one_way = true\n", "", 1).replace(
        "[pattern]\n", '[pattern]\nsquaring = "3 cm"\nselvedge_trim = "1 cm"\n', 1
    )
    (file := tmp_path / "kept.toml").write_text(rows, encoding="utf-8")
    before = answered("lay", str(file), "--seconds", "0")
    lines = run("lay", str(file), "--seconds", "0", "--keep-places").stdout
    file.write_text(f"{rows}\n{lines}", encoding="utf-8")
    after = answered("lay", str(file), "--seconds", "0")
    assert not any("kept layout" in note for note in after["notes"])
    assert after["layout"]["length_cm"] == pytest.approx(before["layout"]["length_cm"], abs=1e-3)
    assert after["layout"]["width_cm"] == pytest.approx(before["layout"]["width_cm"], abs=1e-3)


@pytest.mark.parametrize(("set_before", "then"), [(None, "1"), ("3", "3")])
def test_a_command_asks_linear_algebra_for_one_thread_before_it_is_loaded_unless_told_otherwise(
    set_before: str | None, then: str
) -> None:
    """The libraries read it when numpy is first imported: OpenBLAS, "Setting the number of threads at run time"."""
    code = (
        "import sys, os, contextlib; from clothwright.cli import main; early = 'numpy' in sys.modules; "
        "sys.argv = ['clothwright', '--version']\n"
        "with contextlib.suppress(SystemExit): main()\n"
        "print(early, os.environ['OPENBLAS_NUM_THREADS'])"
    )
    environment = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    environment |= {"OPENBLAS_NUM_THREADS": set_before} if set_before else {}
    said = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=environment
    ).stdout
    assert said.split()[-2:] == ["False", then]
