"""`clothwright begin`: a project file and its verdict from a line of words."""

from __future__ import annotations

import json
from pathlib import Path

from commands import typed

from clothwright.library.files import read_project_tree

WRAP = ("--loom", "50 cm", "--width", "40 cm", "--length", "150 cm")


def test_a_line_of_words_gives_a_file_and_its_verdict(tmp_path: Path) -> None:
    """The file is planned again to the same verdict; what nobody said stands there as taken."""
    out = tmp_path / "wrap.toml"
    done = typed("begin", "250 g of 400 m/100 g wool", *WRAP, "-o", out)
    assert done.returncode == 0, done.stderr
    assert "Taken, because nobody said" in done.stdout
    assert "Structure: plain weave" in done.stdout
    assert "The one measurement that would sharpen it most" in done.stdout
    tree = read_project_tree(out)
    assert tree["begun"]["yarn"] == "250 g of 400 m/100 g wool"
    assert tree["begun"]["taken"]["loom.heddles"] == tree["loom"]["heddles"][0]
    told = json.loads(
        typed("begin", "250 g of 400 m/100 g wool", *WRAP, "-o", tmp_path / "again.toml", "--json").stdout
    )
    planned = json.loads(typed("plan", out, "--json", "--seconds", "0").stdout)
    assert {key: told[key] for key in planned} == planned
    assert "cloth.structure" in [one["field"] for one in told["taken"]]


def test_what_is_unclear_is_asked_and_nothing_is_written(tmp_path: Path) -> None:
    """The question comes with the texts that settle it, on status 2."""
    out = tmp_path / "wrap.toml"
    done = typed("begin", "3 balls of 50 g, 160 m", *WRAP, "-o", out)
    assert done.returncode == 2
    assert '"3 balls of 50 g, 160 m each"' in done.stderr
    assert not out.exists()
    assert "say one thing to make" in typed("begin", "8/2 cotton, 250 g", "-o", out).stderr
    assert "say what yarn there is" in typed("begin", *WRAP, "-o", out).stderr


def test_a_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    """What stands in it stays."""
    out = tmp_path / "mine.toml"
    out.write_text("mine", encoding="utf-8")
    done = typed("begin", "8/2 cotton, 250 g", *WRAP, "-o", out)
    assert done.returncode == 2
    assert "is there already" in done.stderr
    assert out.read_text(encoding="utf-8") == "mine"


def test_a_garment_is_made_from_its_measures_and_asked_for_those_missing(tmp_path: Path) -> None:
    """Without its measures the file is written all the same, so that nothing typed is lost."""
    skirt = (
        "8/2 cotton, 2 lb",
        "--garment",
        "skirt",
        "--measure",
        "waist girth = 74 cm",
        "-o",
        tmp_path / "skirt.toml",
    )
    done = typed("begin", *skirt)
    assert done.returncode == 2
    assert "hip girth" in done.stderr
    tree = read_project_tree(tmp_path / "skirt.toml")
    assert tree["pattern"]["from_measures"]["body"] == {"waist girth": "74 cm"}
