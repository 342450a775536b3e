"""The help sheets, read back from their PDFs: sums that add up, boxes to write in, lines that measure true."""

from __future__ import annotations

import datetime
import re
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from sheets.printed import Drawn, paths, reader, text_of

from clothwright.planning.job import sett_question
from clothwright.planning.setts.side_by_side import compare_setts
from clothwright.project import ProblemsFound, Project, read_project
from clothwright.project.domain import yarns
from clothwright.sheets import measuring_sheet_pdf, sett_sheet_pdf
from clothwright.sheets.sampling.measuring_sheet import measuring_data, weighings_sum, wraps_sum
from clothwright.sheets.sampling.sett_sheet import sett_data

DAY = datetime.date(2026, 11, 25)
TREE: dict[str, Any] = {
    "name": "Eelgrass waistcoat",
    "yarn": [
        {
            "name": "slate tide",
            "fibre": "wool",
            "wraps": "15/in",
            "grist": [{"length": "10 m", "weight": f"{grams} g"} for grams in ("3.1", "3.4", "3.0")],
            "balls": [{"gross": "118 g", "core": "6 g"}, {"net": "104 g"}, {"length": "85 m"}],
        },
        {"name": "causeway cotton", "made": "mill", "grist": "6.77 m/g", "balls": [{"gross": "486 g"}]},
    ],
    "loom": {"heddles": ["30/10 cm", "40/10 cm", "7.5/in"]},
    "cloth": {"width_ratio": "0.90"},
    "want": {"width": "44 cm", "length": "230 cm"},
}
FILLED = read_project(TREE)
MAKERS = {"measuring-yarn": measuring_sheet_pdf, "finding-sett": sett_sheet_pdf}
KINDS = pytest.mark.parametrize("kind", list(MAKERS))


@cache
def sheet(kind: str, *, filled: bool = False, imperial: bool = False, large_print: bool = False) -> bytes:
    project = FILLED if filled else None
    return MAKERS[kind](project, imperial=imperial, made_on=DAY, large_print=large_print)


@KINDS
@pytest.mark.parametrize("filled", [False, True])
@pytest.mark.parametrize("large_print", [False, True])
def test_every_sheet_has_its_cautions_its_check_ruler_and_its_date(kind: str, filled: bool, large_print: bool) -> None:
    said = text_of(sheet(kind, filled=filled, large_print=large_print))
    for words in ("Take care", "Check the print", "25 November 2026"):
        assert words in said
    assert ("to fill in" in said) != filled
    assert ("for Eelgrass waistcoat" in said) == filled


@KINDS
def test_the_same_sheet_has_the_same_bytes_and_is_tagged(kind: str) -> None:
    again = MAKERS[kind](None, imperial=False, made_on=DAY, large_print=False)
    assert again == sheet(kind)
    root = reader(sheet(kind)).trailer["/Root"].get_object()
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-GB"


def sides(kind: str, **how: bool) -> list[float]:
    """Distances in mm, from outer edge to outer edge, of the upright lines that stand at one height on the first page."""
    lines = [one for one in paths(sheet(kind, **how), 0) if one.painted == "S" and one.size[0] < 0.01 < one.size[1]]
    tall = [one for one in lines if 6 < one.size[1] < 7]
    return sorted(
        {round(abs(a.points[0][0] - b.points[0][0]) + a.line_mm, 2) for a in tall for b in tall if level(a, b)}
    )


def level(one: Drawn, other: Drawn) -> bool:
    return abs(one.points[0][1] - other.points[0][1]) < 0.01 and one is not other


@pytest.mark.parametrize("how", [{}, {"imperial": True}, {"large_print": True}, {"filled": True}])
def test_the_wrapping_gauges_measure_5_cm_and_2_in(how: dict[str, bool]) -> None:
    found = [one for one in sides("measuring-yarn", **how) if one > 1]
    assert found == [50.0, 50.8]


def test_the_check_ruler_measures_10_cm_and_4_in_on_every_help_sheet() -> None:
    for kind in MAKERS:
        long = {round(max(one.size), 2) for one in paths(sheet(kind)) if one.painted == "S" and one.size[1] < 0.01}
        assert {100.0, 101.6} <= long


def test_the_threads_of_the_sett_sheet_are_at_true_size() -> None:
    """30/10 cm has ends 10 ÷ 3 = 3.33 mm apart, 40/10 cm 2.5 mm; a yarn of 6 wraps per cm is 10 ÷ 8.57 = 1.17 mm thick."""
    every = paths(sheet("finding-sett"))
    warp = [one for one in every if one.painted == "S" and one.size[0] < 0.01 and abs(one.size[1] - 20) < 0.05]
    assert {round(one.line_mm, 2) for one in warp} >= {1.17}
    places = sorted({round(one.points[0][0], 2) for one in warp})
    apart = {round(b - a, 1) for a, b in pairwise(places)}
    assert {3.3, 2.5} <= apart
    thin = [one for one in every if one.painted == "S" and one.size[1] < 0.01 and one.line_mm < 0.4]
    assert len([one for one in thin if abs(one.size[0] - 30) < 0.02]) == 3


def value(sum_text: str) -> float:
    """What a printed sum comes to."""
    plain = re.sub(r"\u00a0|(?<=\d) (?:g|m|cm|wraps|ends|per)\b.*?(?=[+÷×)]|$)", "", sum_text)
    return float(eval(plain.replace("÷", "/").replace("×", "*"), {"__builtins__": {}}))


def links(line: str) -> list[tuple[float, float]]:
    """What the two sides of each equals sign of a line come to: a = b = c; d = e."""
    return [pair for part in line.split(";") for pair in pairwise(map(value, part.split("=")))]


@pytest.mark.parametrize("line", [wraps_sum((30, 29, 31)), wraps_sum((23, 24, 24))])
def test_the_sum_of_the_wraps_adds_up(line: str) -> None:
    assert len(links(line)) == 4
    assert all(came == pytest.approx(said, abs=6e-3) for came, said in links(line))


@pytest.mark.parametrize("grams", [(3.1, 3.4, 3.0), (0.7, 0.6), (12.0,)])
def test_the_sum_of_the_weighings_adds_up(grams: tuple[float, ...]) -> None:
    line = weighings_sum(grams)
    mean = float(re.search(r"= ([\d.]+) g;", line)[1])  # type: ignore[index]
    per_gram = float(re.search(r"= ([\d.]+) m/g", line)[1])  # type: ignore[index]
    assert mean == pytest.approx(sum(grams) / len(grams), abs=5e-5)
    assert per_gram == pytest.approx(10 / mean, abs=5e-5)
    assert f"10 m ÷ {mean:g} g = {per_gram:g} m/g" in line


def test_every_ball_and_the_total_of_the_filled_sheet_add_up() -> None:
    """118 − 6 = 112 g and 104 g at 3.1579 m/g are 353.6 and 328.4 m, rounded down, with 85 m metered 767 m."""
    slate, cotton = measuring_data(FILLED)["yarns"]
    assert slate["rows"] == [
        ["1", "118 g (4.2\u00a0oz)", "6 g (0.2\u00a0oz)", "112 g", "× 3.1579", "353.6 m (386\u00a0yd)"],
        ["2", "–", "–", "104 g", "× 3.1579", "328.4 m (359\u00a0yd)"],
        ["3", "–", "–", "metered", "–", "85 m (92\u00a0yd)"],
    ]
    assert slate["total"].replace("\u00a0", " ") == "In all: 353.6 + 328.4 + 85 = 767 m; count on 767 m (838 yd)."
    net, metres = cotton["rows"][0][3], cotton["rows"][0][5]
    assert (cotton["rows"][0][2], net) == ("not weighed", "429.3 to 474 g")
    assert metres == "2906.3 to 3208.9 m (3178 to 3509\u00a0yd)"
    assert "count on 2906" in cotton["total"]


def test_yarn_that_was_not_washed_is_not_to_be_counted_on() -> None:
    tree = TREE | {"yarn": [TREE["yarn"][0] | {"state": "unwashed"}]}
    total = measuring_data(read_project(tree))["yarns"][0]["total"]
    assert total == "In all: 353.6 + 328.4 + 85 = 767 m; before washing: a fifth of this may vanish."


def test_a_core_of_the_weavers_list_and_a_length_in_turns_are_printed_as_typed() -> None:
    balls = [{"gross": "118 g", "core": "tall cone"}, {"length": "40 turns of niddy-noddy"}]
    tools = {"core": [{"name": "tall cone", "weight": "18 g"}], "winder": [{"name": "niddy-noddy", "nominal": "1.5 m"}]}
    tree = TREE | tools | {"yarn": [TREE["yarn"][0] | {"balls": balls}]}
    (slate,) = measuring_data(read_project(tree))["yarns"]
    assert slate["rows"][0] == ["1", "118 g (4.2\u00a0oz)", "tall cone", "100 g", "× 3.1579", "315.7 m (345\u00a0yd)"]
    assert slate["rows"][1][3:] == ["metered", "–", "60 m (65\u00a0yd)"]
    assert "tall cone" in text_of(measuring_sheet_pdf(read_project(tree), made_on=DAY))


def test_the_sums_of_the_filled_sheets_are_printed() -> None:
    said = text_of(sheet("measuring-yarn", filled=True))
    for words in ("353.6 + 328.4 + 85 = 767 m", "10 m ÷ 3.1667 g = 3.1579 m/g", "6.77 m/g = 6.77 m/g", "5.91 15"):
        assert words in said
    said = text_of(sheet("finding-sett", filled=True))
    for words in ("5.906 wraps per cm × 0.5 (plain) = 2.95 ends per cm", "44 cm ÷ 0.900 = 48.89 cm"):
        assert words in said


def test_the_sums_of_the_sett_sheet_add_up() -> None:
    for project in (None, FILLED):
        data, _ = sett_data(project)
        wraps, share, advised = map(
            float, re.match(r"([\d.]+) wraps per cm × ([\d.]+) .*?= ([\d.]+)", data["wraps_sum"]).groups()
        )  # type: ignore[union-attr]
        assert wraps * share == pytest.approx(advised, abs=6e-3)
        closest = float(re.search(r"= ([\d.]+) ends", data["closest_sums"][1])[1])  # type: ignore[index]
        for row in data["heddles"]:
            per_cm, by, said = re.match(r"([\d.]+) ÷ ([\d.]+) = (\d+)\u00a0%", row[3]).groups()  # type: ignore[union-attr]
            assert float(by) == closest
            assert float(per_cm) / closest == pytest.approx(int(said) / 100, abs=6e-3)
        sums = dict(line.split(": ", 1) for line in data["width_sums"])
        finished, ratio, across = map(
            float, re.match(r"([\d.]+) cm ÷ ([\d.]+) = ([\d.]+)", sums["Width in heddle needed"]).groups()
        )  # type: ignore[union-attr]
        assert finished / ratio == pytest.approx(across, abs=6e-3)
        across, per_cm, ends = map(
            float, re.match(r"([\d.]+) cm × ([\d.]+) per cm .*= ([\d.]+)", sums["Ends"]).groups()
        )  # type: ignore[union-attr]
        assert across * per_cm - 0.05 <= ends < across * per_cm + 2.05
        assert ends % 2 == 0
        assert sums["Width in heddle"].startswith(f"{ends:g} ends ÷")


def test_the_sett_sheet_prints_what_the_sett_command_answers() -> None:
    """One computation: every candidate with its ends and its spreads, the sums of the first to sample, the advice."""
    answer = compare_setts(sett_question(FILLED, yarns(FILLED)))
    data, pictures = sett_data(FILLED)
    assert [row[0] for row in data["leads"]] == [one.named for one, _ in answer.candidates]
    assert [row[1] for row in data["leads"]] == [str(leads.ends) for _, leads in answer.candidates]
    assert [row[5] for row in data["heddles"]] == [
        "first" if one in answer.sample else "yes" if one.sample_this else "" for one, _ in answer.candidates
    ]
    assert all("–" in row[4] or " to " in row[4] for row in data["leads"])
    assert [line.split(":")[0] for line in data["width_sums"]] == [
        line.step for one, leads in answer.candidates if one == answer.sample[0] for line in leads.working
    ]
    assert data["advice"] == [*answer.advice, *answer.cautions]
    assert pictures


def test_a_weft_of_another_thickness_has_its_room_in_the_sums_of_the_sheet() -> None:
    """1 ÷ (1 ÷ 6 + 1 ÷ 12) is 4 ends per cm in plain weave: by arithmetic; touching ones are 0.7 of as many."""
    thick = {"name": "thick", "wraps": "6/cm", "use": "warp", "grist": "3 m/g", "balls": ["100 g"]}
    fine = thick | {"name": "fine", "wraps": "12/cm", "use": "weft"}
    data, _ = sett_data(read_project(TREE | {"yarn": [thick, fine]}))
    assert data["wraps_sum"].startswith("1 ÷ (1 ÷ 6 + 1 ÷ 12) (plain) = 4 ends per cm")
    assert data["closest_sums"][1].endswith("= 5.71 ends per cm (14.51 per in) at the closest")


def test_a_blank_sheet_has_boxes_and_a_worked_example_and_nobodys_yarn() -> None:
    for kind in MAKERS:
        said = text_of(sheet(kind))
        assert "Example" in said
        assert "slate tide" not in said
        ruled = [one for one in paths(sheet(kind)) if one.painted == "S"]
        assert len(ruled) > 60


def test_balls_that_do_not_fit_a_page_run_on_and_none_is_lost() -> None:
    many = TREE["yarn"][0] | {"balls": [{"net": f"{100 + n} g"} for n in range(70)]}
    project = read_project(TREE | {"yarn": [many]})
    for large_print in (False, True):
        said = text_of(measuring_sheet_pdf(project, made_on=DAY, large_print=large_print))
        assert all(f" {100 + n} g" in said for n in range(70))


def test_typed_markup_and_strange_letters_are_printed_as_text() -> None:
    tree = TREE | {"name": "#pagebreak() *x* \U0001f40c", "yarn": [TREE["yarn"][0] | {"name": "$a$ <b> \u202e"}]}
    for make in MAKERS.values():
        said = text_of(make(read_project(tree), made_on=DAY))
        assert "#pagebreak() *x* □" in said
        assert "$a$ <b>" in said


def test_a_yarn_that_is_not_settled_is_told_of() -> None:
    with pytest.raises(ProblemsFound):
        measuring_sheet_pdf(Project.model_validate({"yarn": [{"name": "oddment"}]}), made_on=DAY)
    with pytest.raises(ProblemsFound):
        sett_sheet_pdf(Project(), made_on=DAY)
