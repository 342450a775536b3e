"""What a project says of its pattern: edges of pieces given as numbers, and faults that are shown but not laid out."""

from __future__ import annotations

import pytest
from pattern.drawn import page

from clothwright.project import ProblemsFound, read_project, read_toml
from clothwright.project.pattern.garment import every_piece, faults, pieces

DRAWING = page(
    '<rect x="30" y="5" width="10" height="30" data-piece="band"/>'
    '<polyline data-piece="yoke" points="5,40 25,40 25,60 5,60"/>'
    '<rect x="45" y="60" width="9" height="9" data-test="10 cm"/>'
)


def test_a_pattern_with_faults_is_shown_and_refused_in_their_sentences() -> None:
    project, drawings = read_project({"pattern": {"file": "a.svg"}}), {"a.svg": DRAWING}
    shown, _ = every_piece(project, drawings, looking=True)
    assert [piece.name for piece in shown] == ["band"]
    with pytest.raises(ProblemsFound) as refused:
        pieces(project, drawings)
    said = {problem.sentence for problem in refused.value.problems}
    assert said == {fault.refusal for fault in faults(project, drawings)}
    assert any("The scale is wrong: the test square of 10 cm measures 9.00 cm" in sentence for sentence in said)


def test_the_mends_make_the_pattern_whole() -> None:
    told = {"file": "a.svg", "scale": "11.111111 mm", "mark": [{"piece": "yoke", "close": True}]}
    project, drawings = read_project({"pattern": told}), {"a.svg": DRAWING}
    assert faults(project, drawings) == ()
    found, _ = pieces(project, drawings)
    assert [(piece.name, round(piece.length_cm, 2)) for piece in found] == [("band", 33.33), ("yoke", 22.22)]


def test_a_piece_as_numbers_says_what_its_edges_are() -> None:
    text = """
    [[pattern.piece]]
    name = "back"
    width = "24 cm"
    length = "62 cm"
    allowance = "15 mm"
    left = "selvedge, allowance 0 cm"
    right = "seam side, ease 5 mm"
    bottom = "hem 4 cm"
    """
    ((back,), _) = pieces(read_project(read_toml(text)), {})
    found = {edge.seam or ("hem" if edge.hem else "selvedge"): edge for edge in back.edges}
    assert found["selvedge"].selvedge
    assert {y for _, y in found["selvedge"].line} == {24}
    assert (found["side"].ease_cm, round(found["side"].length_cm, 6)) == (0.5, 62 - 4 - 1.5)
    assert found["hem"].length_cm == pytest.approx(24 - 1.5)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"left": "frayed"}, "“frayed” is not understood"),
        ({"left": "fold"}, "fold = true"),
        ({"right": "hem"}, "accepted is a length"),
        ({"allowance": "12 cm"}, "leave nothing of 24 x 62 cm"),
        ({"fold": True, "left": "seam side"}, "which is its left"),
    ],
)
def test_an_edge_that_cannot_be_is_told_in_a_sentence(typed: dict, why: str) -> None:
    part = {"name": "back", "width": "24 cm", "length": "62 cm", **typed}
    with pytest.raises(ProblemsFound) as refused:
        pieces(read_project({"pattern": {"piece": [part]}}), {})
    (problem,) = refused.value.problems
    assert why in problem.sentence
    assert problem.path[:3] == ("pattern", "piece", 0)
