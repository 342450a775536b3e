"""A weaver plans a garment in a real browser, at a desk and on a phone, against the program as it is served."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page, expect, sync_playwright
from web.browser_found import browser_path

pytestmark = pytest.mark.browser

DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
SIZES = pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
EXAMPLE = Path(__file__).parents[2] / "examples" / "rows-of-rectangles.toml"
VERDICT = re.compile("Enough|Too close to call|Not enough")
UNSETTLED = "Still to be settled"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = browser_path()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def address(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The program served on a free port with a data folder of its own; starting needs no browser, but is no use without."""
    environment = {**os.environ, "CLOTHWRIGHT_DATA": str(tmp_path_factory.mktemp("data"))}
    code = "from clothwright.web.serve import serve; serve('127.0.0.1', 0)"
    command = [sys.executable, "-c", f"if __name__ == '__main__': {code}"]
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        yield server.stdout.readline().split()[-1]
        server.terminate()


@dataclass
class Watched:
    """A page of which everything it asks for and complains of is written down."""

    page: Page
    hosts: set[str] = field(default_factory=set)
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("request", lambda request: self.hosts.add(request.url.split("/")[2].split(":")[0]))
        self.page.on("console", lambda message: self._note(message.type, message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _note(self, kind: str, text: str) -> None:
        if kind in ("error", "warning"):
            self.complaints.append(text)

    def check(self) -> None:
        assert self.hosts == {"127.0.0.1"}
        assert self.complaints == []
        nothing_beyond_the_edge(self.page)


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Any]:
    pages: list[Watched] = []

    def open_page(size: dict[str, int]) -> Watched:
        context = browser.new_context(viewport=size, base_url=address)
        pages.append(Watched(context.new_page()))
        return pages[-1]

    yield open_page
    for one in pages:
        one.check()
        one.page.context.close()


def nothing_beyond_the_edge(page: Page) -> None:
    """The page, once it is there, does not scroll sideways."""
    page.wait_for_load_state()
    wide, room = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide <= room, "the page scrolls sideways"


def unfold(box: Locator) -> None:
    """Open what a field is folded away in, as a person on a phone does."""
    for summary in box.locator("xpath=ancestor::details[not(@open)]/summary").all():
        summary.click()


def follow(page: Page, name: str) -> None:
    """Go to another page of the project."""
    there = page.get_by_role("navigation", name=re.compile("^Pages of "))
    there.get_by_text("Pages of this project").click()
    there.get_by_role("link", name=name, exact=True).click()


def to_room(page: Page, name: str) -> None:
    """Go to a page of the head: a row of links at a desk, behind a button on a phone."""
    if (button := page.get_by_role("button", name="Pages", exact=True)).is_visible():
        button.click()
    page.get_by_role("navigation", name="Pages").get_by_role("link", name=name, exact=True).click()


def type_in(page: Page, name: str, text: str) -> None:
    """Type into a field, leave it, and wait until the program has answered."""
    box = page.locator(f"[name='{name}']").last
    unfold(box)
    with page.expect_response(lambda response: response.request.method == "POST"):
        box.fill(text)
        box.press("Tab")


def choose(page: Page, name: str, value: str) -> None:
    box = page.locator(f"select[name='{name}']")
    unfold(box)
    with page.expect_response(lambda response: response.request.method == "POST"):
        box.select_option(value)


def press(page: Page, text: str) -> None:
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.get_by_role("button", name=text, exact=True).click()


def start(page: Page, name: str) -> None:
    page.goto("/")
    page.get_by_label("Name of the project").fill(name)
    page.get_by_role("button", name="Start").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(name)


def plan_of(page: Page) -> Any:
    return page.locator("#plan")


def type_a_garment(page: Page) -> None:
    """Yarn, balls, loom, sample and pieces, from nothing."""
    type_in(page, "yarn.0.name", "eelgrass")
    type_in(page, "yarn.0.fibre", "wool")
    type_in(page, "yarn.0.grist", "310")
    type_in(page, "yarn.0.balls.0.gross", "218")
    type_in(page, "yarn.0.balls.0.core", "6 g")
    press(page, "+ Add a ball")
    expect(page.locator("[name='yarn.0.balls.1.gross']")).to_be_focused()
    type_in(page, "yarn.0.balls.1.net", "8 oz")
    type_in(page, "loom.weaving_width", "60")
    type_in(page, "loom.heddles", "30; 40")
    type_in(page, "loom.waste", "55")
    type_in(page, "sample.0.name", "tide-pool square")
    choose(page, "sample.0.warp", "eelgrass")
    type_in(page, "sample.0.width.in_heddle", "24")
    type_in(page, "sample.0.width.finished", "21.6")
    type_in(page, "sample.0.length.on_loom", "24")
    type_in(page, "sample.0.length.finished", "21")
    type_in(page, "pattern.piece.0.name", "back")
    type_in(page, "pattern.piece.0.width", "24")
    type_in(page, "pattern.piece.0.length", "62")
    type_in(page, "pattern.piece.0.cut", "2")
    press(page, "+ Add a piece")
    type_in(page, "pattern.piece.1.name", "front")
    type_in(page, "pattern.piece.1.width", "26")
    type_in(page, "pattern.piece.1.length", "64")
    type_in(page, "pattern.piece.1.cut", "2")


@SIZES
def test_a_garment_is_planned_from_nothing_by_typing(opened: Any, size: dict[str, int]) -> None:
    page = opened(size).page
    start(page, "Eelgrass waistcoat")
    expect(plan_of(page)).to_contain_text(UNSETTLED)
    type_a_garment(page)
    expect(plan_of(page).locator(".verdict strong").first).to_have_text(VERDICT)
    expect(plan_of(page)).not_to_contain_text(UNSETTLED)
    assert plan_of(page).locator("svg").count() >= 3
    expect(plan_of(page)).to_contain_text("back")
    if size is PHONE:
        slim = page.locator("#slim")
        expect(slim).to_be_in_viewport()
        expect(slim).to_have_text(re.compile(f"({VERDICT.pattern}).*(spare|missing)"))
        slim.click()
        expect(page.locator("#plan-title")).to_be_in_viewport()


@pytest.fixture
def cloth(opened: Any) -> Any:
    """A page with a project opened from a file."""

    def open_cloth(size: dict[str, int]) -> Page:
        page: Page = opened(size).page
        page.goto("/")
        page.locator("#open-files").set_input_files(EXAMPLE)
        page.get_by_role("button", name="Open").click()
        expect(plan_of(page).locator(".verdict strong").first).to_have_text(VERDICT)
        return page

    return open_cloth


@SIZES
def test_a_wrong_value_stays_in_its_field_with_its_sentence(cloth: Any, size: dict[str, int]) -> None:
    page = cloth(size)
    type_in(page, "loom.waste", "fifty-ish")
    box = page.locator("[name='loom.waste']")
    expect(box).to_have_value("fifty-ish")
    expect(box).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#f-loom-waste-problem")).to_contain_text("“fifty-ish”")
    assert "f-loom-waste-problem" in (box.get_attribute("aria-describedby") or "")
    expect(plan_of(page)).to_contain_text("the last one that could be made")
    page.reload()
    expect(box).to_have_value("fifty-ish")
    expect(page.locator("#f-loom-waste-problem")).to_contain_text("“fifty-ish”")
    type_in(page, "loom.waste", "50")
    expect(box).to_have_attribute("aria-invalid", "false")
    expect(page.locator("#f-loom-waste-problem")).to_have_text("")
    expect(plan_of(page)).not_to_contain_text(UNSETTLED)


def test_the_field_being_typed_in_keeps_its_focus_and_text_while_the_plan_changes(cloth: Any) -> None:
    page = cloth(DESK)
    waste, sample = page.locator("[name='loom.waste']"), page.locator("[name='cloth.on_warp_sample']")
    with page.expect_response(lambda response: response.request.method == "POST"):
        waste.fill("44")
        sample.focus()
        sample.press_sequentially("2")
    sample.press_sequentially("0 c")
    expect(page.locator("#rev")).to_have_value("2")
    expect(sample).to_have_value("20 c")
    expect(sample).to_be_focused()


def test_undo_redo_reload_and_the_back_button_keep_what_was_typed(cloth: Any) -> None:
    page = cloth(DESK)
    waste = page.locator("[name='loom.waste']")
    before = waste.input_value()
    type_in(page, "loom.waste", "44 cm")
    page.get_by_role("link", name="History", exact=True).click()
    expect(page.get_by_text(f"{before} → 44 cm")).to_be_visible()
    page.go_back()
    expect(waste).to_have_value("44 cm")
    press(page, "↶ Undo")
    expect(waste).to_have_value(before)
    expect(page.get_by_role("button", name="↶ Undo")).to_be_disabled()
    page.reload()
    expect(waste).to_have_value(before)
    press(page, "↷ Redo")
    expect(waste).to_have_value("44 cm")


def test_enter_in_a_field_works_the_plan_out_and_stays_on_the_page(cloth: Any) -> None:
    page = cloth(DESK)
    here = page.url
    with page.expect_response(lambda response: response.request.method == "POST"):
        page.locator("[name='loom.waste']").fill("44 cm")
        page.keyboard.press("Enter")
    expect(page.locator("#rev")).to_have_value("2")
    assert page.url == here
    assert page.locator("[name='pattern.piece.0.name']").count() == 1


def test_the_page_works_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport=PHONE, base_url=address, java_script_enabled=False)
    page = context.new_page()
    start(page, "Limpet shawl")
    page.locator("[name='yarn.0.name']").fill("limpet")
    page.locator("[name='yarn.0.grist']").fill("310")
    page.locator("[name='yarn.0.balls.0.net']").fill("400")
    page.get_by_role("button", name="+ Add a ball").click()
    expect(page.locator("[name='yarn.0.balls.1.net']")).to_be_visible()
    page.locator("[name='loom.heddles']").fill("30")
    page.locator("[name='loom.weaving_width']").fill("60")
    page.locator("[name='want.width']").fill("40")
    page.locator("[name='want.length']").fill("150")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#plan .verdict strong").first).to_have_text(VERDICT)
    expect(page.locator("[name='yarn.0.balls.0.net']")).to_have_value("400 g")
    context.close()


def test_two_tabs_lose_nothing_and_the_later_one_is_told(cloth: Any) -> None:
    page = cloth(DESK)
    other = page.context.new_page()
    other.goto(page.url)
    type_in(page, "loom.waste", "44 cm")
    type_in(other, "loom.name", "the window loom")
    expect(other.locator(".notice")).to_contain_text("changed somewhere else")
    other.get_by_role("link", name="History", exact=True).first.click()
    expect(other.get_by_text("→ 44 cm")).to_be_visible()


def test_a_longer_search_shows_how_far_it_is_and_stops_when_told(cloth: Any) -> None:
    page = cloth(DESK)
    press(page, "Search longer for a better layout")
    expect(page.locator("#search progress")).to_be_visible()
    press(page, "Stop and keep the best")
    expect(page.locator("#search")).to_contain_text("Last search", timeout=45_000)
    expect(plan_of(page).locator(".verdict strong").first).to_have_text(VERDICT)
    expect(page.get_by_role("button", name="Search longer for a better layout")).to_be_visible()


def test_when_the_program_does_not_answer_the_page_says_that_it_is_not_kept(
    opened: Any, browser: Browser, address: str
) -> None:
    context = browser.new_context(base_url=address)
    page = context.new_page()
    start(page, "Cut off")
    context.set_offline(True)
    page.locator("[name='loom.name']").fill("x")
    page.keyboard.press("Tab")
    expect(page.locator("#trouble")).to_contain_text("does not answer")
    context.close()


@SIZES
@pytest.mark.parametrize("where", ["projects", "new", "plan", "wrong", "history", "by hand"])
def test_pages_meet_the_rules_of_access(cloth: Any, size: dict[str, int], where: str) -> None:
    page = cloth(size)
    if where == "projects":
        page.goto("/")
        expect(page.locator(".card svg").first).to_be_visible()
    elif where == "new":
        start(page, "New")
    elif where == "wrong":
        type_in(page, "loom.waste", "fifty-ish")
    elif where == "history":
        page.get_by_role("link", name="History", exact=True).click()
    elif where == "by hand":
        page.get_by_role("link", name="Sums by hand").click()
        expect(plan_of(page)).to_contain_text("Reckoned by hand")
    assert grave_violations(page) == []


def grave_violations(page: Page) -> list[Any]:
    """What keeps people from the page, once it is there, everything on it laid open."""
    page.wait_for_load_state()
    for one in page.locator("details").all():
        one.evaluate("one => one.open = true")
    found = Axe().run(page).response["violations"]
    return [
        (rule["id"], rule["help"], [node["html"][:200] for node in rule["nodes"]][:3])
        for rule in found
        if rule["impact"] in ("serious", "critical")
    ]


def test_on_a_phone_the_sections_are_folded_until_they_are_asked_for(cloth: Any) -> None:
    page = cloth(PHONE)
    yarn, loom = page.locator("#yarn details.leaf-fold"), page.locator("#loom details.leaf-fold")
    expect(yarn).not_to_have_attribute("open", "")
    page.locator(".sections").get_by_role("link", name="Loom and heddles").click()
    expect(loom).to_have_attribute("open", "")
    type_in(page, "loom.waste", "fifty-ish")
    page.reload()
    expect(loom).to_have_attribute("open", "")
    page.goto(page.url.partition("#")[0])
    expect(loom).to_have_attribute("open", "")
    expect(yarn).not_to_have_attribute("open", "")


def test_everything_to_press_is_large_enough_for_a_finger(cloth: Any) -> None:
    page = cloth(PHONE)
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, input:not([type=hidden]), select, summary, a.button, nav a, #slim")]
        .filter(one => one.offsetParent !== null)
        .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < 24 || box.height < 24).map(([html]) => html)"""
    )
    assert small == []
