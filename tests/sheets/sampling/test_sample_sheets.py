"""The sample card and the setts side by side, read back from their PDFs."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from sheets.printed import paths, reader, text_of

from clothwright.planning import compare_setts, sett_question
from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.domain import yarns
from clothwright.project.sampling import with_drawn_outlines
from clothwright.sheets import sample_card_pdf, sett_comparison_pdf
from clothwright.sheets.sampling.sample_card import about, picks, weights, words
from clothwright.sheets.sampling.sett_comparison import comparison_data

DAY = datetime.date(2026, 11, 25)
SAMPLE: dict[str, Any] = {
    "name": "tide square",
    "date": "2026-03-04",
    "warp": "eelgrass",
    "heddle": "30/10 cm",
    "width": {"in_heddle": "9 1/2 in", "off_loom": "22.4 cm", "finished": "21.6 cm"},
    "length": {"wound": "90 cm", "waste": "55 cm", "on_loom": "34 cm", "finished": "31 cm"},
    "picks": {"count": 97, "over": "34 cm"},
    "one_pick": {"straight": "25.1 cm"},
    "traced": {"finished": [["0 cm", "0 cm"], ["21.6 cm", "0.4 cm"], ["21.5 cm", "31.9 cm"], ["0 cm", "31 cm"]]},
    "parts": [{"name": "hot", "finish": "fulled hot", "after": {"width": "18.9 cm"}}],
    "hand": "a little stiff, #squeaky",
}
TREE: dict[str, Any] = {
    "name": "Saltmarsh trial",
    "yarn": [{"name": "eelgrass", "fibre": "wool", "wraps": "15/in", "grist": "310 m/100 g", "balls": ["400 g"]}],
    "loom": {"heddles": ["20/10 cm", "30/10 cm", "40/10 cm"]},
    "want": {"width": "44 cm", "length": "200 cm"},
    "sample": [SAMPLE],
}
FILLED = read_project(TREE)
MAKERS = {"card": sample_card_pdf, "comparison": sett_comparison_pdf}


@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("project", [None, FILLED], ids=["blank", "filled"])
@pytest.mark.parametrize("large_print", [False, True])
def test_both_sheets_have_cautions_ruler_and_date_and_are_tagged(
    kind: str, project: Project | None, large_print: bool
) -> None:
    pdf = MAKERS[kind](project, made_on=DAY, large_print=large_print)
    said = text_of(pdf)
    for printed in ("Take care", "Check the print", "25 November 2026"):
        assert printed in said
    assert ("to fill in" in said) == (project is None)
    assert reader(pdf).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]
    long = {round(max(one.size), 2) for one in paths(pdf) if one.painted == "S" and one.size[1] < 0.01}
    assert {100.0, 101.6} <= long
    assert pdf == MAKERS[kind](project, made_on=DAY, large_print=large_print)


def test_the_card_prints_what_was_typed_with_its_own_units() -> None:
    said = text_of(sample_card_pdf(FILLED, made_on=DAY))
    for printed in (
        "9 1/2 in",
        "22.4 cm",
        "90 cm less 55 cm",
        "97",
        "25.1 cm",
        "fulled hot",
        "18.9 cm",
        "a little stiff, #squeaky",
        "31.9 cm",
    ):
        assert printed in said


def test_the_blank_card_has_boxes_for_all_four_states_both_ways() -> None:
    said = text_of(sample_card_pdf(None, made_on=DAY))
    for printed in (
        "in the heddle, or warp used",
        "at the fell, on the loom",
        "off the loom",
        "finished",
        "Width",
        "Length",
        "One pick, laid straight",
        "Snip",
        "grey card",
    ):
        assert printed in said
    assert "eelgrass" not in said


def test_entries_are_empty_on_a_blank_card_and_their_paths_are_each_their_own() -> None:
    entries = [*about(None), *picks(None), *weights(None), *words(None)]
    assert all(one.value == "" for one in entries)
    assert len({one.path for one in entries}) == len(entries)


def test_each_sample_has_a_card_of_its_own_with_its_outlines() -> None:
    two = read_project(TREE | {"sample": [SAMPLE, SAMPLE | {"name": "ebb square", "traced": {}}]})
    said = text_of(sample_card_pdf(two, made_on=DAY))
    assert "Sample card: tide square" in said
    assert "Sample card: ebb square" in said
    assert said.replace(" ", "").count("wideinthemean") == 1


def test_a_project_without_a_sample_prints_a_card_to_fill_in() -> None:
    assert "to fill in" in text_of(sample_card_pdf(read_project(TREE | {"sample": []}), made_on=DAY))


def test_the_comparison_says_what_the_sett_answer_says() -> None:
    answer = compare_setts(sett_question(FILLED, yarns(FILLED)))
    data, pictures = comparison_data(FILLED)
    assert [row[0] for row in data["heddles"]] == [one.named for one, _ in answer.candidates]
    assert data["advice"] == list(answer.advice)
    assert 1 <= len(pictures) <= 4
    said = text_of(sett_comparison_pdf(FILLED, made_on=DAY))
    assert "tide square" in said
    assert answer.advice[0].split(",")[0] in said


def test_the_comparison_tells_a_sample_traced_by_a_drawing() -> None:
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="60cm" viewBox="0 0 40 60">'
    drawing = f'{head}<rect data-piece="after" x="1" y="1" width="21" height="28"/></svg>'.encode()
    traced = read_project(TREE | {"sample": [SAMPLE | {"traced": {"drawing": "square.svg"}}]})
    data, _ = comparison_data(with_drawn_outlines(traced, {"square.svg": drawing}))
    assert "not told" not in data["samples"][0][2]


def test_the_blank_comparison_is_worked_for_an_example() -> None:
    said = text_of(sett_comparison_pdf(None, made_on=DAY))
    assert "Example, a yarn of 6 wraps per cm" in said
    assert "30/10 cm" in said


def test_a_comparison_without_a_yarn_is_refused() -> None:
    with pytest.raises(ProblemsFound, match="no yarn is given"):
        sett_comparison_pdf(Project(), made_on=DAY)
