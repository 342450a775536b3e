"""The sheets of colours, read back from their PDFs, every total added up again."""

from __future__ import annotations

import datetime
import re
from itertools import pairwise
from typing import Any

import pytest
from planning.colours.test_colour_plan import BALLS, PAIRS, basket, colours_of
from sheets.printed import reader, text_of

from clothwright.planning import plan_colours, wanted_warp
from clothwright.project import Project, read_project
from clothwright.sheets import balls_pdf, colour_order_pdf, warping_pdf
from clothwright.sheets.colours.colour_sheets import order_data, tens
from clothwright.sheets.colours.warping_sheet import warping_data

DAY = datetime.date(2026, 11, 25)
MAKERS = {"colour-order": colour_order_pdf, "balls": balls_pdf, "warping": warping_pdf}


def with_heddle(**colours: Any) -> Project:
    """The basket of balls, for a heddle of 3 ends per cm."""
    project = basket(**colours)
    return project.model_copy(update={"loom": read_project({"loom": {"heddles": ["30/10 cm"]}}).loom})


@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_every_sheet_is_tagged_dated_and_has_its_ruler(kind: str, large_print: bool, imperial: bool) -> None:
    project = with_heddle()
    pdf = MAKERS[kind](colours_of(project), project, made_on=DAY, large_print=large_print, imperial=imperial)
    said = text_of(pdf)
    assert "25 November 2026" in said
    assert "Check the print" in said
    assert reader(pdf).trailer["/Root"].get_object()["/MarkInfo"]["/Marked"]


def test_the_ends_ticked_off_add_up_ten_by_ten_and_colour_by_colour() -> None:
    """A separate adder: every number in front of a yarn, by group and by yarn, against the order."""
    answer = colours_of(with_heddle())
    of_yarn: dict[str, int] = {}
    groups = order_data(answer)["groups"]
    for number, group in enumerate(groups):
        ends = 0
        for run in group["runs"]:
            count, yarn = re.fullmatch(r"(\d+) (?:more )?(.+)", run).groups()  # type: ignore[union-attr]
            ends += int(count)
            of_yarn[yarn] = of_yarn.get(yarn, 0) + int(count)
        assert group["ends"] == f"{10 * number + 1} to {10 * number + ends}"
        assert ends == 10
    assert len(groups) == 12
    assert [group["half"] for group in groups].index(True) == 5
    for yarn, ends in of_yarn.items():
        assert ends == sum(run.ends for run in answer.order if run.yarn == yarn)


def test_a_run_over_a_ten_goes_on_as_more() -> None:
    assert tens([("kelp", 8), ("shale", 4), ("kelp", 2)]) == [
        ("1 to 10", ["8 kelp", "2 shale"], 10),
        ("11 to 14", ["2 more shale", "2 kelp"], 14),
    ]


def test_two_runs_of_one_yarn_side_by_side_are_told_apart() -> None:
    """A run held in part stands as two."""
    assert tens([("kelp", 8), ("kelp", 4)])[0][1] == ["8 kelp", "2 kelp"]
    assert tens([("kelp", 10), ("kelp", 4)])[1][1] == ["4 kelp"]


def test_the_order_is_printed_with_its_check_sum() -> None:
    """120 ends at 3 per cm are 40 cm."""
    project = with_heddle()
    said = text_of(colour_order_pdf(colours_of(project), project, made_on=DAY))
    assert "120 ends at 3 per cm (7.62 per in) = 40 cm" in said
    assert "Count now: 60 ends?" in said
    assert "Count twice: 120 ends?" in said


def test_the_balls_are_printed_with_what_a_calculator_gives() -> None:
    """Pairs of each ball by hand; 91 in all, 60 used."""
    project = with_heddle()
    said = text_of(balls_pdf(colours_of(project), project, made_on=DAY))
    for yarn in BALLS:
        assert re.search(rf"{yarn} 1 \d.*? {PAIRS[yarn]} pairs", said)
    assert f"All balls give {sum(PAIRS.values())} pairs; 60 are used" in said


def test_loops_slot_by_slot_add_up_to_the_ends() -> None:
    """Loops of every row, twice, are the ends so far; the outer ends by √(310² + 20²) = 310.64."""
    answer = colours_of(with_heddle())
    data = warping_data(answer, with_heddle())
    loops = 0
    for row in data["slots"]:
        loops += int(row[2])
        assert row[3] == f"{2 * loops} ends"
        assert row[0].split(" to ")[-1] == str(loops)
    assert loops == 60
    assert "0.6\u00a0cm" in data["intro"][2]
    assert any("trip line" in caution for caution in data["cautions"])


def test_a_board_is_told_by_its_own_turn_and_a_row_is_left_to_fill_in() -> None:
    """A turn called 2 m that measured 1.98 m: one turn and 112 cm of 310 cm."""
    winder = [{"name": "hall board", "nominal": "2 m", "turns": 10, "measured": "19.8 m"}]
    project = read_project({"winder": winder})
    indirect = basket(warping="indirect").model_copy(update={"winder": project.winder})
    warp = wanted_warp(indirect)
    assert warp is not None
    answer = plan_colours(indirect, warp)
    data = warping_data(answer, indirect)
    assert data["board"][0][0] == "hall board"
    assert data["board"][0][1].startswith("198")
    assert data["board"][0][2] == "1"
    assert data["board"][0][3].startswith("112")
    assert data["board"][-1] == ["", "", "", ""]
    assert data["slots"] == []
    assert "hall board" in text_of(warping_pdf(answer, indirect, made_on=DAY))


def test_a_yarn_named_like_markup_is_printed_as_typed() -> None:
    project = basket({"#strong[x] *y*": (90, 4.0)}, longest_run=None, use_up=[], not_at_edges=[], ends=20)
    assert "#strong[x] *y*" in text_of(colour_order_pdf(colours_of(project), project, made_on=DAY))


def test_the_outer_ends_are_told_for_the_peg_as_it_stands() -> None:
    """One peg 1.5 m away, 50 cm wide: 2.1 cm, 1.4 %; two pegs share it: √(150² + 12.5²) − 150 = 0.5 cm. By hand."""
    project = with_heddle(ends=150).model_copy(
        update={"warping": read_project({"warping": {"peg_distance": "1.5 m"}}).warping}
    )
    answer = colours_of(project)
    data = warping_data(answer, project)
    assert "2.1\u00a0cm" in data["intro"][2]
    assert "1.4\u00a0%" in data["intro"][2]
    told = " ".join(data["tension"]).replace("\u00a0", " ")
    assert "1 peg 2.1 cm" in told
    assert "2 pegs 0.5 cm" in told
    assert "is below 0.5 % from 250 cm" in told


def test_the_sums_of_a_direct_warp_are_added_up_again() -> None:
    """A separate adder: ends and loops by yarn, and the metres of 120 ends of 3.1 m."""
    answer = colours_of(with_heddle())
    sums = [one.replace("\u00a0", " ") for one in warping_data(answer, with_heddle())["sums"]]
    for sentence, total in ((sums[0], 120), (sums[1], 60)):
        parts, _, rest = sentence.partition(" = ")
        assert sum(int(number) for number in re.findall(r"(\d+) [a-z]", parts)) == total
        assert rest.startswith(str(total))
    assert "120 ends × 3.1 m = 372 m" in sums[3]


def test_every_row_of_slots_says_which_two_yarns_meet_at_the_rod() -> None:
    rows = warping_data(colours_of(with_heddle()), with_heddle())["slots"]
    for row, after in pairwise(rows):
        assert row[4].endswith(f"go on with {after[1]}")
    assert rows[-1][4] == "the last: cut and tie"


def test_a_warp_on_a_board_is_taken_off_in_chains_that_add_up() -> None:
    """A board called 1 yd that nobody measured is said to be so; 290 ends are three chains of 100, 100 and 90."""
    indirect = basket({"kelp": (900, 4.0)}, warping="indirect", ends=290, longest_run=None, use_up=[], not_at_edges=[])
    winder = read_project({"winder": [{"name": "hall board", "nominal": "1 yd"}]}).winder
    project = indirect.model_copy(update={"winder": winder})
    data = warping_data(colours_of(project), project)
    assert [row[1:3] for row in data["chains"]] == [
        ["1 to 100", "100 ends"],
        ["101 to 200", "100 ends"],
        ["201 to 290", "90 ends"],
    ]
    assert "nobody has measured it yet" in data["board_says"][0]
    assert any("does not stretch" in step for step in data["steps"])
    assert any("ratchets" in one for one in data["cautions"])
