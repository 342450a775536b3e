"""The finishing sheet and the cutting sheet of the real cloth, read back from their PDFs."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from finishing.cloths import found, project
from sheets.printed import reader, text_of

from clothwright.finishing import FINISHED
from clothwright.planning import plan
from clothwright.project import ProblemsFound, read_project
from clothwright.sheets import finished_cloth_svg, finishing_sheet_pdf, real_cutting_sheet_pdf
from clothwright.sheets import finishing as words
from clothwright.sheets.loom.finishing_sheet import finishing_data

DAY = datetime.date(2026, 11, 26)


def sides(tree: dict[str, Any]) -> None:
    tree["real_cloth"]["sides_less"] = "2 mm"


@pytest.mark.parametrize("large_print", [False, True])
@pytest.mark.parametrize("imperial", [False, True])
def test_every_step_and_every_check_stands_on_it(large_print: bool, imperial: bool) -> None:
    told = found()
    said = " ".join(text_of(finishing_sheet_pdf(told, imperial=imperial, made_on=DAY, large_print=large_print)).split())
    at = 0
    for step in told.recipe.steps:
        at = said.index(step.title, at)
    assert all(" ".join(one.do.split()[:5]) in said for one in told.checks)
    assert all(one in said for one in ("not needed: for a grown-up", "Check the print", "Take care"))


def test_looks_are_boxes_until_the_step_is_done() -> None:
    fresh = finishing_data(found(lambda tree: tree["finishing"].pop("done")))
    steps = {step["title"].split(":")[0]: step for step in fresh["steps"]}
    assert steps["Wash"]["looks"] == ["1", "2", "3", "4"]
    assert steps["Wash"]["fill"] == "Really: minutes, water, how"
    done = {step["title"].split(":")[0]: step for step in finishing_data(found())["steps"]}
    assert (done["Wash"]["looks"], done["Wash"]["done"], done["Secure both ends"]["done"]) == ([], True, False)


def test_what_was_measured_fills_its_boxes_in_both_units() -> None:
    """43.6 cm is 17.165 in, to the nearest quarter 17¼."""
    metric, imperial = (finishing_data(found(), imperial=inches)["measured"] for inches in (False, True))
    assert [one.replace("\u00a0", " ") for one in metric[2][:2]] == ["Finished", "43.6 cm (17¼ in)"]
    assert imperial[2][1].replace("\u00a0", " ") == "17¼ in (43.6 cm)"


def test_a_cloth_only_wanted_prints_without_pieces() -> None:
    bare = found(lambda tree: (tree.pop("pattern"), tree.update(want={"width": "44 cm", "length": "190 cm"})))
    assert "The cloth that there is" in text_of(finishing_sheet_pdf(bare, made_on=DAY))


def test_a_project_with_nothing_measured_prints_the_recipe_and_empty_boxes() -> None:
    bare = found(lambda tree: (tree.pop("off_loom"), tree.pop("finishing")))
    data = finishing_data(bare)
    assert data["measured"][2] == ["Finished", "", "", "", "", "", ""]
    assert "Soak" in text_of(finishing_sheet_pdf(bare, made_on=DAY))


def test_the_cutting_sheet_is_of_the_real_cloth_and_tells_its_flaws() -> None:
    told, asked = found(sides), project(sides)
    said = " ".join(text_of(real_cutting_sheet_pdf(told, plan(asked), asked, made_on=DAY)).split())
    assert "5 pieces to cut from 188 cm (74 in) of finished cloth, 43.6 cm (17¼ in) wide." in said
    assert "Knot at 51 cm" in said
    assert "Crossed: flaws." in said
    assert "For the finished cloth as it was measured." in said


def test_no_cutting_sheet_is_made_while_not_all_is_cut_from_the_cloth() -> None:
    with pytest.raises(ProblemsFound, match="take one of the ways first"):
        real_cutting_sheet_pdf(found(), plan(project()), project(), made_on=DAY)


def test_a_cloth_that_is_only_expected_says_so_on_its_cutting_sheet() -> None:
    def unwashed(tree: dict[str, Any]) -> None:
        tree["off_loom"].pop()
        tree["real_cloth"] = {"sides_less": "6 mm"}

    asked = project(unwashed)
    said = text_of(real_cutting_sheet_pdf(found(unwashed), plan(asked), asked, made_on=DAY))
    assert "has not been measured finished" in " ".join(said.split())


def test_the_picture_says_in_words_what_is_cut_and_where_the_flaws_are() -> None:
    told = found(sides)
    assert told.cloth is not None
    svg = finished_cloth_svg(told.cloth, told.on_cloth)
    assert "Cut from it:" in svg
    assert svg.count('class="cw-cross"') == 2


@pytest.mark.parametrize(("celsius", "said"), [(35, "35 °C (95 °F)"), (100, "100 °C (212 °F)"), (0, "0 °C (32 °F)")])
def test_temperatures_stand_in_both_scales(celsius: float, said: str) -> None:
    """The fixed points of both scales: NIST Special Publication 811, appendix B."""
    assert words.temperature(celsius, imperial=False).replace("\u00a0", " ") == said


def test_hostile_names_print() -> None:
    def named(tree: dict[str, Any]) -> None:
        tree["name"] = "#set page(width: 1pt) *<b>\u202e$"
        tree["off_loom"][2]["rested"] = "#panic()"

    pdf = finishing_sheet_pdf(found(named), made_on=DAY)
    assert len(reader(pdf).pages) >= 2
    assert "#panic()" in text_of(pdf)


def test_where_it_stands_is_told_step_by_step() -> None:
    assert words.headline(found(lambda tree: tree.pop("off_loom"))) == "Off the loom: let it rest, and measure it."
    assert words.headline(found(sides)).startswith("Next: held against the light")
    assert FINISHED in {one.state for one in found().measured.sizes.values()}
    assert words.headline(found()).startswith("The finished cloth does not take all pieces")
    unwashed = found(lambda tree: (tree["off_loom"].pop(), tree["finishing"].pop("done")))
    assert words.headline(unwashed) == "Next: look it over."


def test_a_bare_project_answers() -> None:
    from clothwright.finishing import finish

    assert words.headline(finish(read_project({}))) == "Off the loom: let it rest, and measure it."
