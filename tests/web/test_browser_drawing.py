"""A weaver draws a piece by mouse and by keyboard alone, and drags a traced outline, at a desk and on a phone."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect
from web.pattern.test_patterns import photo
from web.test_browser import (
    DESK,
    SIZES,
    address,
    browser,
    follow,
    grave_violations,
    nothing_beyond_the_edge,
    opened,
    start,
    type_in,
)

__all__ = ["address", "browser", "opened"]

pytestmark = pytest.mark.browser

#: A half back on the fold: centre neck, hem at the fold, hem at the side, underarm, shoulder, neck.
BACK = [(2, 6), (2, 46), (26, 46), (26, 26), (24, 8), (9, 4)]


def board_of(page: Page) -> Locator:
    return page.locator("svg[data-board]")


def on_screen(page: Page, place: tuple[float, float]) -> tuple[float, float]:
    """Where a place on the page of the drawing (cm) lies on the screen."""
    x, y = page.evaluate(
        """([x, y]) => {
          const board = document.querySelector("svg[data-board]"), at = board.dataset;
          const point = new DOMPoint((x - at.left) * at.scale, (y - at.top) * at.scale).matrixTransform(board.getScreenCTM());
          return [point.x, point.y];
        }""",
        list(place),
    )
    return x, y


def into_view(page: Page) -> None:
    board_of(page).evaluate("board => board.scrollIntoView({block: 'center'})")


def click_at(page: Page, place: tuple[float, float]) -> None:
    into_view(page)
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.mouse.click(*on_screen(page, place))
    page.wait_for_timeout(120)


def drag(page: Page, grip: str, place: tuple[float, float]) -> None:
    into_view(page)
    box = page.locator(f"[data-grip='{grip}']").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(*on_screen(page, place), steps=6)
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.mouse.up()
    page.wait_for_timeout(120)


def value(page: Page, name: str) -> str:
    return page.locator(f"[name='{name}']").input_value()


def cm(text: str) -> float:
    return float(text.removesuffix(" cm"))


def to_the_board(page: Page, name: str) -> str:
    start(page, name)
    address = page.url.partition("#")[0]
    follow(page, "Draw a piece")
    expect(page.get_by_role("heading", level=1)).to_have_text("Draw a piece")
    return address


def say_the_rest(page: Page) -> None:
    type_in(page, "corner.0.side", "fold")
    type_in(page, "corner.1.side", "hem 4 cm")
    type_in(page, "corner.2.side", "seam side")
    type_in(page, "name", "back")


def save_and_see(page: Page, area: str) -> None:
    page.get_by_role("button", name="Save it as the project's drawing").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Pieces")
    card = page.locator(".card").filter(has=page.get_by_role("heading", name="back"))
    expect(card).to_contain_text("Seam side")
    expect(card).to_contain_text(area)


@SIZES
def test_a_back_with_a_curved_neck_is_drawn_by_mouse_and_saved(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    project = to_the_board(page, f"Kelp smock by mouse {size['width']}")
    assert grave_violations(page) == []
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.get_by_label("Keep to the grid, half squares").check()
    page.wait_for_timeout(120)
    for place in BACK:
        click_at(page, place)
    assert [value(page, f"corner.{n}.across") for n in range(6)] == [f"{x} cm" for x, _ in BACK]
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.locator("[name='corner.5.bend']").select_option("curved")
    page.wait_for_timeout(120)
    drag(page, "h5.0", (9, 6))
    drag(page, "h5.1", (5, 6))
    assert (value(page, "corner.5.curve.0"), value(page, "corner.5.curve.3")) == ("9 cm", "6 cm")
    drag(page, "c2", (25, 46))
    assert value(page, "corner.2.across") == "25 cm"
    page.keyboard.press("Control+z")
    expect(page.locator("[name='corner.2.across']")).to_have_value("26 cm")
    say_the_rest(page)
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []
    save_and_see(page, "20\u00a0cm")
    assert grave_violations(page) == []
    page.goto(f"{project}draw/")
    expect(page.locator("[name='corner.5.curve.0']")).to_have_value("9 cm")


@SIZES
def test_a_back_with_a_curved_neck_is_drawn_by_keyboard_alone(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    to_the_board(page, f"Kelp smock by keys {size['width']}")
    for x, y in BACK:
        page.get_by_label("Across, from the left").focus()
        page.keyboard.type(str(x))
        page.keyboard.press("Tab")
        page.keyboard.type(f"{y} cm")
        page.get_by_role("button", name="+ Add the corner").focus()
        before = page.locator(".corner").count()
        page.keyboard.press("Enter")
        expect(page.locator(".corner")).to_have_count(before + 1)
    page.locator("[name='corner.5.bend']").focus()
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Tab")
    expect(page.locator("[data-grip='h5.0']")).to_be_visible()
    before = cm(value(page, "corner.5.curve.1"))
    page.locator("[data-grip='h5.0']").focus()
    page.keyboard.press("Shift+ArrowDown")
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.keyboard.press("ArrowDown")
    assert cm(value(page, "corner.5.curve.1")) == pytest.approx(before + 1.1, abs=0.006)
    expect(page.locator("[data-grip='h5.0']")).to_be_focused()
    type_in(page, "corner.2.length", "10 in")
    expect(page.locator("[name='corner.3.down']")).to_have_value("20.6 cm")
    type_in(page, "corner.2.length", "20 cm")
    say_the_rest(page)
    save_and_see(page, "20\u00a0cm")


def test_what_is_changed_in_the_moment_an_answer_comes_is_kept(opened: Any) -> None:
    page = opened(DESK).page
    to_the_board(page, "Kelp smock in a hurry")
    for place in BACK[:4]:
        click_at(page, place)
    page.evaluate(
        """() => new MutationObserver((_, watching) => {
          const bend = document.getElementsByName("corner.4.bend")[0];
          if (!bend) return;
          watching.disconnect();
          bend.value = "curved";
          bend.dispatchEvent(new Event("change", {bubbles: true}));
        }).observe(document.body, {childList: true, subtree: true})"""
    )
    click_at(page, BACK[4])
    expect(page.locator("[data-grip='h4.0']")).to_be_visible()


def test_reload_and_the_back_button_lose_nothing_typed(opened: Any) -> None:
    page = opened(DESK).page
    project = to_the_board(page, "Kelp smock kept")
    for place in BACK[:3]:
        click_at(page, place)
    type_in(page, "corner.1.across", "two and a bit")
    expect(page.locator("#typed")).to_contain_text("“two and a bit”")
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.locator("[name='name']").fill("yoke")  # and not left
    page.reload()
    expect(page.locator("[name='corner.1.across']")).to_have_value("two and a bit")
    expect(page.locator("[name='name']")).to_have_value("yoke")
    page.locator("[name='corner.1.across']").fill("2 1/2 in")
    page.goto(project)
    page.go_back()
    expect(page.locator("[name='corner.1.across']")).to_have_value("2 1/2 in")


@SIZES
def test_a_point_of_a_traced_outline_is_dragged_moved_added_and_taken_away(
    opened: Any, tmp_path: Path, size: dict[str, int]
) -> None:
    page = opened(size).page
    start(page, f"Wrack yoke {size['width']}")
    follow(page, "Trace a photograph")
    (tmp_path / "yoke.jpg").write_bytes(photo())
    page.locator("#photo").set_input_files(tmp_path / "yoke.jpg")
    page.get_by_role("button", name="Trace it").click()
    expect(board_of(page)).to_be_visible(timeout=30_000)
    assert grave_violations(page) == []
    lines = page.locator("#corners").input_value().split("\n")
    assert len(lines) == 4
    x, y = map(float, lines[1].split(", "))
    drag(page, "c1", (x + 3, y + 2))
    after = page.locator("#corners").input_value().split("\n")
    assert [one for one in after if one in lines] == [lines[0], *lines[2:]]
    assert tuple(map(float, after[1].split(", "))) == pytest.approx((x + 3, y + 2), abs=0.3)
    page.locator("[data-grip='c1']").focus()
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.keyboard.press("ArrowLeft")
    moved = page.locator("#corners").input_value().split("\n")[1]
    assert float(moved.split(", ")[0]) == pytest.approx(float(after[1].split(", ")[0]) - 0.1, abs=0.011)
    first, second = (tuple(map(float, line.split(", "))) for line in after[2:4])
    click_at(page, ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2))
    expect(page.locator("[data-grip]")).to_have_count(5)
    page.locator("[data-grip='c3']").focus()
    page.keyboard.press("Delete")
    expect(page.locator("[data-grip]")).to_have_count(4)
    nothing_beyond_the_edge(page)
    assert grave_violations(page) == []
    page.get_by_role("button", name="Use it as the drawing").click()
    expect(page).to_have_url(re.compile("#garment$"))
