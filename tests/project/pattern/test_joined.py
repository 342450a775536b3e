"""The joins typed in a project become panels, the last step from a pattern to its pieces."""

from __future__ import annotations

from typing import Any

import pytest
from pattern.drawn import page

from clothwright.project import ProblemsFound, read_project
from clothwright.project.pattern.garment import every_piece, pieces, whole_pieces

BACK = {"name": "back", "width": "25 cm", "length": "60 cm", "fold": True}
SIDE = {"name": "side", "width": "12 cm", "length": "40 cm", "cut": 2, "pair": True}


def found(*joins: dict[str, Any], **pattern: Any) -> list[tuple[str, float, int]]:
    given = {"piece": [BACK, SIDE], "join": list(joins)} | pattern
    made, _ = every_piece(read_project({"pattern": given}), {})
    return [(piece.name, round(piece.width_cm, 3), piece.cut) for piece in made]


def sentences(*joins: dict[str, Any]) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        found(*joins)
    return [str(problem) for problem in caught.value.problems]


def test_a_joined_piece_comes_as_its_panels_in_its_place() -> None:
    made = found({"piece": "back", "at": "centre"})
    assert made == [("back, left panel", 26.5, 1), ("back, right panel", 26.5, 1), ("side", 12.0, 2)]


def test_an_allowance_is_that_of_the_join_then_of_the_pattern_then_the_usual_one() -> None:
    join = {"piece": "back", "at": "centre"}
    assert found({**join, "allowance": "1 in"})[0][1] == pytest.approx(27.54)
    assert found(join, seam_allowance="2 cm")[0][1] == 27.0
    project = read_project({"pattern": {"piece": [BACK], "join": [join]}})
    assert "1.5 cm on each panel is taken" in every_piece(project, {})[1][0]


def test_a_panel_is_joined_again_by_its_name() -> None:
    made = found({"piece": "back", "at": "centre"}, {"piece": "back, left panel", "at": "10 cm"})
    assert [name for name, *_ in made][:2] == ["back, left panel, left panel", "back, left panel, right panel"]


def test_a_join_set_aside_is_kept_told_and_not_used() -> None:
    join = {"piece": "back", "at": "centre", "set_aside": "cloth came out wider"}
    project = read_project({"pattern": {"piece": [BACK], "join": [join]}})
    made, notes = every_piece(project, {})
    assert [piece.name for piece in made] == ["back"]
    assert notes == ("The join of back at centre is set aside and not used: cloth came out wider.",)


def test_whole_pieces_are_the_pattern_before_its_joins() -> None:
    project = read_project({"pattern": {"piece": [BACK], "join": [{"piece": "back", "at": "centre"}]}})
    assert [piece.name for piece in whole_pieces(project, {})[0]] == ["back"]


def test_every_wrong_join_is_told_in_a_sentence_with_its_place() -> None:
    said = sentences(
        {"piece": "backe", "at": "centre"},
        {"piece": "back", "at": "60 cm"},
        {"piece": "side", "at": "centre"},
        {"piece": "side", "at": "centre"},
        {"piece": "back", "at": "centre", "sewn": "selvedges butted", "allowance": "1 cm"},
        {"piece": "back", "at": "drawn line"},
        {"piece": "back", "at": "hem"},
    )
    assert said[0] == "pattern, join 1, piece: there is no piece “backe” to join; the pieces are back, side"
    assert said[1] == "pattern, join 2, at: back is 50.0 cm wide, so a join 60 cm from its edge lies outside it"
    assert (
        "“side” is joined already; name one of its panels to join that: side, left panel, side, right panel" in said[2]
    )
    assert "butted have no allowance" in said[3]
    assert "no join line is drawn" in said[4]
    assert "no hem is marked" in said[5]


def test_a_place_that_is_none_is_refused_when_the_file_is_read() -> None:
    with pytest.raises(ProblemsFound, match="“middling” is no place of a join; accepted is centre"):
        read_project({"pattern": {"piece": [BACK], "join": [{"piece": "back", "at": "middling"}]}})


def test_a_drawn_half_on_the_fold_with_a_hem_and_a_join_line_is_joined_and_faced() -> None:
    drawing = page(
        "<g><title>back: cut 1, fold left, stitch</title>"
        '<path d="M5,5 H30 V65 H5 Z"/><polyline points="5,65 30,65"><title>hem 5 cm</title></polyline>'
        '<line x1="5" y1="30" x2="30" y2="30" data-line="join"/></g>'
    )
    given = {
        "file": "back.svg",
        "seam_allowance": "15 mm",
        "join": [
            {"piece": "back", "at": "hem", "material": "lining"},
            {"piece": "back", "at": "centre"},
            {"piece": "back, left panel", "at": "drawn line"},
        ],
    }
    project = read_project({"pattern": given})
    made, _ = every_piece(project, {"back.svg": drawing})
    names = {piece.name: piece for piece in made}
    assert set(names) == {
        "back, hem facing",
        "back, right panel",
        "back, left panel, upper panel",
        "back, left panel, lower panel",
    }
    assert names["back, hem facing"].material == "lining"
    assert "back, hem facing" not in {piece.name for piece in pieces(project, {"back.svg": drawing})[0]}
    assert names["back, hem facing"].length_cm == pytest.approx(5 + 1.5)
    assert names["back, right panel"].length_cm == pytest.approx(60 + 1.5 + 1.5)
