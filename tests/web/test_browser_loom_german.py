"""The phone pages in German with a real browser: nothing of what they say is left in English."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from web.phone.test_phone_german import english_in
from web.phone_browser import Program, browser, playwright, program
from web.test_browser import PHONE, Watched, grave_violations, nothing_beyond_the_edge
from web.test_browser_board import begun, tick
from web.test_browser_loom import fill, opened

from clothwright.web.phone.phone_words import script_words

__all__ = ["browser", "playwright", "program"]

pytestmark = pytest.mark.browser
#: Words of the page in English that are a whole text somewhere on it, and not the same in German.
ENGLISH = {said for said, german in script_words("de").items() if said != german and "{" not in said}
#: What stands in the log as it was typed: a note of the example, in English.
TYPED = "#loom [data-at=log] li > p:first-child"


def said(page: Page) -> set[str]:
    """Every text that the page says, and every name read out of it."""
    texts: list[str] = page.evaluate(
        """typed => {
          const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {
            const at = walk.currentNode.parentElement;
            if (!at.closest("script, noscript") && !at.closest(typed)) found.push(walk.currentNode.textContent.trim());
          }
          for (const one of document.querySelectorAll("[aria-label]")) if (!one.closest("[data-at=log]")) found.push(one.getAttribute("aria-label"));
          return found;
        }""",
        TYPED,
    )
    return set(filter(None, texts))


def english(page: Page) -> set[str]:
    """What of it is English, but for the ways to another language and what was typed."""
    texts = said(page) - {"English", "← Eelgrass tabard", "← Basket of balls"}
    return (texts & ENGLISH) | {one for one in texts if english_in(one)}


def test_a_german_phone_enters_and_is_told_in_german(browser: Browser, program: Program) -> None:
    """Every kind of entry opened, a wrong one said, a right one kept and sent, without a word of English but what is told."""
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    watched = Watched(page)
    key = opened(page, program)
    page.get_by_role("link", name="Deutsch").click()
    page.wait_for_selector("body[data-begun]")
    assert page.evaluate("document.documentElement.lang") == "de-DE"
    expect(page.get_by_role("heading", level=1)).to_have_text("Am Webstuhl")
    expect(page.locator("[data-at=forecast]")).to_contain_text("dass der Schuss bis zum Ende reicht; verlangt sind 95")
    expect(page.locator("[data-at=forecast]")).to_contain_text("28 g (1 oz) übrig bei 180 cm (70¾ Zoll)")
    expect(page.locator("[data-at=log]")).to_contain_text("Knoten bei 47 cm, Kettfaden 31 von links ausgebessert")
    for button in page.locator("#loom [data-kind]").all():
        button.click()
        assert english(page) == set(), button.text_content()
    page.get_by_role("button", name="Bisher gewebt", exact=True).click()
    fill(page, woven="weit")
    page.get_by_role("button", name="Behalten", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("„weit“: schreiben Sie eine Zahl")
    fill(page, woven="184")
    page.get_by_role("button", name="Behalten", exact=True).click()
    expect(page.locator("[data-at=woven]")).to_have_text("184 cm")
    expect(page.locator("#announce")).to_contain_text("Behalten: 184 cm gewebt")
    expect(page.locator("#status")).to_contain_text("Alles ist gesendet")
    assert english(page) == set()
    assert program.state(key, "loom")["loom"]["woven"] == "184 cm"
    watched.check()
    assert grave_violations(page) == []
    context.close()


def test_a_german_phone_ticks_off_the_order_in_german(browser: Browser, program: Program) -> None:
    """Ticked and taken back, counted wrongly and rightly, by stripes, threaded; an order changed under it."""
    context = browser.new_context(viewport=PHONE, base_url=program.address)  # type: ignore[arg-type]
    page = context.new_page()
    watched = Watched(page)
    key = begun(page)
    page.get_by_role("link", name="Deutsch").click()
    page.wait_for_selector("body[data-begun]")
    expect(page.locator("[data-at=where]")).to_have_text("Sie sind hier: Kettfäden 1 bis 10 · Schlitze 1 bis 5")
    tick(page, 6)
    expect(page.locator("[data-at=count]")).to_have_text("60 von 120")
    page.get_by_label("Erste Zählung").fill("viele")
    page.get_by_role("button", name="Zählung behalten").click()
    expect(page.get_by_role("alert")).to_contain_text("„viele“: geben Sie in beide Felder ein")
    for label in ("Erste Zählung", "Zweite Zählung"):
        page.get_by_label(label).fill("58")
    page.get_by_role("button", name="Zählung behalten").click()
    expect(page.locator("[data-at=counted]")).to_contain_text(
        "Sie haben zweimal 58 gezählt, und 60 sind abgehakt: 2 zu wenig"
    )
    assert english(page) == set()
    page.get_by_role("button", name="Später").click()
    for name in ("Streifen", "Paaren", "Einziehen"):
        page.get_by_role("button", name=name, exact=True).click()
        expect(page.get_by_role("button", name=name, exact=True)).to_have_attribute("aria-pressed", "true")
        assert english(page) == set(), name
    page.get_by_role("button", name="Schären", exact=True).click()
    expect(page.locator("#status")).to_contain_text("Alles ist gesendet")
    desk = context.new_page()
    desk.goto(f"/project/{key}/colours/?run=10")
    desk.get_by_role("button", name="One run later").click()
    desk.locator('button[value="earlier 11"]').wait_for()
    page.reload()
    expect(page.get_by_role("heading", name="Die Folge wurde geändert")).to_be_visible()
    page.get_by_role("button", name="Mit der geänderten Folge weitermachen", exact=True).click()
    expect(page.get_by_role("heading", name="Andere Folgen mit Haken")).to_be_visible()
    assert english(page) == set()
    nothing_beyond_the_edge(page)
    watched.check()
    assert grave_violations(page) == []
    context.close()
