"""A weaver plays with the look of a cloth in a real browser, at a desk and on a phone, with script and without."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from web.test_browser import DESK, PHONE, SIZES, Watched, address, browser, follow, grave_violations, opened

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser
EXAMPLES = Path(__file__).parents[2] / "examples"
BODICE = [EXAMPLES / "foam-line-bodice.toml", EXAMPLES / "samphire-bodice.svg"]
#: CSS pixels to the mm: 96 to the inch. *Source*: CSS Values and Units, absolute lengths.
PX_PER_MM = 96 / 25.4


def to_cloth(page: Page) -> None:
    page.goto("/")
    page.locator("#open-files").set_input_files(BODICE)
    page.get_by_role("button", name="Open", exact=True).click()
    follow(page, "The cloth as it will look")
    expect(page.locator("#plan")).to_contain_text("A patch at true size")


def choose(page: Page, field: str, value: str) -> None:
    """Choose one of a list and wait until the answer has been swapped."""
    with page.expect_response(lambda response: "/cloth/?" in response.url):
        page.locator(f"[name='{field}']").select_option(value)


def loaded(page: Page) -> bool:
    """Whether every picture of the cloth can be shown: drawn by itself, each has a size."""
    return bool(
        page.evaluate(
            """Promise.all([...document.querySelectorAll('#plan image')].map((one) => new Promise((done) => {
            const picture = new Image(); picture.onload = () => done(picture.naturalWidth > 1);
            picture.onerror = () => done(false); picture.src = one.getAttribute('href'); }))).then((all) => all.length > 3 && all.every(Boolean))"""
        )
    )


@SIZES
def test_the_cloth_is_true_to_size_and_redrawn_as_it_is_played_with(opened: Any, size: dict[str, int]) -> None:
    watched: Watched = opened(size)
    page = watched.page
    to_cloth(page)
    patch = page.locator(".cw-patch").bounding_box()
    assert patch
    assert patch["width"] == pytest.approx(85.60 * PX_PER_MM, abs=1)
    assert patch["height"] == pytest.approx(53.98 * PX_PER_MM, abs=1)
    assert loaded(page)
    watched.check()
    assert grave_violations(page) == []
    choose(page, "seen", "deutan")
    expect(page.locator(".cw-patch desc")).to_contain_text("without green cones (deutan)")
    choose(page, "structure", "twill 2/2")
    expect(page.locator("#plan")).to_contain_text("Twill 2/2, finished")
    assert loaded(page)
    assert grave_violations(page) == []
    page.get_by_role("button", name="Keep colours, structure and picks").click()
    expect(page.locator("#plan")).to_contain_text("Twill 2/2, finished")
    expect(page.locator("#undo")).to_be_enabled()
    page.locator("#undo").click()
    expect(page.locator("#plan")).to_contain_text("Plain, finished")
    watched.check()


def test_what_cannot_be_read_is_told_where_it_was_typed(opened: Any) -> None:
    page = opened(DESK).page
    to_cloth(page)
    with page.expect_response(lambda response: "/cloth/?" in response.url):
        page.locator("[name='ends']").fill("many")
        page.locator("[name='ends']").press("Tab")
    expect(page.locator("#plan [role=alert]")).to_contain_text("it is not a count of threads")
    expect(page.locator("#f-ends-problem")).to_contain_text("it is not a count of threads")
    expect(page.locator("#plan")).to_contain_text("A patch at true size")
    with page.expect_response(lambda response: "/cloth/?" in response.url):
        page.locator("[name='ends']").fill("12/in")
        page.locator("[name='ends']").press("Tab")
    expect(page.locator("#f-ends-problem")).to_have_text("")
    expect(page.locator("#announce")).to_contain_text("Plain, finished: 4.72")
    page.go_back()
    page.go_forward()
    expect(page.locator("[name='ends']")).to_have_value("12/in")
    expect(page.locator("#plan")).to_contain_text("Plain, finished: 4.72")


def test_the_cloth_is_seen_by_others_and_tried_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    to_cloth(page)
    page.locator("[name='seen']").select_option("protan")
    page.locator("[name='picks']").fill("6")
    page.get_by_role("button", name="Draw it").click()
    expect(page.locator("#plan")).to_contain_text("6 per cm (15.24 per in) along")
    expect(page.locator(".cw-patch desc")).to_contain_text("without red cones (protan)")
    page.get_by_role("button", name="Keep colours, structure and picks").click()
    # The plan reckons anew from the picks as kept; its own middle lies within one in a hundred of them.
    expect(page.locator("#plan")).to_contain_text(re.compile(r"(5\.9\d|6|6\.0\d)\sper\scm \([\d.]+\sper\sin\) along"))
    context.close()
