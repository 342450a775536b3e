"""A weaver keeps her yarn and loom, asks for a sett and for yarn numbers, in a real browser, at a desk and on a phone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from web.test_browser import (
    DESK,
    PHONE,
    SIZES,
    Watched,
    address,
    browser,
    grave_violations,
    nothing_beyond_the_edge,
    opened,
    press,
    start,
    to_room,
    type_in,
)

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser

#: Two lines of targets with what stands round them.
HEAD_ON_A_PHONE_PX = 105
#: *Source:* WCAG 2.2, 2.5.5 (the enhanced size of targets).
TARGET_PX = 44


def type_a_yarn(page: Page, name: str) -> None:
    page.goto("/yarn/")
    page.get_by_label("Name of the yarn").fill(name)
    page.get_by_role("button", name="Add it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)
    type_in(page, "yarn.0.fibre", "wool")
    type_in(page, "yarn.0.wraps", "15/in")
    type_in(page, "yarn.0.grist", "310")
    type_in(page, "yarn.0.balls.0.gross", "118")
    type_in(page, "yarn.0.balls.0.core", "6 g")


def type_a_loom(page: Page, name: str) -> None:
    page.goto("/looms/")
    page.get_by_label("Name of the loom").fill(name)
    page.get_by_role("button", name="Add it").click()
    type_in(page, "loom.weaving_width", "60")
    type_in(page, "loom.heddles", "30; 40; 7.5/in")


@SIZES
def test_a_yarn_is_typed_in_and_its_metres_are_seen(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    type_a_yarn(page, "eelgrass")
    plan = page.locator("#plan")
    expect(plan).to_contain_text(re.compile(r"About 3\d\d\sm"))
    expect(plan).to_contain_text(re.compile(r"\d{3} to \d{3}\sm"))
    press(page, "+ Add a ball")
    expect(page.locator("[name='yarn.0.balls.1.gross']")).to_be_focused()
    type_in(page, "yarn.0.balls.1.net", "fifty-ish")
    expect(page.locator("[name='yarn.0.balls.1.net']")).to_have_attribute("aria-invalid", "true")
    expect(plan).to_contain_text("Still to be settled")
    type_in(page, "yarn.0.balls.1.net", "100")
    expect(plan).to_contain_text(re.compile(r"About 6\d\d\sm"))
    if size is PHONE:
        expect(page.locator("#slim")).to_have_text(re.compile("About 6"))
    page.goto("/yarn/")
    expect(page.locator(".card", has_text="eelgrass").first).to_contain_text(re.compile(r"About 6\d\d\sm"))


@SIZES
def test_a_table_with_three_bad_rows_of_twenty_reports_three_and_keeps_seventeen(
    opened: Any, tmp_path: Path, size: dict[str, int]
) -> None:
    page = opened(size).page
    rows = [f"skein {n} of {size['width']},310 m/100 g,{90 + n} g" for n in range(20)]
    rows[1], rows[8], rows[19] = "skein 1,2/40,91 g", "skein 8,310 m/100 g,98", ",310 m/100 g,109 g"
    table = tmp_path / "shelf.csv"
    table.write_text("\n".join(("name,grist,balls", *rows)), encoding="utf-8")
    page.goto("/yarn/")
    before = page.locator(".things > li").count()
    page.locator("#import-table").set_input_files(table)
    page.get_by_role("button", name="Bring it in").click()
    report = page.locator(".report")
    expect(report).to_contain_text("17 yarns kept.")
    expect(report).to_contain_text("3 rows left out.")
    assert [row.locator("th").inner_text() for row in report.locator("tbody tr").all()] == ["3", "10", "21"]
    expect(page.locator(".things > li")).to_have_count(before + 17)


def test_the_filled_example_is_downloaded_and_brought_in(opened: Any, tmp_path: Path) -> None:
    page = opened(DESK).page
    page.goto("/yarn/")
    with page.expect_download() as download:
        page.get_by_role("link", name="Filled example (CSV)").click()
    example = tmp_path / "example.csv"
    download.value.save_as(example)
    page.locator("#import-table").set_input_files(example)
    page.get_by_role("button", name="Bring it in").click()
    expect(page.locator(".report")).to_contain_text("3 yarns kept.")
    expect(page.locator(".card", has_text="slate tide").first).to_contain_text("greyish blue")


def test_a_yarn_is_put_away_and_brought_back(opened: Any) -> None:
    page = opened(DESK).page
    type_a_yarn(page, "marram oddment")
    page.goto("/yarn/")
    page.get_by_role("button", name="Put away marram oddment").click()
    expect(page.locator(".things", has_text="marram oddment")).to_have_count(0)
    page.locator("details.away summary").click()
    page.get_by_role("button", name="Bring back marram oddment").click()
    expect(page.locator(".card", has_text="marram oddment")).to_have_count(1)


@SIZES
def test_a_project_takes_a_yarn_and_a_loom_on_hand(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    yarn, loom = f"wrack grey {size['width']}", f"the window loom {size['width']}"
    type_a_yarn(page, yarn)
    type_a_loom(page, loom)
    start(page, f"Wrack cowl {size['width']}")
    page.get_by_label("Take a yarn on hand").select_option(label=yarn)
    press(page, "Take this yarn")
    expect(page.locator("[name='yarn.0.name']")).to_have_value(yarn)
    expect(page.locator("[name='yarn.0.balls.0.gross']")).to_have_value("118 g")
    page.get_by_label("Use a loom on hand").select_option(label=loom)
    press(page, "Use this loom")
    expect(page.locator("[name='loom.heddles']")).to_have_value("30/10 cm; 40/10 cm; 7.5/in")
    type_in(page, "want.width", "30")
    type_in(page, "want.length", "60")
    expect(page.locator("#plan .verdict strong").first).to_have_text("Enough")
    page.goto("/yarn/")
    expect(page.locator(".card", has_text=yarn).first).to_contain_text(f"Wrack cowl {size['width']}")


@SIZES
def test_setts_are_compared_side_by_side_at_true_size(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    page.goto("/sett/")
    page.get_by_label("Wraps", exact=True).fill("15/in")
    page.locator("[name='heddles']").fill("30; 40; 7.5/in")
    page.get_by_label("Finished width ↔").fill("44")
    page.get_by_role("button", name="Compare the setts").click()
    cards = page.locator(".setts .card")
    expect(cards).to_have_count(3)
    expect(cards.first).to_contain_text("pairs")
    lines = [page.locator(".true-check svg .cw-true"), *page.locator(".setts svg .cw-true").all()]
    long = [
        one.evaluate("one => (one.x2.baseVal.value - one.x1.baseVal.value) * one.getScreenCTM().a") for one in lines
    ]
    assert long == [pytest.approx(cm * 96 / 2.54, abs=0.2) for cm in (5, 3, 3, 3)]
    if size is DESK:
        tops = {round(card.bounding_box()["y"]) for card in cards.all()}  # type: ignore[index]
        assert len(tops) == 1


def test_a_sett_is_found_for_a_yarn_and_a_loom_on_hand(opened: Any) -> None:
    page = opened(DESK).page
    type_a_loom(page, "the hearth loom")
    type_a_yarn(page, "sea beet")
    page.get_by_role("link", name="Find a sett for it").click()
    expect(page.locator("#answer-title")).to_contain_text("sea beet")
    page.get_by_label("or those of a loom on hand").select_option(label="the hearth loom")
    page.get_by_role("button", name="Compare the setts").click()
    expect(page.locator(".setts .card")).to_have_count(3)


@SIZES
def test_a_wrong_value_of_the_sett_page_stays_with_its_sentence(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    page.goto("/sett/?wraps=many")
    expect(page.get_by_label("Wraps", exact=True)).to_have_value("many")
    expect(page.locator("#f-wraps-problem")).to_contain_text("“many”")


@SIZES
def test_yarn_numbers_are_converted_and_a_question_is_answered_by_a_link(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    page.goto("/yarn-numbers/")
    page.get_by_label("Yarn numbers").fill("8/2 cotton\n15 cut")
    page.get_by_role("button", name="Show it in every system").click()
    expect(page.get_by_role("row", name=re.compile("^worsted"))).to_contain_text("3360 ÷ 560")
    page.get_by_role("link", name="15 cut (200)").click()
    expect(page.get_by_label("Yarn numbers")).to_have_value("8/2 cotton\n15 cut (200)")
    expect(page.get_by_text("Choose what is meant")).to_have_count(0)
    expect(page.get_by_role("heading", name="15 cut (200)")).to_be_visible()


@SIZES
def test_the_header_leads_to_every_page(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    page.goto("/")
    for words in ("Yarn on hand", "Looms and heddles", "Sett", "Yarn numbers", "Projects"):
        to_room(page, words)
        expect(page.get_by_role("heading", level=1)).to_contain_text(words)
        current = page.locator(".rooms [aria-current=page]")
        expect(current).to_have_text(words)
    if size == PHONE:
        low = "one => one.getBoundingClientRect().height"
        assert page.locator(".top").evaluate(low) <= HEAD_ON_A_PHONE_PX
        page.get_by_role("button", name="Pages", exact=True).press("Enter")
        assert (
            min(one.evaluate(low) for one in page.locator(".top a:visible, .top button, .top input").all()) >= TARGET_PX
        )
        page.keyboard.press("Escape")
        expect(page.locator(".rooms")).to_be_hidden()
        expect(page.get_by_role("button", name="Pages", exact=True)).to_be_focused()


@pytest.fixture
def shelves(opened: Any) -> Any:
    """A page with a yarn, one not settled, and a loom on hand."""

    def open_shelves(size: dict[str, int]) -> Page:
        watched: Watched = opened(size)
        type_a_yarn(watched.page, "kelp")
        type_a_yarn(watched.page, "kelp ends")
        type_in(watched.page, "yarn.0.balls.0.core", "heavy")
        type_a_loom(watched.page, "the window loom")
        return watched.page

    return open_shelves


@SIZES
@pytest.mark.parametrize(
    "where", ["shelf", "report", "yarn", "unsettled", "looms", "loom", "history", "sett", "setts", "numbers"]
)
def test_the_pages_meet_the_rules_of_access(shelves: Any, tmp_path: Path, size: dict[str, int], where: str) -> None:
    page = shelves(size)
    paths = {"looms": "/looms/", "shelf": "/yarn/", "sett": "/sett/?wraps=many", "loom": page.url}
    asked = {"setts": "/sett/?wraps=15/in&width=44", "numbers": "/yarn-numbers/?yarn=8/2+cotton%0A15+cut"}
    page.goto((paths | asked).get(where, "/yarn/"))
    if where in ("yarn", "history"):
        page.get_by_role("link", name="kelp", exact=True).first.click()
    if where == "history":
        page.get_by_role("link", name="History", exact=True).click()
    if where == "unsettled":
        page.get_by_role("link", name="kelp ends").first.click()
    if where == "report":
        table = tmp_path / "shelf.csv"
        table.write_text("name,plies\nbarnacle,two\n", encoding="utf-8")
        page.locator("#import-table").set_input_files(table)
        page.get_by_role("button", name="Bring it in").click()
        expect(page.locator(".report")).to_contain_text("1 row left out.")
    assert grave_violations(page) == []
    nothing_beyond_the_edge(page)


@pytest.mark.parametrize("path", ["/yarn/", "/looms/", "/sett/?wraps=15/in", "/yarn-numbers/?yarn=2/40"])
def test_everything_to_press_is_large_enough_for_a_finger(shelves: Any, path: str) -> None:
    page = shelves(PHONE)
    page.goto(path)
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, input:not([type=hidden]), select, textarea, summary, a.button, nav a")]
        .filter(one => one.offsetParent !== null)
        .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""
    )
    assert small == []


def test_the_pages_work_without_script(opened: Any) -> None:
    watched = opened(PHONE)
    context = watched.page.context.browser.new_context(viewport=PHONE, java_script_enabled=False)
    page = context.new_page()
    watched.page.goto("/yarn/")
    page.goto(watched.page.url)
    page.get_by_label("Name of the yarn").fill("thrift")
    page.get_by_role("button", name="Add it").click()
    page.locator("[name='yarn.0.grist']").fill("310")
    page.locator("[name='yarn.0.balls.0.net']").fill("100")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#plan")).to_contain_text(re.compile(r"About 3\d\d\sm"))
    page.get_by_role("link", name="Find a sett for it").click()
    expect(page.locator("#answer-title")).to_contain_text("thrift")
    context.close()
