"""A weaver orders the colours of a weft in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, follow, grave_violations, opened, press, type_in

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
STRANDLINE = Path(__file__).parents[2] / "examples" / "strandline-wrap.toml"


def to_weft(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(STRANDLINE)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "Colours of the warp")
    page.get_by_role("link", name="of the weft").first.click()
    expect(page.locator("#plan")).to_contain_text("has run out; join ball 2")


def tick(page: Page, name: str) -> None:
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.locator(f"[name='{name}'][type=checkbox]").check()


@SIZES
def test_the_weft_is_drawn_by_rules_kept_folded_and_changed(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_weft(page)
    watched.check()
    assert grave_violations(page) == []
    type_in(page, "colours.weft.longest_run", "24")
    expect(page.locator("#plan")).to_contain_text("At most 24 picks")
    press(page, "Draw anew")
    press(page, "Keep this order")
    expect(page.locator("#plan")).to_contain_text("as kept in the project")
    fold = page.locator("details.fold").nth(2)
    fold.locator("summary").click()
    fold.get_by_role("button", name="Hold").first.click()
    expect(page.locator("details.fold[open]").nth(1).get_by_role("button", name="Release").first).to_be_visible()
    watched.check()
    assert grave_violations(page) == []
    page.locator("#undo").click()
    expect(page.get_by_role("button", name="Release")).to_have_count(0)
    press(page, "Let the order go")
    tick(page, "colours.weft.as_the_warp")
    expect(page.locator("#plan")).to_contain_text("slick: none of it is for the weft")
    tick(page, "colours.weft.warp_leavings")
    expect(page.locator("#plan")).to_contain_text("The repeat:")
    watched.check()


def test_the_weft_lies_otherwise_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_weft(page)
    page.locator("select[name='colours.weft.lies']").select_option("one after another")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#plan")).to_contain_text("one yarn after another")
    expect(page.locator("#plan")).to_contain_text("are not used while the weft lies one after another")
    page.get_by_role("button", name="Keep this order").click()
    expect(page.locator("#plan")).to_contain_text("as kept in the project")
    context.close()
