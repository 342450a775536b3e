"""The page “Class” with a real browser: typed by keyboard, worked out as it is typed, read without sight, on desk and phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from web.phone_browser import Program, browser, playwright, program
from web.test_browser import DESK, PHONE, Watched, grave_violations

__all__ = ["browser", "playwright", "program"]

pytestmark = pytest.mark.browser
EXAMPLES = Path(__file__).parents[2] / "examples"


def test_a_class_is_taken_from_a_file_changed_and_looked_at(browser: Browser, program: Program) -> None:
    """A wrong row is told beside its field while the others stand; undo; no grave fault of access; nothing wider than a phone."""
    context = browser.new_context(viewport=DESK)  # type: ignore[arg-type]
    page: Any = context.new_page()
    watched = Watched(page)
    page.goto(program.address)
    page.locator("#open-files").set_input_files(EXAMPLES / "rockpool-runner.toml")
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_role("link", name="Class: one piece, many looms").click()
    page.set_input_files("#class-file", EXAMPLES / "rockpool-class.toml")
    page.get_by_role("button", name="Take it", exact=True).click()
    plan = page.locator("#plan")
    expect(plan).to_contain_text("6 students; 3 of them have something to settle")
    page.fill("#f-student-0-loom-waste", "fifty")
    page.press("#f-student-0-loom-waste", "Tab")
    expect(plan).to_contain_text("5 students")
    expect(page.locator("#f-student-0-loom-waste-problem")).to_contain_text("“fifty”")
    page.fill("#f-student-0-loom-waste", "50")
    page.press("#f-student-0-loom-waste", "Tab")
    expect(plan).to_contain_text("257 cm (101¼ in)")
    page.get_by_role("button", name="↶ Undo").click()
    expect(page.locator("#f-student-0-loom-waste")).to_have_value("fifty")
    page.get_by_role("button", name="↶ Undo").click()
    expect(page.locator("#f-student-0-loom-waste")).to_have_value("45 cm")
    assert grave_violations(page) == []
    watched.check()
    page.set_viewport_size(PHONE)
    watched.check()
    page.goto(f"{program.address}/words/?language=de&word=Kette")
    expect(page.get_by_role("main")).to_contain_text("Kette (warp)")
    assert grave_violations(page) == []
    watched.check()
    context.close()
