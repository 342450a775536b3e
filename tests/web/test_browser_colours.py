"""A weaver orders the colours of a warp in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, follow, grave_violations, opened, press, type_in

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
BASKET = Path(__file__).parents[2] / "examples" / "basket-of-balls.toml"


def to_colours(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(BASKET)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "Colours of the warp")
    expect(page.locator("#plan")).to_contain_text("120 ends at 3 per cm")


@SIZES
def test_rules_are_typed_the_order_kept_and_a_run_changed_by_hand(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_colours(page)
    watched.check()
    assert grave_violations(page) == []
    type_in(page, "colours.longest_run", "2")
    expect(page.locator("#plan")).to_contain_text("At most 2 ends of a yarn")
    page.locator("[name='edge.0']").check()
    expect(page.locator("#plan")).to_contain_text("marram, shell, shale")
    press(page, "Draw anew")
    press(page, "Keep this order")
    expect(page.locator("#plan")).to_contain_text("Kept in the project")
    page.get_by_role("button", name="Hold ends 1 to 2").click()
    expect(page.get_by_role("button", name="Release ends 1 to 2")).to_be_visible()
    page.get_by_role("link", name="Change ends 3 to 4").click()
    expect(page.locator("#edit")).to_contain_text("Ends 3 to 4")
    page.locator("#run-ends").fill("4")
    press(page, "Change it")
    expect(page.locator("#plan")).to_contain_text("the order has 122 ends and the warp 120")
    watched.check()
    assert grave_violations(page) == []
    page.locator("#undo").click()
    expect(page.locator("#plan")).to_contain_text("Kept in the project")
    watched.check()


def test_an_order_is_kept_and_changed_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_colours(page)
    page.get_by_role("button", name="Keep this order").click()
    expect(page.locator("#plan")).to_contain_text("Kept in the project")
    page.get_by_role("link", name="Change ends 1 to 2").click()
    page.get_by_role("button", name="One run later").click()
    expect(page.locator("#edit")).to_contain_text("to 4")
    page.locator("[name='colours.longest_run']").fill("6")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#plan")).to_contain_text("At most 6 ends")
    context.close()
