"""A weaver chooses sheets by their first pages and types a filled one back in a real browser, at a desk and on a phone."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, grave_violations, opened, type_in

from clothwright.cli.planned import demo_file

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser


def to_sheets(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files([demo_file(), demo_file().with_suffix(".svg")])
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name="All sheets", exact=True).click()
    expect(page.get_by_role("heading", name="Sheets", exact=True)).to_be_visible()


def photographed() -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (300, 420), "white").save(made, "PNG")
    return made.getvalue()


@SIZES
def test_sheets_are_chosen_and_a_filled_one_is_typed_beside_its_photograph(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_sheets(page)
    first = page.locator("#project img")
    expect(first).to_be_visible()
    expect(first).to_have_js_property("complete", True, timeout=60000)
    assert grave_violations(page) == []
    page.locator("#equipment").get_by_role("link", name="Type it in its printed order").click()
    expect(page.get_by_role("heading", name="Equipment, typed in")).to_be_visible()
    assert grave_violations(page) == []
    type_in(page, "loom.waste", "52")
    expect(page.locator("[name='loom.waste']")).to_have_value("52")
    page.locator("#sheet-photo").set_input_files(
        {"name": "sheet.png", "mimeType": "image/png", "buffer": photographed()}
    )
    page.get_by_role("button", name="Show it beside the fields").click()
    expect(page.get_by_alt_text("Photograph of the filled sheet")).to_be_visible()
    expect(page.locator("[name='loom.waste']")).to_have_value("52 cm")
    page.go_back()
    watched.check()


def test_a_code_is_typed_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_sheets(page)
    code = str(page.locator("#equipment").inner_text()).split("(code ")[1].split(")")[0]
    page.goto("/sheets/")
    page.get_by_label("Code on the sheet").fill(code)
    page.get_by_role("button", name="Open its form").click()
    expect(page.get_by_role("heading", name="Equipment, typed in")).to_be_visible()
    page.locator("[name='loom.name']").fill("the pier loom")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("[name='loom.name']")).to_have_value("the pier loom")
    context.close()
