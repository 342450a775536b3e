"""Every page by daylight and by lamplight, at a desk, enlarged and on a phone, by keyboard alone, in a reader's own colours.

*Source* of what is asked for: Web Content Accessibility Guidelines 2.2, level AA (W3C Recommendation, 2024): 1.4.3 and 1.4.11
(contrast), 1.4.4 and 1.4.10 (enlarged), 2.1.1, 2.4.1, 2.4.3, 2.4.7 and 2.4.11 (keyboard and focus), 2.5.8 (targets), 3.2.6 (help),
3.3.8 (signing in). axe looks for most of it, by rules of its own.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from web.test_browser import DESK, PHONE, browser

from clothwright.web.templatetags.notebook import STAGES

__all__ = ["browser"]

pytestmark = pytest.mark.browser

#: Half of a desk's screen across and down: what is left of 1280 by 900 when everything is twice as large.
ENLARGED: Final = {"width": 640, "height": 450}
SERVING: Final = """
import os
from pathlib import Path
from clothwright.web.serve import serve
from clothwright.cli.planned import demo_file
if __name__ == '__main__':
    serve('127.0.0.1', 0, None if 'CLOTHWRIGHT_STUDIO' in os.environ else demo_file())
"""
#: Pages beside a project: the shelf, what answers one question, what is kept.
SHELF: Final = (
    "/", "/records/", "/yarn/", "/looms/", "/samples/", "/yarn/import/", "/sett/", "/yarn-numbers/", "/sheets/", "/trueness/",
    "/words/", "/keeping/", "/guide/", "/guide/first-cloth/", "/guide/layout/", "/find/?words=wool",
)  # fmt: skip
#: Pages of a project that its list of stages does not name.
BESIDE: Final = ("leaflet/buyers/", "sheets/project/type/")
CONTROLS: Final = """() => {
  for (const fold of document.querySelectorAll("details")) fold.open = true;
  const seen = (one) => one.checkVisibility() && one.getClientRects().length && !one.closest(".slim");
  const named = (one) => one.name || one.innerText || one.getAttribute("aria-label") || one.id;
  return [...document.querySelectorAll("main a, main button, main input, main select, main textarea, main h1, main h2")]
    .filter(seen).map((one) => `${one.tagName} ${named(one)}`);
}"""
#: The sentence that stands at the top of a page, long, as when the program does not answer.
TROUBLE: Final = """() => {
  const place = document.getElementById("trouble");
  place.textContent = "The program does not answer: what you typed last is not kept yet. ".repeat(2);
  place.hidden = false;
}"""
OVERFLOW: Final = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
#: What has the focus: its name, its outline and how that stands out from what lies behind, and whether any of it can be seen.
FOCUSED: Final = """() => {
  const one = document.activeElement;
  if (one === document.body) return null;
  const canvas = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d", { willReadFrequently: true });
  const light = (colour) => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = colour;
    canvas.fillRect(0, 0, 1, 1);
    const [r, g, b] = [...canvas.getImageData(0, 0, 1, 1).data].map((c) => (c / 255 <= 0.04045 ? c / 3294.6 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  let behind = one.parentElement;
  while (behind.parentElement && /, 0\\)$|transparent/.test(getComputedStyle(behind).backgroundColor)) behind = behind.parentElement;
  // A piece on the cloth is outlined along its own edge.
  const drawn = one.matches(".copy") && getComputedStyle(one.querySelector("polygon")), looks = getComputedStyle(one);
  const line = drawn ? drawn.stroke : looks.outlineColor, wide = parseFloat(drawn ? drawn.strokeWidth : looks.outlineStyle === "none" ? 0 : looks.outlineWidth);
  const [low, high] = [light(line), light(getComputedStyle(behind).backgroundColor)].sort((a, b) => a - b);
  const { left, right, top, bottom } = one.getBoundingClientRect(), inset = 2;
  const along = (shape) => [...Array(60).keys()].map((part) => shape.getPointAtLength(part / 60 * shape.getTotalLength()).matrixTransform(shape.getScreenCTM())).map(({ x, y }) => [x, y]);
  const places = drawn ? along(one.querySelector("polygon")) : [[left + inset, top + inset], [right - inset, top + inset], [left + inset, bottom - inset], [right - inset, bottom - inset], [(left + right) / 2, (top + bottom) / 2]];
  const mine = ([x, y]) => { const there = document.elementFromPoint(x, y); return there && (one.contains(there) || there.contains(one) && !there.matches("body, html, main") || [...(one.labels || [])].some((label) => label.contains(there))); };
  return {
    name: `${one.tagName} ${one.name || one.id || one.innerText}`.slice(0, 60),
    outlined: wide >= 2,
    contrast: (high + 0.05) / (low + 0.05),
    seen: places.some(mine),
  };
}"""


@contextmanager
def served(folder: Path, **environment: str) -> Iterator[str]:
    """The address of the program serving a folder."""
    given = {**os.environ, "CLOTHWRIGHT_DATA": str(folder), **environment}
    with subprocess.Popen([sys.executable, "-c", SERVING], env=given, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        told = re.search(r"http://\S+", server.stdout.readline())
        assert told is not None
        yield told[0]
        server.terminate()


@pytest.fixture(scope="module")
def project(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the demo project."""
    with served(tmp_path_factory.mktemp("data")) as address:
        yield address


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport=DESK)
    yield context.new_page()
    context.close()


def unlike(page: Page, *rules: str) -> list[tuple[str, str]]:
    """What axe finds wrong: the rule and where; of some rules only, or of all of them and the size of targets."""
    only = {"runOnly": list(rules)} if rules else {"rules": {"target-size": {"enabled": True}}}
    found = Axe().run(page, options={**only, "resultTypes": ["violations"]}).response["violations"]
    return [(one["id"], node["html"][:160]) for one in found for node in one["nodes"]]


def found_on(page: Page, address: str) -> list[Any]:
    """What is wrong with one page, in both lights, enlarged and on a phone."""
    page.set_viewport_size(DESK)
    page.emulate_media(color_scheme="light")
    answer = page.goto(address)
    assert answer is not None
    assert answer.status == 200, address
    controls = page.evaluate(CONTROLS)
    wrong: list[Any] = [("light", *one) for one in unlike(page)]
    page.emulate_media(color_scheme="dark")
    wrong += [("dark", *one) for one in unlike(page, "color-contrast")]
    page.set_viewport_size(ENLARGED)
    wrong += [("enlarged", "lost", one) for one in set(controls) - set(page.evaluate(CONTROLS))]
    wrong += [("enlarged", "scrolls sideways", over)] if (over := page.evaluate(OVERFLOW)) > 0 else []
    page.set_viewport_size(PHONE)
    wrong += [("phone", "scrolls sideways", over)] if (over := page.evaluate(OVERFLOW)) > 0 else []
    return wrong


def test_every_page_reads_in_both_lights_enlarged_and_on_a_phone(page: Page, project: str) -> None:
    """The pages come from the list of stages, so that a new one is looked at without being named here."""
    page.goto(project)
    pages = [one.evaluate("one => one.href") for one in page.locator(".stages a").all()]
    assert len(pages) == sum(len(stage) for _, stage in STAGES)
    base, key = project.split("/project/")
    pages += [project + one for one in BESIDE] + [f"{base}/phone/{key}{one}/" for one in ("board", "loom")]
    pages += [base + one for one in SHELF]
    wrong = {one.removeprefix(base): found for one in pages if (found := found_on(page, one))}
    assert wrong == {}


def walked(page: Page, presses: int, key: str = "Tab") -> list[Any]:
    """What is wrong with the focus on its way."""
    stops: list[dict[str, Any]] = []
    for _ in range(presses):
        page.keyboard.press(key)
        if stop := page.evaluate(FOCUSED):
            stops.append(stop)
    assert len(stops) > presses / 2, "the focus does not move on"
    return [stop for stop in stops if not (stop["outlined"] and stop["seen"] and stop["contrast"] >= 3)]


@pytest.mark.parametrize("light", ["light", "dark"])
def test_the_keyboard_alone_goes_everywhere_and_is_seen(page: Page, project: str, light: Any) -> None:
    page.emulate_media(color_scheme=light, reduced_motion="reduce")
    page.goto(project)
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to the page")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport(ratio=1)
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    assert walked(page, 40) == []
    assert page.locator("[tabindex]:not([tabindex='0'], [tabindex='-1'])").count() == 0
    page.set_viewport_size(PHONE)
    assert walked(page, 25) == []
    assert walked(page, 45, "Shift+Tab") == []
    page.evaluate(TROUBLE)
    assert walked(page, 25, "Shift+Tab") == []
    assert walked(page, 25) == []
    page.goto(project + "lay-by-hand/")
    assert walked(page, 35) == []
    page.goto(project + "draw/")
    assert walked(page, 35) == []


def test_escape_folds_what_was_opened_and_goes_back_to_what_opened_it(page: Page, project: str) -> None:
    page.goto(project)
    pages = page.locator(".stages summary")
    pages.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator(".stages a").first).to_be_focused()
    page.keyboard.press("Escape")
    expect(pages).to_be_focused()
    expect(page.locator(".stages a").first).to_be_hidden()
    base, key = project.split("/project/")
    page.goto(f"{base}/phone/{key}loom/")
    expect(page.locator("[data-at=woven]")).not_to_be_empty()
    page.get_by_role("button", name="Weigh a ball").press("Enter")
    page.get_by_label("On the scale").fill("31")
    page.keyboard.press("Escape")
    expect(page.get_by_role("button", name="Weigh a ball")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_label("On the scale")).to_have_value("31")


def test_help_stands_at_the_same_place_of_every_page(page: Page, project: str) -> None:
    """WCAG 2.2, 3.2.6: the words of the trade close the header, keeping one's work the footer."""
    for place in ("", "at-the-loom/", "leaflet/"):
        page.goto(project + place)
        expect(page.locator(".rooms a").last).to_have_text("Guide")
        expect(page.locator(".foot a").first).to_have_text("Keeping your work")


def test_a_reader_s_own_colours_and_her_rest_are_respected(page: Page, project: str) -> None:
    page.emulate_media(forced_colors="active", color_scheme="dark")
    page.goto(project)
    drawing = page.locator("#plan .cw-picture").first
    expect(drawing).to_have_css("forced-color-adjust", "none")
    here, other = page.locator(".rooms a[aria-current]"), page.locator(".rooms a:not([aria-current])").first
    edge = "one => getComputedStyle(one).borderBottomColor"
    assert here.evaluate(edge) != other.evaluate(edge)
    page.goto(project + "lay-by-hand/")
    for letters in (page.locator(".skip"), page.get_by_role("button", name="Keep this layout")):
        expect(letters).to_have_css("forced-color-adjust", "none")
    page.locator(".rooms a").first.focus()
    page.keyboard.press("Tab")
    expect(page.locator(".rooms a").nth(1)).to_have_css("outline-style", "solid")
    skip = page.locator(".skip")
    for motion, moves in (("no-preference", "0.1s"), ("reduce", "0s")):
        page.emulate_media(forced_colors="none", reduced_motion=motion)  # type: ignore[arg-type]
        expect(skip).to_have_css("transition-duration", moves)


def test_signing_in_takes_what_is_pasted_or_filled_in_and_reads_in_both_lights(page: Page, tmp_path: Path) -> None:
    """WCAG 2.2, 3.3.8: nothing to remember or to copy by hand."""
    with served(tmp_path, CLOTHWRIGHT_STUDIO="1") as address:
        page.goto(address)
        email, password = page.get_by_label("E-mail address"), page.get_by_label("Password")
        expect(email).to_have_attribute("autocomplete", "username")
        expect(password).to_have_attribute("autocomplete", "current-password")
        pasted = "one => one.dispatchEvent(new ClipboardEvent('paste', { bubbles: true, cancelable: true }))"
        assert all(box.evaluate(pasted) for box in (email, password))
        assert found_on(page, page.url) == []
