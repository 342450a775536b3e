"""A weaver fills in a record in a real browser, at a desk and on a phone: figures, a photo, a later note, a number, used again."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from library.shelves.test_photos import picture
from playwright.sync_api import Browser, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, follow, grave_violations, opened, to_room, unfold

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
STOLE = Path(__file__).parents[2] / "examples" / "ebb-stole.toml"
FRONT = {"name": "front.jpg", "mimeType": "image/jpeg", "buffer": picture()}


@SIZES
def test_a_record_is_filled_in_shown_numbered_found_and_used_again(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    page.goto("/")
    page.locator("#open-files").set_input_files(STOLE)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "The record")
    expect(page.locator("#plan")).to_contain_text("6 held")
    unfold(page.get_by_label("Waste cut off"))
    page.get_by_label("Waste cut off").fill("80")
    page.get_by_label("Waste cut off").blur()
    expect(page.locator("#plan")).to_contain_text("outside: Loom waste")
    page.get_by_role("button", name="↶ Undo").click()
    expect(page.locator("#plan")).to_contain_text("6 held")
    page.get_by_role("button", name="Give it a number").click()
    expect(page.locator("#title")).to_contain_text("2026-0")
    watched.check()
    assert grave_violations(page) == []
    page.locator("#photo-file").set_input_files(FRONT)
    page.get_by_label("What it shows, in words").fill("the stole from the front")
    page.get_by_role("button", name="Add the photo").click()
    shown = page.get_by_role("img", name="the stole from the front")
    shown.scroll_into_view_if_needed()
    expect(shown).to_have_js_property("naturalWidth", 320)
    page.locator("#later-liked").select_option("yes")
    page.get_by_role("button", name="Add it").click()
    expect(page.locator("#later li")).to_contain_text("liked it")
    watched.check()
    assert grave_violations(page) == []
    to_room(page, "Records")
    page.locator("#find-liked").select_option("yes")
    page.get_by_role("button", name="Search").click()
    expect(page.get_by_role("status").first).not_to_contain_text("0 found")
    watched.check()
    assert grave_violations(page) == []
    page.get_by_role("link", name="Use again").first.click()
    page.get_by_label("Finished length").fill("100")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#answer")).to_contain_text("too short")
    watched.check()
    assert grave_violations(page) == []
    page.get_by_role("button", name="Start this project").click()
    expect(page.locator("#title")).to_contain_text("Ebb stole, again")
    page.go_back()
    expect(page.locator("#answer")).to_contain_text("too short")


def test_without_script_the_record_is_kept_and_finished_all_the_same(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/")
    page.locator("#open-files").set_input_files(STOLE)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "The record")
    page.get_by_label("Length off the loom").fill("226")
    page.get_by_role("button", name="Give it a number").click()
    expect(page.locator("#title")).to_contain_text("2026-")
    expect(page.get_by_label("Length off the loom")).to_have_value("226 cm")
    context.close()
