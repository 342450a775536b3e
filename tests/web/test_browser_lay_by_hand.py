"""A weaver moves pieces in a real browser: by mouse, by keyboard alone, without script, at a desk and on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import PHONE, SIZES, Watched, address, browser, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
ROWS = Path(__file__).parents[2] / "examples" / "rows-of-rectangles.toml"


def to_the_bench(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(ROWS)
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name="Lay by hand").click()
    expect(page.get_by_role("status").first).to_contain_text("Nothing is wrong with it")


def place(page: Page, number: int) -> tuple[float, float]:
    along, across = (page.locator(f"#{name}-{number}").input_value() for name in ("along", "across"))
    return float(along.split()[0]), float(across.split()[0])


@SIZES
def test_a_piece_is_dragged_said_to_overlap_and_brought_back_by_reloading(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_the_bench(page)
    watched.check()
    assert grave_violations(page) == []
    page.locator("#copy-2").scroll_into_view_if_needed()
    before, box = place(page, 2), page.locator("#copy-2 polygon").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 50, box["y"] + 26, steps=4)
    page.mouse.up()
    expect(page.locator("#seen")).to_contain_text("overlap")
    after = place(page, 2)
    assert after[0] - before[0] == pytest.approx(5, abs=0.3)
    assert after[1] - before[1] == pytest.approx(1, abs=0.3)
    assert grave_violations(page) == []
    watched.check()
    page.reload()
    assert place(page, 2) == before


@SIZES
def test_a_layout_is_made_worse_locked_kept_and_undone_by_keyboard_alone(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_the_bench(page)
    last = max(range(8), key=lambda number: place(page, number)[0])
    before = place(page, last)
    page.locator(f"#copy-{last}").focus()
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#seen")).to_contain_text("more yarn than the plan")
    assert place(page, last)[0] == pytest.approx(before[0] + 3.1)
    assert page.evaluate("document.activeElement.id") == f"copy-{last}"
    page.keyboard.press("l")
    expect(page.locator(f"#copy-{last}")).to_contain_text("locked")
    page.keyboard.press("ArrowRight")
    assert place(page, last)[0] == pytest.approx(before[0] + 3.1)
    page.get_by_role("button", name="Keep this layout").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_contain_text("Last change kept: kept a layout of")
    assert place(page, last)[0] == pytest.approx(before[0] + 3.1)
    page.get_by_role("button", name="Undo it").focus()
    page.keyboard.press("Enter")
    page.wait_for_load_state()
    expect(page.locator(f"#along-{last}")).to_have_value(f"{before[0]:g} cm")
    watched.check()


def test_a_piece_is_put_by_its_place_without_script_and_the_back_button_goes_back(
    browser: Browser, address: str
) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_the_bench(page)
    expect(page.get_by_text("Drag a piece")).to_be_hidden()
    page.locator("#along-0").fill("600")
    page.locator("#along-0").press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("more yarn than the plan")
    page.get_by_role("button", name="Keep this layout").click()
    expect(page.locator("#main")).to_contain_text("Last change kept: kept a layout of")
    page.get_by_role("link", name="Rows of rectangles").click()
    page.go_back()
    expect(page.locator("#along-0")).to_have_value("600 cm")
    context.close()
