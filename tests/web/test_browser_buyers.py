"""The page for buyers in a real browser, opened as a file: its sums are those of the program, and it works alone.

*Source of the sums*: the requirement table worked by hand outside this program (3 ends and 3.2 picks per cm, ratios 0.9 and 0.875, waste 55 cm,
4 m in a gram, balls of 50 g, a margin of 10 %), with which both ways are checked as well.
"""

from __future__ import annotations

import datetime
import random
from pathlib import Path
from typing import Any

import pytest
from planning.asking import changed, tree
from playwright.sync_api import Browser, expect
from web.test_browser import address, browser, grave_violations, nothing_beyond_the_edge

from clothwright.planning import Leaflet, leaflet
from clothwright.planning.teaching.buyers_sums import FIELDS
from clothwright.planning.teaching.leaflet_versions import given_out
from clothwright.project import read_project
from clothwright.sheets.teaching.buyers_page import buyers_file, buyers_rows

__all__ = ["address", "browser"]

pytestmark = pytest.mark.browser
ODD = (
    "", "", "", " 24 ", "7,5", "7.5", ".5", "7 1/2", "7½", "½", "3/4", "2 950", "1,700", "0,125", "1/0", "0", "-3", "1e5", "NaN", "24 cm",
    "100001", "99", "12", "٣", "7\u00a01/2", "1 234,5", "12 34", "0.01", "3 ¼", "⅔",
)  # fmt: skip
VEST = tree("tideline-vest")


def made(**changes: Any) -> Leaflet:
    return leaflet(read_project(changed(VEST, **changes)), drawings={})


def likely(chance: random.Random, name: str) -> str:
    """What a buyer might type in a field, or something odd."""
    if chance.random() < 0.25:
        return chance.choice(ODD)
    value = {
        "sample_heddle": chance.uniform(8, 40), "sample_width": chance.uniform(7, 36), "sample_woven": chance.uniform(15, 40),
        "sample_length": chance.uniform(12, 36), "take_up": chance.uniform(0, 15), "weft_take_up": chance.uniform(0, 20),
        "ends": chance.uniform(5, 60), "picks": chance.uniform(5, 60), "waste": chance.uniform(0, 120), "sample_first": chance.uniform(0, 50),
        "warp_grist": chance.uniform(80, 3000), "weft_grist": chance.uniform(80, 3000), "ball": chance.uniform(10, 500),
        "margin": chance.uniform(0, 30), "loom": chance.uniform(20, 150),
    }[name]  # fmt: skip
    return f"{value:.{chance.choice((0, 1, 2, 4))}f}".replace(".", chance.choice(".,"))


def cases(count: int) -> list[tuple[dict[str, str], bool]]:
    """Pages as typed, each with some fields left out."""
    chance = random.Random(20261126)
    return [
        (
            {one.name: likely(chance, one.name) for one in FIELDS if chance.random() < 0.7},
            chance.random() < 0.5,
        )
        for _ in range(count)
    ]


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"leaflet__ball": None, "loom__warping": "indirect", "cloth__floating_selvedges": True},
        {
            "cloth__repeat_ends": 8,
            "cloth__on_warp_sample": "20 cm",
            "cloth__picks": "3.0 to 3.4/cm",
            "yarn__0__grist": "1700 yd/lb",
        },
    ],
    ids=str,
)
def test_the_file_reckons_what_the_program_reckons(browser: Browser, tmp_path: Path, changes: dict[str, Any]) -> None:
    """Two thousand pages as typed, every cell and every sentence, in both units."""
    of = made(**changes)
    file = tmp_path / "page.html"
    file.write_text(buyers_file(of), encoding="utf-8")
    page = browser.new_page()
    page.goto(file.as_uri())
    asked = cases(2000)
    answers = page.evaluate("cases => cases.map(([typed, imperial]) => window.buyersAnswer(typed, imperial))", asked)
    page.close()
    refused = 0
    for (typed, imperial), answer in zip(asked, answers, strict=True):
        rows, problems = buyers_rows(of, typed, imperial=imperial)
        assert (answer["rows"], answer["problems"]) == (rows, problems), (typed, imperial)
        refused += bool(problems)
    assert 200 < refused < 1990


@pytest.mark.parametrize("size", [{"width": 1280, "height": 900}, {"width": 360, "height": 740}], ids=["desk", "phone"])
def test_a_buyer_types_her_sample_offline_and_sees_her_needs(browser: Browser, tmp_path: Path, size: Any) -> None:
    """Nothing typed gives the table worked by hand; a sample of her own changes it; a slip is told beside its field."""
    version = given_out(made(), "1.0", datetime.date(2026, 11, 26), ())
    file = tmp_path / "page.html"
    file.write_text(buyers_file(version.leaflet), encoding="utf-8")
    context = browser.new_context(viewport=size, offline=True)
    page, wrong = context.new_page(), []
    page.on("console", lambda message: wrong.append(message.text) if message.type in ("error", "warning") else None)
    page.on("request", lambda request: wrong.append(request.url) if not request.url.startswith("file:") else None)
    page.goto(file.as_uri())
    row = page.locator("#rows tr").filter(has_text="Size L: 52 × 270 cm")
    expect(row).to_contain_text("174")
    expect(row).to_contain_text("4 + 4")
    expect(page.locator("main")).to_contain_text("version 1.0")
    page.get_by_label("Sample: width in the heddle").fill("20")
    expect(page.locator("#sample_width-problem")).to_contain_text("give the other one")
    page.get_by_label("Sample: width finished").fill("16")
    expect(row).to_contain_text("196")  # 52 ÷ 0.8 × 3 = 195, up to a pair
    page.get_by_label("Your loom weaves").fill("60")
    expect(row).to_contain_text("too wide for your loom")
    page.get_by_label("inches, yards, ounces").check()
    expect(row).to_contain_text("yd")
    page.get_by_label("Picks, counted").fill("many")
    expect(page.locator("#picks-problem")).to_contain_text("this is not one number")
    expect(page.get_by_role("status")).to_contain_text("to put right")
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []
    page.emulate_media(media="print")
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    page.screenshot(path=str(tmp_path / "page.png"), full_page=True)
    assert wrong == []
    context.close()
