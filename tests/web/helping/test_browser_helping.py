"""The way through the help in a real browser: found by keyboard, read in the guide, opened beside a field, on a desk and on a phone."""

from __future__ import annotations

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from web.test_browser import SIZES, address, browser, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser


@SIZES
def test_a_word_is_found_read_about_and_seen_drawn(opened: Any, size: dict[str, int]) -> None:
    page: Page = opened(size).page
    page.goto("/words/")
    field = page.get_by_role("searchbox", name="Find in everything")
    field.focus()
    page.keyboard.type("loom waste")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Words", exact=True)).to_be_visible()
    expect(page.locator("mark").first).to_be_visible()
    _is_open_to_all(page)
    page.get_by_role("link", name=re.compile("Loom waste$")).first.click()
    expect(page).to_have_url(re.compile(r"/guide/evidence/#loom-waste$"))
    page.goto("/yarn/")
    page.get_by_role("link", name="About this page").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Yarn")
    _is_open_to_all(page)
    page.goto("/sett/")
    page.get_by_text("How to count wraps", exact=True).click()
    drawn = page.get_by_role("img", name=re.compile("^Yarn wound round a ruler"))
    expect(drawn).to_be_visible()
    assert drawn.evaluate("one => one.complete && one.naturalWidth > 0")
    _is_open_to_all(page)


def _is_open_to_all(page: Page) -> None:
    """*Source*: axe-core’s rules for WCAG 2.2 AA, in both lights."""
    for light in ("light", "dark"):
        page.emulate_media(color_scheme=light)  # type: ignore[arg-type]
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]})
        assert found.violations_count == 0, found.generate_report()
