"""A weaver asks for a sample first, in a real browser, at a desk and on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from web.test_browser import SIZES, Watched, address, browser, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
EXAMPLE = Path(__file__).parents[2] / "examples" / "slate-tide-cloth.toml"


def open_example(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(EXAMPLE)
    page.get_by_role("button", name="Open", exact=True).click()


@SIZES
def test_from_a_plan_to_a_sample_on_a_card_and_back(opened: Any, size: dict[str, int]) -> None:
    """The plan leads to the sample; loom or card is asked for in the address, so that back goes back."""
    watched: Watched = opened(size)
    page = watched.page
    open_example(page)
    expect(page.locator("#plan")).to_contain_text("What makes it unsure")
    page.get_by_role("link", name="A sample first").click()
    expect(page.locator("#answer h2")).to_contain_text("On a small warp")
    watched.check()
    assert grave_violations(page) == []
    page.get_by_label("a notched card, without a loom").check()
    page.get_by_role("button", name="Plan the sample").click()
    expect(page.locator("#answer h2")).to_contain_text("On a card")
    watched.check()
    page.go_back()
    expect(page.locator("#answer h2")).to_contain_text("On a small warp")
