"""A weaver enters what she weighed in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
EXAMPLE = Path(__file__).parents[2] / "examples" / "eelgrass-tabard.toml"


def to_the_loom(page: Page, folder: Path) -> None:
    """The example as it stood when the weft was too close."""
    text = EXAMPLE.read_text(encoding="utf-8").split('[[log]]\nkey = "tue-3"')[0]
    text = text.replace('to_weave = "208 cm"', "").replace('material = "lining"', "")
    file = folder / "tabard.toml"
    file.write_text(text, encoding="utf-8")
    page.goto("/")
    page.locator("#open-files").set_input_files(file)
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name="At the loom").click()
    expect(page.locator("#forecast")).to_contain_text("Too close to call")


@SIZES
def test_an_entry_is_weighed_in_and_corrected(opened: Any, size: dict[str, int], tmp_path: Path) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_the_loom(page, tmp_path)
    watched.check()
    assert grave_violations(page) == []
    entry = page.locator("#entry")
    entry.get_by_label("Woven so far").fill("150")
    entry.get_by_label("net, all of it").fill("fourty")
    entry.get_by_role("button", name="Add the entry").click()
    expect(entry).to_contain_text("fourty")
    expect(entry.get_by_label("net, all of it")).to_have_value("fourty")
    assert grave_violations(page) == []
    entry.get_by_label("net, all of it").fill("34")
    entry.get_by_role("button", name="Add the entry").click()
    expect(page.locator("#forecast")).to_contain_text("Not enough")
    page.go_back()
    expect(entry.get_by_label("net, all of it")).to_have_value("fourty")
    page.go_forward()
    page.get_by_role("link", name="Correct desk-").click()
    expect(entry.get_by_label("net, all of it")).to_have_value("34 g")
    entry.get_by_label("net, all of it").fill("43")
    entry.get_by_role("button", name="Save the correction").click()
    expect(page.locator("#log")).to_contain_text("corrected by desk-")
    expect(page.locator("#forecast")).not_to_contain_text("Not enough:")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#forecast")).to_contain_text("Not enough")
    watched.check()


def test_a_way_out_is_taken_without_script(browser: Browser, address: str, tmp_path: Path) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_the_loom(page, tmp_path)
    page.get_by_role("button", name="Take this way").first.click()
    expect(page.locator("#log")).to_contain_text("changed my mind: Cut what does not show")
