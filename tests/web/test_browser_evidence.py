"""A weaver's year in a real browser: projects finished, the next one sharper, evidence set aside, how true it all was."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from web.test_browser import (
    DESK,
    PHONE,
    SIZES,
    Watched,
    address,
    browser,
    grave_violations,
    opened,
    start,
    to_room,
    type_in,
)

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser

STOLE = """name = "{name}"
[[yarn]]
name = "{yarn}"
fibre = "wool"
grist = "310 m/100 g"
wraps = "15/in"
balls = ["400 g"]
[loom]
name = "window loom {yarn}"
heddles = ["30/10 cm"]
waste = "55 cm"
[cloth]
heddle = "30/10 cm"
finish = "hand wash"
[want]
width = "40 cm"
length = "180 cm"
"""
RECORD = """[record]
date = {day}
ends = 142
warp_wound = "300 cm"
waste = "{waste} cm"
[record.width]
finished = "{width} cm"
[record.length]
on_loom = "238 cm"
finished = "{length} cm"
"""


def open_stole(page: Page, folder: Path, name: str, yarn: str, record: str = "") -> None:
    file = folder / f"{name}.toml"
    file.write_text(STOLE.format(name=name, yarn=yarn) + record)
    page.goto("/")
    page.locator("#open-files").set_input_files(file)
    page.get_by_role("button", name="Open", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)


def refused(watched: Watched, status: int) -> None:
    """The browser writes down an answer that refuses; nothing else is amiss."""
    (complaint,) = watched.complaints
    assert f"status of {status}" in complaint
    watched.complaints.clear()


def finished_width(page: Page) -> tuple[float, float]:
    """The ends of the interval that the plan goes by, of finished over heddle width, on the page of evidence."""
    said = page.locator("#on-width + ol li").last.locator(".sum").inner_text()
    low, high = map(float, re.findall(r"\d\.\d+", said)[1:3])
    return low, high


@SIZES
def test_finished_projects_sharpen_the_next_can_be_set_aside_and_say_how_true_they_were(
    opened: Any, tmp_path: Path, size: dict[str, int]
) -> None:
    watched: Watched = opened(size)
    page, yarn = watched.page, f"samphire {size['width']}"
    open_stole(page, tmp_path, f"Plan {yarn}", yarn)
    evidence = f"{page.url}evidence/"
    page.goto(evidence)
    low, high = finished_width(page)
    for number, (width, length) in enumerate([(42.2, 208), (42.0, 210), (42.4, 207)], 1):
        record = RECORD.format(day=f"2026-0{number}-08", waste=55 + number, width=width, length=length)
        open_stole(page, tmp_path, f"Stole {number} {yarn}", yarn, record)
    page.goto(evidence)
    learned = finished_width(page)
    assert learned[1] - learned[0] < 0.4 * (high - low)
    assert grave_violations(page) == []
    watched.check()

    page.goto(evidence)
    name = f"Stole 2 {yarn}, finished 2026-02-08"
    piece = page.locator(".piece", has_text=name)
    piece.get_by_text("Set aside …").click()
    piece.get_by_role("button").click()
    expect(page.get_by_role("alert")).to_contain_text("Say why it is set aside")
    refused(watched, 422)
    piece.get_by_text("Set aside …").click()
    piece.get_by_label("Why is it set aside?").fill("the selvedge was caught")
    piece.get_by_role("button").click()
    expect(page.locator("section", has=page.get_by_role("heading", name="Set aside", exact=True))).to_contain_text(name)
    assert finished_width(page) != learned
    assert grave_violations(page) == []
    page.locator(".piece", has_text=name).get_by_role("button", name="Take up again").click()
    expect(page.get_by_role("heading", name="Set aside", exact=True)).to_have_count(0)
    assert finished_width(page) == learned

    to_room(page, "How true")
    expect(page.locator(".lead")).to_contain_text(re.compile(r"Of \d+ forecasts, \d+ held\."))
    expect(page.locator(".calibration svg")).to_be_visible()
    page.locator(".card", has_text=f"Stole 3 {yarn}").get_by_text("Its plan beside what came").click()
    expect(page.locator(".card", has_text=f"Stole 3 {yarn}").locator(".came-of")).to_contain_text("Loom waste")
    assert grave_violations(page) == []
    watched.check()


def test_evidence_changed_in_another_tab_is_refused_in_a_sentence(opened: Any) -> None:
    watched: Watched = opened(PHONE)
    page = watched.page
    start(page, "Marram trial")
    type_in(page, "yarn.0.name", "marram")
    type_in(page, "sample.0.name", "ebb square")
    type_in(page, "sample.0.width.in_heddle", "24")
    type_in(page, "sample.0.width.finished", "8 1/2 in")
    project = page.url
    page.goto(f"{project}evidence/")
    other = page.context.new_page()
    other.goto(project)
    type_in(other, "sample.0.width.finished", "21")
    other.close()
    piece = page.locator(".piece", has_text="ebb square of Marram trial")
    piece.get_by_text("Set aside …").click()
    piece.get_by_label("Why is it set aside?").fill("felted")
    page.get_by_role("button", name="Set aside ebb square").click()
    expect(page.get_by_role("alert")).to_contain_text("changed since this page was shown")
    refused(watched, 409)
    assert grave_violations(page) == []


def test_pages_without_evidence_say_what_to_do(opened: Any) -> None:
    page = opened(PHONE).page
    start(page, "Nothing measured")
    page.goto(f"{page.url}evidence/")
    expect(page.locator("main")).to_contain_text(
        "There is nothing to show until the plan can be made; the plan says what is still to be settled."
    )
    assert grave_violations(page) == []
    page.goto(page.url.replace("evidence/", "samples/"))
    assert grave_violations(page) == []


def came_to_be(page: Page, project: str, name: str, text: str) -> bool:
    """Whether a field of a project holds a text before long; what goes with a page that is left comes by itself."""
    for _ in range(25):
        page.goto(project)
        if page.locator(f"[name='{name}']").input_value() == text:
            return True
        page.wait_for_timeout(200)
    return False


@pytest.mark.parametrize("way", ["link", "back"])
def test_what_is_being_typed_when_the_page_is_left_is_kept(opened: Any, way: str) -> None:
    page = opened(DESK).page
    start(page, f"Interrupted by {way}")
    project = page.url
    page.locator("[name='yarn.0.name']").press_sequentially("wrack")
    if way == "link":
        page.get_by_role("link", name="How true").click()
    else:
        page.go_back()
    assert came_to_be(page, project, "yarn.0.name", "wrack")
