"""At the loom in German with a real browser: nothing the page itself says is left in English."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from web.phone_browser import Program, browser, playwright, program
from web.test_browser import PHONE, Watched, grave_violations
from web.test_browser_loom import fill, opened

from clothwright.web.phone.phone_words import script_words

__all__ = ["browser", "playwright", "program"]

pytestmark = pytest.mark.browser
#: Words of the page in English that are a whole text somewhere on it, and not the same in German.
ENGLISH = {said for said, german in script_words("de").items() if said != german and "{" not in said}
#: What the core of the program says in words of its own comes in English: how the beat moves, what is asked, ways out.
TOLD = "#loom [data-at=forecast], #loom [data-at=log] li > p:first-child, #loom [data-at=ways]"


def said(page: Page) -> set[str]:
    """Every text in sight that the page says itself, and every name read out of it."""
    texts: list[str] = page.evaluate(
        """told => {
          const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {
            const at = walk.currentNode.parentElement;
            if (!at.closest("script, noscript") && !at.closest(told)) found.push(walk.currentNode.textContent.trim());
          }
          for (const one of document.querySelectorAll("[aria-label]")) found.push(one.getAttribute("aria-label"));
          return found;
        }""",
        TOLD,
    )
    return set(filter(None, texts))


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
        assert said(page) & ENGLISH == set(), button.text_content()
    page.get_by_role("button", name="Bisher gewebt", exact=True).click()
    fill(page, woven="weit")
    page.get_by_role("button", name="Behalten", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("„weit“: schreiben Sie eine Zahl")
    fill(page, woven="184")
    page.get_by_role("button", name="Behalten", exact=True).click()
    expect(page.locator("[data-at=woven]")).to_have_text("184 cm")
    expect(page.locator("#announce")).to_contain_text("Behalten: 184 cm gewebt")
    expect(page.locator("#status")).to_contain_text("Alles ist gesendet")
    assert said(page) & ENGLISH == set()
    assert program.state(key, "loom")["loom"]["woven"] == "184 cm"
    watched.check()
    assert grave_violations(page) == []
    context.close()
