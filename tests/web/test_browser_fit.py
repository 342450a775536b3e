"""A mock-up in a real browser: opened, a change typed, set aside, undone, and the plan no longer provisional."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect
from web.test_browser import SIZES, Watched, address, browser, choose, follow, grave_violations, opened, press, type_in

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser

EXAMPLE = Path(__file__).parents[2] / "examples" / "samphire-bodice.toml"


@SIZES
def test_a_mock_up_and_its_changes_from_the_garment_to_a_plan_that_is_not_provisional(
    opened: Any, size: dict[str, int]
) -> None:
    watched: Watched = opened(size)
    page = watched.page
    page.goto("/")
    page.locator("#open-files").set_input_files([EXAMPLE, EXAMPLE.with_suffix(".svg")])
    page.get_by_role("button", name="Open", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Samphire bodice")
    expect(page.locator("#plan .verdict")).to_contain_text("Provisional: the mock-up")
    project = page.url
    follow(page, "Fit")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fit")
    assert grave_violations(page) == []
    watched.check()

    press(page, "+ Add another change")
    choose(page, "pattern.change.3.do", "take in")
    type_in(page, "pattern.change.3.by", "1/2 in")
    type_in(page, "pattern.change.3.seam", "sied")
    pane = page.locator("#plan")
    expect(pane).to_contain_text("“sied”: no piece has a seam of that name")
    type_in(page, "pattern.change.3.seam", "shoulder")
    step = page.locator("#change-4")
    expect(step).to_contain_text("“shoulder” taken in by 1/2 in.")
    expect(step).to_contain_text(re.compile(r"armhole on back.*→"))

    step.get_by_text("Set aside …").click()
    step.get_by_label("Why is it set aside?").fill("shoulders were right")
    step.get_by_role("button", name="Set aside").click()
    expect(page.locator("#change-4")).to_contain_text("Set aside: shoulders were right")
    press(page, "↶ Undo")
    expect(page.locator("#change-4")).not_to_contain_text("shoulders were right")
    page.locator("#change-2").get_by_role("link", name="The pattern before this change").click()
    expect(pane).to_contain_text("Shown as it was before change 2.")
    page.go_back()

    with page.expect_response(lambda response: response.request.method == "POST"):
        page.get_by_label("It fits").check()
    expect(page.locator("#plan")).to_contain_text("the plan is not provisional")
    assert grave_violations(page) == []
    watched.check()
    page.goto(project)
    expect(page.locator("#plan .verdict")).not_to_contain_text("Provisional")
