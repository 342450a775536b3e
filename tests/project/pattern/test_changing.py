"""What is typed of a mock-up: read, said in words, refused in a sentence, written out and read back the same."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pattern.drawn import page
from pattern.fitted import drawn_bodice
from project.reading_for_tests import problems

from clothwright.library import export_toml
from clothwright.project import ProblemsFound, Project, read_project, read_toml
from clothwright.project.pattern.changing import change_in_words, provisional_because
from clothwright.project.pattern.garment import changed_pattern, every_piece

DRAWINGS = {"bodice.svg": page(drawn_bodice())}
OUT: dict[str, Any] = {"do": "let out", "seam": "side", "by": "1 cm"}
LONGER: dict[str, Any] = {"do": "lengthen", "match": "waist", "by": "2 cm"}


def project(*changes: dict[str, Any], **pattern: Any) -> Project:
    base = {"file": "bodice.svg", "seam_allowance": "15 mm", "change": list(changes)}
    return read_project({"pattern": base | pattern})


def widths(found: Project, **how: Any) -> list[float]:
    return [round(piece.width_cm, 2) for piece in changed_pattern(found, DRAWINGS, **how).pieces]


def test_changes_are_made_before_the_pieces_are_laid() -> None:
    pieces, _ = every_piece(project(OUT, LONGER), DRAWINGS)
    before, _ = every_piece(project(), DRAWINGS)
    assert [now.length_cm - was.length_cm for was, now in zip(before, pieces, strict=True)] == pytest.approx([2, 2])
    assert pieces[1].width_cm - before[1].width_cm == pytest.approx(1, abs=0.05)


def test_the_pattern_is_shown_as_it_was_before_a_change() -> None:
    both = project(OUT, LONGER)
    assert widths(both, before=1) == widths(project())
    assert widths(both, before=2) == widths(project(OUT))
    for number, there in ((3, "there are 2, counted from 1"), (0, "there are 2")):
        with pytest.raises(ProblemsFound, match=there):
            changed_pattern(both, DRAWINGS, before=number)


def test_a_change_set_aside_counts_as_if_never_typed_and_comes_back() -> None:
    aside = project(OUT | {"set_aside": "the sheet was stiff"}, LONGER)
    assert widths(aside) == widths(project(LONGER))
    assert widths(project(OUT, LONGER)) != widths(aside)


def test_pieces_given_as_numbers_are_lengthened_by_name() -> None:
    panel = {"name": "panel", "width": "20 cm", "length": "60 cm"}
    change = {"do": "shorten", "piece": "panel", "at": "30 cm", "by": "4 cm"}
    (piece,) = changed_pattern(read_project({"pattern": {"piece": [panel], "change": [change]}}), {}).pieces
    assert (piece.length_cm, piece.width_cm) == (pytest.approx(56), pytest.approx(20))


def test_a_wrong_name_is_told_at_its_change() -> None:
    with pytest.raises(ProblemsFound) as caught:
        every_piece(project(LONGER, OUT | {"seam": "sied"}), DRAWINGS)
    (problem,) = caught.value.problems
    assert problem.where == "pattern, change 2"
    assert problem.sentence.startswith("“sied”: no piece has a seam of that name; there are neck")


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"do": "let out", "by": "1 cm"}, "what to let out? Say the seam"),
        ({"do": "raise", "by": "1 cm"}, "or corner, the two seams that meet"),
        ({"do": "raise", "by": "1 cm", "corner": "side"}, "a corner is where two seams meet: name two"),
        ({"do": "lengthen", "by": "1 cm"}, "where to lengthen?"),
        ({"do": "lengthen", "by": "1 cm", "at": "20 cm"}, "where to lengthen?"),
        ({"do": "lengthen", "by": "1 cm", "match": "waist", "seam": "side"}, "to lengthen takes no seam; it takes at, match"),
        ({"do": "lengthen", "by": "1 cm", "match": "waist", "at": "2 cm", "piece": "back"}, "keep one"),
        ({"do": "let out", "seam": "side", "by": "1"}, "1 cm or 1 in"),
        ({"do": "widen", "seam": "side", "by": "1 cm"}, "let out"),
        ({"do": "let out", "seam": "side", "by": "1 cm", "date": "3 October"}, "write a day as"),
    ],
)  # fmt: skip
def test_a_change_that_does_not_say_enough_is_asked_about_in_one_sentence(change: dict[str, Any], why: str) -> None:
    (sentence,) = problems({"pattern": {"file": "bodice.svg", "change": [change]}}).values()
    assert why in sentence
    assert "\n" not in sentence


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (OUT | {"nothing_at": "top"}, "“side” let out by 1 cm, to nothing at the top."),
        (OUT | {"piece": ["back"], "nothing_at": "armhole"}, "“side” let out by 1 cm, to nothing at “armhole”, on back only."),
        (LONGER, "Lengthened by 2 cm through “waist”, on every piece that has it."),
        ({"do": "shorten", "by": "1 in", "piece": "back, front", "at": "20 cm"}, "Shortened by 1 in 20 cm from the foot, on back and front."),
        ({"do": "lower", "by": "1 cm", "corner": "side, armhole", "other_sizes": "in proportion"},
         "The corner of “side” and “armhole” lowered by 1 cm, other sizes in proportion."),
    ],
)  # fmt: skip
def test_a_change_is_said_in_words(change: dict[str, Any], words: str) -> None:
    found = project(change).pattern
    assert found is not None
    assert change_in_words(found.change[0]) == words


def test_a_plan_is_provisional_until_the_mock_up_is_ticked() -> None:
    assert "no mock-up (toile, American muslin) of this pattern has been sewn" in provisional_because(project())
    sewn = {"sewn": "2026-10-01"}
    assert "sewn 1 October 2026 is not ticked" in provisional_because(project(mock_up=sewn))
    assert provisional_because(project(mock_up=sewn | {"fits": True})) == ""
    wanted = read_project({"want": {"width": "40 cm", "length": "180 cm"}})
    assert provisional_because(wanted) == ""


def test_a_size_between_is_asked_for_by_its_name() -> None:
    panels = [
        f'<rect x="{x}" y="5" width="{w}" height="30" data-piece="panel" data-size="{s}" data-grain="y"/>'
        for s, x, w in (("S", 5, 10), ("L", 30, 14))
    ]
    drawings = {"bodice.svg": page(f"<g>{''.join(panels)}</g>")}
    made = {"size": "M", "between": ["S", "L"], "share": "25 %"}
    found = read_project({"pattern": {"file": "bodice.svg", "size": "M", "made_size": [made]}})
    (panel,) = every_piece(found, drawings)[0]
    assert (panel.width_cm, panel.length_cm) == (pytest.approx(11), pytest.approx(30))
    wrong = read_project({"pattern": {"file": "bodice.svg", "size": "M", "made_size": [made | {"between": "S, XL"}]}})
    with pytest.raises(ProblemsFound, match="“XL”: the pattern has no such size; there are S, L"):
        every_piece(wrong, drawings)


@given(
    st.lists(
        st.fixed_dictionaries(
            {"do": st.sampled_from(["let out", "take in"]), "seam": st.just("side"), "by": st.sampled_from(["1 cm", "1/2 in", "8 mm"])},
            optional={
                "nothing_at": st.sampled_from(["top", "bottom"]),
                "piece": st.lists(st.sampled_from(["back", "front"]), min_size=1, max_size=2, unique=True),
                "date": st.dates().map(str),
                "why": st.text("abc ü“”", max_size=12).map(str.strip),
                "set_aside": st.sampled_from(["", "not today"]),
                "other_sizes": st.sampled_from(["the same", "in proportion"]),
            },
        ),
        max_size=4,
    )
)  # fmt: skip
def test_what_is_typed_of_changes_is_written_out_and_read_back_the_same(changes: list[dict[str, Any]]) -> None:
    tree = {
        "clothwright": 1,
        "pattern": {"file": "bodice.svg", "mock_up": {"sewn": "2026-10-01", "fits": True}, "change": changes},
    }
    assert read_project(read_toml(export_toml(tree))) == read_project(tree)
