"""At the loom with a real browser: entries by one thumb, without a network, on two phones, and in the page taken along."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.phone_browser import (
    Opening,
    Program,
    browser,
    expect_sent,
    playwright,
    program,
    reopening,
)
from web.test_browser import DESK, PHONE, Watched, grave_violations, nothing_beyond_the_edge

__all__ = ["browser", "playwright", "program", "reopening"]

pytestmark = pytest.mark.browser
TABARD = Path(__file__).parents[2] / "examples" / "eelgrass-tabard.toml"
KINDS = (
    "Woven so far",
    "Weigh a ball",
    "Picks over a length",
    "Knot, break, join",
    "Width at the fell",
    "Repeats",
    "Minutes, note",
)
LOGGED = len(tomllib.loads(TABARD.read_text(encoding="utf-8"))["log"])


def opened(page: Page, program: Program, file: Path = TABARD) -> str:
    """Open the tabard and stand at its loom; the key of the project."""
    page.goto(program.address)
    page.locator("#open-files").set_input_files(file)
    page.get_by_role("button", name="Open", exact=True).click()
    found = re.search(r"/project/([0-9a-f-]{36})/", page.url)
    assert found
    at_loom(page, program, found[1])
    return found[1]


def at_loom(page: Page, program: Program, key: str) -> None:
    page.goto(f"{program.address}/phone/{key}/loom/")
    page.wait_for_selector("body[data-begun]")


def enter(page: Page, kind: str, **values: str) -> None:
    page.get_by_role("button", name=kind, exact=True).click()
    fill(page, **values)
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("[data-at=form]")).to_be_hidden()


def fill(page: Page, **values: str) -> None:
    for name, value in values.items():
        box = page.locator(f"#loom [name={name}]")
        if box.evaluate("one => one.tagName") == "SELECT":
            box.select_option(value)
        else:
            box.fill(value)


def log_told(program: Program, key: str) -> list[Any]:
    return list(program.state(key, "loom")["loom"]["log"])


def forecast_on(page: Page) -> Any:
    return page.locator("[data-at=forecast]")


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_every_kind_of_entry_comes_into_the_log_and_the_forecast_follows(
    browser: Browser, program: Program, size: dict[str, int]
) -> None:
    context = browser.new_context(viewport=size)  # type: ignore[arg-type]
    page = context.new_page()
    watched = Watched(page)
    key = opened(page, program)
    expect(page.locator("[data-at=woven]")).to_have_text("180 cm")
    expect(forecast_on(page)).to_contain_text("28 g (1 oz) left at 180 cm")
    expect(forecast_on(page)).to_contain_text("As the program told it")
    assert grave_violations(page) == []
    enter(page, "Woven so far", woven="184")
    expect(page.locator("[data-at=woven]")).to_have_text("184 cm")
    enter(page, "Weigh a ball", woven="186", gross="31", core="8 g")
    enter(page, "Picks over a length", woven="186", count="31", over="4 in")
    enter(page, "Knot, break, join", what="break", at="185,5", end="12", note="retied")
    enter(page, "Width at the fell", woven="186", width_at_fell="43,4 cm")
    enter(page, "Repeats", woven="187", repeats="36, 37 35", panel="left")
    enter(page, "Minutes, note", advances="2", changed_mind="no fringe", minutes="25", note="low light")
    expect_sent(page)
    told = [one["words"].replace("\u00a0", " ") for one in log_told(program, key)[LOGGED:]]
    assert told == [
        "184 cm woven",
        "186 cm woven · left: eelgrass 31 g with a core of 8 g",
        "186 cm woven · 31 picks over 4 in",
        "break at 185,5 cm, end 12 from the left retied",
        "186 cm woven · 43,4 cm wide at the fell",
        "187 cm woven · repeats of 36, 37, 35 picks",
        "wound on 2 times; 25 min; changed my mind: no fringe; low light",
    ]
    expect(forecast_on(page)).to_contain_text("23 g (0.8 oz) left at 186 cm")
    nothing_beyond_the_edge(page)
    assert watched.complaints == []
    for kind in KINDS:
        page.get_by_role("button", name=kind, exact=True).click()
        assert grave_violations(page) == []
        nothing_beyond_the_edge(page)
        page.get_by_role("button", name="Close").click()
    context.close()


def test_a_wrong_box_is_told_at_once_and_nothing_of_it_goes(browser: Browser, program: Program) -> None:
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    opened(page, program)
    wrong = page.locator("[data-at=form-wrong]")
    page.get_by_role("button", name="Weigh a ball").click()
    for values, said in (
        ({"gross": ""}, "Nothing in the box: what the scale shows, as 46"),
        ({"gross": "a lot"}, "Nothing in the box: its core or shuttle, by name or weight; 0 where it is bare"),
        ({"core": "8"}, "“a lot”: write a number, with its unit if it is another"),
    ):
        fill(page, **values)
        page.get_by_role("button", name="Keep", exact=True).click()
        expect(wrong).to_contain_text(said)
    assert page.locator("#loom [name=gross]").input_value() == "a lot"
    expect(page.locator("#status")).to_have_attribute("data-waiting", "0")
    context.close()


def test_what_only_the_program_can_refuse_is_told_and_put_right(browser: Browser, program: Program) -> None:
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    key = opened(page, program)
    enter(page, "Weigh a ball", woven="186", gross="31 stones", core="8 g")
    refused = page.locator("#refused")
    expect(refused).to_contain_text("31 stones")
    expect(refused).to_contain_text("it is kept as it came, and is not in the log")
    assert len(log_told(program, key)) == LOGGED
    refused.get_by_role("button", name=re.compile("Put it right")).click()
    assert page.locator("#loom [name=gross]").input_value() == "31 stones"
    fill(page, gross="31 g")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("[data-at=form]")).to_be_hidden()
    expect_sent(page)
    expect(refused).to_be_hidden()
    assert len(log_told(program, key)) == LOGGED + 1
    context.close()


def test_a_network_cut_while_typing_and_a_program_killed_lose_nothing(browser: Browser, program: Program) -> None:
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    key = opened(page, program)
    page.get_by_role("button", name="Weigh a ball").click()
    fill(page, woven="186", gross="31")
    context.set_offline(True)
    fill(page, core="8 g")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("#status")).to_have_text(re.compile("1 entry waits on this phone"))
    expect(page.locator("[data-at=log] li").first).to_contain_text("waits on this phone")
    expect(page.locator("[data-at=woven]")).to_have_text("186 cm")
    expect(forecast_on(page)).to_contain_text("Entries that still wait are not in it")
    enter(page, "Woven so far", woven="190")
    page.get_by_role("button", name="Correct: 190 cm woven").click()
    fill(page, woven="189")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("[data-at=woven]")).to_have_text("189 cm")
    enter(page, "Minutes, note", note="by lamp")
    page.get_by_role("button", name="Take back: “by lamp”").click()
    expect(page.locator("#status")).to_have_text(re.compile("5 entries wait"))
    program.kill()
    context.set_offline(False)
    expect(page.locator("#status")).to_have_text(re.compile("The program does not answer"), timeout=20_000)
    program.start()
    expect_sent(page)
    new = log_told(program, key)[LOGGED:]
    assert [one["counts"] for one in new] == [True, False, True, False, True]
    assert [one["takes_back"] for one in new] == [False] * 4 + [True]
    expect(page.locator("[data-at=log] li")).to_have_count(LOGGED + 4)
    assert program.state(key, "loom")["loom"]["woven_cm"] == 189
    assert len(program.keys_of(key)) == 5
    context.close()


def test_what_is_typed_and_not_kept_is_still_there_after_the_browser_was_closed(
    program: Program, reopening: Opening
) -> None:
    page = reopening().new_page()
    key = opened(page, program)
    expect(page.locator("#offline-says")).to_have_attribute("data-kept", "true")
    enter(page, "Woven so far", woven="185")
    expect_sent(page)
    program.kill()
    page.get_by_role("button", name="Knot, break, join").click()
    fill(page, what="knot", at="184", note="third hea")
    page.context.close()
    page = reopening().new_page()
    at_loom(page, program, key)
    expect(page.locator("[data-at=woven]")).to_have_text("185 cm")
    expect(page.locator("[data-at=form-title]")).to_have_text("Knot, break, join")
    assert page.locator("#loom [name=note]").input_value() == "third hea"
    fill(page, note="third heddle hole")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("[data-at=log] li").first).to_contain_text("waits on this phone")
    program.start()
    expect_sent(page)
    assert log_told(program, key)[-1]["words"].startswith("knot at 184")


def test_two_phones_that_weighed_the_same_place_are_shown_side_by_side(browser: Browser, program: Program) -> None:
    contexts = [browser.new_context(viewport=PHONE) for _ in range(2)]  # type: ignore[arg-type]
    one, other = (context.new_page() for context in contexts)
    key = opened(one, program)
    at_loom(other, program, key)
    for context in contexts:
        context.set_offline(True)
    enter(one, "Weigh a ball", woven="186", gross="31", core="8 g")
    enter(other, "Weigh a ball", woven="186", gross="28", core="8 g")
    for context in contexts:
        context.set_offline(False)
    expect_sent(one)
    expect_sent(other)
    one.reload()
    unlike = one.locator("[data-at=unlike]")
    expect(unlike).to_contain_text("Phones do not agree")
    expect(unlike.get_by_role("button")).to_have_count(2)
    assert grave_violations(one) == []
    unlike.get_by_role("button", name=re.compile("31 g")).click()
    expect(unlike).to_be_hidden()
    expect_sent(one)
    other.reload()
    expect(other.locator("[data-at=unlike]")).to_be_hidden()
    new = {one["words"].replace("\u00a0", " "): one["counts"] for one in log_told(program, key)[LOGGED:]}
    assert new["186 cm woven · left: eelgrass 31 g with a core of 8 g"] is True
    assert new["186 cm woven · left: eelgrass 28 g with a core of 8 g"] is False
    assert len(program.keys_of(key)) == 3
    for context in contexts:
        context.close()


def warned_tabard(folder: Path) -> Path:
    """The example as it stood when the weft was too close."""
    text = TABARD.read_text(encoding="utf-8").split('[[log]]\nkey = "tue-3"')[0]
    text = text.replace('to_weave = "208 cm"', "").replace('material = "lining"', "")
    file = folder / "tabard.toml"
    file.write_text(text, encoding="utf-8")
    return file


def way_button(page: Page, number: int) -> Any:
    return page.locator("[data-at=ways-list] li").nth(number).get_by_role("button")


def test_ways_out_are_taken_on_two_phones_without_a_network_and_after_a_kill_nothing_is_missing(
    browser: Browser, program: Program, tmp_path: Path
) -> None:
    contexts = [browser.new_context(viewport=PHONE) for _ in range(2)]  # type: ignore[arg-type]
    one, other = (context.new_page() for context in contexts)
    watched = Watched(one)
    key = opened(one, program, warned_tabard(tmp_path))
    at_loom(other, program, key)
    for page in (one, other):
        expect(forecast_on(page)).to_contain_text("Choose a way out now")
        page.locator("[data-at=ways] summary").click()
        expect(page.locator("[data-at=ways-list] svg").first).to_be_visible()
    assert grave_violations(one) == []
    nothing_beyond_the_edge(one)
    assert watched.complaints == []
    other.get_by_role("button", name="Weigh a ball").click()
    fill(other, woven="124", gross="64")
    for context in contexts:
        context.set_offline(True)
    way_button(one, 0).click()
    expect(way_button(one, 0)).to_have_text("Press again to take it")
    way_button(one, 0).click()
    expect(one.locator("[data-at=ways-title]")).to_contain_text(
        "Taken on this phone, and waits: Cut what does not show"
    )
    fill(other, core="8 g")
    other.get_by_role("button", name="Keep", exact=True).click()
    way_button(other, 1).click()
    way_button(other, 1).click()
    expect(other.locator("#status")).to_have_text(re.compile("2 entries wait"))
    program.kill()
    for context in contexts:
        context.set_offline(False)
    expect(one.locator("#status")).to_have_text(re.compile("The program does not answer"), timeout=20_000)
    contexts[1].set_offline(True)
    program.start()
    expect_sent(one)
    contexts[1].set_offline(False)
    expect_sent(other)
    expect(other.locator("#refused")).to_contain_text("is not taken: what is to be woven was changed meanwhile")
    told = log_told(program, key)[5:]
    assert [re.sub("[\u00a0]", " ", row["words"])[:40] for row in told] == [
        "changed my mind: Cut what does not show ",
        "124 cm woven · left: eelgrass 64 g with ",
    ]
    assert program.state(key, "loom")["loom"]["to_weave_cm"] == 200
    assert len(program.keys_of(key)) == 3
    one.reload()
    expect(one.locator("[data-at=log]")).to_contain_text("Undo on the project's page takes a way back")
    for context in contexts:
        context.close()


def test_the_page_taken_along_takes_entries_at_the_loom_and_gives_them_back(
    program: Program, reopening: Opening, tmp_path: Path
) -> None:
    context = reopening()
    desk = context.new_page()
    key = opened(desk, program)
    desk.goto(f"{program.address}/project/{key}/phones/")
    with desk.expect_download() as coming:
        desk.get_by_role("link", name="Take it to the loom").click()
    saved = tmp_path / "taken along.html"
    coming.value.save_as(saved)
    page = context.new_page()
    watched = Watched(page)
    page.goto(saved.as_uri())
    page.wait_for_selector("body[data-begun]")
    page.get_by_role("button", name="Loom", exact=True).click()
    expect(page.locator("[data-at=woven]")).to_have_text("180 cm")
    enter(page, "Weigh a ball", woven="186", gross="31", core="8 g")
    assert grave_violations(page) == []
    nothing_beyond_the_edge(page)
    page.reload()
    page.wait_for_selector("body[data-begun]")
    expect(page.locator("[data-at=woven]")).to_have_text("186 cm")
    page.get_by_text("This phone: without a network").click()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Give entries back as a file").click()
    given = tmp_path / "given.json"
    coming.value.save_as(given)
    assert watched.complaints == []
    desk.get_by_label("File of entries").set_input_files(given)
    desk.get_by_role("button", name="Bring in").click()
    expect(desk.get_by_role("status").first).to_contain_text("1 new, 0 here already, 0 refused")
    assert log_told(program, key)[-1]["words"].replace("\u00a0", " ").startswith("186 cm woven · left: eelgrass 31 g")


def test_the_screen_is_kept_awake_where_the_browser_allows_and_else_it_says_so(
    browser: Browser, program: Program
) -> None:
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    opened(page, program)
    expect(page.locator("#awake-says")).to_have_text("The screen may go dark.")
    page.get_by_role("button", name="Keep the screen awake").click()
    expect(page.locator("#awake-says")).to_have_text(re.compile("stays awake while this page is in sight|refused"))
    page.add_init_script("delete Navigator.prototype.wakeLock")
    page.reload()
    expect(page.locator("#awake-says")).to_contain_text("cannot keep the screen awake here")
    context.close()
