"""The command colours, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import tomlkit
from commands import in_a_process, typed

BASKET = Path(__file__).parents[2] / "examples" / "basket-of-balls.toml"


def run(*words: str) -> tuple[int, str, str]:
    """Exit status, standard output and standard error."""
    return asked("colours", *words)


def asked(*words: str) -> tuple[int, str, str]:
    """The same of any command."""
    ran = typed(*words)
    return ran.returncode, ran.stdout, ran.stderr


def test_the_answer_has_the_keys_of_the_contract() -> None:
    """Seed, capacity, order of yarn and ends, metres left, rules kept; the ends add up."""
    status, out, _ = run(str(BASKET), "--json", "--seed", "4")
    answer = json.loads(out)
    assert status == 0
    assert answer["seed"] == 4
    assert sum(run["ends"] for run in answer["order"]) == 120
    assert set(answer["capacity"]) == set(answer["left_m"])
    assert answer["rules_kept"] is True


def test_the_same_seed_prints_the_same_list_and_another_another() -> None:
    """Word for word, also from another start of the program."""
    elsewhere = in_a_process("colours", BASKET, "--seed", "4")
    assert run(str(BASKET), "--seed", "4") == (elsewhere.returncode, elsewhere.stdout, elsewhere.stderr)
    assert run(str(BASKET), "--seed", "4")[1] != run(str(BASKET), "--seed", "5")[1]


def test_running_counts_end_at_the_number_of_ends() -> None:
    """The list is read from the first end to the last."""
    out = run(str(BASKET))[1]
    assert "120" in next(line for line in reversed(out.partition("yarn          ball  pairs")[0].splitlines()) if line)


def test_lines_for_the_project_file_are_read_back_as_the_same_order(tmp_path: Path) -> None:
    """Kept in the file, the order stands, whatever the seed."""
    lines = run(str(BASKET), "--seed", "9", "--as-toml")[1]
    document = tomlkit.parse(BASKET.read_text())
    document["colours"]["order"] = tomlkit.parse(lines)["order"]  # type: ignore[index]
    kept = tmp_path / "kept.toml"
    kept.write_text(tomlkit.dumps(document))
    drawn = json.loads(run(str(BASKET), "--seed", "9", "--json")[1])
    again = json.loads(run(str(kept), "--seed", "1", "--json")[1])
    assert [(run["yarn"], run["ends"]) for run in again["order"]] == [
        (run["yarn"], run["ends"]) for run in drawn["order"]
    ]
    assert again["drawn"] is False


def test_ends_and_length_come_from_the_plan_where_they_are_not_typed() -> None:
    """The demo's cloth: as many ends as its plan, of its warp's length."""
    planned = Path(__file__).parents[2] / "examples" / "slate-tide-cloth.toml"
    status, out, error = run(str(planned), "--json")
    plan = json.loads(asked("plan", str(planned), "--seconds", "0", "--json")[1])
    assert (status, error) == (0, "")
    assert json.loads(out)["ends"] == plan["warp"]["ends"]
    assert json.loads(out)["warp_length_cm"] == pytest.approx(plan["warp"]["length_cm"])


def test_rules_that_clash_are_one_sentence_and_exit_2(tmp_path: Path) -> None:
    """No traceback."""
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(BASKET.read_text().replace("ends = 120", "ends = 400"))
    status, out, error = run(str(wrong))
    assert (status, out) == (2, "")
    assert "109 too few" in error


STRANDLINE = Path(__file__).parents[2] / "examples" / "strandline-wrap.toml"


def test_the_weft_is_told_run_by_run_with_its_joins_and_what_to_keep() -> None:
    """In words and as plain data; the same order in both."""
    status, out, _ = run(str(STRANDLINE))
    assert status == 0
    assert "drawn at random under the rules" in out
    assert "has run out; join ball 2 of" in out
    assert "Best kept for it:" in out
    weft = json.loads(run(str(STRANDLINE), "--json")[1])["weft"]
    assert sum(one["picks"] for one in weft["order"]) >= weft["picks"]
    assert f"{weft['order'][0]['first']}–{weft['order'][0]['last']}" in out


def test_weft_lines_to_keep_stand_under_their_own_table(tmp_path: Path) -> None:
    """Pasted into the file the order is kept as it was drawn, whatever the seed."""
    lines = run(str(STRANDLINE), "--as-toml")[1]
    told = tomlkit.parse(f"[colours]\n{lines}").unwrap()
    assert sum(one["picks"] for one in told["colours"]["weft"]["order"]) > 500
    document = tomlkit.parse(STRANDLINE.read_text("utf-8"))
    document["colours"]["order"] = told["colours"]["order"]  # type: ignore[index]
    document["colours"]["weft"]["order"] = told["colours"]["weft"]["order"]  # type: ignore[index]
    kept = tmp_path / "kept.toml"
    kept.write_text(tomlkit.dumps(document), "utf-8")
    drawn, again = (
        json.loads(run(str(file), "--json", *how)[1])["weft"]
        for file, how in ((STRANDLINE, ()), (kept, ("--seed", "9")))
    )
    assert again["lies"] == "kept"
    assert [(one["yarn"], one["picks"]) for one in again["order"]] == [
        (one["yarn"], one["picks"]) for one in drawn["order"]
    ]


def test_rules_of_the_weft_that_clash_are_one_sentence_and_no_traceback(tmp_path: Path) -> None:
    text = STRANDLINE.read_text("utf-8").replace("longest_run = 48", "longest_run = 4")
    (tmp_path / "wrong.toml").write_text(text, "utf-8")
    status, out, wrong = run(str(tmp_path / "wrong.toml"))
    assert (status, out) == (2, "")
    assert "colours, weft, longest_run" in wrong
    assert "8 picks of a yarn come together at least" in wrong


def test_warp_lengths_and_two_warps_are_listed_with_the_one_that_leaves_least() -> None:
    """The basket's waste is 55 cm: two warps of (310 − 55) ÷ 2 + 55 = 182.5 cm."""
    out = run(str(BASKET))[1]
    assert "leaves least" in out
    warps = json.loads(run(str(BASKET), "--json")[1])["warps"]
    assert [one["warps"] for one in warps] == [1, 2, 3]
    assert warps[1]["warp_length_cm"] == 182.5
    assert warps[1]["turns_needed"] == 120
