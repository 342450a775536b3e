"""The command that drafts garments: what it lists, answers, writes and refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from clothwright.cli.app import commands
from clothwright.pattern import read_drawing

EXAMPLE = str(Path(__file__).parents[2] / "examples" / "sea-pink-tops.toml")
SKIRT = (
    "skirt",
    "--measure",
    "waist girth = 74 cm",
    "--measure",
    "hip girth=38 1/2 in",
    "--measure",
    "waist to hips = 20 cm",
)


def run(*arguments: str) -> Result:
    return CliRunner().invoke(commands, ["measures", *arguments])


def test_without_a_garment_it_lists_them_with_the_measures_each_needs() -> None:
    answer = json.loads(run("--json").stdout)
    assert [one["name"] for one in answer["garments"]] == ["tunic", "wrap jacket", "waistcoat", "top", "skirt", "bag"]
    assert all(one["source"] for one in (*answer["measures"], *answer["tables"]))
    said = run().stdout
    for words in (
        "Needs waist girth, hip girth, waist to hips.",
        "waist_girth: level round the natural waist",
        "ASTM D5585 curvy: sizes 00, 0",
    ):
        assert words in said


def test_a_garment_as_typed_gives_pieces_checks_and_finished_measures() -> None:
    answer = json.loads(run(*SKIRT, "--json").stdout)
    assert [piece["name"] for piece in answer["pieces"]] == ["panel", "waistband"]
    assert answer["checks"] == []
    (finished,) = answer["finished"]
    waist = finished["measures"][0]
    assert (waist["body_cm"], waist["ease_cm"], waist["garment_cm"]) == (74.0, pytest.approx(2.0), pytest.approx(76.0))
    assert any(one.startswith("style: gathered") for one in answer["taken"])


def test_a_project_file_gives_every_size_and_version() -> None:
    answer = json.loads(run(EXAMPLE, "--json").stdout)
    assert [(one["size"], one["version"]) for one in answer["finished"]] == [
        (size, version) for size in ("Merle", "Tern") for version in ("short sleeves", "no sleeves")
    ]
    assert "Finished, Tern, no sleeves" in run(EXAMPLE).stdout


def test_the_drawing_written_reads_back_to_the_same_pieces(tmp_path: Path) -> None:
    out = tmp_path / "skirt.svg"
    answer = json.loads(run(*SKIRT, "--allowance", "15 mm", "-o", str(out), "--json").stdout)
    back = read_drawing(out.read_bytes()).pieces
    assert [piece.area_cm2 for piece in back] == [pytest.approx(one["area_cm2"], rel=1e-3) for one in answer["pieces"]]
    assert answer["written"] == str(out)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("cloak",), "“cloak” is no garment"),
        (("skirt",), "the skirt still needs: waist girth"),
        ((*SKIRT, "--option", "panels"), "write a name, = and what it is"),
        ((*SKIRT, "--measure", "hip girth = 9 cm"), "hip girth came twice"),
        ((*SKIRT, "--option", "panels = many"), "a whole number from 2 to 12"),
        ((*SKIRT, "--size", "8"), "name the table"),
        ((*SKIRT, "-o", "/nowhere/at/all.svg"), "cannot be written"),
        (("nowhere.toml",), "was not found"),
        ((str(Path(EXAMPLE).with_name("rows-of-rectangles.toml")),), "makes no garment from measures"),
    ],
)
def test_wrong_input_is_one_sentence(arguments: tuple[str, ...], says: str) -> None:
    done = run(*arguments)
    assert done.exit_code != 0
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_every_piece_is_named_in_eighty_columns_and_lengths_are_in_the_projects_units(tmp_path: Path) -> None:
    """A table too wide for the terminal wraps its cells and drops none; an inch is 2.54 cm."""
    file = tmp_path / "tops.toml"
    file.write_text('units = "imperial"\n' + Path(EXAMPLE).read_text(encoding="utf-8"), encoding="utf-8")
    for command in ("measures", "pieces"):
        said = CliRunner().invoke(commands, [command, str(file)], env={"COLUMNS": "80"}).stdout
        for name in ("front", "back", "sleeve"):
            assert any(line.startswith(name) for line in said.splitlines()), (command, name)
        assert "25.8 in" in said
        assert "(65.6" in said
