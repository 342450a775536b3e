"""The commands that list pieces and trace photographs: answers, exit status, one sentence for wrong input."""

import json
from pathlib import Path

import pytest
from commands import typed as run
from pattern.drawn import page
from pattern.garments import dxf_plain, garment, pdf_by_reportlab

LOPSIDED = page('<polygon data-piece="front" data-cut="2" points="5,5 20,5 20,40 9,40"/>')


def test_pieces_of_a_project_come_with_what_looks_wrong(tmp_path: Path) -> None:
    (tmp_path / "smock.svg").write_bytes(LOPSIDED)
    (tmp_path / "smock.toml").write_text('[pattern]\nfile = "smock.svg"\n', encoding="utf-8")
    answer = json.loads(run("pieces", tmp_path / "smock.toml", "--json").stdout)
    (piece,) = answer["pieces"]
    assert (piece["name"], piece["cut"], piece["length_cm"], piece["grain_stated"]) == (
        "front",
        2,
        pytest.approx(35),
        False,
    )
    assert {check["kind"] for check in answer["checks"]} == {"mirror missing", "no grain"}
    text = run("pieces", tmp_path / "smock.toml").stdout
    assert "mark it “pair”" in text
    assert "35.0 cm (13.8 in)" in text


@pytest.mark.parametrize(("name", "writer"), [("shirt.dxf", dxf_plain), ("shirt.pdf", pdf_by_reportlab)])
def test_pieces_of_a_drawing_by_itself(tmp_path: Path, name: str, writer) -> None:
    (tmp_path / name).write_bytes(writer(garment("shirts")))
    done = run("pieces", tmp_path / name, "--json")
    assert done.returncode == 0
    assert len(json.loads(done.stdout)["pieces"]) == 8


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (("pieces", "nowhere.svg"), "cannot be read"),
        (("pieces", "bad.dxf"), "cannot be read as DXF|begins|SVG"),
        (("pieces", "a.toml", "--scale", "1 mm"), "go with a drawing"),
        (("pieces", "a.toml"), "no pattern"),
        (("trace", "nowhere.jpg"), "cannot be read"),
        (("trace", "bad.dxf"), "no photograph in JPEG or PNG"),
    ],
)
def test_wrong_input_is_one_sentence_and_status_2(tmp_path: Path, arguments: tuple[str, ...], why: str) -> None:
    (tmp_path / "bad.dxf").write_bytes(b"\0\1\2 tide")
    (tmp_path / "a.toml").write_text("", encoding="utf-8")
    done = run(arguments[0], tmp_path / arguments[1], *arguments[2:])
    assert done.returncode == 2
    assert any(words in done.stderr for words in why.split("|"))
    assert "Traceback" not in done.stderr


def test_a_photograph_becomes_a_drawing_that_is_read_back(tmp_path: Path) -> None:
    from pattern.photographed import BROWN, Shot, lay, lay_strip, photograph, table

    picture = table()
    lay(picture, [(30, 30), (60, 30), (60, 66), (30, 66)], BROWN)
    lay_strip(picture, 0, (22, 17), 0)
    lay_strip(picture, 2, (34, 78), 0)
    (tmp_path / "yoke.jpg").write_bytes(photograph(picture, Shot(tilt_deg=20, noise=4)))
    done = run("trace", tmp_path / "yoke.jpg", "-o", tmp_path / "yoke.svg", "--name", "yoke", "--json")
    answer = json.loads(done.stdout)
    assert (answer["width_cm"], answer["height_cm"]) == (pytest.approx(30, abs=0.1), pytest.approx(36, abs=0.1))
    (piece,) = json.loads(run("pieces", tmp_path / "yoke.svg", "--json").stdout)["pieces"]
    assert (piece["name"], round(piece["length_cm"])) == ("yoke", 36)
    refused = run("trace", tmp_path / "yoke.jpg", "--sheet", "A4", "-o", tmp_path / "no.svg")
    assert refused.returncode == 2
    assert not (tmp_path / "no.svg").exists()


CHANGED = """[pattern]
file = "bodice.svg"
seam_allowance = "15 mm"
[pattern.mock_up]
sewn = 2026-10-01
[[pattern.change]]
do = "let out"
seam = "side"
by = "1 cm"
date = 2026-10-03
why = "tight over the hips"
[[pattern.change]]
do = "lengthen"
piece = "front"
at = "20 cm"
by = "3 cm"
[[pattern.change]]
do = "take in"
seam = "side"
by = "5 mm"
set_aside = "the sheet was stiff"
"""


def changed(folder: Path, text: str = CHANGED) -> Path:
    from pattern.fitted import drawn_bodice

    (folder / "bodice.svg").write_bytes(page(drawn_bodice()))
    (folder / "bodice.toml").write_text(text, encoding="utf-8")
    return folder / "bodice.toml"


def test_changes_are_shown_with_seams_before_and_after_and_what_looks_wrong_since(tmp_path: Path) -> None:
    answer = json.loads(run("pieces", changed(tmp_path), "--json").stdout)
    assert (answer["provisional"], answer["pattern_state"]["changes"], answer["pattern_state"]["last_change"]) == (
        True,
        2,
        "2026-10-03",
    )
    first, second, third = answer["changes"]
    assert {(one["seam"], one["piece"]) for one in first["seams"]} >= {("side", "back"), ("side", "front")}
    (front,) = second["seams"]
    assert front["after_cm"] - front["before_cm"] == pytest.approx(3, abs=0.05)
    assert "front is 3.0 cm longer" in second["asks"][0]["says"]
    assert (third["made"], third["set_aside"], third["seams"]) == (False, "the sheet was stiff", [])
    text = run("pieces", tmp_path / "bodice.toml").stdout
    for words in ("Change 1, 3 October 2026: “side” let out by 1 cm.", "(tight over the hips)", "→", "Set aside: the sheet was stiff", "Provisional:"):  # fmt: skip
        assert words in text


def test_the_pattern_is_shown_as_it_was_before_a_change(tmp_path: Path) -> None:
    file = changed(tmp_path)
    whole, before = (json.loads(run("pieces", file, "--json", *more).stdout) for more in ((), ("--before", "2")))
    lengths = [[piece["length_cm"] for piece in answer["pieces"]] for answer in (whole, before)]
    assert lengths[0][1] - lengths[1][1] == pytest.approx(3)
    assert [one["shown"] for one in before["changes"]] == [True, False, False]
    assert "as it was before change 2" in run("pieces", file, "--before", "2").stdout


@pytest.mark.parametrize(
    ("text", "more", "why"),
    [
        (CHANGED.replace('seam = "side"\nby = "1 cm"', 'seam = "sied"\nby = "1 cm"'), (), "change 1: “sied”: no piece has a seam"),
        (CHANGED, ("--before", "9"), "no change 9: there are 3, counted from 1"),
        (CHANGED.replace('by = "3 cm"', 'by = "3"'), (), "change 2, by"),
    ],
)  # fmt: skip
def test_a_wrong_change_is_one_sentence_and_status_2(
    tmp_path: Path, text: str, more: tuple[str, ...], why: str
) -> None:
    done = run("pieces", changed(tmp_path, text), *more)
    assert done.returncode == 2
    assert why in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
