"""The commands class and words, as a person types them."""

from __future__ import annotations

import json
import re
from pathlib import Path

from cli.test_colours_command import asked

EXAMPLES = Path(__file__).parents[2] / "examples"
CLASS = EXAMPLES / "rockpool-class.toml"


def test_the_answer_gives_every_student_in_cm_and_m() -> None:
    """Whatever units a student has, JSON is metric; the totals and what is left out stand beside."""
    status, out, _ = asked("class", str(CLASS), "--json")
    answer = json.loads(out)
    assert status == 0
    assert [one["name"] for one in answer["students"]] == [
        "Anemone",
        "Barnacle",
        "Coralline",
        "Dulse",
        "Eelgrass",
        "Fucus",
    ]
    assert [round(one["warp_length_cm"]["expected"]) for one in answer["students"]] == [
        252,
        252,
        267,
        267,
        277 + 1,
        277,
    ]
    assert {"ends", "warp_m", "weft_m", "room", "same_sett", "own_yarn"} <= set(answer["students"][0])
    assert [one["use"] for one in answer["to_buy"]] == ["warp", "weft"]
    assert (answer["left_out"], answer["written"]) == ([], [])


def test_a_sheet_is_written_for_each_student_and_one_for_the_teacher(tmp_path: Path) -> None:
    """The files say whose they are, and hold a PDF."""
    status, out, _ = asked("class", str(CLASS), "-o", str(tmp_path / "out"))
    assert status == 0
    written = sorted(one.name for one in (tmp_path / "out").iterdir())
    assert written[0] == "rockpool-class-1-anemone.pdf"
    assert len(written) == 7
    assert all((tmp_path / "out" / name).read_bytes().startswith(b"%PDF") for name in written)
    assert re.search(r"303 m \(332 yd\) of warp \+ 279 m \(306 yd\) of weft", out.replace("\u00a0", " "))


def test_every_wrong_row_is_told_with_its_file(tmp_path: Path) -> None:
    """Status 2, a sentence for each, and nothing is written."""
    file = tmp_path / "class.toml"
    file.write_text(
        'project = "p.toml"\n[[student]]\nname = "A"\nloom = { waste = "45" }\n[[student]]\nname = "B"\nprint = "huge"\n'
    )
    status, _, err = asked("class", str(file), "-o", str(tmp_path / "out"))
    assert status == 2
    assert f"{file}: student 1, loom, waste: " in err
    assert f"{file}: student 2, print: “huge” came; accepted are ordinary or large" in err
    assert not (tmp_path / "out").exists()


def test_what_is_wrong_with_the_piece_is_told_with_the_file_of_the_piece(tmp_path: Path) -> None:
    """The class file is not blamed for it; what is wrong with a student still is."""
    file, piece = tmp_path / "class.toml", tmp_path / "piece.toml"
    file.write_text('project = "piece.toml"\n[[student]]\nname = "A"\n')
    piece.write_text('name = "x"\n')
    status, _, err = asked("class", str(file))
    assert status == 2
    assert err.startswith(f"{piece}: ")
    piece.write_text((EXAMPLES / "rockpool-runner.toml").read_text(encoding="utf-8"))
    status, _, err = asked("class", str(file))
    assert err == f"{file}: student 1, loom, heddles: which heddle has A? Write it as 30/10 cm or 7.5/in\n"


def test_a_class_file_reads_no_project_elsewhere(tmp_path: Path) -> None:
    """A list from a stranger names only what lies beside it; --piece names any."""
    file = tmp_path / "class.toml"
    file.write_text('project = "../../etc/passwd"\n')
    status, _, err = asked("class", str(file))
    assert status == 2
    assert "beside or below itself" in err
    status, _, err = asked("class", str(file), "--piece", str(EXAMPLES / "rockpool-runner.toml"))
    assert (status, err) == (0, "")
    file.write_text("")
    status, _, err = asked("class", str(file))
    assert "which piece does the class weave?" in err


def test_a_word_is_explained_and_an_unknown_one_refused() -> None:
    """British and American; in German with both beside it."""
    assert asked("words", "selvage")[1] == "selvedge (American selvage): The woven edge of the cloth.\n"
    assert asked("words", "Kette", "--language", "de")[1].startswith("Kette (warp): Die Fäden")
    status, _, err = asked("words", "quillon")
    assert status == 2
    assert "is not among the words kept" in err
    listed = json.loads(asked("words", "--json")[1])
    assert len(listed["words"]) >= 80
    assert {"word", "american", "meaning", "source"} <= set(listed["words"][0])
