"""A weaver keeps a sample with its photo and outlines, finds it again, and takes it into a project, at a desk and on a phone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from library.shelves.test_photos import picture
from playwright.sync_api import Page, expect
from web.measuring.test_sample_pages import DRAWING
from web.test_browser import (
    PHONE,
    SIZES,
    address,
    browser,
    follow,
    grave_violations,
    nothing_beyond_the_edge,
    opened,
    press,
    start,
    type_in,
)

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser


def type_a_sample(page: Page, name: str, yarn: str) -> None:
    page.goto("/samples/")
    page.get_by_label("Name of the sample").fill(name)
    page.get_by_role("button", name="Add it").click()
    for field, text in (
        ("yarn.0.name", yarn),
        ("yarn.0.fibre", "wool"),
        ("yarn.0.wraps", "15"),
        ("sample.0.heddle", "30"),
        ("sample.0.width.in_heddle", "24"),
        ("sample.0.width.finished", "8 1/2 in"),
        ("sample.0.length.on_loom", "30"),
        ("sample.0.length.finished", "27"),
    ):
        type_in(page, field, text)


@SIZES
def test_a_sample_is_typed_in_traced_photographed_and_found(opened: Any, tmp_path: Path, size: dict[str, int]) -> None:
    page = opened(size).page
    name, yarn = f"tide square {size['width']}", f"samphire {size['width']}"
    type_a_sample(page, name, yarn)
    expect(page.locator("#plan")).to_contain_text("0.900")  # 8½ in of 24 cm
    page.get_by_text("In your own words").click()
    type_in(page, "sample.0.hand", "limp, slips")
    expect(page.locator("#plan .verdict strong").first).to_have_text("Set it closer")
    page.get_by_text("Cut in parts, finished differently").click()
    press(page, "+ Add a part cut off")
    expect(page.locator("[name='sample.0.parts.0.name']")).to_be_focused()
    photo, drawing = tmp_path / "tide.jpg", tmp_path / "square.svg"
    photo.write_bytes(picture())
    drawing.write_bytes(DRAWING)
    page.locator("#photo-file").set_input_files(photo)
    page.get_by_role("button", name="Add the photo").click()
    expect(page.get_by_role("img", name=f"Photo of {name}: tide.jpg")).to_be_visible()
    page.locator("#outline-file").set_input_files(drawing)
    page.get_by_role("button", name="Read the outlines").click()
    expect(page.locator("#plan .outlines svg")).to_be_visible()
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []
    page.goto(f"/samples/?yarn={yarn}&sett=7.5/in")
    expect(page.locator(".things > li")).to_have_count(1)
    assert grave_violations(page) == []


@SIZES
def test_a_project_takes_a_sample_and_says_what_it_tells(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    name = f"ebb square {size['width']}"
    type_a_sample(page, name, f"kelp {size['width']}")
    start(page, f"Kelp shawl {size['width']}")
    page.get_by_label("Take a sample from the library").select_option(label=name)
    press(page, "Take this sample")
    expect(page.locator("[name='sample.0.name']")).to_have_value(name)
    follow(page, "What the samples tell")
    expect(page.get_by_role("heading", level=1)).to_have_text("What the samples tell")
    expect(page.locator("main")).to_contain_text("of the width in the heddle")
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []
    page.go_back()
    expect(page.locator("[name='sample.0.name']")).to_have_value(name)


def test_the_buttons_of_a_sample_are_large_enough_for_a_finger(opened: Any) -> None:
    """24 by 24 px at least: WCAG 2.2, 2.5.8."""
    page = opened(PHONE).page
    type_a_sample(page, "spring tide square", "marram")
    for one in page.locator("button:visible, select:visible, input[type=file]:visible").all():
        box = one.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 24
