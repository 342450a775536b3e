"""A weaver joins a piece for narrow cloth in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
SMOCK = Path(__file__).parents[2] / "examples" / "wrack-smock.toml"


def to_narrow_cloth(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(SMOCK)
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name="Narrow cloth: how it could be joined").click()
    expect(page.locator("#answer")).to_contain_text("back is 56")


@SIZES
def test_a_back_too_wide_is_joined_by_a_button_and_undone(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_narrow_cloth(page)
    watched.check()
    assert grave_violations(page) == []
    page.get_by_role("button", name="Join it so").first.click()
    expect(page.locator("#answer")).to_contain_text("Every piece fits on it")
    expect(page.get_by_role("status").first).to_contain_text("joined back, front")
    watched.check()
    assert grave_violations(page) == []
    page.get_by_role("button", name="Undo it").click()
    expect(page.locator("#answer")).to_contain_text("back is 56")
    watched.check()


def test_a_narrower_cloth_is_asked_for_and_the_back_button_goes_back(opened: Any) -> None:
    page = opened(PHONE).page
    to_narrow_cloth(page)
    page.get_by_label("Finished width of the cloth").fill("30")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#answer")).to_contain_text("sleeve is 34")
    page.go_back()
    expect(page.locator("#answer")).not_to_contain_text("sleeve is 34")


def test_a_join_is_taken_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_narrow_cloth(page)
    page.get_by_role("button", name="Join it so").first.click()
    expect(page.locator("#answer")).to_contain_text("Every piece fits on it")
    page.get_by_role("link", name="Wrack smock").click()
    expect(page.locator("#plan")).to_contain_text("back, left panel")
    context.close()
