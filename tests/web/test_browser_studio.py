"""A studio in a real browser, at a desk and on a phone, by keyboard and in the dark: from the first keeper to a member who leaves."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from web.a_server import served
from web.test_browser import SIZES, browser, grave_violations, nothing_beyond_the_edge, to_room

__all__ = ["browser"]

pytestmark = pytest.mark.browser
PASSWORD = "eelgrass under low water"
#: Where to put pictures of the pages, for who wants to look at them.
SHOTS = os.environ.get("CLOTHWRIGHT_SHOTS", "")
#: So many presses of Tab lead to anything on these pages.
MOST_TABS = 80


def keeper_made(folder: Path) -> None:
    words = ("studio", "keeper", "wren@guild.example", "--name", "Wren", "--password", PASSWORD)
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(folder)}
    subprocess.run([sys.executable, "-m", "clothwright", *words], env=environment, check=True, capture_output=True)


def came_to(page: Page, one: Locator) -> None:
    """Come to something by Tab alone, and see that it shows where one is."""
    for _ in range(MOST_TABS):
        if one.evaluate("one => one === document.activeElement"):
            break
        page.keyboard.press("Tab")
    expect(one).to_be_focused()
    outline = one.evaluate("one => getComputedStyle(one).outlineStyle + getComputedStyle(one).boxShadow")
    assert outline != "nonenone", "nothing shows where the keyboard is"


def type_by_keys(page: Page, label: str, text: str) -> None:
    came_to(page, page.get_by_label(label, exact=True))
    page.keyboard.type(text)


def press_by_keys(page: Page, role: Any, name: str) -> None:
    came_to(page, page.get_by_role(role, name=name, exact=True).first)
    page.keyboard.press("Enter")


def room_by_keys(page: Page, name: str) -> None:
    """A page of the head, which on a phone stand behind a button."""
    if page.get_by_role("button", name="Pages", exact=True).is_visible():
        press_by_keys(page, "button", "Pages")
    press_by_keys(page, "link", name)


def looked_at(page: Page, name: str) -> None:
    """By day and in the dark: nothing lies beyond the edge of the screen, and nothing grave stands against reading it."""
    for light in ("light", "dark"):
        page.emulate_media(color_scheme=light)  # type: ignore[arg-type]
        nothing_beyond_the_edge(page)
        assert grave_violations(page) == [], f"{name}, {light}"
        if SHOTS:
            page.screenshot(path=f"{SHOTS}/{name}-{page.viewport_size['width']}-{light}.png", full_page=True)  # type: ignore[index]


@SIZES
def test_a_class_begins_shares_and_is_left_with_everything(
    browser: Browser, size: dict[str, int], tmp_path: Path
) -> None:
    """The keeper makes a class, shares a sample and invites; a student comes in by keyboard alone, copies it, and leaves with her data."""
    folder, said = tmp_path / "data", list[str]()
    keeper_made(folder)
    with served(folder, "--studio") as (visitor, _):
        address = f"http://127.0.0.1:{visitor.port}"
        people = [browser.new_context(viewport=size, base_url=address).new_page() for _ in range(2)]  # type: ignore[arg-type]
        for page in people:
            page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        keeper, student = people
        link = keeper_begins(keeper)
        student_comes(student, link)
        student_leaves(student, tmp_path / "mine.zip")
        keeper.goto("/members/")
        expect(keeper.get_by_text("heron@guild.example")).to_have_count(0)
        looked_at(keeper, "members")
        keeper.get_by_role("button", name="Link to a new password for Wren").click()
        keeper.goto(keeper.locator("#password-link").input_value())
        looked_at(keeper, "new-password")
        for page in people:
            page.context.close()
    assert said == []


def keeper_begins(page: Page) -> str:
    """She signs in, makes a class, keeps a sample, shares it with the class, and invites one; the link is hers to hand over."""
    page.goto("/")
    looked_at(page, "sign-in")
    type_by_keys(page, "E-mail address", "wren@guild.example")
    type_by_keys(page, "Password", PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Projects", exact=True)).to_be_visible()
    room_by_keys(page, "Groups")
    type_by_keys(page, "What it is called", "first warp")
    page.get_by_label(re.compile("^A class:")).check()
    page.get_by_role("button", name="Make it").click()
    looked_at(page, "group")
    room_by_keys(page, "Samples")
    type_by_keys(page, "Name of the sample", "quay square")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Share", exact=True).click()
    page.get_by_label(re.compile("^first warp")).check()
    page.get_by_role("button", name="Keep this").click()
    looked_at(page, "share")
    to_room(page, "Groups")
    page.get_by_role("link", name="first warp").first.click()
    page.get_by_role("button", name="Make an invitation").click()
    looked_at(page, "invited")
    return page.get_by_label("Link").input_value()


def student_comes(page: Page, link: str) -> None:
    """By the keyboard alone: she signs up, finds what is shared with her, and keeps a copy of it."""
    page.goto(link)
    looked_at(page, "invitation")
    type_by_keys(page, "Your name, as others see it", "Heron")
    type_by_keys(page, "E-mail address, to sign in with", "heron@guild.example")
    type_by_keys(page, "Password", PASSWORD)
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Groups", exact=True)).to_be_visible()
    expect(page.get_by_role("link", name="Members", exact=True)).to_have_count(0)
    looked_at(page, "groups")
    came_to(page, page.locator(".shares a").first)
    page.keyboard.press("Enter")
    expect(page.get_by_text("Shared by Wren, to read.")).to_be_visible()
    looked_at(page, "shared-sample")
    press_by_keys(page, "button", "Keep a copy among my samples")
    expect(page.get_by_role("link", name="Share", exact=True)).to_be_visible()
    looked_at(page, "own-sample")


def student_leaves(page: Page, file: Path) -> None:
    """With everything of hers in a file, which she looks into again before she goes; then nothing of hers is there."""
    room_by_keys(page, "My account")
    expect(page.get_by_role("heading", name="My account", exact=True)).to_be_visible()
    looked_at(page, "account")
    with page.expect_download() as coming:
        press_by_keys(page, "link", "Everything of mine (zip)")
    coming.value.save_as(file)
    with zipfile.ZipFile(file) as archive:
        assert [name for name in archive.namelist() if name.endswith("states.json")]
    press_by_keys(page, "link", "Bring a file in …")
    expect(page.get_by_role("heading", name="Bring a file in")).to_be_visible()
    looked_at(page, "bring-in")
    page.get_by_label("A file of everything, or a project file").set_input_files(file)
    press_by_keys(page, "button", "Look what is in it")
    expect(page.get_by_text("Nothing in it is new here.")).to_be_visible()
    looked_at(page, "bring-in-look")
    press_by_keys(page, "button", "Leave everything as it is")
    expect(page.get_by_role("button", name="Look what is in it")).to_be_visible()
    page.goto("/me/")
    press_by_keys(page, "link", "Leave the studio …")
    expect(page.get_by_role("heading", name="Leave the studio")).to_be_visible()
    looked_at(page, "leave")
    type_by_keys(page, "Your password", PASSWORD)
    press_by_keys(page, "button", "Delete my account and everything of mine")
    expect(page.get_by_role("heading", name="You have left the studio")).to_be_visible()
    looked_at(page, "left")
    page.goto("/")
    expect(page.get_by_role("heading", name="Sign in", exact=True)).to_be_visible()
