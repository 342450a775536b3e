"""A weaver threads her loom by the page in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from planning.cloth.test_threading_plan import BY_HAND
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, follow, grave_violations, opened, press, type_in

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
TWILL = Path(__file__).parents[2] / "examples" / "saltmarsh-twill.toml"


def to_threading(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(TWILL)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "Threading")
    expect(page.get_by_role("heading", name="Threading", exact=True)).to_be_visible()
    expect(page.locator("#plan")).to_contain_text("133 ends in the 8/in reed, sleyed 1-2")


@SIZES
def test_a_threading_is_typed_timed_read_from_a_file_and_undone(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_threading(page)
    watched.check()
    assert grave_violations(page) == []
    type_in(page, "draft.threading", "point on 4")
    expect(page.locator("#plan")).to_contain_text("1-2-3-4-3-2, over and over")
    type_in(page, "draft.sleying", "three")
    expect(page.locator("#plan")).to_contain_text("how many ends go into one place")
    expect(page.locator("[name='draft.sleying']")).to_have_value("three")
    type_in(page, "draft.sleying", "")
    press(page, "+ Add a time")
    expect(page.locator("[name='draft.timed.1.ends']")).to_be_visible()
    type_in(page, "draft.timed.1.ends", "60")
    type_in(page, "draft.timed.1.minutes", "20")
    expect(page.locator("#plan")).to_contain_text("times of your own")
    page.locator("#draft-sent").set_input_files({"name": "tide.wif", "mimeType": "text/plain", "buffer": BY_HAND})
    page.get_by_role("button", name="Read it").click()
    expect(page.locator("#page")).to_contain_text("Read from tide.wif: 16 ends on 4 shafts")
    watched.check()
    assert grave_violations(page) == []
    page.locator("#undo").click()
    expect(page.locator("#plan")).to_contain_text("1-2-3-4-3-2, over and over")
    watched.check()


def test_a_threading_is_typed_and_read_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_threading(page)
    page.locator("[name='draft.sleying']").fill("2")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#plan")).to_contain_text("sleyed 2")
    page.locator("#draft-sent").set_input_files({"name": "no.wif", "mimeType": "text/plain", "buffer": b"no draft"})
    page.get_by_role("button", name="Read it").click()
    expect(page.locator("#page")).to_contain_text("nothing is changed")
    context.close()
