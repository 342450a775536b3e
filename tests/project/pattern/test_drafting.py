"""A garment made from measures in a project: sizes, versions, tables, and where what is wrong is told."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from clothwright.library.files import export_toml
from clothwright.project import Problem, ProblemsFound, read_project
from clothwright.project.pattern.drafting import drafted_sizes
from clothwright.project.pattern.garment import every_piece, pieces

EXAMPLES = Path(__file__).parents[3] / "examples"
BODY = {"waist girth": "74 cm", "hip girth": "98 cm", "waist to hips": "20 cm"}


def drafted(draft: dict[str, Any], **pattern: Any) -> Any:
    return read_project({"pattern": {"from_measures": {"garment": "skirt"} | draft, **pattern}})


def refused(draft: dict[str, Any], **pattern: Any) -> Problem:
    with pytest.raises(ProblemsFound) as wrong:
        every_piece(drafted(draft, **pattern), {})
    (problem,) = wrong.value.problems
    return problem


def test_a_garment_of_one_body_is_its_pieces_and_says_what_was_taken() -> None:
    found, notes = every_piece(drafted({"body": BODY}), {})
    assert [piece.name for piece in found] == ["panel", "waistband"]
    assert {piece.size for piece in found} == {None}
    assert any("Not said, and so taken" in note and "seam allowance: 2 cm" in note for note in notes)


def test_what_is_cut_from_another_cloth_is_left_out_of_the_layout() -> None:
    main, _ = pieces(drafted({"body": BODY, "options": {"waistband_cloth": "tide cotton"}}), {})
    assert [piece.name for piece in main] == ["panel"]


def test_a_count_may_be_written_without_quotes() -> None:
    found, _ = every_piece(drafted({"body": BODY, "options": {"panels": 6, "fullness": 1.5}}), {})
    assert found[0].cut == 6


def test_drafted_pieces_stand_beside_pieces_given_as_numbers() -> None:
    pocket = {"name": "pocket", "width": "14 cm", "length": "16 cm"}
    found, _ = every_piece(drafted({"body": BODY}, piece=[pocket]), {})
    assert [piece.name for piece in found] == ["panel", "waistband", "pocket"]


def test_sizes_of_a_table_give_their_measures_and_the_body_the_rest() -> None:
    """ASTM D5585-11e1, misses, straight: waist of size 8 is 29 1/2 in, http://www.astm.org/Standards/D5585.htm."""
    rest = {name: text for name, text in BODY.items() if name != "waist girth"}
    document = drafted({"table": "ASTM D5585 straight", "body": rest}, size="8")
    found, _ = every_piece(document, {})
    assert {piece.size for piece in found} == {"8"}
    every = drafted_sizes(document.pattern)
    assert len(every) == 12
    waist = next(one for one in every if one.size == "8").finished[0]
    assert waist.body_cm == pytest.approx(29.5 * 2.54)


@pytest.mark.parametrize(
    ("draft", "pattern", "path", "says"),
    [
        (
            {"table": "ASTM D5585 curvy", "body": BODY},
            {},
            ("from_measures", "body"),
            "waist girth is typed, and the table",
        ),
        ({"table": "ASTM D5585 curvy", "sizes": ["9"]}, {}, ("from_measures", "sizes"), "“9” is no size of ASTM"),
        ({"sizes": ["8"], "body": BODY}, {}, ("from_measures", "sizes"), "name the table"),
        (
            {"body": BODY, "size": [{"name": "S"}, {"name": "S"}]},
            {},
            ("from_measures", "size"),
            "more than one size is called S",
        ),
        ({"body": BODY, "size": [{"name": "S"}]}, {}, ("size",), "has the sizes S; no size was asked for"),
        ({"body": BODY, "version": [{"name": "full"}]}, {"version": "slim"}, ("version",), "version slim is not among"),
        ({"body": BODY | {"waist_girth": "70 cm"}}, {}, None, None),
        (
            {"body": BODY, "ease": {"bust girth": "3 cm"}},
            {},
            ("from_measures", "ease", "bust_girth"),
            "has no ease at the bust",
        ),
        (
            {"body": BODY, "options": {"length": "5 cm"}},
            {},
            ("from_measures", "options", "length"),
            "15 to 130 cm is accepted",
        ),
        ({"body": {}}, {}, ("from_measures", "body"), "the skirt still needs: waist girth (level round"),
    ],
)
def test_what_is_not_clear_is_asked_where_it_was_typed(draft: Any, pattern: Any, path: Any, says: Any) -> None:
    if path is None:
        draft, path, says = (
            {"body": dict(draft["body"]) | {"hip grith": "9 cm"}},
            ("from_measures", "body", "hip_grith"),
            "is it hip girth",
        )
        del draft["body"]["waist_girth"]
    problem = refused(draft, **pattern)
    assert problem.path == ("pattern", *path)
    assert says in problem.sentence


def test_an_unknown_garment_and_table_are_told_with_those_there_are() -> None:
    with pytest.raises(ProblemsFound) as wrong:
        read_project({"pattern": {"from_measures": {"garment": "cloak", "table": "tide"}}})
    said = "\n".join(map(str, wrong.value.problems))
    assert "“cloak” is no garment that is made from measures here; there are tunic, wrap jacket" in said
    assert "“tide” is no table of sizes here" in said


def test_one_measure_under_two_names_is_asked_about() -> None:
    assert "came twice" in refused({"body": BODY | {"bust girth": "90 cm", "chest girth": "94 cm"}}).sentence


@pytest.mark.parametrize("name", ["sea-pink-tops", "samphire-wrap"])
def test_an_example_is_drafted_and_goes_through_a_file_unchanged(name: str) -> None:
    tree = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    assert tomllib.loads(export_toml(tree)) == tree
    found, _ = every_piece(read_project(tree), {})
    assert len(found) >= 3


def test_a_version_changes_only_its_own_pieces() -> None:
    tree = tomllib.loads((EXAMPLES / "sea-pink-tops.toml").read_text(encoding="utf-8"))
    tree["pattern"]["version"] = "no sleeves"
    names = {piece.name for piece in every_piece(read_project(tree), {})[0]}
    assert "armhole binding" in names
    assert "sleeve" not in names
