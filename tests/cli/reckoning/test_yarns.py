"""The yarn command: every number with its working, the missing strand, weighings, take-up."""

from __future__ import annotations

import json
import math
import re
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest
from commands import typed
from hypothesis import given
from strategies import yarn_texts

from clothwright.cli.reckoning.yarns import show_yarns, yarn_answers
from clothwright.cli.reckoning.yarns_in_hand import in_hand
from clothwright.project import ProblemsFound

CALCULATOR = {"sqrt": math.sqrt, "__builtins__": {}}


def by_calculator(line: str) -> float | None:
    """What a person with a calculator gets from a sum as printed; None where it only repeats what was typed."""
    typed = re.sub(r"√([\d.]+)", r"sqrt(\1)", line).replace("×", "*").replace("÷", "/")
    if not re.fullmatch(r"[\d.\s*/()+\-sqrt]+", typed):
        return None
    return float(eval(typed, CALCULATOR))


def checked_lines(answer: dict[str, Any]) -> int:
    """How many lines of working were re-added; each agrees with the value beside it."""
    count = 0
    for line in answer["working"]:
        assert set(line) == {"step", "sum", "value", "unit", "source"}
        assert line["source"]
        if (value := by_calculator(line["sum"])) is not None:
            assert value == pytest.approx(
                line["value"], rel=2e-5, abs=2e-5 if line["step"] == "folding take-up" else 0
            ), line
            count += 1
    return count


@given(yarn_texts(), yarn_texts())
def test_a_reader_with_a_calculator_gets_every_figure_of_the_working(one: str, other: str) -> None:
    """Every sum as printed gives the value printed beside it, for singles, folded, unequal and cabled yarns."""
    for text in (one, f"({one} + {other}) x 3"):
        (answer,) = yarn_answers([text])
        assert checked_lines(answer) >= 28
        steps = [line["step"] for line in answer["working"]]
        assert set(answer["numbers"]) <= set(steps)


def test_an_answer_has_what_the_contract_names() -> None:
    """34 tex S 600 x 2 Z 400; R 69.3 tex, the example of ISO 1139:1973 from memory; figures by arithmetic."""
    (answer,) = yarn_answers(["34 tex S 600 x 2 Z 400; R 69.3 tex"])
    assert answer["typed"] == "34 tex S 600 x 2 Z 400; R 69.3 tex"
    assert answer["tex"] == pytest.approx(69.3)
    assert answer["metres_per_kg"] == pytest.approx(1e6 / 69.3)
    assert answer["yards_per_lb"] == pytest.approx(1e6 / 69.3 * 0.45359237 / 0.9144)
    assert answer["notation"]["fold_to_single"] == "R 69.3 tex Z 400 / 2 S 600; 34 tex"
    assert answer["twist"] == {"direction": "Z", "turns_per_m": 400, "turns_per_in": pytest.approx(10.16)}
    assert answer["take_up"]["share_of_strand_tex"] == pytest.approx(69.3 / 68 - 1)
    assert answer["take_up"]["share_of_strand_length"] == pytest.approx(1 - 68 / 69.3)
    assert answer["resultant"]["nominal_tex"] == pytest.approx(68)
    assert [strand["tex"] for strand in answer["strands"]] == pytest.approx([34, 34])
    assert set(answer["diameters_mm"]) == set(answer["diameters_per_in"])


def test_the_missing_strand_is_found() -> None:
    """24s made with a 60s needs a 40s: W. Davis, Hosiery Manufacture, above ex. 30; with two 60s, a 120s."""
    (answer,) = yarn_answers([], resultant="24s cotton", known=["60s cotton"])
    assert answer["numbers"]["Ne"] == pytest.approx(40)
    assert answer["missing"] == {"resultant": "24s cotton", "with": ["60s cotton"]}
    assert checked_lines(answer) > 28
    (answer,) = yarn_answers([], resultant="24s cotton", known=["60s cotton", "60s cotton"])
    assert answer["numbers"]["Ne"] == pytest.approx(120)


def test_take_up_is_told_as_missing_until_it_is_stated() -> None:
    """2/80s measures coarser than 40s (C. P. Brooks); by how much is not guessed."""
    (unsaid,) = yarn_answers(["80/2 cotton"])
    (stated,) = yarn_answers(["80/2 cotton"], take_up="3 %")
    assert any("take-up is not in these numbers" in note for note in unsaid["notes"])
    assert not any("not in these numbers" in note for note in stated["notes"])
    assert stated["tex"] == pytest.approx(unsaid["tex"] * 1.03)
    assert stated["take_up"]["from"] == "stated"
    assert checked_lines(stated) >= 28


def test_weighings_are_pooled_with_their_errors() -> None:
    """30 m of three weighings weigh 9.5 g; a step of 0.1 g on 3.1 g is 3.2 %. By arithmetic."""
    (answer,) = yarn_answers([], weighings=["10 m = 3.1 g", "3.4 g/10 m", "10 m weigh 3.0 g"], fibre="wool")
    assert answer["metres_per_kg"] == pytest.approx(30 / 9.5 * 1000)
    assert [one["error_share"] for one in answer["weighed"]] == pytest.approx(
        [0.1 / 3.1, 0.1 / 3.4, 0.1 / 3.0], rel=1e-3
    )
    assert answer["pooled"]["spread_share"] > answer["pooled"]["tools_share"]
    assert any("10 m weigh 3.1 g" in note and "3.2 %" in note for note in answer["notes"])
    assert any("18.25 %" in note for note in answer["notes"])
    assert any("ISO 2060" in note for note in answer["notes"])
    assert checked_lines(answer) >= 28
    (finer,) = yarn_answers([], weighings=["10 m = 3.1 g"], scale_step="0.01 g")
    assert finer["weighed"][0]["error_share"] == pytest.approx(0.01 / 3.1, rel=3e-3)


@pytest.mark.parametrize(
    ("texts", "given", "said"),
    [
        ((), {}, "name a yarn"),
        ((), {"resultant": "24s cotton"}, "go together"),
        ((), {"known": ["24s cotton"]}, "go together"),
        ((), {"resultant": "24s cotton", "known": ["20s cotton"]}, "already as thick"),
        ((), {"resultant": "24s cotton", "known": ["60s cotton"], "take_up": "3 %"}, "holds it already"),
        (("40 tex",), {"take_up": "3 %"}, "is a single"),
        (("34 tex x 2; R 69.3 tex",), {"take_up": "3 %"}, "leave out --take-up"),
        (("34 tex x 2",), {"take_up": "3"}, "3 what"),
        (("34 tex x 2",), {"take_up": "3 % of warp"}, "3 % of strands"),
        ((), {"weighings": ["10 m"]}, "10 m = 3.1 g"),
        ((), {"weighings": ["10 m = 0 g"]}, "more than nothing"),
        ((), {"weighings": ["10 m = 3.1"]}, "3.1 what"),
        ((), {"weighings": ["10 m = 3.1 g"], "scale_step": "0.1"}, "0.1 what"),
    ],
)
def test_what_cannot_be_answered_is_one_sentence(texts: tuple[str, ...], given: dict[str, Any], said: str) -> None:
    """What is missing or too much is said, and how to write it."""
    with pytest.raises(ProblemsFound) as caught:
        yarn_answers(texts, **given)
    assert len(caught.value.problems) == 1
    assert said in caught.value.problems[0].sentence


def test_every_yarn_that_cannot_be_read_is_told_at_once() -> None:
    """Three bad texts among five are three sentences."""
    with pytest.raises(ProblemsFound) as caught:
        yarn_answers(["2/40", "8/2 cotton", "15 cut", "30/20 cotton", "34 tex"])
    assert len(caught.value.problems) == 3


def test_notes_say_what_the_number_may_be_mistaken_for(capsys: pytest.CaptureFixture[str]) -> None:
    """Old and new denier, the finished count of spun silk, yarns coarser than the standards."""
    answers = yarn_answers(["600 den", "40/2 spun silk", "3 ktex"])
    for answer, words in zip(answers, ("520 yd", "two 80s", "2000 tex"), strict=True):
        assert any(words in note for note in answer["notes"])
    show_yarns(answers)
    shown = " ".join(capsys.readouterr().out.split())
    assert "40 × 2" in shown
    assert "two 80s" in shown


def test_the_answers_take_less_than_the_time_promised() -> None:
    """Twenty yarns in under 0.3 s of processor time, beyond start-up."""
    yarn_answers(["8/2 cotton"])
    before = time.process_time()
    yarn_answers(["(60s cotton + 40s cotton) x 3"] * 20)
    assert time.process_time() - before < 0.3


IN_HAND = """
clothwright = 1
[[winder]]
name = "niddy-noddy"
nominal = "1.5 m"
turns = 10
measured = "14.82 m"
[[yarn]]
name = "grey fell"
fibre = "wool"
state = "unwashed"
grist = [{ length = "10 m", weight = "3.1 g" }, { length = "10 m", weight = "3.4 g" }]
balls = ["96 g", { length = "48 turns of the niddy-noddy" }]
wash_test = { before = "100 m", after = "88 m" }
heddle_trial = { hole = "rubs", slot = "passes freely", rub = "unchanged", rub_strokes = 50 }
[[yarn]]
name = "moss"
grist = "4 m/g"
balls = [{ gross = "100 g" }]
"""


def test_the_yarns_of_a_file_are_answered_for(tmp_path: Path) -> None:
    """Metres, weighings, washing, the heddle and the winder, each as the file has it. Figures by arithmetic."""
    (tmp_path / "a.toml").write_text(IN_HAND)
    answer = in_hand(tmp_path / "a.toml")
    grey, moss = answer["in_hand"]
    assert grey["metres"]["expected"] == pytest.approx((96 * 3.0769 + 71.136) * 0.88, rel=1e-6)
    assert grey["weighings"]["metres_per_kg"] == pytest.approx(20 / 6.5 * 1000)
    assert grey["wash_test"]["kept"] == 0.88
    assert grey["wash_test"]["used"]
    assert grey["heddle_trial"]["verdict"] == "size it first"
    assert any("cN/tex" in note for note in grey["notes"])
    assert moss["heddle_trial"] is moss["wash_test"] is moss["weighings"] is None
    assert moss["metres"]["low"] < moss["metres"]["high"]
    assert answer["winders"][0]["turn_m"] == pytest.approx(1.482)


def test_the_command_answers_from_words_and_files_together(tmp_path: Path) -> None:
    """Texts and a file in one command; a file without yarn, and no question at all, are refused with status 2."""
    (tmp_path / "a.toml").write_text(IN_HAND)
    both = command("8/2 cotton", "--file", str(tmp_path / "a.toml"), "--json")
    answer = json.loads(both.stdout)
    assert (len(answer["yarns"]), len(answer["in_hand"])) == (1, 2)
    shown = command("--file", str(tmp_path / "a.toml"))
    assert shown.returncode == 0
    assert "Size it first: it rubs in the hole" in " ".join(shown.stdout.split())
    assert "One turn of the niddy-noddy is 1.482 m" in " ".join(shown.stdout.split())
    (tmp_path / "b.toml").write_text("clothwright = 1\n")
    for arguments in (("--file", str(tmp_path / "b.toml")), (), ("--with", "60s cotton")):
        refused = command(*arguments)
        assert refused.returncode == 2
        assert len(refused.stderr.strip().splitlines()) == 1


def command(*arguments: str) -> subprocess.CompletedProcess[str]:
    return typed("yarn", *arguments)
