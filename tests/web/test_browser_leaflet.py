"""A designer works a leaflet out, gives it out and looks at the page for buyers, in a real browser, at a desk and on a phone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from web.test_browser import DESK, PHONE, SIZES, Watched, address, browser, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
EXAMPLES = Path(__file__).parents[2] / "examples"


def to_leaflet(page: Page, name: str) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(EXAMPLES / f"{name}.toml")
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name=re.compile("leaflet", re.IGNORECASE)).first.click()


@SIZES
def test_a_leaflet_is_given_out_put_right_and_shown_to_buyers(
    opened: Any, size: dict[str, int], tmp_path: Path
) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_leaflet(page, "tideline-vest")
    expect(page.locator("#plan")).to_contain_text("449 m (491 yd)")
    watched.check()
    assert grave_violations(page) == []
    page.screenshot(path=str(tmp_path / "leaflet.png"), full_page=True)
    page.get_by_label("Version", exact=True).fill("1.0")
    page.get_by_role("button", name="Give it out as this version").click()
    expect(page.locator("#published")).to_contain_text("Every figure is as in version 1.0.")
    page.get_by_label("Margin on weight and balls").fill("20")
    page.get_by_label("Margin on weight and balls").press("Tab")
    expect(page.locator("#published")).to_contain_text("Changed since version 1.0")
    page.get_by_label("Version", exact=True).fill("1.0")
    page.get_by_role("button", name="Give it out as this version").click()
    expect(page.locator("main")).to_contain_text("was given out already")
    page.get_by_role("link", name="For buyers: their own sample").click()
    page.get_by_label("Sample: width in the heddle").fill("20")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("main")).to_contain_text("give the other one of the two as well")
    watched.check()
    assert grave_violations(page) == []
    page.screenshot(path=str(tmp_path / "buyers.png"), full_page=True)
    page.go_back()
    expect(page.get_by_label("Sample: width finished")).to_be_visible()


def search_and_stop(page: Page, kept: int = 0) -> None:
    """Every layout is searched for until there are more than are kept, then the search is stopped."""
    page.get_by_role("button", name="Search the layouts of every size").click()
    more = re.compile("|".join(rf"\b{made} of 60 layouts made" for made in range(kept + 1, 61)))
    expect(page.locator("#leaflet-run")).to_contain_text(more, timeout=60000)
    page.get_by_role("button", name="Stop and keep what is done").click()
    expect(page.locator("main")).to_contain_text(re.compile("stopped, "), timeout=30000)
    expect(page.locator("#plan")).to_contain_text("cloths still to be laid out", timeout=30000)
    expect(page.locator("#plan table").first).to_contain_text("cm")


def still_to_lay_out(page: Page) -> int:
    said = re.search(r"(\d+) cloths still to be laid out", page.locator("#plan").inner_text())
    assert said
    return int(said.group(1))


def test_layouts_are_made_in_the_background_stopped_and_kept_for_the_next_project(opened: Any, tmp_path: Path) -> None:
    """Sixty at first, at a desk; what was made until the stop is there when a phone opens the same pattern anew."""
    desk: Watched = opened(DESK)
    to_leaflet(desk.page, "spindrift-waistcoats")
    expect(desk.page.locator("#plan")).to_contain_text("60 layouts are still to be made")
    search_and_stop(desk.page)
    left = still_to_lay_out(desk.page)
    phone: Watched = opened(PHONE)
    to_leaflet(phone.page, "spindrift-waistcoats")
    assert still_to_lay_out(phone.page) <= left < 60
    search_and_stop(phone.page, kept=60 - left)
    assert still_to_lay_out(phone.page) < left
    for name, watched in (("desk", desk), ("phone", phone)):
        watched.check()
        assert grave_violations(watched.page) == []
        watched.page.screenshot(path=str(tmp_path / f"{name}.png"), full_page=True)
